"""A year in sums, for its summary on paper."""

from __future__ import annotations

import re

from flask import Blueprint, Response

from honeyhold.api.access import the_device, the_house
from honeyhold.api.json_response import told
from honeyhold.errors import BadRequest
from honeyhold.queries.year import year_sums

door = Blueprint("years", __name__)


@door.get("/api/years/<year>")
def of_year(year: str) -> Response:
    """What left and came in month by month, what was mailed, what was put right."""
    the_device()
    if not re.fullmatch(r"[12]\d{3}", year, re.ASCII):
        raise BadRequest(f"{year[:20]!r} is no year.", "Write it like 2026.")
    return told(year_sums(the_house().records, int(year)))
