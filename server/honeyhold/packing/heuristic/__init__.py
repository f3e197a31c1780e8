"""Searches that find quickly and prove nothing."""
