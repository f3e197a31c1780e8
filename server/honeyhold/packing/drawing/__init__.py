"""A planned parcel as SVG."""
