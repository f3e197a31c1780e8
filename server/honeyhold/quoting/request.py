"""What a caller wants, what the house sells and how it packs: the request of `quoting` in types, read from JSON in one place.

The rows are those of `server/honeyhold/operations/README.md`; README.md here has the request's own fields.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from honeyhold.packing.model.request import MAX_CARTONS, Carton, Length, Lengths
from honeyhold.packing.postage.quote import Posting, read_posting
from honeyhold.wire import Fields, as_list

MAX_ROWS = 2000
UM_PER_IN = 25_400
POST = "post"


@dataclass(frozen=True)
class Good:
    """Something sold, as far as packing and heat ask of it. A length of 0 was never measured."""

    id: str
    name: str = ""
    plural: str = ""
    short: str = ""
    kind: str = ""
    length_mm: float = 0
    width_mm: float = 0
    height_mm: float = 0
    net_g: float = 0
    gross_g: float = 0
    gross_sd_mg: float = 0
    glass: bool = False
    upright: bool = False
    wall_mm: Length = 0
    gap_mm: Length = 0
    bears_g: float | None = None
    liquid_ml: float = 0
    moisture_permille: float = 0
    unit: str = "each"
    rank: int = 0

    @property
    def is_measured(self) -> bool:
        """Whether it can be packed at all."""
        return all((self.length_mm, self.width_mm, self.height_mm))

    @property
    def packed_g(self) -> float:
        """What one weighs as it goes into a carton."""
        return self.gross_g or self.net_g


@dataclass(frozen=True)
class OrderLine:
    """So many units of a good."""

    good: str
    units: int


@dataclass(frozen=True)
class Supply:
    """A padding or a cold pack that lies here: its figures by name, in the order in which it is used. `here` None: not counted."""

    name: str
    figures: Mapping[str, int]
    cost_cents: int
    hidden: bool
    here: int | None


@dataclass(frozen=True)
class House:
    """The settings that a quote asks of."""

    zip: str = ""
    length_unit: str = "in"
    temperature_unit: str = "F"
    leave_hour: int = 15
    accept_permille: int = 20
    hold_allowed: bool = True
    mailbox: str = "metal_sun"
    posting_days: tuple[str, ...] = ("Mon", "Tue", "Wed")
    posting_prices: str = ""
    posting_honey_asked: bool = False
    heat_shift_permille: int = 0
    thresholds: Mapping[str, int] | None = None
    dressings: Mapping[str, Mapping[str, int]] | None = None
    paddings: tuple[Supply, ...] = ()
    cold_packs: tuple[Supply, ...] = ()


@dataclass(frozen=True)
class MailPrices:
    """The house's own price table for one order's zone and day, as packing reads it."""

    posting: Posting
    zone: str
    are_examples: bool


@dataclass(frozen=True)
class CallRequest:
    """One order as it is asked about, at the telephone, at the bench or again in the morning."""

    goods: Mapping[str, Good]
    cartons: tuple[Carton, ...]
    house: House
    lines: tuple[OrderLine, ...]
    to_zip: str = ""
    way: str = ""
    leave_on: str | None = None
    today: str = ""
    dressing: str = "plain"
    carton: str | None = None
    only_asked: bool = False
    view: str = "both"
    hold_at_counter: bool = False
    hold_for_cool: bool = False
    seconds: float | None = None
    draws: int | None = None
    now: str | None = None
    forecasts: Mapping[str, Any] | None = None
    forecast: Mapping[str, Any] | None = None
    who: str = ""
    told: Mapping[str, Any] | None = None
    prices: MailPrices | None = None
    prices_unknown: str = ""
    prices_given: bool = False

    @property
    def is_mailed(self) -> bool:
        """Whether it goes by mail."""
        return self.way == POST

    def ordered(self) -> list[Good]:
        """The goods of the lines that want any; what nobody knows is left out."""
        return [self.goods[line.good] for line in self.lines if line.units and line.good in self.goods]


def read_call(request: object) -> CallRequest:
    """Read a request of `quoting`. Raises BadRequest naming the field and the value seen."""
    whole = Fields.of(request)
    goods = [good_of(row) for row in whole.rows("goods", MAX_ROWS)]
    return CallRequest(
        goods={good.id: good for good in goods},
        cartons=tuple(_carton(row) for row in whole.rows("cartons", MAX_CARTONS) if not row.get("hidden")),
        house=house_of(whole.inner("house")),
        lines=tuple(OrderLine(row.short_text("good", "Send the good's id."), row.whole("units")) for row in whole.rows("lines", MAX_ROWS)),
        to_zip=_said(whole.inner("to"), "zip"),
        way=whole.text("way"),
        leave_on=whole.text("leave_on") or None,
        today=whole.text("today"),
        dressing=whole.text("dressing", "plain"),
        carton=whole.text("carton") or None,
        only_asked=whole.get("only") == "asked",
        view=whole.text("view", "both"),
        hold_at_counter=bool(whole.get("hold_at_counter")),
        hold_for_cool=bool(whole.get("hold_for_cool")),
        seconds=whole.maybe_number("seconds"),
        draws=whole.maybe_whole("draws"),
        now=whole.get("now"),
        forecasts=_held(whole, "forecasts"),
        forecast=_held(whole, "forecast"),
        who=_said(whole, "who"),
        told=_held(whole, "told"),
        prices=_prices(whole),
        prices_given="posting" in whole.held,
    )


def good_of(row: Fields) -> Good:
    """A good's row."""
    return Good(
        id=row.short_text("id", "Send the rows of every good in the order."),
        name=row.text("name"),
        plural=row.text("plural"),
        short=row.text("short"),
        kind=row.text("kind"),
        length_mm=row.number("length_mm"),
        width_mm=row.number("width_mm"),
        height_mm=row.number("height_mm"),
        net_g=row.number("net_g"),
        gross_g=row.number("gross_g"),
        gross_sd_mg=row.number("gross_sd_mg"),
        glass=bool(row.get("glass")),
        upright=bool(row.get("upright")),
        wall_mm=row.number("wall_mm"),
        gap_mm=row.number("gap_mm"),
        bears_g=row.maybe_number("bears_g"),
        liquid_ml=row.number("liquid_ml"),
        moisture_permille=row.number("moisture_permille"),
        unit=row.text("unit", "each"),
        rank=row.whole("rank"),
    )


def house_of(row: Fields) -> House:
    """The settings."""
    own = row.inner("dressings")
    thresholds = {name: value for name, value in row.inner("thresholds").held.items() if isinstance(value, int)}
    days = row.get("posting_days")
    return House(
        zip=_said(row, "zip"),
        length_unit=row.text("length_unit", House.length_unit),
        temperature_unit=row.text("temperature_unit", House.temperature_unit),
        leave_hour=row.whole("leave_hour", House.leave_hour),
        accept_permille=row.whole("accept_permille", House.accept_permille),
        hold_allowed=bool(row.held.get("hold_allowed", House.hold_allowed)),
        mailbox=row.text("mailbox", House.mailbox),
        posting_days=tuple(as_list(days, row.named("posting_days"), 7)) if days else House.posting_days,
        posting_prices=row.text("posting_prices"),
        posting_honey_asked=bool(row.get("posting_honey_asked")),
        heat_shift_permille=row.inner("heat_offset").whole("shift_permille"),
        thresholds=thresholds or None,
        dressings={name: {**own.inner(name).held} for name in own.held},
        paddings=tuple(_supply(one) for one in row.rows("paddings", MAX_ROWS)),
        cold_packs=tuple(_supply(one) for one in row.rows("cold_packs", MAX_ROWS)),
    )


def _supply(row: Fields) -> Supply:
    figures = {name: value for name, value in row.held.items() if isinstance(value, int) and not isinstance(value, bool)}
    return Supply(row.text("name"), figures, row.whole("cost_cents"), bool(row.get("hidden")), row.maybe_whole("here"))


def _carton(row: Fields) -> Carton:
    """A row of `carton` as packing takes it; `board_um` becomes inches."""
    name, board_um = row.short_text("id", "Give each carton its id."), row.number("board_um")
    return Carton(
        id=name,
        label=row.text("name", name),
        inner_mm=_three(row, "inner"),
        outer_mm=_three(row, "outer") if row.get("outer") else None,
        tare_g=row.number("tare_g"),
        max_gross_g=row.maybe_number("max_gross_g") or None,
        max_united_mm=row.get("max_united_mm"),
        edge_crush_lb_per_in=row.maybe_number("edge_crush_lb_per_in"),
        board_in=board_um / UM_PER_IN if board_um else None,
        cost_cents=row.number("cost_cents"),
        in_stock=row.maybe_number("in_stock"),
    )


def _three(row: Fields, name: str) -> Lengths:
    sides = as_list(row.get(name), row.named(name), 3)
    if len(sides) != 3:
        raise row.wrong(name, "length, width and height")
    return sides[0], sides[1], sides[2]


def _prices(whole: Fields) -> MailPrices | None:
    """A price table handed in ready made."""
    posting = whole.maybe("posting")
    return None if posting is None else prices_of(posting.held)


def prices_of(table: Mapping[str, Any]) -> MailPrices:
    """A table of prices for one zone and day. Raises BadRequest."""
    rows = table.get("prices") or []
    return MailPrices(read_posting(table), str(table.get("zone")), any(isinstance(row, dict) and row.get("example") for row in rows))


def _said(row: Fields, name: str) -> str:
    return str(row.get(name) or "")


def _held(row: Fields, name: str) -> Mapping[str, Any] | None:
    """An object that others read: what is none counts as nothing."""
    value = row.get(name)
    return value if isinstance(value, Mapping) and value else None
