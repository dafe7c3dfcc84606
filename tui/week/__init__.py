"""The second page: a week by day and hour."""
