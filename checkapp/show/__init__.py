"""One show at work, with no toolkit: what a screen or a command asks and does, as plain functions and values."""
