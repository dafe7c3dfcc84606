"""Turns codes and numbers into sentences: what planner, checker and records found, told.

Refusals of edits and faults of files bring their own words.
"""
