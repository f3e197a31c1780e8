"""Heat: will it arrive as it left? Pure arithmetic; see README.md for requests and answers."""

from honeyhold.heat.advice import advise
from honeyhold.heat.places import place_of, read_climate, read_places
from honeyhold.heat.trip import trip
from honeyhold.heat.trip_svg import draw, draw_table

__all__ = ["advise", "draw", "draw_table", "place_of", "read_climate", "read_places", "trip"]
