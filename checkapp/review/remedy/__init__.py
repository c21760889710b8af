"""What to do about a stop, found among what the rig has and tried on a copy before it is told."""
