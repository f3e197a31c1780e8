"""The doors of quoting: plain JSON in, plain JSON out, types in between. README.md has the request, the dataclasses the answers."""

from __future__ import annotations

from typing import Any

from honeyhold.heat.atlas import Atlas
from honeyhold.quoting import call as calling
from honeyhold.quoting import limits as heat_limits
from honeyhold.quoting import pictures
from honeyhold.quoting import recheck as rechecking
from honeyhold.quoting.kept import drawing_of, read_kept
from honeyhold.quoting.request import house_of, read_call
from honeyhold.wire import Fields, to_json

Json = dict[str, Any]
PARCELS_MOST = 400


def call(request: Json, atlas: Atlas) -> Json:
    """All that is said at the telephone. Raises BadRequest."""
    return _told(calling.call(read_call(request), atlas))


def parcel_first(request: Json, atlas: Atlas | None = None) -> Json:
    """The parcel and the cautions alone. Raises BadRequest."""
    return _told(calling.parcel_first(read_call(request), atlas))


def recheck(request: Json, atlas: Atlas) -> Json:
    """One posted order asked again. Raises BadRequest."""
    return _told(rechecking.recheck(read_call(request), atlas))


def parcel_picture(request: Json, atlas: Atlas | None = None) -> Json:
    """One drawing a parcel: `{"svgs": [text], "words", "steps": [[sentence]]}`. Raises BadRequest."""
    return _told(pictures.parcel_picture(read_call(request), atlas))


def trip_picture(request: Json, atlas: Atlas) -> Json:
    """The trip curve of the asked day and dressing: `{"svg"}`. Raises BadRequest."""
    return {"svg": pictures.trip_picture(read_call(request), atlas)}


def days_picture(request: Json, atlas: Atlas) -> Json:
    """The table of days by dressing: `{"svg"}`. Raises BadRequest."""
    return {"svg": pictures.days_picture(read_call(request), atlas)}


def packed_picture(request: Json) -> Json:
    """Packed parcels drawn from their rows: `{"svgs": [text], "of": [part]}`; those without placements have no drawing.

    `request`: `{"parcels": [row], "unit": "in" or "mm", "view": "both", "oblique" or "layers"}`. Raises BadRequest.
    """
    whole = Fields.of(request)
    unit, view = whole.text("unit", "in"), whole.text("view", "both")
    rows = [row for row in whole.rows("parcels", PARCELS_MOST) if row.inner("plan").get("placements")]
    return {"svgs": [drawing_of(read_kept(row.inner("plan")), unit, view) for row in rows], "of": [row.get("part") for row in rows]}


def limits(request: Json) -> Json:
    """`{"limits": [{"name", "words", "unit", "tenths", "usual_tenths", "source"}]}`; request: `{"house": settings}`."""
    return {"limits": to_json(heat_limits.limits(house_of(Fields.of(request).inner("house"))))}


def _told(answer: object) -> Json:
    told: Json = to_json(answer)
    return told
