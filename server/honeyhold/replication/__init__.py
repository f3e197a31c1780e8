"""Devices and the main computer kept alike: the exchange, what changed, and what each device may promise alone."""
