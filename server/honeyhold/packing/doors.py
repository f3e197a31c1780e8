"""The doors of packing: plain JSON in, plain JSON out, typed values in between (README.md has the shapes)."""

from __future__ import annotations

from typing import Any

from honeyhold.packing.model.request import read_request
from honeyhold.packing.plan import plan_parcels
from honeyhold.wire import to_json

Json = dict[str, Any]


def plan(request: Json) -> Json:
    """`packing.plan`. Raises BadRequest; an order that goes into nothing is an answer with no parcels."""
    answer: Json = to_json(plan_parcels(read_request(request)))
    return answer
