"""Numbered steps from one schema to the next, forward only."""
