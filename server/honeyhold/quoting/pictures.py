"""The pictures of one order, made here so that screen and paper show the same: the parcels, the trip, the days by dressing."""

from __future__ import annotations

from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat import draw, draw_table
from honeyhold.packing.drawing.parcel import draw as draw_parcel
from honeyhold.quoting.parcel import parcel_answer
from honeyhold.quoting.postage import with_posting
from honeyhold.quoting.trip import dressings_that_fit, heat_request

Json = dict[str, Any]


def parcel_picture(request: Json, atlas: Json | None = None) -> Json:
    """One drawing a parcel, layer by layer: `{"svgs": [text], "words", "steps": [[sentence]]}`. Request as for `quoting.call`."""
    answer, svgs = drawings(with_posting(request, atlas))
    return {"svgs": svgs, "words": answer["words"], "steps": [parcel["steps"] for parcel in answer["parcels"]]}


def drawings(request: Json) -> tuple[Json, list[str]]:
    """The parcel's answer and one drawing for each of its parcels."""
    answer = parcel_answer(request, request.get("dressing") or "plain")
    question = answer["bench"]
    svgs = [
        draw_parcel({
            "parcel": parcel,
            "cartons": question["cartons"],
            "pieces": question["pieces"],
            "dressing": question["dressing"],
            "unit": question["unit"],
            "view": request.get("view") or "both",
        })["svg"]
        for parcel in answer["parcels"]
    ]
    return answer, svgs


def trip_picture(request: Json, atlas: Json) -> Json:
    """The trip curve of the asked day and dressing: `{"svg"}`."""
    return draw(_asked(request, atlas), atlas.get("weathers"))


def days_picture(request: Json, atlas: Json) -> Json:
    """The table of days by dressing: `{"svg"}`."""
    return draw_table(_asked(request, atlas), atlas.get("weathers"))


def _asked(request: Json, atlas: Json) -> Json:
    request = with_posting(request, atlas)
    parcels = dressings_that_fit(request)
    if (request.get("dressing") or "plain") not in parcels:
        raise BadRequest("No carton here holds this order packed that way.", "Choose a larger carton or another packing.")
    return heat_request(request, atlas, parcels)
