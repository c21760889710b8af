"""How the tables of an older journal become those of the next format: one module a step, never changed afterwards.

Views and triggers are no part of it: they are made anew after the last step.
"""
