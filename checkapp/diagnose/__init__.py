"""Suspects and the next best test: which item is to blame for what was heard, and what to try next."""
