"""One module per family of rules; the one list of all of them is in ``listed``."""
