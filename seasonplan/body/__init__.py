"""What each day is, and what training makes of a body."""
