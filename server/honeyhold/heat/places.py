"""Where a ZIP prefix lies, what its months are like, how far it is and how long the post takes.

The two tables are handed in as text; see data/ for their sources. A missing prefix is `None`, never a
neighbour.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from math import asin, cos, radians, sin, sqrt
from typing import Any

from honeyhold.errors import BadRequest

EARTH_RADIUS_MILES = 3958.8  # mean radius, IUGG
ZONE_MILES = (
    50,
    150,
    300,
    600,
    1000,
    1400,
    1800,
)  # great-circle limits of zones 1..7; above: 8 (two public pages)
PACIFIC_STATES = frozenset({"GU", "AS", "MP", "FM", "MH", "PW"})
FAR_STATES = frozenset({"AK", "HI", "PR", "VI"})
# Postal days on the way by zone: common practice, no source; goals, not promises.
DAYS_BY_ZONE = {1: 2, 2: 2, 3: 3, 4: 3, 5: 4, 6: 4, 7: 5, 8: 5, 9: 7}


def _rows(csv_text: str, must_have: tuple[str, ...]) -> list[dict[str, str]]:
    lines = [line for line in csv_text.splitlines() if line and not line.startswith("#")]
    reader = csv.DictReader(lines)
    missing = [name for name in must_have if name not in (reader.fieldnames or ())]
    if missing:
        raise BadRequest(
            f"The table has no column {missing[0]!r}; its first line is {lines[0][:60] if lines else ''!r}.",
            "Hand in the text of the data file with its heading line.",
        )
    return list(reader)


def read_places(csv_text: str) -> dict[str, dict[str, Any]]:
    """Read the places table: by prefix, degrees WGS84 and the IANA zone.

    Raises BadRequest if a column is missing.
    """
    table: dict[str, dict[str, Any]] = {}
    for row in _rows(csv_text, ("zip3", "state", "lat", "lon", "rep_lat", "rep_lon", "tz")):
        numbers = {name: float(row[name]) for name in ("lat", "lon", "rep_lat", "rep_lon")}
        table[row["zip3"]] = {"zip3": row["zip3"], "state": row["state"], **numbers, "tz": row["tz"]}
    return table


def read_climate(csv_text: str) -> dict[str, dict[str, Any]]:
    """Read the normals: by prefix, twelve monthly `tx`, `tn`, `sd` in degrees C.

    Raises BadRequest if a column is missing.
    """
    table: dict[str, dict[str, Any]] = {}
    for row in _rows(csv_text, ("zip3", "elev_m", "spread_c", "tx1", "tn12", "sd12")):
        months = {name: [float(row[f"{name}{month}"]) for month in range(1, 13)] for name in ("tx", "tn", "sd")}
        table[row["zip3"]] = {
            "zip3": row["zip3"],
            "elev_m": float(row["elev_m"]),
            "spread_c": float(row["spread_c"]),
            **months,
        }
    return table


def place_of(zip_code: str, table: Mapping[str, dict[str, Any]]) -> dict[str, Any] | None:
    """Give the table's row for the first three digits of a ZIP, or None when the table has none."""
    return table.get(zip_code.strip()[:3])


def distance_miles(lat_a: float, lon_a: float, lat_b: float, lon_b: float) -> float:
    """Give the great-circle distance in miles between two points in degrees (haversine formula)."""
    half_lat, half_lon = radians(lat_b - lat_a) / 2, radians(lon_b - lon_a) / 2
    chord = sin(half_lat) ** 2 + cos(radians(lat_a)) * cos(radians(lat_b)) * sin(half_lon) ** 2
    return 2 * EARTH_RADIUS_MILES * asin(min(1.0, sqrt(chord)))


def zone_between(place_a: Mapping[str, Any], place_b: Mapping[str, Any]) -> int:
    """Give the postal zone 1..9 from the distance: good enough for time, never for postage (one off near a
    limit).
    """
    if place_a["state"] in PACIFIC_STATES or place_b["state"] in PACIFIC_STATES:
        return 9
    miles = round(distance_miles(place_a["lat"], place_a["lon"], place_b["lat"], place_b["lon"]), 3)
    return 1 + sum(miles > limit for limit in ZONE_MILES)


def transit_days(place_a: Mapping[str, Any], place_b: Mapping[str, Any]) -> tuple[int, int, int]:
    """Give the fewest, usual and most postal days on the way (common practice by zone, one day either side)."""
    usual = DAYS_BY_ZONE[zone_between(place_a, place_b)]
    if (place_a["state"] in FAR_STATES) != (place_b["state"] in FAR_STATES):
        usual = max(usual, 6)
    return max(1, usual - 1), usual, usual + 1
