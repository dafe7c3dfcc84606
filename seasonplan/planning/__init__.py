"""A plan made, proposed, placed by hand, compared with the one before."""
