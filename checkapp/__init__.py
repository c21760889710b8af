"""From a planned rig of stage boxes to a signed-off line check, and through the tour."""

__version__ = "0.1.0"
