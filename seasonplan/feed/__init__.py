"""The plan over the network: served to a phone, published, read back; busy calendars fetched.

Stands beside the disk and the clock: it is handed a year and a plan and the time, and keeps only
what is secret or needed to go on, in one private file of the climber's folder. Must not know the
desk, nor any face. Light to import: servers and clients are loaded by the module that needs them.
"""
