"""Whole files read and written safely."""
