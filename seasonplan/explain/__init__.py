"""Turns codes and numbers into sentences. Nothing else in the program writes any."""
