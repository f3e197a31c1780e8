"""What is asked of an entry before its rules are: its text, its names, what it hangs on, what it says it took."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.operations.allocations import too_few
from honeyhold.operations.apply import _newly_wanted, _readable_spent
from honeyhold.operations.canonical import DEPTH_MAX, NotCanonical, canonical_json
from honeyhold.operations.keeping_apart import keepable, may_be_looked_up, printable
from honeyhold.operations.pending import REFERENCES, hangs_on, named, written

Json = dict[str, Any]
HALF = "\ud83d"


def nested(levels: int, inmost: Any) -> Any:
    for _ in range(levels):
        inmost = [inmost]
    return inmost


@pytest.mark.parametrize("value", [
    "\ud7ff\ue000", "\U0001f41d", {"\ud7ff": 1}, {"\ue000\uffff": 1}, {"": ""}, True, None, [], {},
    nested(DEPTH_MAX, []), nested(DEPTH_MAX + 1, 1),
], ids=[*"abcdefghijk"])  # fmt: skip
def test_what_both_languages_write_alike_is_written(value: Any) -> None:
    """Up to the edges of the halves and of the basic plane; a list in twelve others is the deepest, with values in it."""
    assert canonical_json({"a": value} if not isinstance(value, list) else value)


@pytest.mark.parametrize(("value", "why", "remedy"), [
    ({"a": [1, 1.5]}, "operation.a[1] is 1.5: fractions are not kept.", "Send whole grams, cents, millimeters or units."),
    ({"a": {"b": b"x"}}, "operation.a.b is b'x': fractions are not kept.", "Send whole grams, cents, millimeters or units."),
    ([2**53], "operation[0] is 9007199254740992, too large to be kept exactly.", "Send a smaller whole number."),
    ({"a": "x\ud800"}, "operation.a holds half a character (a lone surrogate).", "Type the text again."),
    ({"a": "\udfffx"}, "operation.a holds half a character (a lone surrogate).", "Type the text again."),
    ({1: 2}, "operation has the name 1, which cannot be sorted alike everywhere.", "Use plain names."),
    ({"a": {"\U00010000": 2}}, "operation.a has the name '\U00010000', which cannot be sorted alike everywhere.", "Use plain names."),
    ({"\U0010ffff": 2}, "operation has the name '\\U0010ffff', which cannot be sorted alike everywhere.", "Use plain names."),
    ({"\ud800": 2}, "operation has the name '\\ud800', which cannot be sorted alike everywhere.", "Use plain names."),
    ({"\udfff": 2}, "operation has the name '\\udfff', which cannot be sorted alike everywhere.", "Use plain names."),
    (nested(DEPTH_MAX + 2, 1), f"operation{'[0]' * 13} is nested deeper than 12 levels.", "Send flatter rows."),
    ({"a": nested(DEPTH_MAX, {})}, f"operation.a{'[0]' * 12} is nested deeper than 12 levels.", "Send flatter rows."),
], ids=[*"abcdefghijkl"])  # fmt: skip
def test_what_they_would_not_write_alike_is_refused_and_where(value: Any, why: str, remedy: str) -> None:
    with pytest.raises(NotCanonical) as refused:
        canonical_json(value)
    assert (str(refused.value), refused.value.remedy) == (why, remedy)


# What is kept whatever it is


@pytest.mark.parametrize(("given", "kept"), [
    ({"a": 1}, {"a": 1}), (7, 7), ([], []), ("text", "text"), (None, {"unreadable": "None"}), (1.5, {"unreadable": "1.5"}),
    ({"a": HALF}, {"unreadable": "{'a': '\\ud83d'}"}), ("x" * 200_000, "x" * 200_000),
    (["x" * 99_990, 0.5], {"unreadable": f"['{'x' * 99_990}', 0.5]"[:100_000]}),
], ids=[*"abcdefghi"])  # fmt: skip
def test_an_entry_is_kept_as_it_is_or_as_its_text(given: Any, kept: Any) -> None:
    assert keepable(given) == kept


@pytest.mark.parametrize(("text", "kept"), [("Zoë 🍯", "Zoë 🍯"), ("a\0b", "a\\x00b"), (HALF, "\\ud83d"), ("", "")], ids=[*"abcd"])
def test_a_text_is_printed_as_every_database_holds_it(text: str, kept: str) -> None:
    assert printable(text) == kept


@pytest.mark.parametrize(("value", "may"), [
    ("bar", True), ("", True), ("a b", True), ("Zoë", False), (HALF, False), ("a\0", False), ("a\n", False),
    (7, False), (None, False), (["a"], False),
], ids=[*"abcdefghij"])  # fmt: skip
def test_a_name_can_be_looked_up_in_plain_letters(value: Any, may: bool) -> None:
    assert may_be_looked_up(value) is may


@pytest.mark.parametrize(("units", "counts"), [
    (1, True), (0, False), (-1, False), (1_000_000_000, True), (1_000_000_001, False), (True, False),
    ("1", False), (1.5, False), (None, False),
])  # fmt: skip
def test_of_what_a_refused_entry_took_so_much_is_counted_as_can_be_read(units: Any, counts: bool) -> None:
    assert _readable_spent({"spent": {"jar": 2, "bar": units, HALF: 3}}) == ({"jar": 2, "bar": units} if counts else {"jar": 2})


@pytest.mark.parametrize("given", [{}, {"spent": None}, {"spent": [["bar", 1]]}, {"spent": "bar"}])
def test_what_names_no_units_took_nothing(given: Json) -> None:
    assert _readable_spent(given) == {}


# What hangs on what


ENTRY: Json = {"id": "e1", "rows": [{"id": "o1", "person": "ruth"}, {"id": "l1", "order": "o1", "good": "bar"}]}


def test_an_entry_writes_its_rows_and_speaks_of_more() -> None:
    assert written(ENTRY) == {"e1", "o1", "l1"} and named(ENTRY) == {"e1", "o1", "l1", "ruth", "bar"}


@pytest.mark.parametrize("name", REFERENCES)
def test_each_reference_is_spoken_of(name: str) -> None:
    assert named({"id": "e2", "rows": [{"id": "r", name: "x"}]}) == {"e2", "r", "x"}


def test_sources_are_spoken_of_as_far_as_they_are_names() -> None:
    assert named({"id": "e2", "rows": [{"sources": ["K26-1", 7, "K26-2"]}, {"sources": "K26-3", "order": 3}]}) == {"e2", "K26-1", "K26-2"}


@pytest.mark.parametrize("rows", [None, "rows", {"id": "o1"}, ["o1"], [None], [{"id": 7}]])
def test_rows_that_nobody_can_read_are_none(rows: Any) -> None:
    assert written({"id": "e2", "rows": rows}) == named({"id": "e2", "rows": rows}) == {"e2"}


@pytest.mark.parametrize(("other", "hangs"), [
    ({"id": "e2", "rows": [{"id": "r", "order": "o1"}]}, True),  # speaks of what the first writes
    ({"id": "e2", "rows": [{"id": "ruth"}]}, True),  # writes what the first speaks of
    ({"id": "e2", "rows": [{"id": "e2", "undoes": "e1"}]}, True),
    ({"id": "e2", "rows": [{"id": "o1"}]}, True),
    ({"id": "e2", "rows": [{"id": "r", "good": "bar", "person": "ruth"}]}, False),  # both speak of it, and neither writes it
    ({"id": "e2", "rows": [{"id": "o2", "person": "wren"}]}, False),
])  # fmt: skip
def test_one_hangs_on_the_other_where_either_writes_what_the_other_names(other: Json, hangs: bool) -> None:
    assert hangs_on(other, ENTRY) is hangs_on(ENTRY, other) is hangs


# What is missing


@pytest.mark.parametrize(("row", "units", "said"), [
    ({"name": "wax bar", "plural": "wax bars", "kind": "wax"}, 1, "It promises 1 wax bar more than there are to promise."),
    ({"name": "wax bar", "plural": "wax bars", "kind": "wax"}, 2, "It promises 2 wax bars more than there are to promise."),
    ({"name": "comb", "plural": "", "kind": "wax"}, 2, "It promises 2 comb more than there are to promise."),
    ({"name": "box", "plural": "boxes", "kind": "carton"}, 3, "It takes 3 boxes more than there are on the shelf."),
    (None, 3, "It promises 3 bar more than there are to promise."),
])  # fmt: skip
def test_what_is_missing_is_told_by_its_name(row: Json | None, units: int, said: str) -> None:
    records: Any = SimpleNamespace(row=lambda *_: row)
    told = too_few(records, "bar", units)
    assert str(told) == said
    assert told.remedy == (
        "Count the cartons. If they are in use, take the order again and pack it in one that is here." if "shelf" in said
        else "Call the customer back: take the order again, and those wait."
    )  # fmt: skip


@pytest.mark.parametrize(("rows", "wanted"), [
    ([{"table": "line", "id": "new", "good": "bar", "units": 3}], {"bar": 3}),
    ([{"table": "line", "id": "known", "units": 6}], {"bar": 1}), ([{"table": "line", "id": "known", "units": 5}], {}),
    ([{"table": "line", "id": "known", "units": 4}], {}), ([{"table": "line", "id": "known"}], {}),
    ([{"table": "line", "id": "known", "good": "jar", "units": 7}], {"jar": 2}), ([{"table": "line", "id": "new", "units": 3}], {}),
    ([{"table": "line", "id": "a", "good": "bar", "units": 1}, {"table": "line", "id": "b", "good": "bar", "units": 2}], {"bar": 3}),
    ([{"table": "lost_sale", "good": "bar", "units": 2}, {"table": "lost_sale", "good": "bar", "units": 3}], {"bar": 5}),
    ([{"table": "lost_sale", "good": "bar", "units": 2, "undoes": "x"}], {}),
    ([{"table": "lost_sale", "good": "bar", "units": 2}, {"table": "line", "id": "new", "good": "bar", "units": 1}], {"bar": 3}),
])  # fmt: skip
def test_what_a_caller_wanted_more_than_before_is_their_wish(rows: list[Json], wanted: dict[str, int]) -> None:
    """What they went without is a wish as well, unless it was taken back."""
    records = SimpleNamespace(row=lambda _, line: {"good": "bar", "units": 5} if line == "known" else None)
    context: Any = SimpleNamespace(records=records, of=lambda table: [row for row in rows if row["table"] == table])
    assert _newly_wanted(context) == wanted
