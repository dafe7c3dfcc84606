"""Busy calendars fetched from links and servers: whom to trust, how long to wait."""
