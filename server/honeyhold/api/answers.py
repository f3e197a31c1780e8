"""What the smaller doors answer, for the description: the shapes that a reader may rely on."""

from __future__ import annotations

from marshmallow import Schema, fields


class BackupStands(Schema):
    """How the backups that are made by themselves stand."""

    made_at = fields.String(required=True, allow_none=True)
    failing = fields.Boolean(required=True)


class HealthAnswer(Schema):
    """`house`: which records these are; `backup`: null where none are made by themselves."""

    ok = fields.Boolean(required=True)
    version = fields.String(required=True)
    epoch = fields.String(required=True)
    house = fields.String(required=True)
    demo = fields.Boolean(required=True)
    backup = fields.Nested(BackupStands, required=True, allow_none=True)


class CheckTold(Schema):
    """One thing the house stands on; a figure of its own beside whether it holds."""

    name = fields.String(required=True)
    ok = fields.Boolean(required=True)
    position = fields.Integer(allow_none=True)
    ms = fields.Float()
    free_bytes = fields.Integer()
    age_s = fields.Integer(allow_none=True)


class DeepHealthAnswer(Schema):
    """`ok` when every check is."""

    ok = fields.Boolean(required=True)
    version = fields.String(required=True)
    checks = fields.List(fields.Nested(CheckTold), required=True)


class GoodUnits(Schema):
    """What a late entry says of a good; it may have said anything."""

    good = fields.Raw(required=True, allow_none=True)
    units = fields.Integer(required=True)


class LateEntryTold(Schema):
    """One late entry in words that an owner can read."""

    device = fields.String(required=True)
    name = fields.String(required=True)
    seq = fields.Integer(required=True)
    hash = fields.String(required=True)
    received_at = fields.String(required=True)
    why = fields.String(required=True)
    kind = fields.String(required=True)
    made_at = fields.String(required=True)
    number = fields.String(required=True)
    person = fields.String(required=True)
    phone = fields.String(required=True)
    goods = fields.List(fields.Nested(GoodUnits), required=True)
    cents = fields.Integer(required=True)
    nothing_to_do = fields.Boolean(required=True)


class LateAnswer(Schema):
    """What is to be settled; `silent`: devices that a house put back from a backup has not heard yet."""

    entries = fields.List(fields.Nested(LateEntryTold), required=True)
    waiting = fields.Integer(required=True)
    silent = fields.List(fields.String(), required=True)


class YearGoodTold(Schema):
    """What left of a good, and by month."""

    good = fields.String(required=True)
    units = fields.Integer(required=True)
    months = fields.List(fields.Integer(), required=True)


class YearMonthTold(Schema):
    """One month's orders and money."""

    mailed = fields.Integer(required=True)
    picked_up = fields.Integer(required=True)
    income_cents = fields.Integer(required=True)


class ReplacedTold(Schema):
    """Orders at no charge, for one reason."""

    why = fields.String(required=True)
    count = fields.Integer(required=True)


class TakenOffTold(Schema):
    """Taken off prices, for one reason."""

    why = fields.String(required=True)
    cents = fields.Integer(required=True)


class YearAnswer(Schema):
    """A year in sums."""

    year = fields.Integer(required=True)
    goods = fields.List(fields.Nested(YearGoodTold), required=True)
    months = fields.List(fields.Nested(YearMonthTold), required=True)
    replaced = fields.List(fields.Nested(ReplacedTold), required=True)
    taken_off = fields.List(fields.Nested(TakenOffTold), required=True)


class HandedInAnswer(Schema):
    """How many were new."""

    kept = fields.Integer(required=True)


class SettledAnswer(Schema):
    """`position`: where it landed; null where it was put aside."""

    settled = fields.Boolean(required=True)
    position = fields.Integer(required=True, allow_none=True)


class LostAnswer(Schema):
    """A device is lost from now on."""

    device = fields.String(required=True)
    lost = fields.Boolean(required=True)


class ForgottenAnswer(Schema):
    """A person was forgotten, with this entry."""

    person = fields.String(required=True)
    position = fields.Integer(required=True)


class OwnBackupAnswer(Schema):
    """Where the copy lies."""

    file = fields.String(required=True)


class OwnForecastAnswer(Schema):
    """In words."""

    told = fields.String(required=True)


class OwnCheckAnswer(Schema):
    """Sums that do not agree, in words."""

    wrong = fields.List(fields.String(), required=True)


class CallsTold(Schema):
    """How many calls, how many units, and their worth."""

    calls = fields.Integer(required=True)
    units = fields.Integer(required=True)
    cents = fields.Integer(required=True)


class WhyTold(Schema):
    """Orders of one reason, and what they came to."""

    why = fields.String(required=True)
    orders = fields.Integer(required=True)
    cents = fields.Integer(required=True)


class SeasonTold(Schema):
    """The sums of one season."""

    orders = fields.Integer(required=True)
    by_mail = fields.Integer(required=True)
    sold_cents = fields.Integer(required=True)
    mailing_cents = fields.Integer(required=True)
    tax_cents = fields.Integer(required=True)
    taken_off_cents = fields.Integer(required=True)
    received_cents = fields.Integer(required=True)
    owed_cents = fields.Integer(required=True)
    waited = fields.Nested(CallsTold, required=True)
    given_up = fields.Nested(CallsTold, required=True)
    went_without = fields.Nested(CallsTold, required=True)
    held = fields.Integer(required=True)
    again = fields.List(fields.Nested(WhyTold), required=True)
    taken_off = fields.List(fields.Nested(WhyTold), required=True)


class GoodTold(Schema):
    """One good in both seasons."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    units = fields.Integer(required=True)
    cents = fields.Integer(required=True)
    before_units = fields.Integer(required=True)
    before_cents = fields.Integer(required=True)


class WeekTold(Schema):
    """One week by ISO 8601 beside the same week a year before."""

    week = fields.Integer(required=True)
    monday = fields.String(required=True)
    cents = fields.Integer(required=True)
    before_cents = fields.Integer(required=True)
    units = fields.List(fields.Nested(GoodUnits), required=True)


class LookingBackAnswer(Schema):
    """A season beside the one before; `words` say the most of it."""

    season = fields.Integer(required=True)
    now = fields.Nested(SeasonTold, required=True)
    before = fields.Nested(SeasonTold, required=True)
    goods = fields.List(fields.Nested(GoodTold), required=True)
    weeks = fields.List(fields.Nested(WeekTold), required=True)
    words = fields.List(fields.String(), required=True)


ANSWERS = {
    "HealthAnswer": HealthAnswer, "DeepHealthAnswer": DeepHealthAnswer, "LateAnswer": LateAnswer,
    "HandedInAnswer": HandedInAnswer, "SettledAnswer": SettledAnswer,
    "LostAnswer": LostAnswer, "ForgottenAnswer": ForgottenAnswer, "OwnBackupAnswer": OwnBackupAnswer,
    "OwnForecastAnswer": OwnForecastAnswer, "OwnCheckAnswer": OwnCheckAnswer,
    "LookingBackAnswer": LookingBackAnswer, "YearAnswer": YearAnswer,
}  # fmt: skip
