"""What the keeper is told while the caller is still on the line: the parcel, the heat, and what to do about it."""

from __future__ import annotations

from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat import advise
from honeyhold.quoting.parcel import cautions, parcel_answer, posting_off
from honeyhold.quoting.postage import priced, with_posting
from honeyhold.quoting.trip import dressings_that_fit, forecast_of, heat_request, way_ends
from honeyhold.stock.units import weight_words

Json = dict[str, Any]


def call(request: Json, atlas: Json) -> Json:
    """Everything that can be said about an order at the telephone.

    Request: `goods` (rows), `cartons` (rows with `in_stock`), `house` (settings), `lines` (`{"good", "units"}`), `to` (`{"zip", ...}`),
    `way`, `leave_on`, `today`, `dressing`; `now` (UTC) and `forecasts` (rows by ZIP prefix) where there are any. With `only`
    "asked" the advice and the table are left out (`half` is true then): the verdict comes first while the rest is worked out.

    Answer: `parcel` and `heat` and `advice` (each null when it does not apply or cannot be known), `days` (the table of days by
    dressing), `cautions`, and `unknown`: sentences about what could not be said and why.

    Raises BadRequest when the request holds no day or no lines.
    """
    if not request.get("today"):
        raise BadRequest("The day is missing.", "Send today as YYYY-MM-DD.")
    request = with_posting(request, atlas)
    first = _first(request)
    if first["parcel"] is None:
        return {**_nothing(), **first}
    return {**_nothing(), **first, **_heat(request, atlas, first["parcel"])}


def parcel_first(request: Json, atlas: Json | None = None) -> Json:
    """The half of `call` that is quick: the parcel and the cautions, while heat is still being worked out.

    With the atlas the house's price table is asked for the zone; the parcel then carries `posting_cents` and `posting_words`.
    """
    return _first(with_posting(request, atlas))


def _first(request: Json) -> Json:
    if request.get("way") != "post":
        return {"parcel": None, "cautions": cautions(request, []), "posting_off": ""}
    parcel = parcel_answer(request, request.get("dressing") or "plain")
    parcel = {**parcel, **priced(parcel, request.get("posting"), request.get("posting_unknown") or "")}
    return {"parcel": parcel, "cautions": parcel["cautions"], "posting_off": posting_off(request)}


def _heat(request: Json, atlas: Json, parcel: Json) -> Json:
    zip_code = str((request.get("to") or {}).get("zip") or "")
    if not zip_code:
        return {"unknown": ["No ZIP code yet: heat on the way cannot be said."]}
    if not parcel["ok"]:
        return {"unknown": ["No carton here holds this order, so heat was not asked."]}
    parcels = dressings_that_fit(request, parcel)
    answer = advise(heat_request(request, atlas, parcels), atlas.get("weathers"))
    if not answer["known"]:
        return {"unknown": answer["unknown"]}
    asked = answer["asked"]
    said = forecast_of(request, way_ends(request, atlas))[1]
    return {
        "half": request.get("only") == "asked",
        "heat": None if asked is None else {**asked, "when_words": (asked.get("when") or {}).get("words", "")},
        "told": told_of(request, asked, said or answer["basis"]),
        "advice": None if request.get("only") == "asked" else _with_what_it_adds(answer["advice"], parcel, parcels),
        "none_words": answer.get("none_words", ""),
        "days": answer["table"],
        "basis": said or answer.get("basis", ""),
        "transit_days": answer["transit_days"],
        "notes": answer.get("notes", []),
        "unknown": [*answer["unknown"], *_whose_chances(request)],
    }


def told_of(request: Json, asked: Json | None, basis: str) -> Json:
    """What was told of heat, as it is kept with the order: whole numbers and words only."""
    told: Json = {"on": request["today"]}
    if asked is None:
        return told
    kept = {name: asked[name] for name in ("leave_on", "dressing", "hold", "verdict", "chance_permille", "harmless")}
    return {**told, **kept, "basis": basis}


def _with_what_it_adds(advice: Json | None, asked: Json, parcels: dict[str, Json]) -> Json | None:
    """The advice with `adds`: what its packing weighs more than the asked one, and its carton where that is another; "" if nothing."""
    if advice is None or advice["dressing"] not in parcels:
        return advice
    other = parcels[advice["dressing"]]["parcels"]
    more_g = round(sum(one["gross_g"] for one in other) - sum(one["gross_g"] for one in asked["parcels"]))
    cartons = [" + ".join(one["carton_name"] for one in boxes) for boxes in (asked["parcels"], other)]
    heavier = [f"{weight_words(more_g)} heavier"] if more_g > 0 else []
    larger = [f"carton {cartons[1]}"] if cartons[0] != cartons[1] else []
    return {**advice, "adds": ", ".join(heavier + larger)}


def _whose_chances(request: Json) -> list[str]:
    """Until the house has learned from its own arrivals, the chances rest on what others measured and on our judgment."""
    learned = ((request.get("house") or {}).get("heat_offset") or {}).get("shift_permille")
    return [] if learned else ["The chances are our own estimate: nothing was learned from this house's arrivals yet."]


def _nothing() -> Json:
    return {
        "parcel": None,
        "posting_off": "",
        "told": {},
        "heat": None,
        "advice": None,
        "none_words": "",
        "days": [],
        "cautions": [],
        "unknown": [],
        "notes": [],
        "basis": "",
        "half": False,
        "transit_days": [],
    }
