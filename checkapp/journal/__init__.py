"""The log of everything that happened: schema, appending, verification, current state."""
