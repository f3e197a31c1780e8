"""The address label, 4 by 6 inches or on plain paper, one page per parcel. It is no postage and bears no carrier's marks.

The address is in the manner of the Postal Service's Publication 28. The handling words are our own plain ones
and stand only where they belong: glass is fragile, a jar stands upright, wax and honey fear sun and heat.
They promise no gentle handling. Beside each stands a drawing of our own for what ISO 780 has a mark for, an
inch high: smaller than its 100 mm, which the standard allows where the package is small. On plain paper room is
kept for a carrier's own label of 4 by 6 inches. Where a liquid travels, the outside says what it is (Domestic Mail Manual
601.3.4, revised March 2019).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from honeyhold.documents.cautions import holds_honey, holds_wax
from honeyhold.documents.letterhead import Address, house_facts
from honeyhold.documents.order_facts import ParcelFacts, line_facts, order_facts, parcel_facts, receiver
from honeyhold.documents.page import LABEL, Paper, Printed, printed
from honeyhold.documents.reading import Reader, wrong
from honeyhold.errors import BadRequest
from honeyhold.heat.words import packing
from honeyhold.quoting.request import Good

FRAGILE, UPRIGHT, HEAT = "FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT"
HOLD = "HOLD FOR PICK-UP"
NO_NAME = "Our honey house"


@dataclass(frozen=True)
class Place:
    """Where things stand on a size of paper; `kept` is the room below for a carrier's label."""

    paper: Paper
    width: str
    height: str
    to_left: str = "0.25in"
    to_top: str = "1.35in"
    to_pt: float = 16
    kept: str = "0in"
    carrier: bool = False


PLACES: dict[str, Place] = {
    "label": Place(LABEL, "4in", "6in"),
    "letter": Place(Paper("8.5in 11in", "0", 12), "8.5in", "10.95in", "2.2in", "1.6in", 24, "4.25in", True),
    "a4": Place(Paper("210mm 297mm", "0", 12), "210mm", "296mm", "2.2in", "1.8in", 24, "4.25in", True),
    "a5": Place(Paper("148mm 210mm", "0", 12), "148mm", "209mm", "0.9in", "1.8in", 20),
}


@dataclass(frozen=True)
class LabelFacts:
    """One label: which parcel of how many, how it is packed against heat, and what its contents ask for."""

    part: int
    of: int
    gross: str
    packed: str
    handling: tuple[str, ...]
    contents: str


def label(request: Reader) -> Printed:
    """The labels of one order, one page per parcel.

    `request`: `house`, `order`, `person` (who or whose order has a whole address), `lines`, `parcels` as for the packing slip;
    a parcel may name in `goods` the ids of what is in it, else every box is marked for all of the order. `label_size`: `label` (4 by 6
    inches), or plain paper: `letter`, `a4`, `a5`.
    Raises BadRequest for an address that is not whole, an order without parcels, or any field that cannot be
    read.
    """
    return labels(request, parcel_facts(request))


def labels(request: Reader, parcels: Sequence[ParcelFacts]) -> Printed:
    """The labels of these parcels of an order. Raises BadRequest as `label` does."""
    house, order = house_facts(request, NO_NAME), order_facts(request)
    to = _postal_lines(receiver(request))
    sent = [line.row for line in line_facts(request) if line.sent]
    if not parcels:
        raise BadRequest("parcels is []: there is no box to label.", "Choose the cartons first.")
    place = request.choice("label_size", PLACES, "label")
    held = request.mapping("order").raw("hold_at_counter") is True
    return printed(
        "label.html",
        f"Address label, order {order.number}",
        paper=place.paper,
        place=place,
        house=house,
        to=to,
        order=order,
        labels=[_label(parcel, _inside(sent, parcel, f"parcels[{n}].")) for n, parcel in enumerate(parcels)],
        hold=HOLD if held else "",
        running_head="",
    )


def heat_packed(dressing: str) -> str:
    """The words for a parcel that is dressed against heat, empty for plain paper: whoever packs and posts it must see them."""
    return f"against heat: {packing(dressing)}" if dressing in ("lined", "chilled") else ""


def _postal_lines(person: Reader) -> list[str]:
    """The address block of a person whose address is whole; BadRequest names the part that is missing."""
    name, street, city, state, zip_code = (person.text(key, needed=True) for key in ("name", "street", "city", "state", "zip"))
    return Address(street, person.text("unit"), city, state, zip_code).postal(name)


def _inside(sent: Sequence[Good], parcel: ParcelFacts, where: str) -> list[Good]:
    """The goods in this parcel: those it names, else all of the order's."""
    chosen = [good for good in sent if good.id in parcel.goods]
    if parcel.goods and len({good.id for good in chosen}) != len(set(parcel.goods)):
        raise wrong(where + "goods", "a list of goods that the order sends", list(parcel.goods))
    return chosen if parcel.goods else list(sent)


def _label(parcel: ParcelFacts, goods: Sequence[Good]) -> LabelFacts:
    glass, upright = any(good.glass for good in goods), any(good.upright for good in goods)
    honey, wax = any(map(holds_honey, goods)), any(map(holds_wax, goods))
    asked = ((FRAGILE, glass), (UPRIGHT, upright), (HEAT, wax or honey))
    contents = [word for word, belongs in (("HONEY", honey), ("BEESWAX", wax)) if belongs]
    return LabelFacts(
        part=parcel.part,
        of=parcel.of,
        gross=parcel.gross,
        packed=heat_packed(parcel.dressing_id),
        handling=tuple(word for word, belongs in asked if belongs),
        contents=" AND ".join(contents) + (", IN GLASS" if contents and glass else ""),
    )
