"""Reads: each a function of one consistent look at the records."""
