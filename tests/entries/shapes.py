"""What each field of each table may hold, by trying: a list of values, told or refused, and the same once more in what the writer believed.

A value is taken by plain conditions (`fast_validation.py`) or asked of marshmallow; both are tried. A setting is tried the same way.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final

from marshmallow import Schema, ValidationError

from digests import digest
from honeyhold.operations import schemas
from honeyhold.operations.canonical import DEPTH_MAX, canonical_json
from honeyhold.operations.errors import NotCanonical, Refused
from honeyhold.operations.fast_validation import FastShape
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.rows import TABLES
from honeyhold.operations.setting_shapes import SHAPES, wanted_instead

Json = dict[str, Any]
LENGTHS: Final = (0, 1, 2, 3, 4, 5, 10, 11, 19, 20, 21, 30, 31, 40, 41, 50, 51, 60, 61, 64, 65, 100, 101, 200, 201, 500, 501, 2000, 2001)
NUMBERS: Final = (
    -10_000_001, -10_000_000, -701, -700, -601, -600, -1, 0, 1, 2, 12, 16, 23, 24, 52, 53, 100, 101, 500, 501, 600, 601, 999, 1000, 1001,
    10_000, 10_001, 100_000, 100_001, 1_000_000, 1_000_001, 10_000_000, 10_000_001, 1_000_000_000, 1_000_000_001, -1_000_000_001,
    10**13, 2**53 - 1, 2**53, True, False, 1.0, 1.5,
)  # fmt: skip
OTHERS: Final[tuple[Any, ...]] = (
    None, [], {}, [1], ["8 in", "5 in"], ["8 in", "5 in", "2 in"], ["8 in", "5 in", ""], ["8 in"] * 4, ["Mon"], ["Mon", "Moon"], "Mon",
    [None], [["a", 1]], [[2, 500]], [[2, 500], [10, 2000]], [[10, 2000], [2, 500]], [[2, 500], [2, 600]], [[1, 5]], [[2, -1]],
    [[2, 500, 1]], [[500, 1]], [[501, 1]], [[2, 1.5]], [[True, 5]], {"a": 1}, {"a": 1.5}, {"a": {"b": [1, None, True, "x"]}}, {1: 2},
    ["a", 1.5], "\ud800", "2026-07-20", "2026-7-20", "2026-02-29", "2026-07-20\n", "20260720", "2026-07-20T14:10:03Z",
    "2026-07-20T14:10:03.5Z", "2026-07-20T14:10:03.1234567Z", "2026-07-20T14:10:03", "2026-07-20T25:10:03Z", "2026-07-20T14:10:03Z\n",
    "+12185550142", "+1218555", "+121855", "+0218555014", "2185550142", "+1234567890123456", "+123456789012345", "+12185550142\n", "a",
    "-a", "a.b:c-d_e", "a b", "a\n", "A9", "é", "11111111-2222-5333-8444-555555555555", "11111111-2222-5333-8444-55555555555A",
    "11111111-2222-5333-8444-555555555555\n", [{"good": "bar", "units": 1}], [{"good": "bar", "units": 0}], [{"good": "bar"}],
    [{"good": "bar", "units": 1, "more": 1}], [{"good": "bar", "units": 1}] * 40, [{"good": "bar", "units": 1}] * 41,
    [{"place": "", "since": "", "cents": 1, "steps": []}], [{"place": "mail", "since": "2026-07-20", "cents": 0, "steps": [[2, 1]]}],
    [{"place": "shop", "since": "", "cents": 1, "steps": []}], [{"place": "", "since": "soon", "cents": 1, "steps": []}],
    [{"place": "", "since": "", "cents": -1, "steps": []}], [{"place": "", "since": "", "cents": 1}],
    [{"place": "", "since": "", "cents": 1, "steps": []}] * 24, [{"place": "", "since": "", "cents": 1, "steps": []}] * 25,
    [{"day": "2026-07-20", "max_tenths": 600, "min_tenths": -700, "sky_percent": None}],
    [{"day": "2026-07-20", "max_tenths": 601, "min_tenths": -700, "sky_percent": 101}],
    [{"day": "2026-07-20", "max_tenths": -600, "min_tenths": 600, "sky_percent": 100}] * 16,
    [{"day": "2026-07-20", "max_tenths": -601, "min_tenths": 601, "sky_percent": -1}] * 17, ["a"] * 100, ["a"] * 101, {"a": ["x"] * 57},
    {"a": ["x"] * 58}, {"a": ["x"] * 59}, {"a": ["x"] * 198}, {"a": ["x"] * 199}, [1] * 1999, [1] * 2000, {"a": [1] * 4998},
    {"a": [1] * 4999}, "https://example.org/{number}", "https://example.org/{number}{number}", "http://example.org/{number}",
    "https://example.org/ {number}", "https://example.org/", {"title": "a"}, {"bar": {"title": "a", "words": ""}},
    {"bar": {"title": 1}}, {"bar": {"name": "a"}}, {"columns": 3, "left": "1 in"}, {"columns": 0}, {"rows": 40}, {"rows": 41},
    {"columns": "3"}, {"left": "1" * 31}, {"left": "1" * 30}, {"columns": True}, "data:image/png;base64,AA", "data:image/gif;base64,AA",
)  # fmt: skip


def tried() -> list[Any]:
    """Every value that is tried in every field."""
    return [*OTHERS, *NUMBERS, *("x" * length for length in LENGTHS)]


@cache
def words_of(schema: type[Schema], name: str) -> list[str]:
    """The few words that a field may hold, where it is one of a few."""
    field = schema().fields.get(name)
    return [word for rule in (field.validators if field else ()) for word in getattr(rule, "choices", ())]


def fields(table: str) -> dict[str, str]:
    """By field of a table, a digest of what is taken as it is and what is refused, with its words."""
    schema = TABLES[table]
    quick, slow = FastShape(schema()), schema()
    least = {name: _least(schema, name) for name, field in slow.fields.items() if field.required} | {"table": table, "id": "one"}
    found = {}
    for name in slow.fields:
        rows = [{**least, name: value} for value in (*tried(), *words_of(schema, name))]
        found[name] = digest([[_row(row), quick.fits(row)] for row in rows])
    was = [1, {"more": 1}, *({name: value} for name in slow.fields for value in (None, 1, "x", True, []))]
    found["was"] = digest([*(_row({**least, "was": value}) for value in was), _row({**least, "more": 1})])
    found["without one"] = digest([_row({key: one for key, one in least.items() if key != left}) for left in least])
    return found


def _least(schema: type[Schema], name: str) -> Any:
    """The first value that a field takes."""
    for value in [*words_of(schema, name), *tried()]:
        try:
            schema(only=(name,)).load({name: value})
        except ValidationError:
            continue
        return value
    raise LookupError(name)


def _row(row: Json) -> Any:
    try:
        return schemas.read_row(dict(row), "It")
    except Refused as trouble:
        return [_in_order(str(trouble)), trouble.remedy]


def _in_order(words: str) -> list[str]:
    """Fields that are too many are told in any order; of very many only the first."""
    begin, _, wrong = words.rpartition("cannot be read: ")
    return [begin, *sorted(wrong.split("; "))] if len(words) < schemas.WORDS_MAX else [begin]


def doors() -> dict[str, str]:
    """By schema and field of whatever comes in by a door."""
    found = {}
    for schema in (
        schemas.EnvelopeSchema, schemas.OperationSchema, schemas.ExchangeAsk, schemas.PlaceTold, schemas.RefusedEntry, schemas.EnrolAsk,
        schemas.CodeAsk, schemas.BackupAsk, schemas.LateAsk, schemas.SettleAsk, schemas.WorkAsk,
    ):  # fmt: skip
        made = schema()
        for name, field in made.fields.items():
            only, answers = schema(only=(name,)), []
            more = [{}, {"bar": 1}, {"bar": 0}, {"bar": -1}, {"bar": 10**9}, {"bar": 10**9 + 1}, {"a b": 1}, {"bar": 1.5}, {"bar": True},
                    {f"good-{at}": 1 for at in range(1000)}, {f"good-{at}": 1 for at in range(1001)}, [None] * 200, [None] * 201,
                    [{}] * 400, [{}] * 401, "0" * 64, "A" * 64, "0" * 63, {"bar": 100_001}]  # fmt: skip
            for value in [*tried(), *words_of(schema, name), *more]:
                try:
                    answers.append(only.load({name: value}))
                except ValidationError as trouble:
                    answers.append(_in_order(schemas.in_words(trouble.normalized_messages())))
            found[f"{schema.__name__}.{name}"] = digest([answers, field.required, field.allow_none])
    return found


def settings() -> dict[str, str]:
    """By setting, what it must be instead, where a value is not it."""
    more = ["x" * 120_001, "x" * 200_000, "x" * 200_001, "data:image/png;base64," + "A" * 119_978, "data:image/png;base64," + "A" * 119_979]
    words = ["letter", "a4", "a5", "label", "paper", "", 1439, 1440]
    return {
        name: digest([wanted_instead(name, value) for value in [*tried(), *more, *words]]) for name in [*SHAPES, "anything else"]
    }


def texts() -> dict[str, str]:
    """Canonical text of whatever may be written down, or why not."""
    found: list[Any] = []
    keys: list[Any] = [{"a\ud800": 1}, {"\U0001f41d": 1}, {"\uffff": 1}, {1: 1}, {"b": 1, "a": 2}, {"é": 1}]
    deep: list[Any] = []
    for depth in range(DEPTH_MAX - 1, DEPTH_MAX + 3):
        for around in (lambda inner: [inner], lambda inner: {"a": inner}):
            value: Any = "x"
            for _ in range(depth):
                value = around(value)
            deep.append(value)
    for value in [*tried(), *keys, *deep, -(2**53) + 1, -(2**53), (1,), b"x", "\U0001f41d", "é\u2028\0"]:
        try:
            found.append(canonical_json(value))
        except NotCanonical as trouble:
            found.append([str(trouble), trouble.remedy])
    return {"canonical": digest(found)}


def kinds() -> dict[str, str]:
    """Of each kind of entry, how many rows of what it holds, who may write it, and whether it takes from a share or states a fact."""
    return {
        name: digest([kind.tables, kind.who, kind.may_spend, kind.fact, kind.words, kind.first is not None]) for name, kind in KINDS.items()
    }
