"""What a value of an entry or a setting may be, at the edges of it; whose turn it is in a queue; and sums that leave nothing out."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from marshmallow import Schema, ValidationError, fields

from honeyhold.operations import setting_shapes
from honeyhold.operations.context import OperationContext, require, sums
from honeyhold.operations.errors import Refused
from honeyhold.operations.fields import (
    WISH_UNITS_MAX,
    WISHES_MAX,
    Day,
    Moment,
    Plain,
    Steps,
    Wishes,
    YesNo,
    identity,
    one_of,
    phone,
    text,
    units_by_good,
    uuid,
    whole,
)
from honeyhold.operations.rows import PriceRule
from honeyhold.operations.setting_shapes import LABELS_MAX, LENGTH_MAX, SHAPES, wanted_instead
from honeyhold.operations.upgrade import newest, upgraded_rows
from honeyhold.operations.waiting_lines import _shared_out, places_in_queue

UUID = "0f6d1a3e-6f0a-4a35-9e61-1d7f1f8f2a10"
DAY_WORDS, MOMENT_WORDS = "Not a day such as 2026-07-20: {!r}.", "Not a moment such as 2026-07-20T14:10:03Z: {!r}."


@pytest.mark.parametrize(("field", "taken", "refused", "words"), [
    (identity(), ["a", "W26-170-1", "a.b_c:d-e", "a" * 64, "0"], ["", "-a", "a" * 65, "a b", "a\n", "é"], "Not an id: {}."),
    (uuid(), [UUID], [UUID.upper(), UUID[:-1], UUID + "0", UUID + "\n", "g" + UUID[1:]], "Not a lower-case UUID: {}."),
    (phone(), ["", "+1715555", "+17155550123", "+123456789012345"],
     ["+171555", "+1234567890123456", "17155550123", "+0715555", "+1715555\n"], "Not a number such as +17155550123: {}."),
    (Day(), ["2026-07-20", "2024-02-29"], ["2026-02-29", "2026-7-20", "20260720", "2026-07-20\n", "", 20260720, None], DAY_WORDS),
    (Moment(), ["2026-07-20T14:10:03Z", "2026-07-20T14:10:03.5Z", "2026-07-20T14:10:03.123456Z"],
     ["2026-07-20T14:10:03", "2026-07-20 14:10:03Z", "2026-07-20T24:10:03Z", "2026-07-20T14:10:03.1234567Z", "2026-07-20T14:10:03Z\n", 7],
     MOMENT_WORDS),
    (YesNo(), [True, False], [0, 1, "true", "", []], "Must be true or false; this is {!r}."),
    (one_of("wax", "honey"), ["wax", "honey"], ["Wax", "", "wax "], "Must be one of: wax, honey; this is {}."),
], ids=["id", "uuid", "phone", "day", "moment", "yes or no", "one of"])  # fmt: skip
def test_a_value_is_taken_as_it_is_or_refused_in_words(field: fields.Field[Any], taken: list[Any], refused: list[Any], words: str) -> None:
    assert [field.deserialize(value) for value in taken] == taken
    for value in refused:
        if value is not None:
            with pytest.raises(ValidationError) as trouble:
                field.deserialize(value)
            assert trouble.value.messages == [words.format(value)]


@pytest.mark.parametrize(("field", "taken", "refused"), [
    (whole(0, 5), [0, 5], [-1, 6, 1.0, "1"]), (whole(), [-1_000_000_000, 1_000_000_000], [-1_000_000_001, 1_000_000_001]),
    (text(3, 1), ["a", "abc"], ["", "abcd", 7]), (text(3), ["", "abc"], ["abcd"]), (text(), ["a" * 2000], ["a" * 2001]),
    (units_by_good(), [{}, {"bar": 0}], [{"bar": -1}, {"b r": 1}, {"bar": 1.5}]), (units_by_good(1), [{"bar": 1}], [{"bar": 0}]),
    (units_by_good(), [{f"g{n}": 1 for n in range(1000)}], [{f"g{n}": 1 for n in range(1001)}]),
], ids=[*"abcdefgh"])  # fmt: skip
def test_bounds_of_numbers_and_texts(field: fields.Field[Any], taken: list[Any], refused: list[Any]) -> None:
    assert [field.deserialize(value) for value in taken] == taken
    for value in refused:
        with pytest.raises(ValidationError):
            field.deserialize(value)


@pytest.mark.parametrize(("steps", "words"), [
    ([], ""), ([[10, 2500]], ""), ([[5, 1300], [10, 2500]], ""),
    ("10", "Must be pairs of units and cents such as [[10, 2500]], the least first: '10'."),
    ([[10, 2500], [5, 1300]], "Must be pairs of units and cents such as [[10, 2500]], the least first: [[10, 2500], [5, 1300]]."),
    ([[10]], "Must be pairs of units and cents such as [[10, 2500]], the least first: [[10]]."),
    ([[10, 2500], [10, 2600]], "The same number of units has two prices: [[10, 2500], [10, 2600]]."),
], ids=[*"abcdefg"])  # fmt: skip
def test_steps_of_a_price(steps: Any, words: str) -> None:
    if words:
        with pytest.raises(ValidationError) as trouble:
            Steps().deserialize(steps)
        assert trouble.value.messages == [words]
    else:
        assert Steps().deserialize(steps) == steps


@pytest.mark.parametrize(("only", "value", "words"), [
    (dict, [], "Must be a dictionary; this is []."), (list, {}, "Must be a list; this is {}."), (None, 1.5, "Fractions are not kept: 1.5."),
    (dict, {"a": [1, {"b": 0.5}]}, "Fractions are not kept: 0.5."), (None, [[1], [2]], "Holds more than 4 values."),
    (None, {"a": {"b": 1}, "c": {"d": 1}}, "Holds more than 4 values."),
])  # fmt: skip
def test_what_is_not_plain_is_told(only: type | None, value: Any, words: str) -> None:
    with pytest.raises(ValidationError) as trouble:
        Plain(only, 4).deserialize(value)
    assert trouble.value.messages == [words]


def test_wishes_are_read_as_far_as_they_can_be() -> None:
    given = {"bar": 3, "jar": WISH_UNITS_MAX + 1, "most": WISH_UNITS_MAX, "none": 0, "less": -1, "half": 1.5, "true": True, "b r": 1, 7: 1}
    assert Wishes().deserialize(given) == {"bar": 3, "jar": WISH_UNITS_MAX, "most": WISH_UNITS_MAX, "none": 0}
    many = {f"g{n}": 1 for n in range(WISHES_MAX + 1)}
    assert list(Wishes().deserialize(many)) == list(many)[:WISHES_MAX]
    with pytest.raises(ValidationError, match="Must be units by good; this is a list"):
        Wishes().deserialize([])


def test_a_price_counts_from_a_day_on_or_from_always() -> None:
    rule: Schema = PriceRule()
    whole_rule = {"place": "mail", "since": "2026-07-20", "cents": 0, "steps": []}
    assert rule.load(whole_rule) == whole_rule and rule.load({**whole_rule, "since": ""})["since"] == ""
    for since in ("2026-7-20", "soon", "2026-07-20\n", "\n"):
        assert rule.validate({**whole_rule, "since": since}) == {"since": [f"Not a day or empty: {since}."]}


# Settings


@pytest.mark.parametrize(("setting", "taken", "refused"), [
    ("hold_allowed", [True, False], [1, "true"]), ("posting_days", [[], ["Mon", "Sun"]], ["Mon", ["mon"], [1], {"Mon": 1}]),
    ("paper", ["letter", "a4", "a5"], ["A4", "", 4, ["a4"]]), ("label_size", ["label", "paper"], ["letter"]),
    ("leave_hour", [0, 23], [-1, 24, True, "8", 8.0]), ("accept_permille", [0, 1000], [-1, 1001, False]),
    ("label_picture", ["", "data:image/png;base64,AA", "data:image/jpeg;base64,"], ["data:image/gif;base64,AA", "AA", 7, []]),
    ("label_sheet", [{}, {"columns": 1, "rows": LABELS_MAX, "left": "x" * LENGTH_MAX}],
     [{"columns": 0}, {"rows": LABELS_MAX + 1}, {"columns": True}, {"columns": "3"}, {"left": "x" * (LENGTH_MAX + 1)}, {"left": 3}, []]),
    ("label_words", [{}, {"jar": {}}], [{"jar": "a"}, {"jar": {"title": 7}}, []]),
    ("tracking_link", ["", "https://follow.example.org/{number}"],
     ["http://follow.example.org/{number}", "https://follow.example.org/", "https://x/{number}{number}", "https://x/{number} ", 7]),
    ("name", ["", "a"], [7, ["a"]]), ("posting_prices", [""], [7]), ("unheard_of", [7, "a", [1]], []),
], ids=[*"abcdefghijklm"])  # fmt: skip
def test_a_setting_is_of_its_sort_or_never_set(setting: str, taken: list[Any], refused: list[Any]) -> None:
    assert [wanted_instead(setting, value) for value in [None, *taken]] == [""] * (1 + len(taken))
    assert [wanted_instead(setting, value) for value in refused] == [SHAPES[setting][1] for _ in refused]
    assert setting not in SHAPES or SHAPES[setting][1]


def test_what_a_setting_is_to_be_is_said() -> None:
    assert wanted_instead("name", 7) == f"text of at most {setting_shapes.TEXT_MAX} letters"
    assert wanted_instead("leave_hour", 24) == "a whole hour from 0 to 23" and wanted_instead("paper", "") == "letter, a4 or a5"


# Queues


QUEUE = [[3, 2], [7, 4]]


@pytest.mark.parametrize(("more", "filled", "left"), [
    (1, False, [[3, 2], [5, 1], [7, 4]]), (1, True, [[3, 2], [5, 1], [7, 4]]), (0, False, QUEUE), (0, True, QUEUE),
    (-1, True, [[3, 1], [7, 4]]), (-2, True, [[7, 4]]), (-3, True, [[7, 3]]), (-6, True, []), (-7, True, []),
    (-1, False, [[3, 2], [7, 3]]), (-4, False, [[3, 2]]), (-5, False, [[3, 1]]), (-6, False, []), (-7, False, []),
])  # fmt: skip
def test_what_is_filled_goes_from_the_front_and_what_is_not_wanted_from_the_back(more: int, filled: bool, left: list[list[int]]) -> None:
    before = [list(one) for one in QUEUE]
    assert places_in_queue(before, more, 5, filled) == left and before == QUEUE, "the line's own queue stays as it was"


@pytest.mark.parametrize(("pool", "given"), [
    (0, {}), (1, {"b": 1}), (2, {"b": 2}), (3, {"b": 2, "a": 1}), (6, {"b": 2, "a": 4}), (7, {"b": 3, "a": 4}), (9, {"b": 3, "a": 4}),
])  # fmt: skip
def test_what_is_free_goes_to_whoever_waits_longest(pool: int, given: dict[str, int]) -> None:
    lines = [{"id": "a", "queue": [[2, 4]]}, {"id": "b", "queue": [[1, 2], [3, 1]]}]
    assert _shared_out(lines, pool) == given


# What a rule sees


def context(**changes: Any) -> OperationContext:
    rows = [{"table": "line", "id": "l1"}, {"table": "order", "id": "o1"}, {"table": "line", "id": "l2"}]
    records: Any = SimpleNamespace(row=lambda *_: None, there=lambda _, row_id: row_id == "o1")
    return OperationContext(records, "e1", "d1", "keeper", "promise", {}, rows, 7, "2026-07-20", **changes)


def test_rows_of_a_table_and_what_is_there() -> None:
    seen = context()
    assert [row["id"] for row in seen.of("line")] == ["l1", "l2"] and seen.only("order")["id"] == "o1" and seen.of("person") == []
    model: Any = None
    assert seen.is_there("order", model, "o1") and seen.seen == {("order", "o1")} and not seen.is_there("order", model, "o2")
    seen.records.there = lambda *_: pytest.fail("looked for twice")  # type: ignore[method-assign]
    assert seen.is_there("order", model, "o1")


def test_an_order_that_is_not_known_is_refused_with_what_to_do() -> None:
    with pytest.raises(Refused) as refused:
        context().order("o9")
    assert str(refused.value) == "The main computer knows no order o9: the entry that took it was refused or has not come yet."
    assert refused.value.remedy == "Take the order again, or enter what left the shelf as a walk-in sale."


@pytest.mark.parametrize(("returned", "state", "closed", "overtaken"), [
    (True, "gone", (), True), (True, "let_go", (), True), (True, "packed", (), False), (False, "gone", (), False),
    (True, "packed", ("packed",), True), (True, "gone", ("packed",), False),
])  # fmt: skip
def test_an_entry_that_comes_back_leaves_the_state_to_what_followed_it(
    returned: bool, state: str, closed: tuple[str, ...], overtaken: bool
) -> None:
    row = {"state": "packed", "note": "a"}
    assert context(returned=returned).overtaken({"state": state}, row, *closed) is overtaken
    assert row == ({"note": "a"} if overtaken else {"state": "packed", "note": "a"})


def test_sums_leave_out_what_comes_to_nothing() -> None:
    rows = [{"good": good, "line": line, "units": units} for good, line, units in (("bar", "l1", 3), ("jar", "l2", 1), ("jar", "l1", -1))]
    assert sums(rows) == {"bar": 3} and sums(rows, "line", -1) == {"l1": -2, "l2": -1} and sums([]) == {}


def test_what_holds_is_not_refused() -> None:
    require(True, "No.", "Yes.")
    with pytest.raises(Refused) as refused:
        require(False, "No.", "Yes.")
    assert (str(refused.value), refused.value.remedy) == ("No.", "Yes.")


# Entries of older apps


def test_rows_are_carried_from_version_to_version(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("honeyhold.operations.upgrade.NEWEST", {"note": 3})
    steps = {("note", at): lambda rows, at=at: [*rows, {"at": at}] for at in (1, 2)}
    monkeypatch.setattr("honeyhold.operations.upgrade.STEPS", steps)
    assert newest("note") == 3 and newest("other") == 1
    assert [upgraded_rows("note", version, []) for version in (1, 2, 3)] == [[{"at": 1}, {"at": 2}], [{"at": 2}], []]
    with pytest.raises(Refused, match="The entry is note version 4; this house reads up to version 3") as refused:
        upgraded_rows("note", 4, [])
    assert refused.value.remedy == "Update the main computer, then enter it again."
    monkeypatch.setitem(steps, ("note", 2), lambda rows: rows["x"])
    with pytest.raises(Refused, match="is note version 1 and cannot be carried to version 3") as refused:
        upgraded_rows("note", 1, [])
    assert refused.value.remedy == "Update the app on this device and enter it again."
