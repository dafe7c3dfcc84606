"""The folder of the climber: read, changed, kept; the one stateful object."""
