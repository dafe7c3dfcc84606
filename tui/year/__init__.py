"""The first page: the year as a sheet, what is pointed at, and what hands do to it."""
