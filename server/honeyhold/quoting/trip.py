"""From the parcel to the road: the question the heat package is asked about this order, and its answer in words."""

from __future__ import annotations

from typing import Any

from honeyhold.heat.harm import THRESHOLDS
from honeyhold.heat.request import DRAWS
from honeyhold.quoting.forecasts import heat_forecast
from honeyhold.quoting.parcel import parcel_answer
from honeyhold.quoting.protection import NAMES, dressing_figures, used_up
from honeyhold.quoting.stack_loads import wax_load_pa
from honeyhold.stock.mailing_days import next_posting_days
from honeyhold.stock.units import parse_length_mm

Json = dict[str, Any]

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
DAYS_AHEAD = 6
"""How many posting days the table of days shows: two weeks of a house that posts three days a week."""
HASTE_S = 0.2
"""How long the bench may look at a dressing that was not asked for: it is only compared, never packed by this plan."""
BOARD_MM = 4
"""Thickness of ordinary single-wall board, C flute (5/32 in)."""
DEFAULT_MOISTURE_PERMILLE = 178
DEFAULT_ACCEPT_PERMILLE = 20


def heat_request(request: Json, atlas: Json, parcels: dict[str, Json]) -> Json:
    """The heat package's question for this order.

    `request` is that of `quoting.call`; `parcels` the answers of `parcel_answer` by dressing (those that fit). Of several
    parcels the one with the most wax in it is asked about, since the smallest load warms first and bars are what dents.
    """
    house = request.get("house") or {}
    ends = way_ends(request, atlas)
    only_asked = request.get("only") == "asked"
    asked = request.get("leave_on") or None
    return {
        **ends,
        "today": request["today"],
        "leave_days": [asked or leave_days(request)[0]] if only_asked else leave_days(request),
        "asked_day": asked,
        "asked_dressing": request.get("dressing") or "plain",
        "leave_hour": house.get("leave_hour", 15),
        "dressings": {name: _heat_parcel(request, name, answer) for name, answer in parcels.items()},
        "accept_permille": house.get("accept_permille", DEFAULT_ACCEPT_PERMILLE),
        "hold_allowed": bool(house.get("hold_allowed", True)),
        "mailbox": house.get("mailbox", "metal_sun"),
        "forecast": forecast_of(request, ends)[0],
        "thresholds": thresholds_of(house),
        "search": not only_asked,
        "hold": bool(request.get("hold_at_counter")),
        "offset_permille": (house.get("heat_offset") or {}).get("shift_permille", 0),
        "draws": request.get("draws", DRAWS),
        "seed": 1,
        "unit": house.get("temperature_unit", "F"),
    }


def way_ends(request: Json, atlas: Json) -> Json:
    """`{"from", "to"}`: both ends of the way with their place and climate, null where the prefix is not known."""
    house = request.get("house") or {}
    return {
        "from": _place(str(house.get("zip") or ""), atlas),
        "to": _place(str((request.get("to") or {}).get("zip") or ""), atlas),
    }


def forecast_of(request: Json, ends: Json) -> tuple[Json | None, str]:
    """The forecast for a way and how it is said; a `forecast` handed in ready made goes before the rows of the device."""
    if request.get("forecast"):
        return request["forecast"], ""
    return heat_forecast(request, {end: value["place"] for end, value in ends.items()})


def thresholds_of(house: Json) -> Json | None:
    """The house's own limits from its setting `thresholds`, which keeps whole tenths."""
    own = house.get("thresholds") or {}
    return {name: value / 10 for name, value in own.items() if name in THRESHOLDS and isinstance(value, int)} or None


def leave_days(request: Json) -> list[str]:
    """The days worth asking about: the next posting days of the house, and the day that was named if it is another."""
    house = request.get("house") or {}
    weekdays = [WEEKDAYS.index(name) for name in house.get("posting_days") or ["Mon", "Tue", "Wed"]]
    days: list[str] = next_posting_days({"from": request["today"], "weekdays": weekdays, "count": DAYS_AHEAD})["days"]
    asked = request.get("leave_on")
    return sorted({*days, asked}) if asked else days


def dressings_that_fit(request: Json, asked_answer: Json | None = None) -> dict[str, Json]:
    """The parcel in each dressing that a carton of the house holds, the asked dressing first.

    `asked_answer` is the asked dressing's answer where the caller has it already: the bench is not asked twice.
    """
    asked = request.get("dressing") or "plain"
    house = request.get("house") or {}
    hasty = {**request, "seconds": HASTE_S}
    others = [] if request.get("only") == "asked" else [name for name in NAMES if name != asked and not used_up(house, name)]
    answers = {asked: asked_answer or parcel_answer(request, asked)}
    answers.update({name: parcel_answer(hasty, name) for name in others})
    return {name: answer for name, answer in answers.items() if answer["ok"]}


def _place(zip_code: str, atlas: Json) -> Json:
    prefix = zip_code[:3]
    return {"zip": zip_code, "place": atlas["places"].get(prefix), "climate": atlas["climate"].get(prefix)}


def _heat_parcel(request: Json, dressing: str, answer: Json) -> Json:
    parcel = max(answer["parcels"], key=lambda one: _wax_units(request, one))
    figures = dressing_figures(request.get("house") or {}, dressing)
    carton = next(row for row in request["cartons"] if row["id"] == parcel["carton"])
    outer = parcel.get("outer_mm") or [float(parse_length_mm(str(side))) for side in carton["inner"]]
    heat: Json = {
        "outer_mm": [float(side) for side in outer],
        "board_mm": BOARD_MM,
        "contents": _contents(request, parcel),
        "wax_load_pa": wax_load_pa(request, parcel),
        "carton_g": carton.get("tare_g") or 0,
        "filler_g": parcel["filler_g"],
        "liner": None,
        "chill": None,
        "cost_cents": answer["cost_cents"],
    }
    if figures["liner_mm"]:
        heat["liner"] = {"thickness_mm": figures["liner_mm"], "conductivity": figures["liner_mw_per_mk"] / 1000}
    if "pack_g" in figures:
        heat["chill"] = {
            "mass_g": figures["pack_g"],
            "latent_kj_per_kg": figures["pack_latent_j_per_g"],
            "start_c": figures["pack_start_c"],
        }
    return heat


def _contents(request: Json, parcel: Json) -> list[Json]:
    goods = {row["id"]: row for row in request["goods"]}
    return [_content(goods[good], units) for good, units in parcel["contents"].items() if good in goods]


def _content(row: Json, units: int) -> Json:
    content = {
        "kind": "honey" if row.get("kind") == "honey" else "wax",
        "units": units,
        "mass_g": row.get("net_g") or row.get("gross_g") or 0,
        "called": row.get("short") or row.get("plural") or row.get("name") or row["id"],
        "length_mm": row["length_mm"],
        "width_mm": row["width_mm"],
        "height_mm": row["height_mm"],
    }
    if content["kind"] == "honey":
        content["moisture_permille"] = row.get("moisture_permille") or DEFAULT_MOISTURE_PERMILLE
        content["glass"] = bool(row.get("glass"))
        content["glass_g"] = max(0, (row.get("gross_g") or 0) - (row.get("net_g") or 0)) if content["glass"] else 0
        content["set"] = "creamed" in str(row.get("name") or "").lower()
    return content


def _wax_units(request: Json, parcel: Json) -> int:
    wax = {row["id"] for row in request["goods"] if row.get("kind") == "wax"}
    return sum(units for good, units in parcel["contents"].items() if good in wax)
