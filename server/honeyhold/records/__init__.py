"""What the house knows, kept in one SQLite file."""
