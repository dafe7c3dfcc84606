"""Busy hours out of calendars of others."""
