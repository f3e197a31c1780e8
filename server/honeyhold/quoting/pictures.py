"""The pictures of one order, made here so that screen and paper show the same: the parcels, the trip, the days by dressing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat import draw, draw_table
from honeyhold.heat.atlas import Atlas
from honeyhold.packing.drawing.parcel import drawing_of, svg_of
from honeyhold.quoting.parcel import quote_of
from honeyhold.quoting.postage import with_prices
from honeyhold.quoting.quote import Quote
from honeyhold.quoting.request import CallRequest
from honeyhold.quoting.trip import dressings_that_fit, heat_request


@dataclass(frozen=True)
class ParcelPicture:
    """One drawing a parcel, layer by layer, with the steps of each."""

    svgs: tuple[str, ...]
    words: str
    steps: tuple[tuple[str, ...], ...]


def parcel_picture(request: CallRequest, atlas: Atlas | None = None) -> ParcelPicture:
    """The parcels of an order drawn."""
    quote, svgs = drawings(with_prices(request, atlas))
    return ParcelPicture(svgs, quote.words, tuple(parcel.steps for parcel in quote.parcels))


def drawings(request: CallRequest) -> tuple[Quote, tuple[str, ...]]:
    """The quote and one drawing for each of its parcels."""
    quote = quote_of(request, request.dressing)
    return quote, tuple(svg_of(drawing_of(parcel, quote.bench, request.view)) for parcel in quote.parcels)


def trip_picture(request: CallRequest, atlas: Atlas) -> str:
    """The trip curve of the asked day and dressing, as SVG."""
    return draw(_asked(request, atlas), atlas.weathers)["svg"]


def days_picture(request: CallRequest, atlas: Atlas) -> str:
    """The table of days by dressing, as SVG."""
    return draw_table(_asked(request, atlas), atlas.weathers)["svg"]


def _asked(request: CallRequest, atlas: Atlas) -> dict[str, Any]:
    request = with_prices(request, atlas)
    quotes = dressings_that_fit(request)
    if request.dressing not in quotes:
        raise BadRequest("No carton here holds this order packed that way.", "Choose a larger carton or another packing.")
    return heat_request(request, atlas, quotes)
