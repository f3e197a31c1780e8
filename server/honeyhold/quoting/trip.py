"""From the parcel to the road: the question the heat package is asked about this order, and its answer in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from honeyhold.heat.atlas import Atlas
from honeyhold.heat.harm import THRESHOLDS
from honeyhold.heat.request import DRAWS
from honeyhold.quoting.forecasts import heat_forecast
from honeyhold.quoting.parcel import quote_of
from honeyhold.quoting.protection import NAMES, dressing_figures, used_up
from honeyhold.quoting.quote import Quote, QuotedParcel
from honeyhold.quoting.request import CallRequest, Good, House
from honeyhold.quoting.stack_loads import wax_load_pa
from honeyhold.stock.mailing_days import next_posting_days

Json = dict[str, Any]

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
DAYS_AHEAD = 6
"""How many posting days the table of days shows: two weeks of a house that posts three days a week."""
HASTE_S = 0.2
"""How long the bench may look at a dressing that was not asked for: it is only compared, never packed by this plan."""
BOARD_MM = 4
"""Thickness of ordinary single-wall board, C flute (5/32 in)."""
DEFAULT_MOISTURE_PERMILLE = 178


def heat_request(request: CallRequest, atlas: Atlas, quotes: Mapping[str, Quote]) -> Json:
    """The heat package's question for this order.

    `quotes` by dressing are those that fit. Of several parcels the one with the most wax in it is asked about, since the smallest load
    warms first and bars are what dents.
    """
    house, ends = request.house, way_ends(request, atlas)
    days = leave_days(request)
    return {
        **ends,
        "today": request.today,
        "leave_days": [request.leave_on or days[0]] if request.only_asked else days,
        "asked_day": request.leave_on,
        "asked_dressing": request.dressing,
        "leave_hour": house.leave_hour,
        "dressings": {name: _heat_parcel(request, name, quote) for name, quote in quotes.items()},
        "accept_permille": house.accept_permille,
        "hold_allowed": house.hold_allowed,
        "mailbox": house.mailbox,
        "forecast": forecast_of(request, ends)[0],
        "thresholds": thresholds_of(house),
        "search": not request.only_asked,
        "hold": request.hold_at_counter,
        "offset_permille": house.heat_shift_permille,
        "draws": DRAWS if request.draws is None else request.draws,
        "seed": 1,
        "unit": house.temperature_unit,
    }


def way_ends(request: CallRequest, atlas: Atlas) -> Json:
    """`{"from", "to"}`: both ends of the way with their place and climate, null where the prefix is not known."""
    return {"from": _place(request.house.zip, atlas), "to": _place(request.to_zip, atlas)}


def forecast_of(request: CallRequest, ends: Json) -> tuple[Json | None, str]:
    """The forecast for a way and how it is said; a `forecast` handed in ready made goes before the rows of the device."""
    if request.forecast:
        return {**request.forecast}, ""
    return heat_forecast(request.now, request.forecasts, {end: value["place"] for end, value in ends.items()})


def thresholds_of(house: House) -> dict[str, float] | None:
    """The house's own limits from its setting `thresholds`, which keeps whole tenths."""
    return {name: value / 10 for name, value in (house.thresholds or {}).items() if name in THRESHOLDS} or None


def leave_days(request: CallRequest) -> list[str]:
    """The days worth asking about: the next posting days of the house, and the day that was named if it is another."""
    weekdays = [WEEKDAYS.index(name) for name in request.house.posting_days if name in WEEKDAYS]
    days: list[str] = next_posting_days({"from": request.today, "weekdays": weekdays, "count": DAYS_AHEAD})["days"]
    return sorted({*days, request.leave_on}) if request.leave_on else days


def dressings_that_fit(request: CallRequest, asked: Quote | None = None) -> dict[str, Quote]:
    """The parcels in each dressing that a carton of the house holds, the asked dressing first.

    `asked` is the asked dressing's quote where the caller has it already: it is not planned twice.
    """
    hasty = replace(request, seconds=HASTE_S)
    others = [] if request.only_asked else [name for name in NAMES if name != request.dressing and not used_up(request.house, name)]
    quotes = {request.dressing: asked or quote_of(request, request.dressing)}
    quotes.update({name: quote_of(hasty, name) for name in others})
    return {name: quote for name, quote in quotes.items() if quote.ok}


def _place(zip_code: str, atlas: Atlas) -> Json:
    prefix = zip_code[:3]
    return {"zip": zip_code, "place": atlas.places.get(prefix), "climate": atlas.climate.get(prefix)}


def _heat_parcel(request: CallRequest, dressing: str, quote: Quote) -> Json:
    parcel = max(quote.parcels, key=lambda one: _wax_units(request, one))
    figures = dressing_figures(request.house, dressing)
    carton = next(one for one in request.cartons if one.id == parcel.carton)
    return {
        "outer_mm": list(parcel.outer_mm),
        "board_mm": BOARD_MM,
        "contents": [_content(request.goods[good], units) for good, units in parcel.contents.items() if good in request.goods],
        "wax_load_pa": wax_load_pa(request.goods, parcel.placements),
        "carton_g": carton.tare_g,
        "filler_g": parcel.filler_g,
        "liner": _liner(figures),
        "chill": _chill(figures),
        "cost_cents": quote.cost_cents,
    }


def _liner(figures: Mapping[str, int]) -> Json | None:
    if not figures["liner_mm"]:
        return None
    return {"thickness_mm": figures["liner_mm"], "conductivity": figures["liner_mw_per_mk"] / 1000}


def _chill(figures: Mapping[str, int]) -> Json | None:
    if "pack_g" not in figures:
        return None
    return {"mass_g": figures["pack_g"], "latent_kj_per_kg": figures["pack_latent_j_per_g"], "start_c": figures["pack_start_c"]}


def _content(good: Good, units: int) -> Json:
    content: Json = {
        "kind": "honey" if good.kind == "honey" else "wax",
        "units": units,
        "mass_g": good.net_g or good.gross_g,
        "called": good.short or good.plural or good.name or good.id,
        "length_mm": good.length_mm,
        "width_mm": good.width_mm,
        "height_mm": good.height_mm,
    }
    if content["kind"] == "honey":
        content["moisture_permille"] = good.moisture_permille or DEFAULT_MOISTURE_PERMILLE
        content["glass"] = good.glass
        content["glass_g"] = max(0, good.gross_g - good.net_g) if good.glass else 0
        content["set"] = "creamed" in good.name.lower()
    return content


def _wax_units(request: CallRequest, parcel: QuotedParcel) -> int:
    return sum(units for good, units in parcel.contents.items() if good in request.goods and request.goods[good].kind == "wax")
