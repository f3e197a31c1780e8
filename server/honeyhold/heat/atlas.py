"""The tables of places and climate, and what is remembered of the weather asked about last: handed in by whoever asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from honeyhold.heat.weather import WeatherMemory

Row = Mapping[str, Any]


@dataclass(frozen=True)
class Atlas:
    """Places and climate by the first three digits of the ZIP code; the memory belongs to one thread."""

    places: Mapping[str, dict[str, Any]]
    climate: Mapping[str, dict[str, Any]]
    weathers: WeatherMemory = field(default_factory=WeatherMemory)
