"""Which cartons, and what goes into each: the least cost over all divisions of an order."""
