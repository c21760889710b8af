"""Tags: what is printed on each label, the label stock, and the sheets."""
