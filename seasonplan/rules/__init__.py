"""Statements of rules, verdicts, and the tables of `shared/`."""
