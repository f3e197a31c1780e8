"""What the keeper is told while the caller is still on the line: the parcel, the heat, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat import advise
from honeyhold.heat.atlas import Atlas
from honeyhold.quoting.parcel import cautions, posting_off, quote_of
from honeyhold.quoting.postage import with_prices
from honeyhold.quoting.quote import Quote
from honeyhold.quoting.request import CallRequest
from honeyhold.quoting.trip import dressings_that_fit, forecast_of, heat_request, way_ends
from honeyhold.stock.units import weight_words
from honeyhold.wire import OMIT_NONE

HeatAnswer = Mapping[str, Any]
"""An answer of the heat package, or a part of it; its own README has the shapes."""


@dataclass(frozen=True)
class Told:
    """What was told of heat, as it is kept with the order: whole numbers and words only. Empty where heat was not asked."""

    on: str | None = field(default=None, metadata=OMIT_NONE)
    leave_on: str | None = field(default=None, metadata=OMIT_NONE)
    dressing: str | None = field(default=None, metadata=OMIT_NONE)
    hold: bool | None = field(default=None, metadata=OMIT_NONE)
    verdict: str | None = field(default=None, metadata=OMIT_NONE)
    chance_permille: int | None = field(default=None, metadata=OMIT_NONE)
    harmless: bool | None = field(default=None, metadata=OMIT_NONE)
    basis: str | None = field(default=None, metadata=OMIT_NONE)


@dataclass(frozen=True)
class FirstAnswer:
    """The half that is quick: the parcel and the cautions, while heat is still being worked out."""

    parcel: Quote | None
    cautions: tuple[str, ...]
    posting_off: str


@dataclass(frozen=True)
class CallAnswer(FirstAnswer):
    """Everything that can be said at the telephone. `unknown`: what could not be said and why; `days`: the table of days by dressing."""

    told: Told = Told()
    heat: HeatAnswer | None = None
    advice: HeatAnswer | None = None
    none_words: str = ""
    days: tuple[HeatAnswer, ...] = ()
    unknown: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    basis: str = ""
    half: bool = False
    transit_days: tuple[int, ...] = ()


def call(request: CallRequest, atlas: Atlas) -> CallAnswer:
    """Everything that can be said about an order at the telephone.

    When only what was asked is wanted, the advice and the table are left out (`half` is true then): the verdict comes first while the
    rest is worked out. Raises BadRequest when the request holds no day or no lines.
    """
    if not request.today:
        raise BadRequest("The day is missing.", "Send today as YYYY-MM-DD.")
    request = with_prices(request, atlas)
    first = _first(request)
    said = CallAnswer(first.parcel, first.cautions, first.posting_off)
    return said if first.parcel is None else _with_heat(said, request, atlas, first.parcel)


def parcel_first(request: CallRequest, atlas: Atlas | None = None) -> FirstAnswer:
    """The half of `call` that is quick. With the atlas the house's price table is asked for the zone."""
    return _first(with_prices(request, atlas))


def _first(request: CallRequest) -> FirstAnswer:
    if not request.is_mailed:
        return FirstAnswer(None, tuple(cautions(request, ())), "")
    quote = quote_of(request, request.dressing)
    return FirstAnswer(quote, quote.cautions, posting_off(request))


def _with_heat(said: CallAnswer, request: CallRequest, atlas: Atlas, quote: Quote) -> CallAnswer:
    if not request.to_zip:
        return replace(said, unknown=("No ZIP code yet: heat on the way cannot be said.",))
    if not quote.ok:
        return replace(said, unknown=("No carton here holds this order, so heat was not asked.",))
    quotes = dressings_that_fit(request, quote)
    answer = advise(heat_request(request, atlas, quotes), atlas.weathers)
    if not answer["known"]:
        return replace(said, unknown=tuple(answer["unknown"]))
    asked, basis = answer["asked"], forecast_of(request, way_ends(request, atlas))[1] or answer["basis"]
    return replace(
        said,
        half=request.only_asked,
        heat=None if asked is None else {**asked, "when_words": (asked.get("when") or {}).get("words", "")},
        told=told_of(request, asked, basis),
        advice=None if request.only_asked else _with_what_it_adds(answer["advice"], quote, quotes),
        none_words=answer["none_words"],
        days=tuple(answer["table"]),
        basis=basis,
        transit_days=tuple(answer["transit_days"]),
        notes=tuple(answer["notes"]),
        unknown=(*answer["unknown"], *_whose_chances(request)),
    )


def told_of(request: CallRequest, asked: HeatAnswer | None, basis: str) -> Told:
    """What was told of heat, as it is kept with the order."""
    if asked is None:
        return Told(request.today)
    return Told(
        on=request.today,
        leave_on=asked["leave_on"],
        dressing=asked["dressing"],
        hold=asked["hold"],
        verdict=asked["verdict"],
        chance_permille=asked["chance_permille"],
        harmless=asked["harmless"],
        basis=basis,
    )


def _with_what_it_adds(advice: HeatAnswer | None, asked: Quote, quotes: Mapping[str, Quote]) -> HeatAnswer | None:
    """The advice with `adds`: what its packing weighs more than the asked one, and its carton where that is another; "" if nothing."""
    if advice is None or advice["dressing"] not in quotes:
        return advice
    other = quotes[advice["dressing"]]
    more_g = round(sum(one.gross_g for one in other.parcels) - sum(one.gross_g for one in asked.parcels))
    cartons = [" + ".join(one.carton_name for one in quote.parcels) for quote in (asked, other)]
    heavier = [f"{weight_words(more_g)} heavier"] if more_g > 0 else []
    larger = [f"carton {cartons[1]}"] if cartons[0] != cartons[1] else []
    return {**advice, "adds": ", ".join(heavier + larger)}


def _whose_chances(request: CallRequest) -> tuple[str, ...]:
    """Until the house has learned from its own arrivals, the chances rest on what others measured and on our judgment."""
    if request.house.heat_shift_permille:
        return ()
    return ("The chances are our own estimate: nothing was learned from this house's arrivals yet.",)
