"""Schemas of the operation, the exchange and the other doors; the API description is made from these same classes."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, ValidationError, fields, validate

from honeyhold.errors import BadRequest
from honeyhold.operations.errors import Refused
from honeyhold.operations.fast_validation import FastShape
from honeyhold.operations.fields import Day, Moment, Plain, WholePattern, Wishes, identity, one_of, text, units_by_good, uuid, whole
from honeyhold.operations.rows import TABLES

PROTOCOL = 1
OPERATIONS_MAX = 200
ROWS_MAX = 400
WORDS_MAX = 1500
"""Letters in which is said what is wrong with a body: whoever sends two hundred broken entries reads of the first."""
HASH_PATTERN = r"^[0-9a-f]{64}$"


OF_WISHES = {"type": "object", "description": "Units by good, a hint: what cannot be read is left out, what is too much is cut."}


class EnvelopeSchema(Schema):
    """What must be right before an operation can be read at all: whose it is and where it stands in the chain."""

    id = uuid(required=True)
    device = fields.String(required=True)
    seq = whole(1, 2**53 - 1, required=True)
    before = fields.String(required=True, validate=WholePattern(r"^([0-9a-f]{64})?$", error="Not a hash."))
    hash = fields.String(required=True, validate=WholePattern(HASH_PATTERN, error="Not a hash."))


class OperationSchema(EnvelopeSchema):
    """A named batch of rows that lands whole or is refused whole."""

    kind = text(40, 1, required=True)
    version = whole(1, 1_000_000, required=True)
    made_at = Moment(required=True)
    spent = units_by_good(1)
    rows = fields.List(fields.Dict(), required=True, validate=validate.Length(max=ROWS_MAX))


class ExchangeAsk(Schema):
    """`POST /api/exchange`: entries up, changes and grants down. Operations are read one by one, later."""

    protocol = whole(PROTOCOL, PROTOCOL, required=True)
    request = uuid(required=True)
    device = uuid(required=True)
    epoch = text(64, required=True, allow_none=True)
    cursor = whole(0, 2**53 - 1, required=True)
    operations = fields.List(fields.Raw(allow_none=True), required=True, validate=validate.Length(max=OPERATIONS_MAX))
    spent = units_by_good()
    granted = units_by_good()
    wants = Wishes(metadata=OF_WISHES)
    callers = Wishes(metadata=OF_WISHES)
    clock = Moment()
    refused = fields.List(fields.Nested("RefusedEntry"), validate=validate.Length(max=OPERATIONS_MAX))
    written = whole(0, 2**53 - 1)
    places = fields.Dict(keys=uuid(), values=fields.Nested("PlaceTold"), validate=validate.Length(max=OPERATIONS_MAX))


class PlaceTold(Schema):
    """Where an entry landed before the house was put back from a backup, as its device was told then."""

    epoch = text(64, required=True)
    position = whole(1, 2**53 - 1, required=True)


class Landed(Schema):
    id = uuid(required=True)
    position = whole(1, 2**53 - 1, required=True)


class RefusedEntry(Schema):
    id = uuid(required=True)
    why = text(required=True)
    remedy = text(required=True)


class Change(Schema):
    """A landed operation as it stands in the records: the house may have added or lowered reservation rows."""

    position = whole(1, 2**53 - 1, required=True)
    id = uuid(required=True)
    device = text(64, required=True)
    kind = text(40, required=True)
    made_at = Moment(required=True)
    rows = fields.List(fields.Dict(), required=True)


class Expects(Schema):
    seq = whole(1, 2**53 - 1, required=True)
    why = text(required=True)


class ExchangeAnswer(Schema):
    protocol = whole(PROTOCOL, PROTOCOL, required=True)
    request = uuid(required=True)
    epoch = text(64, required=True)
    landed = fields.List(fields.Nested(Landed), required=True)
    refused = fields.List(fields.Nested(RefusedEntry), required=True)
    changes = fields.List(fields.Nested(Change), required=True)
    cursor = whole(0, 2**53 - 1, required=True)
    more = fields.Boolean(required=True)
    granted = units_by_good()
    spent = units_by_good()
    ask_back = units_by_good()
    pool = fields.Dict(keys=identity(), values=whole())
    short = units_by_good()
    last_seq = whole(0, 2**53 - 1, required=True)
    expects = fields.Nested(Expects, allow_none=True, required=True)
    covered_to = whole(0, 2**53 - 1, required=True)
    keep_since = Day(required=True)
    house_time = Moment(required=True)


class GoodLotUnits(Schema):
    good = identity(required=True)
    lot = identity(required=True, allow_none=True)
    units = whole(required=True)


class LineUnits(Schema):
    line = identity(required=True)
    good = identity(required=True)
    units = whole(required=True)


class OrderCents(Schema):
    order = identity(required=True)
    cents = whole(required=True)


class DayCents(Schema):
    on = Day(required=True)
    how = text(20, required=True)
    cents = whole(required=True)


class MovedUnits(Schema):
    good = identity(required=True)
    reason = text(20, required=True)
    year = whole(0, 9999, required=True)
    units = whole(required=True)


class TookUnits(Schema):
    order = identity(required=True)
    lot = identity(required=True)
    good = identity(required=True)
    units = whole(required=True)


class GoneOrder(Schema):
    id = identity(required=True)
    number = text(20, required=True)
    person = identity(required=True, allow_none=True)
    gone_on = text(10, required=True, allow_none=True)


class MirrorAnswer(Schema):
    """`GET /api/mirror`: where a new or emptied device starts from."""

    protocol = whole(PROTOCOL, PROTOCOL, required=True)
    epoch = text(64, required=True)
    house = text(64, required=True)
    cursor = whole(0, 2**53 - 1, required=True)
    rows = fields.List(fields.Dict(), required=True)
    balances = fields.List(fields.Nested(GoodLotUnits), required=True)
    sure = fields.List(fields.Nested(LineUnits), required=True)
    handed = fields.List(fields.Nested(LineUnits), required=True)
    paid = fields.List(fields.Nested(OrderCents), required=True)
    ledgers = fields.List(fields.Dict(), required=True)
    money = fields.List(fields.Nested(DayCents), required=True)
    moved = fields.List(fields.Nested(MovedUnits), required=True)
    took = fields.List(fields.Nested(TookUnits), required=True)
    gone = fields.List(fields.Nested(GoneOrder), required=True)
    took_since = text(10, required=True)
    keep_since = Day(required=True)
    granted = units_by_good()
    spent = units_by_good()
    last_seq = whole(0, 2**53 - 1, required=True)
    last_hash = text(64, required=True)
    house_time = Moment(required=True)


class EnrolAsk(Schema):
    code = text(40, 1, required=True)
    name = fields.String(required=True, validate=[validate.Length(1, 100), validate.ContainsNoneOf("\0", error="No name: it holds NUL.")])


class EnrolAnswer(Schema):
    device = uuid(required=True)
    token = text(100, required=True)
    mark = text(4, required=True)
    role = one_of("keeper", "helper", required=True)
    name = text(100, required=True)
    epoch = text(64, required=True)


class CodeAsk(Schema):
    role = one_of("keeper", "helper", required=True)


class BackupAsk(Schema):
    to = text(4000, required=True)


class EarlierAddress(Schema):
    """Where devices were before the main computer moved: opened there, `qr_svg` brings along what they have not sent."""

    address = text(300, required=True)
    qr_svg = text(100_000, required=True)


class CodeAnswer(Schema):
    code = text(40, required=True)
    expires_at = Moment(required=True)
    address = text(300, required=True)
    introduction = text(200, required=True, allow_none=True)
    letters = text(200, required=True, allow_none=True)
    qr_svg = text(100_000, required=True)
    earlier = fields.List(fields.Nested(EarlierAddress), required=True)


class LateAsk(Schema):
    """`POST /api/late`: entries that this device wrote under an earlier name."""

    operations = fields.List(fields.Raw(allow_none=True), required=True, validate=validate.Length(max=OPERATIONS_MAX))


class SettleAsk(Schema):
    """`POST /api/late/settle`: one late entry by its place, and what is to become of it."""

    device = text(64, 1, required=True)
    seq = whole(0, 2**53 - 1, required=True)
    hash = text(64, 64, required=True)
    how = one_of("take_in", "put_aside", required=True)
    note = text()


class WorkAsk(Schema):
    """Any dictionary: each piece of work checks its own request."""

    class Meta:
        unknown = "include"


class Problem(Schema):
    """RFC 9457 `application/problem+json`, with what to do about it."""

    type = text(required=True)
    title = text(required=True)
    status = whole(400, 599, required=True)
    detail = text(required=True)
    remedy = text(required=True)
    errors = Plain(dict)
    kept = fields.List(fields.String())
    forget = fields.Boolean()
    epoch = text(64)


def read(schema: Schema, value: Any, what: str) -> dict[str, Any]:
    """A checked dictionary, or `BadRequest` that tells which field is wrong and how."""
    try:
        return dict(schema.load(value))
    except ValidationError as trouble:
        raise BadShape(what, trouble.normalized_messages()) from None


class BadShape(BadRequest):
    """A body whose fields are not as they must be; `errors` holds what is wrong by field."""

    code = "bad-shape"
    status = 422

    def __init__(self, what: str, errors: dict[str, Any]) -> None:
        super().__init__(f"The {what} cannot be read: {in_words(errors)}", "Put right the fields named, then send it again.")
        self.errors = errors


def in_words(errors: Any) -> str:
    """Nested messages of a schema as one line, `rows.0.units: Not a valid integer.`; the first of them, where there are very many."""
    words = _in_words(errors, "")
    return words if len(words) <= WORDS_MAX else f"{words[: WORDS_MAX - 1]}\u2026"


def _in_words(errors: Any, where: str) -> str:
    if isinstance(errors, dict):
        return "; ".join(_in_words(inner, f"{where}.{key}" if where else str(key)) for key, inner in errors.items())
    if isinstance(errors, list):
        return f"{where}: {' '.join(str(message) for message in errors)}"
    return f"{where}: {errors}"


ROW_SCHEMAS = {name: schema() for name, schema in TABLES.items()}
QUICK_ROWS = {name: FastShape(schema) for name, schema in ROW_SCHEMAS.items()}
ROW_SCHEMAS_WAS = {name: schema(partial=True) for name, schema in TABLES.items()}


def read_row(row: dict[str, Any], where: str) -> dict[str, Any]:
    """One checked row with its `was`; raises `Refused` naming the row, the field and the value."""
    table = row.get("table")
    if not isinstance(table, str) or table not in TABLES:
        raise Refused(f"{where} names the table {table!r}, which is not known here.", "Update the app on this device.")
    fields_given = {key: value for key, value in row.items() if key != "was"}
    if len(fields_given) == len(row) and QUICK_ROWS[table].fits(row):
        return QUICK_ROWS[table].in_order(row)
    try:
        loaded: dict[str, Any] = dict(ROW_SCHEMAS[table].load(fields_given))
        if "was" in row:
            if not isinstance(row["was"], dict):
                raise ValidationError({"was": ["Must be a dictionary."]})
            loaded["was"] = dict(ROW_SCHEMAS_WAS[table].load(row["was"]))
    except ValidationError as trouble:
        words = in_words(trouble.normalized_messages())
        raise Refused(f"{where} ({table}) cannot be read: {words}", "Enter it again with what is named put right.") from None
    return loaded
