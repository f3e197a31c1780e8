"""The tables as Peewee sees them. `migrations/` makes them; these classes only read and write.

Rows of the one message carry the fields of operations/README.md; a few columns more are the house's own running sums
(see migrations/0001_first.sql). No class is bound to a database: `Records` hands its own to every query.
"""

from __future__ import annotations

import json
from typing import Any

from peewee import BooleanField, CompositeKey, Field, IntegerField, Model, TextField


class PlainJSONField(TextField):
    """Lists and dictionaries without fractions, kept as canonical text."""

    def db_value(self, value: Any) -> Any:
        """Python value to column text; nothing stays nothing."""
        if value is None:
            return None
        return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    def python_value(self, value: Any) -> Any:
        """Column text to Python value."""
        return None if value is None else json.loads(value)


class AnyJSONField(PlainJSONField):
    """The same, but null is a value like any other."""

    def db_value(self, value: Any) -> Any:
        """Python value to column text."""
        return "null" if value is None else super().db_value(value)


class Row(Model):
    """One record that the one message can carry."""

    id = TextField(primary_key=True)


class Person(Row):
    name = TextField(default="")
    phone = TextField(default="")
    street = TextField(default="")
    unit = TextField(default="")
    city = TextField(default="")
    state = TextField(default="")
    zip = TextField(default="")
    note = TextField(default="")
    hidden = BooleanField(default=False)
    same_as = TextField(null=True)


class Good(Row):
    name = TextField(default="")
    plural = TextField(default="")
    short = TextField(default="")
    kind = TextField(default="wax")
    unit = TextField(default="each")
    net_g = IntegerField(default=0)
    gross_g = IntegerField(default=0)
    gross_sd_mg = IntegerField(default=0)
    length_mm = IntegerField(default=0)
    width_mm = IntegerField(default=0)
    height_mm = IntegerField(default=0)
    upright = BooleanField(default=False)
    glass = BooleanField(default=False)
    wall_mm = IntegerField(default=0)
    gap_mm = IntegerField(default=0)
    bears_g = IntegerField(null=True)
    liquid_ml = IntegerField(default=0)
    price_cents = IntegerField(default=0)
    row = IntegerField(default=10)
    rank = IntegerField(default=0)
    sold = BooleanField(default=True)
    hidden = BooleanField(default=False)
    form = TextField(default="")
    typical = BooleanField(default=False)
    steps = PlainJSONField(default=list)
    prices = PlainJSONField(default=list)
    taxed = BooleanField(default=False)


class Carton(Row):
    name = TextField(default="")
    inner = PlainJSONField(default=list)
    outer = PlainJSONField(default=list)
    tare_g = IntegerField(default=0)
    max_gross_g = IntegerField(default=0)
    max_united_mm = IntegerField(null=True)
    edge_crush_lb_per_in = IntegerField(null=True)
    board_um = IntegerField(null=True)
    cost_cents = IntegerField(default=0)
    hidden = BooleanField(default=False)


class Lot(Row):
    good = TextField()
    made_on = TextField()
    sources = PlainJSONField(default=list)
    note = TextField(default="")
    measures = PlainJSONField(default=dict)


class Standing(Row):
    person = TextField()
    wanted = PlainJSONField(default=list)
    way = TextField(default="post")
    every = TextField(default="month")
    interval = IntegerField(default=1)
    first_on = TextField()
    ends_on = TextField(null=True)
    paused = BooleanField(default=False)
    skipped_on = TextField(null=True)
    note = TextField(default="")
    goes_to = TextField(default="")
    to_name = TextField(default="")
    to_street = TextField(default="")
    to_unit = TextField(default="")
    to_city = TextField(default="")
    to_state = TextField(default="")
    to_zip = TextField(default="")
    gift_note = TextField(default="")
    hidden = BooleanField(default=False)


class Order(Row):
    number = TextField()
    person = TextField(null=True)
    way = TextField(default="post")
    state = TextField(default="promised")
    leave_on = TextField(null=True)
    dressing = TextField(default="plain")
    hold_for_cool = BooleanField(default=False)
    pays = TextField(default="later")
    posting_cents = IntegerField(default=0)
    posting_by = TextField(default="")
    tax_cents = IntegerField(default=0)
    tax_rate = IntegerField(default=0)
    tax_mailing = BooleanField(default=False)
    note = TextField(default="")
    heat = TextField(default="")
    told = PlainJSONField(default=dict)
    hold_at_counter = BooleanField(default=False)
    goes_to = TextField(default="")
    to_name = TextField(default="")
    to_street = TextField(default="")
    to_unit = TextField(default="")
    to_city = TextField(default="")
    to_state = TextField(default="")
    to_zip = TextField(default="")
    gift_note = TextField(default="")
    replaces = TextField(null=True)
    free_for = TextField(default="")
    standing = TextField(null=True)
    standing_on = TextField(null=True)
    goes_with = TextField(null=True)
    call_for = TextField(default="")
    called_on = TextField(null=True)
    taken_on = TextField()
    gone_on = TextField(null=True)
    paid_cents = IntegerField(default=0)
    adjusted_cents = IntegerField(default=0)
    position = IntegerField(default=0)
    closed_on = TextField(null=True)


class Line(Row):
    order = TextField()
    good = TextField()
    units = IntegerField()
    price_cents = IntegerField(default=0)
    steps = PlainJSONField(default=list)
    taxed = BooleanField(default=False)
    total_cents = IntegerField(null=True)
    sure = IntegerField(default=0)
    handed = IntegerField(default=0)
    waits = IntegerField(default=0)
    queue = PlainJSONField(default=list)
    position = IntegerField(default=0)


class Reservation(Row):
    order = TextField()
    line = TextField()
    good = TextField()
    units = IntegerField()
    position = IntegerField()


class Movement(Row):
    good = TextField()
    lot = TextField(null=True)
    units = IntegerField()
    reason = TextField()
    order = TextField(null=True)
    line = TextField(null=True)
    on = TextField()
    note = TextField(default="")
    undoes = TextField(null=True)
    position = IntegerField()


class Payment(Row):
    order = TextField()
    cents = IntegerField()
    how = TextField()
    on = TextField()
    note = TextField(default="")
    check_number = TextField(default="")
    given_cents = IntegerField(null=True)
    corrects = TextField(null=True)
    position = IntegerField()


class Adjustment(Row):
    order = TextField()
    cents = IntegerField()
    why = TextField()
    on = TextField()
    note = TextField(default="")
    position = IntegerField()


class Till(Row):
    on = TextField()
    what = TextField()
    cents = IntegerField()
    at = TextField()
    note = TextField(default="")
    undoes = TextField(null=True)
    position = IntegerField()


class LostSale(Row):
    good = TextField()
    units = IntegerField()
    cents = IntegerField()
    on = TextField()
    undoes = TextField(null=True)
    position = IntegerField()

    class Meta:
        table_name = "lost_sale"


class Undoing(Row):
    """That an entry was undone; its id is that entry's."""

    position = IntegerField()


class Parcel(Row):
    order = TextField()
    part = IntegerField(default=1)
    carton = TextField(null=True)
    dressing = TextField(default="plain")
    plan = PlainJSONField(default=dict)
    gross_g = IntegerField(default=0)
    gross_sd_g = IntegerField(default=0)
    scale_g = IntegerField(null=True)
    packed_on = TextField(null=True)
    told_permille = IntegerField(null=True)
    arrived = TextField(default="")
    arrived_on = TextField(null=True)
    tracking = TextField(default="")


class Setting(Row):
    value = AnyJSONField()


class Forecast(Row):
    service = TextField(default="")
    issued = TextField(default="")
    fetched_at = TextField(default="")
    days = PlainJSONField(default=list)


class Device(Row):
    name = TextField(default="")
    mark = TextField()
    role = TextField()
    lost = BooleanField(default=False)


class Balance(Model):
    """Running sums of one good; `out` is granted minus spent over all devices."""

    good = TextField(primary_key=True)
    on_hand = IntegerField(default=0)
    promised = IntegerField(default=0)
    out = IntegerField(default=0)


class LotBalance(Model):
    """Units of a good by lot; an unknown lot is the empty text."""

    good = TextField()
    lot = TextField()
    units = IntegerField()

    class Meta:
        table_name = "lot_balance"
        primary_key = CompositeKey("good", "lot")


class Share(Model):
    """What a device may promise alone: granted - spent. Both only grow."""

    device = TextField()
    good = TextField()
    granted = IntegerField()
    spent = IntegerField()

    class Meta:
        primary_key = CompositeKey("device", "good")


class DeviceState(Model):
    """What the house remembers of a device's side of the exchange."""

    id = TextField(primary_key=True)
    token_hash = TextField(null=True)
    last_seq = IntegerField(default=0)
    last_hash = TextField(default="")
    frozen = TextField(null=True)
    reported_epoch = TextField(null=True)
    seen_at = TextField(null=True)
    gap_s = IntegerField(default=86400)
    skew_s = IntegerField(default=0)

    class Meta:
        table_name = "device_state"


class Operation(Model):
    """Every operation read, with the answer it got."""

    device = TextField()
    seq = IntegerField()
    id = TextField()
    hash = TextField()
    kind = TextField()
    made_at = TextField()
    received_at = TextField()
    body = PlainJSONField()
    position = IntegerField(null=True)
    rows = PlainJSONField(null=True)
    why = TextField(null=True)
    remedy = TextField(null=True)

    class Meta:
        primary_key = CompositeKey("device", "seq")


class LateEntry(Model):
    """What a lost or copied device still sent; kept apart."""

    device = TextField()
    seq = IntegerField()
    hash = TextField()
    received_at = TextField()
    reason = TextField()
    body = PlainJSONField()
    settled = BooleanField(default=False)
    settled_at = TextField(null=True)
    position = IntegerField(null=True)
    note = TextField(default="")

    class Meta:
        table_name = "late_entry"
        primary_key = CompositeKey("device", "seq", "hash")


class PendingEntry(Model):
    """An entry that a restored house has read and not judged yet (operations/pending.py)."""

    number = IntegerField(primary_key=True)
    device = TextField()
    seq = IntegerField()
    id = TextField()
    hash = TextField()
    received_at = TextField()
    heard = IntegerField()
    place = IntegerField()
    body = PlainJSONField()

    class Meta:
        table_name = "pending_entry"


class LotRenamed(Model):
    """A lot that landed under another code than its device gave it, for that code was on another lot already."""

    device = TextField()
    code = TextField()
    lot = TextField(primary_key=True)
    position = IntegerField()

    class Meta:
        table_name = "lot_renamed"


class EnrolCode(Model):
    """A one-time code, known only by its hash."""

    hash = TextField(primary_key=True)
    role = TextField()
    expires_at = TextField()

    class Meta:
        table_name = "enrol_code"


class MetaValue(Model):
    """The house's own few values: schema_version, epoch, clock_offset_s, covered_to."""

    key = TextField(primary_key=True)
    value = TextField()

    class Meta:
        table_name = "meta"


ROWS: dict[str, type[Row]] = {
    "device": Device, "person": Person, "good": Good, "carton": Carton, "lot": Lot, "standing": Standing,
    "order": Order, "line": Line,
    "reservation": Reservation, "movement": Movement, "payment": Payment, "adjustment": Adjustment, "till": Till,
    "lost_sale": LostSale, "parcel": Parcel,
    "setting": Setting, "forecast": Forecast, "undoing": Undoing,
}
"""Tables of the one message, in the order in which their rows must be written."""

OWN_COLUMNS = frozenset({"paid_cents", "adjusted_cents", "position", "sure", "handed", "waits", "queue"})
"""Columns of those tables that are the house's own and never travel."""


def shared_fields(model: type[Row]) -> list[Field]:
    """The fields of a table that travel in rows, id first."""
    return [field for field in model._meta.sorted_fields if field.name not in OWN_COLUMNS]
