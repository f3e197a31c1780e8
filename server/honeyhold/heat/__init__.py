"""Heat: will it arrive as it left? Pure arithmetic; see README.md for requests and answers."""

from honeyhold.heat.advice import advise
from honeyhold.heat.places import place_of, read_climate, read_places

__all__ = ["advise", "place_of", "read_climate", "read_places"]
