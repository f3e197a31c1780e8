"""A device without a screen, in Python: it plays the demo's season, and the tests. The product's own device is `web/store`."""
