"""An order, its person, its lines and its parcels, read once for every paper that shows them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from honeyhold.documents.drawing import DRAWING_LENGTH_MAX, safe_drawing
from honeyhold.documents.letterhead import Address, address_of
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import amount_words, day_words
from honeyhold.quoting.request import Good
from honeyhold.stock.destination import FIELDS, destination

WAYS = {"post": "By mail", "pick_up": "To be picked up", "walk_in": "Picked up"}
NO_NAME = "No name given"


@dataclass(frozen=True)
class OrderFacts:
    """An order in words."""

    number: str
    way: str
    leaves: str
    taken: str
    note: str


@dataclass(frozen=True)
class PersonFacts:
    """A person as they spell themselves; somebody without a name is a person too."""

    name: str
    lines: list[str]
    place: str
    sent_by: str = ""
    gift_note: str = ""


@dataclass(frozen=True)
class LotUnits:
    """So many units of a lot."""

    lot: str
    units: int


@dataclass(frozen=True)
class LineFacts:
    """A line: what is sent, in words, from which lots, and what waits. `row` is the good itself."""

    good: str
    row: Good
    unit: str
    sent: int
    amount: str
    waiting: int
    waiting_good: str
    waiting_amount: str
    lots: tuple[LotUnits, ...]
    lot_words: tuple[str, ...]


@dataclass(frozen=True)
class ParcelFacts:
    """A parcel as a paper tells it. `dressing_id` is its dressing's short name, `goods` the ids of what is in it where it names any."""

    part: int
    of: int
    carton: str
    gross: str
    dressing: str
    drawing: Markup
    steps: tuple[str, ...]
    dressing_id: str = "plain"
    goods: tuple[str, ...] = ()


def order_facts(holder: Reader) -> OrderFacts:
    """The order of a request."""
    order = holder.mapping("order")
    leaves, taken = order.day("gone_on") or order.day("leave_on"), order.day("taken_on")
    return OrderFacts(
        number=order.text("number", needed=True),
        way=order.choice("way", WAYS, "post"),
        leaves=day_words(leaves) if leaves else "",
        taken=day_words(taken) if taken else "",
        note=order.text("note"),
    )


def person_facts(holder: Reader) -> PersonFacts:
    """The person of a request, who may be missing."""
    person = holder.mapping_or_none("person") or Reader({}, f"{holder.where}person.")
    address: Address = address_of(person)
    return PersonFacts(
        name=person.text("name") or NO_NAME,
        lines=address.plain(),
        place=", ".join(part for part in (address.city, address.state) if part),
    )


def receiver(holder: Reader) -> Reader:
    """Who receives the order of a request, and where: its own address, else the person's. Raises BadRequest for what is no text."""
    person, order = holder.mapping_or_none("person"), holder.mapping("order")
    if not order.raw("goes_to"):
        return person or Reader({}, f"{holder.where}person.")
    own = {name: order.text(name) for name in FIELDS}
    return Reader(destination(own, person.held if person else None), f"{order.where}to_")


def receiver_facts(holder: Reader) -> PersonFacts:
    """The receiver of a request's order; a present names who sends it, and bears what is written for whoever opens it."""
    order, person = holder.mapping("order"), holder.mapping_or_none("person")
    facts = person_facts(Reader({"person": dict(receiver(holder).held)}, holder.where))
    payer = person.text("name") if person else ""
    return replace(facts, sent_by=payer if order.text("to_name") and payer != facts.name else "", gift_note=order.text("gift_note"))


def line_facts(holder: Reader, *, least: int = 1) -> tuple[LineFacts, ...]:
    """The lines of a request.

    What is sent is what is sure; once the goods are handed over nothing is sure any more and the lots say
    what went. The rest of what was wanted waits. Raises BadRequest when more would be sent than was wanted.
    """
    return tuple(_line(line) for line in holder.objects("lines", least=least))


def _line(line: Reader) -> LineFacts:
    good, wanted = good_facts(line.mapping("good")), line.units("units")
    lots = tuple(LotUnits(lot.text("lot", needed=True), lot.units("units", least=1)) for lot in line.objects("lots"))
    sent = max(line.units("sure"), sum(lot.units for lot in lots))
    if sent > wanted:
        raise line.wrong("sure", f"no more than the {wanted} wanted, its lots too")
    unit = "g" if good.unit == "g" else "each"
    return LineFacts(
        good=good_name(good, sent),
        row=good,
        unit=unit,
        sent=sent,
        amount=amount_words(sent, unit),
        waiting=wanted - sent,
        waiting_good=good_name(good, wanted - sent),
        waiting_amount=amount_words(wanted - sent, unit),
        lots=lots,
        lot_words=tuple(f"{amount_words(lot.units, unit)} of {lot.lot}" if len(lots) > 1 else lot.lot for lot in lots),
    )


def good_facts(good: Reader) -> Good:
    """A good as papers need it: its names, and what it asks of whoever packs and opens it."""
    rank, liquid_ml, unit = good.raw("rank"), good.raw("liquid_ml"), good.raw("unit")
    return Good(
        id=str(good.raw("id") or ""),
        name=good.text("name", needed=True),
        plural=good.text("plural"),
        kind=str(good.raw("kind") or ""),
        unit="g" if unit == "g" else "each",
        rank=rank if isinstance(rank, int) else 0,
        glass=good.raw("glass") is True,
        upright=good.raw("upright") is True,
        liquid_ml=liquid_ml if isinstance(liquid_ml, int) else 0,
    )


def good_name(good: Good, units: int) -> str:
    """The good's name, in the plural where there are several of them."""
    return good.plural if good.plural and units != 1 and good.unit != "g" else good.name


def parcel_facts(holder: Reader) -> tuple[ParcelFacts, ...]:
    """The parcels of a request; a pick-up may have none."""
    return tuple(_parcel(parcel) for parcel in holder.objects("parcels"))


def _parcel(parcel: Reader) -> ParcelFacts:
    part = parcel.units("part", least=1)
    return ParcelFacts(
        part=part,
        of=parcel.units("of", least=part),
        carton=parcel.text("carton_name"),
        gross=parcel.text("gross_words"),
        dressing=parcel.text("dressing_words") or parcel.text("dressing"),
        drawing=safe_drawing(parcel.text("svg", most=DRAWING_LENGTH_MAX), parcel.where + "svg"),
        steps=tuple(parcel.texts("steps")),
        dressing_id=parcel.text("dressing"),
        goods=tuple(parcel.texts("goods")),
    )
