"""What the scale says about a packed parcel, and what weighings teach."""
