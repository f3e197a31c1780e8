"""One schema for every table of the one message: which fields a row may carry and what they must look like."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, fields, validate

from honeyhold.operations.fields import (
    DAY_PATTERN,
    MOVED_MAX,
    Day,
    Moment,
    Plain,
    Steps,
    WholePattern,
    YesNo,
    identity,
    one_of,
    phone,
    text,
    whole,
)
from honeyhold.stock.pricing import CENTS_MAX, LINE_UNITS_MAX, RATE_PER_WHOLE

DRESSINGS = ("plain", "lined", "chilled")
REASONS = (
    "opening", "poured", "bottled", "made", "used", "counted", "sold", "gone", "spoiled", "specked", "broken", "gift",
    "packed", "bought", "passed", "came", "lost", "fed",
)

SUM_CENTS_MAX = CENTS_MAX * LINE_UNITS_MAX

FORMS = ("", "bar", "block", "jar", "bottle", "tub", "comb", "candle", "bucket")
"""What a piece looks like; empty: nobody said."""

PAID_HOW = ("cash", "check", "transfer", "other")
WHY_LESS = ("discount", "gift", "heat", "breakage", "loss", "correction")
FREE_FOR = ("", "heat", "breakage", "loss", "gift")
"""Why an order costs nothing; the empty text: it costs what it costs."""

ARRIVED = ("", "fine", "dented", "slumped", "run", "leaked", "lost")
"""How a parcel came, by what the receiver says; nothing heard is the empty text."""


class RowSchema(Schema):
    """Every row names its table and its id. Fields left out stay as they were; unknown ones are refused."""

    table = fields.String(required=True)
    id = identity(required=True)


class PersonRow(RowSchema):
    name = text(200)
    phone = phone()
    street = text(200)
    unit = text(100)
    city = text(100)
    state = text(50)
    zip = text(20)
    note = text()
    hidden = YesNo()
    same_as = identity(allow_none=True)


class GoodRow(RowSchema):
    name = text(100, 1)
    plural = text(100)
    short = text(30)
    kind = one_of("wax", "honey", "bulk", "carton")
    unit = one_of("each", "g")
    net_g = whole(0)
    gross_g = whole(0)
    gross_sd_mg = whole(0)
    length_mm = whole(0, 100_000)
    width_mm = whole(0, 100_000)
    height_mm = whole(0, 100_000)
    upright = YesNo()
    glass = YesNo()
    wall_mm = whole(0, 10_000)
    gap_mm = whole(0, 10_000)
    bears_g = whole(0, allow_none=True)
    liquid_ml = whole(0)
    price_cents = whole(0, CENTS_MAX)
    row = whole(1, 1000)
    rank = whole()
    sold = YesNo()
    hidden = YesNo()
    form = one_of(*FORMS)
    typical = YesNo()
    steps = Steps()
    prices = fields.List(fields.Nested("PriceRule"), validate=validate.Length(max=24))
    taxed = YesNo()


class PriceRule(Schema):
    """A price that counts at one place of sale, or from a day on, or both."""

    place = one_of("", "counter", "mail", required=True)
    since = fields.String(required=True, validate=WholePattern(f"^$|{DAY_PATTERN}", error="Not a day or empty: {input}."))
    cents = whole(0, CENTS_MAX, required=True)
    steps = Steps(required=True)


def _three_lengths() -> fields.List[Any]:
    return fields.List(text(30, 1), validate=validate.Length(equal=3, error="Three lengths, such as \"8 5/8 in\"."))


class CartonRow(RowSchema):
    name = text(100)
    inner = _three_lengths()
    outer = _three_lengths()
    tare_g = whole(0)
    max_gross_g = whole(0)
    max_united_mm = whole(1, 100_000, allow_none=True)
    edge_crush_lb_per_in = whole(1, 1000, allow_none=True)
    board_um = whole(1, 100_000, allow_none=True)
    cost_cents = whole(0, CENTS_MAX)
    hidden = YesNo()


class LotRow(RowSchema):
    good = identity()
    made_on = Day()
    sources = fields.List(identity(), validate=validate.Length(max=100))
    note = text()
    measures = Plain(dict, 200)


class WantedUnits(Schema):
    """So many of one good."""

    good = identity(required=True)
    units = whole(1, LINE_UNITS_MAX, required=True)


class StandingRow(RowSchema):
    """What a person wants again and again. An order comes of it on each of its days, once, when somebody confirms it."""

    person = identity()
    wanted = fields.List(fields.Nested(WantedUnits), validate=validate.Length(1, 40))
    way = one_of("post", "pick_up")
    every = one_of("month", "week")
    interval = whole(1, 52)
    first_on = Day()
    ends_on = Day(allow_none=True)
    paused = YesNo()
    skipped_on = Day(allow_none=True)
    note = text()
    goes_to = one_of("", "other")
    to_name = text(200)
    to_street = text(200)
    to_unit = text(100)
    to_city = text(100)
    to_state = text(50)
    to_zip = text(20)
    gift_note = text(500)
    hidden = YesNo()


class OrderRow(RowSchema):
    number = text(20, 1)
    person = identity(allow_none=True)
    way = one_of("post", "pick_up", "walk_in")
    state = one_of("promised", "packed", "gone", "let_go")
    leave_on = Day(allow_none=True)
    dressing = one_of(*DRESSINGS)
    hold_for_cool = YesNo()
    pays = one_of("cash", "check", "later", "paid")
    posting_cents = whole(0, CENTS_MAX)
    posting_by = one_of("", "table", "hand")
    tax_cents = whole(0, SUM_CENTS_MAX)
    tax_rate = whole(0, RATE_PER_WHOLE)
    tax_mailing = YesNo()
    note = text()
    heat = text()
    told = Plain(dict, 60)
    hold_at_counter = YesNo()
    goes_to = one_of("", "own", "other")
    to_name = text(200)
    to_street = text(200)
    to_unit = text(100)
    to_city = text(100)
    to_state = text(50)
    to_zip = text(20)
    gift_note = text(500)
    replaces = identity(allow_none=True)
    free_for = one_of(*FREE_FOR)
    standing = identity(allow_none=True)
    standing_on = Day(allow_none=True)
    goes_with = identity(allow_none=True)
    call_for = one_of("", "here", "going")
    called_on = Day(allow_none=True)
    taken_on = Day()
    gone_on = Day(allow_none=True)
    closed_on = Day(allow_none=True)  # the house's own: what a device says of it is left out


class LineRow(RowSchema):
    order = identity()
    good = identity()
    units = whole(0, LINE_UNITS_MAX)
    price_cents = whole(0, CENTS_MAX)
    steps = Steps()
    taxed = YesNo()
    total_cents = whole(0, SUM_CENTS_MAX, allow_none=True)


class ReservationRow(RowSchema):
    order = identity(required=True)
    line = identity(required=True)
    good = identity(required=True)
    units = whole(-MOVED_MAX, MOVED_MAX, required=True)


class MovementRow(RowSchema):
    good = identity(required=True)
    lot = identity(required=True, allow_none=True)
    units = whole(-MOVED_MAX, MOVED_MAX, required=True)
    reason = one_of(*REASONS, required=True)
    order = identity(allow_none=True)
    line = identity(allow_none=True)
    on = Day(required=True)
    note = text()
    undoes = identity(allow_none=True)


class PaymentRow(RowSchema):
    order = identity(required=True)
    cents = whole(required=True)
    how = one_of(*PAID_HOW, required=True)
    on = Day(required=True)
    note = text()
    check_number = text(40)
    given_cents = whole(0, SUM_CENTS_MAX, allow_none=True)
    corrects = identity(allow_none=True)


class AdjustmentRow(RowSchema):
    """Something taken off what an order comes to (or put back on), whole: sales tax is in it."""

    order = identity(required=True)
    cents = whole(-SUM_CENTS_MAX, SUM_CENTS_MAX, required=True)
    why = one_of(*WHY_LESS, required=True)
    on = Day(required=True)
    note = text()


class TillRow(RowSchema):
    """Cash put into the till, taken out of it, or counted in it; of a day's counts the last one is the day's."""

    on = Day(required=True)
    what = one_of("opening", "taken", "counted", required=True)
    cents = whole(0, SUM_CENTS_MAX, required=True)
    at = Moment(required=True)
    note = text()
    undoes = identity(allow_none=True)


class LostSaleRow(RowSchema):
    """What a caller went without because it was not there, at the price of that day."""

    good = identity(required=True)
    units = whole(1, LINE_UNITS_MAX, required=True)
    cents = whole(0, SUM_CENTS_MAX, required=True)
    on = Day(required=True)
    undoes = identity(allow_none=True)


class ParcelRow(RowSchema):
    order = identity()
    part = whole(1, 100)
    carton = identity(allow_none=True)
    dressing = one_of(*DRESSINGS)
    plan = Plain(dict, 5000)
    gross_g = whole(0)
    gross_sd_g = whole(0)
    scale_g = whole(0, allow_none=True)
    packed_on = Day(allow_none=True)
    told_permille = whole(0, 1000, allow_none=True)
    arrived = one_of(*ARRIVED)
    arrived_on = Day(allow_none=True)
    tracking = text(60)


class SettingRow(RowSchema):
    value = Plain(required=True, allow_none=True)


class ForecastDay(Schema):
    """One foretold day at a place, in tenths of a degree C."""

    day = Day(required=True)
    max_tenths = whole(-600, 600, required=True)
    min_tenths = whole(-700, 600, required=True)
    sky_percent = whole(0, 100, required=True, allow_none=True)


class ForecastRow(RowSchema):
    service = text(100)
    issued = Moment()
    fetched_at = Moment()
    days = fields.List(fields.Nested(ForecastDay), validate=validate.Length(max=16))


class DeviceRow(RowSchema):
    name = text(100)
    mark = text(4, 1)
    role = one_of("keeper", "helper")
    lost = YesNo()


class UndoingRow(RowSchema):
    """That the entry whose id this is was undone."""


TABLES: dict[str, type[RowSchema]] = {
    "device": DeviceRow, "person": PersonRow, "good": GoodRow, "carton": CartonRow, "lot": LotRow, "standing": StandingRow,
    "order": OrderRow,
    "line": LineRow, "reservation": ReservationRow, "movement": MovementRow, "payment": PaymentRow,
    "adjustment": AdjustmentRow, "till": TillRow, "lost_sale": LostSaleRow, "parcel": ParcelRow,
    "setting": SettingRow, "forecast": ForecastRow, "undoing": UndoingRow,
}
"""Every table of the one message, in the order in which rows are written: what is pointed at comes first."""

LEDGERS = frozenset({"reservation", "movement", "payment", "adjustment", "till", "lost_sale", "undoing"})
"""Tables to which rows are only ever added."""

NEEDED_WHEN_NEW: dict[str, tuple[str, ...]] = {
    "person": (), "good": ("name", "kind"), "carton": ("inner", "outer"), "lot": ("good", "made_on"),
    "standing": ("person", "wanted", "way", "every", "interval", "first_on"),
    "order": ("number", "way", "state", "taken_on"), "line": ("order", "good", "units"), "parcel": ("order",),
    "setting": ("value",), "forecast": ("issued", "fetched_at", "days"), "device": ("name", "mark", "role"),
}
"""What a new row of an upsert table must say; the rest gets the defaults of records/models.py."""

POINTS_AT: dict[str, tuple[tuple[str, str], ...]] = {
    "person": (("same_as", "person"),),
    "carton": (("id", "good"),), "lot": (("good", "good"),), "standing": (("person", "person"),),
    "order": (("person", "person"), ("replaces", "order"), ("standing", "standing"), ("goes_with", "order")),
    "line": (("order", "order"), ("good", "good")),
    "reservation": (("order", "order"), ("line", "line"), ("good", "good")),
    "movement": (("good", "good"), ("lot", "lot"), ("order", "order"), ("line", "line")),
    "lost_sale": (("good", "good"),),
    "payment": (("order", "order"),), "adjustment": (("order", "order"),), "parcel": (("order", "order"), ("carton", "carton")),
}
"""Fields that name a record of another table, which must be there."""
