"""A CalDAV server and its collections, asked and written to; what is wrong told by its cause."""
