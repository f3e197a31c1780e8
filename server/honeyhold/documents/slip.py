"""The packing slip: goes into the box, and guides the hands that pack it. It names no price unless the house wants it to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from honeyhold.documents.cautions import cautions_for
from honeyhold.documents.code_picture import code_picture
from honeyhold.documents.costs import CostFacts, cost_facts
from honeyhold.documents.letterhead import HouseFacts, house_facts
from honeyhold.documents.order_facts import (
    LineFacts,
    OrderFacts,
    ParcelFacts,
    PersonFacts,
    line_facts,
    order_facts,
    parcel_facts,
    receiver_facts,
)
from honeyhold.documents.page import SIZES, Paper, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import day_words


@dataclass(frozen=True)
class Slip:
    """All that stands on a packing slip. `heat` and `cautions` are sentences, ours not among the cautions yet."""

    house: HouseFacts
    order: OrderFacts
    person: PersonFacts
    lines: tuple[LineFacts, ...]
    parcels: tuple[ParcelFacts, ...]
    costs: CostFacts | None
    heat: tuple[str, ...]
    cautions: tuple[str, ...]
    paper: Paper
    today: date | None
    code: Markup


def read_slip(
    request: Reader, parcels: tuple[ParcelFacts, ...] | None = None, heat: Sequence[str] | None = None, nameless: str = ""
) -> Slip:
    """A slip from `house` (settings), `order`, `person` (or null), `lines` (good, units, sure, lots), `parcels` (part, of, carton_name,
    gross_words, dressing_words, svg, steps), `heat` (words, advice_words) or null, `cautions`, `code` (rows of 0 and 1), `size`
    (`letter`, `a4` or `a5`), `today`.

    `parcels` and `heat` go before those of the request. Raises BadRequest naming the field that cannot be read.
    """
    house, person = house_facts(request, nameless), receiver_facts(request)
    return Slip(
        house=house,
        order=order_facts(request),
        person=person,
        lines=line_facts(request),
        parcels=parcel_facts(request) if parcels is None else parcels,
        costs=cost_facts(request) if house.slip_prices and not person.sent_by else None,
        heat=tuple(_heat(request) if heat is None else heat),
        cautions=tuple(request.texts("cautions")),
        paper=request.choice("size", SIZES, "letter"),
        today=request.day("today"),
        code=code_picture(request),
    )


def print_slip(slip: Slip) -> Printed:
    """The packing slip of one order."""
    sent = [line for line in slip.lines if line.sent]
    return printed(
        "slip.html",
        f"Packing slip {slip.order.number} for {slip.person.name}",
        paper=slip.paper,
        house=slip.house,
        order=slip.order,
        person=slip.person,
        day=_day_line(slip),
        sent=sent,
        waiting=[line for line in slip.lines if line.waiting],
        pieces=sum(line.sent for line in slip.lines if line.unit == "each"),
        with_lots=any(line.lots for line in slip.lines),
        parcels=slip.parcels,
        costs=slip.costs,
        heat=slip.heat,
        code=slip.code,
        cautions=cautions_for([line.row for line in sent], list(slip.cautions)),
        running_head=f"{slip.house.name} \u00b7 packing slip {slip.order.number} \u00b7 {slip.person.name}",
    )


def _day_line(slip: Slip) -> str:
    """The way it travels and the day; without a day of its own, the day of printing."""
    day = slip.order.leaves or (day_words(slip.today) if slip.today else "")
    return f"{slip.order.way}, {day}" if day else slip.order.way


def _heat(request: Reader) -> list[str]:
    heat = request.mapping_or_none("heat")
    sentences = (heat.text("words"), heat.text("advice_words")) if heat else ()
    return [sentence for sentence in sentences if sentence]
