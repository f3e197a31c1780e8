"""Searches and bounds that prove: these pieces go into this container, or never."""
