"""What a parcel is: pieces, cartons, containers and what they measure, weigh and bear."""
