"""Where a lot went."""

from __future__ import annotations

from flask import Blueprint, Response

from honeyhold.api.access import the_device, the_house
from honeyhold.api.json_response import told
from honeyhold.queries.tracing import trace_lot

door = Blueprint("lots", __name__)


@door.get("/api/lots/<lot>/trace")
def trace(lot: str) -> Response:
    """Who has a lot, with numbers to ring; what it was made from and what was made of it."""
    the_device()
    return told(trace_lot(the_house().records, lot))
