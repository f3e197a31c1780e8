"""What a room asks of the board: an order's lines and money, who comes first, and what goes in one parcel."""

from __future__ import annotations

from typing import Any

import pytest

from screens.kinds_of_rows import good, moved, order, person
from store.in_page import in_page

Json = dict[str, Any]
V7 = "01900000-0000-7000-8000-00000000000"
ROWS: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 250), good("jar", ("jar", "jars", "jars"), 2, 1100), person("ann", "Ann", ""),
    person("ann2", "Ann", "", same_as="ann"), person("bo", "Bo", ""),
    {"table": "standing", "id": "s", "person": "ann", "hidden": False,
     "wanted": [{"good": "tub", "units": 1}, {"good": "jar", "units": 1}]},
    {"table": "standing", "id": "s2", "person": "ann2", "wanted": [], "hidden": False, "ends_on": "2027-07-24"},
    {"table": "standing", "id": "s3", "person": "ann", "wanted": [], "hidden": False, "ends_on": "2027-07-23"},
    {"table": "standing", "id": "s4", "person": "ann", "wanted": [], "hidden": True},
    {"table": "standing", "id": "s5", "person": "bo", "wanted": [], "hidden": False},
    moved("bar", 100, "opening", "2027-07-01"), moved("jar", 9, "opening", "2027-07-01"),
    *order("o1", "ann", "pick_up", "promised", "2027-07-26", {"jar": (1, 1100), "bar": (4, 1000)}, sure={"bar": 3}),
    *order("o2", "ann2", "pick_up", "promised", "2027-07-26", {"bar": (2, 500), "jar": (2, 2200), "tub": (1, 900)}, standing="s"),
    *order("o9", "bo", "pick_up", "packed", "2027-07-25", {"bar": (5, 1250)}, taken_on="2027-07-20", sure={"bar": 0}),
    *order("o10", "bo", "pick_up", "promised", None, {"bar": (6, 1500)}, taken_on="2027-07-18"),
    *order("o3", "ann", "pick_up", "gone", None, {"bar": (2, 500)}, handed=True, gone_on="2027-07-20"),
    *order("o4", "bo", "pick_up", "gone", None, {"bar": (2, 500)}),
    *order("o5", "bo", "pick_up", "let_go", None, {"bar": (2, 500), "jar": (1, 1100)}),
    *order("o6", None, "pick_up", "gone", None, {"bar": (1, 250)}, handed=True, gone_on="2027-07-21"),
    {"table": "line", "id": "o6-none", "order": "o6", "good": "jar", "units": 0, "price_cents": 1100, "total_cents": 0},
    *({"table": "payment", "id": id, "order": of, "cents": cents, "how": how, "on": on, "note": ""} for id, of, cents, how, on in [
        (f"{V7}2", "o3", 700, "cash", "2027-07-20"), (f"{V7}1", "o3", -100, "cash", "2027-07-20"), ("z", "o3", 50, "check", "2027-07-20"),
        (f"{V7}0", "o3", 10, "cash", "2027-07-21"), ("y4", "o4", 300, "cash", "2027-07-20"), ("y5", "o5", 300, "cash", "2027-07-22"),
        ("y1", "o1", 2100, "transfer", "2027-07-22"),
    ]),
    {"table": "adjustment", "id": "a1", "order": "o1", "cents": -100, "why": "heat", "on": "2027-07-20", "note": ""},
    {"table": "adjustment", "id": "a2", "order": "o1", "cents": 30, "why": "heat", "on": "2027-07-21", "note": ""},
    {"table": "adjustment", "id": "a3", "order": "o6", "cents": -50, "why": "heat", "on": "2027-07-21", "note": ""},
]  # fmt: skip


def seen(expression: str, rows: list[Json] = ROWS) -> Any:
    return in_page("store/view.js", f"(() => {{ const {{ view }} = known; return {expression}; }})()", rows=rows)


def test_lines_stand_as_the_standing_order_has_them_and_then_as_they_were_written() -> None:
    told = seen("['o1', 'o2', { id: 'o9' }, 'o6', 'nobody'].map((id) => view.linesOf(id).map(({ good }) => good))")
    assert told == [["bar", "jar"], ["tub", "jar", "bar"], ["bar"], ["bar"], []]


def test_what_is_still_owed() -> None:
    """Let go, or undone so that nothing was handed over: what was paid is to be paid back, the most first."""
    asked = ["o1", "o2", "o3", "o4", "o5", "o6", "nobody"]
    told = seen(f"{asked}.map((id) => [view.total(id), view.adjusted(id), view.paid({{ id }}), view.owed(id)])")
    assert told == [
        [2030, -70, 2100, -70], [3600, 0, 0, 3600], [500, 0, 660, -160], [500, 0, 300, -300], [1600, 0, 300, -300], [200, -50, 0, 200],
        [0, 0, 0, 0],
    ]  # fmt: skip
    assert seen("view.toPayBack().map(({ order, cents }) => [order.id, cents])") == [["o4", 300], ["o5", 300], ["o3", 160], ["o1", 70]]


def test_payments_by_day_and_as_they_were_written() -> None:
    """Ids that carry no time are older than those that do."""
    assert seen("view.paymentsOf('o3').map(({ cents }) => cents)") == [50, -100, 700, 10]
    assert sorted((one["on"], one["how"], one["cents"]) for one in seen("view.money()")) == [
        ("2027-07-20", "cash", 900), ("2027-07-20", "check", 50), ("2027-07-21", "cash", 10), ("2027-07-22", "cash", 300),
        ("2027-07-22", "transfer", 2100),
    ]  # fmt: skip


def test_who_leaves_first_and_whose_are_whose() -> None:
    """By the day of leaving, then the day it was taken, then the number; without a day last. A person's own the last taken first."""
    assert seen("view.openOrders().map(({ id }) => id)") == ["o9", "o1", "o2", "o10"]
    assert seen("['ann', 'ann2', { id: 'bo' }].map((who) => view.ordersOf(who).map(({ id }) => id))") == [
        ["o3", "o2", "o1"], ["o3", "o2", "o1"], ["o9", "o5", "o4", "o10"],
    ]  # fmt: skip
    assert seen("['s', 's2'].map((id) => view.ordersFrom({ id }).map((one) => one.id))") == [["o2"], []]


def test_what_is_set_aside_and_what_waits() -> None:
    """The last promise first of what is set aside; of what waits first come first. Only of open orders."""
    assert seen("view.promisedTo('bar').map(({ order, units, person }) => [order.id, units, person.id])") == [
        ["o2", 2, "ann"], ["o1", 3, "ann"], ["o10", 6, "bo"],
    ]  # fmt: skip
    assert seen("view.waitingFor({ id: 'bar' }).map(({ order, units, line }) => [order.id, units, line.id])") == [
        ["o1", 1, "o1-bar"], ["o9", 5, "o9-bar"],
    ]  # fmt: skip
    assert seen("['o1-bar', 'o1-jar', 'o4-bar', 'o5-bar', 'nothing'].map((id) => view.waiting(id))") == [1, 1, 0, 0, 0]
    assert seen("[view.onHand('bar'), view.promised('bar'), view.free('bar'), view.onHand('tub'), view.free('tub')]") == [97, 11, 86, 0, -1]


@pytest.mark.parametrize(("today", "ids"), [("2027-07-23", ["s", "s2", "s3"]), ("2027-07-24", ["s", "s2"]), ("2027-07-25", ["s"])])
def test_standing_orders_that_have_not_ended(today: str, ids: list[str]) -> None:
    assert seen(f"['ann', {{ id: 'ann2' }}].map((who) => view.standingOf(who, '{today}').map((one) => one.id))") == [ids, ids]


def test_lots_the_oldest_first_what_is_of_none_last() -> None:
    rows = [
        good("bar", ("wax bar", "wax bars", "bars"), 1, 250), moved("bar", 5, "opening", "2027-07-01"),
        *(moved("bar", units, "poured", "2027-07-01", lot) for lot, units in [("W10", 3), ("W9", 4), ("W8", 2), ("W1", 1), ("X", 6)]),
        moved("bar", -2, "broken", "2027-07-02", "W8"),
        *({"table": "lot", "id": id, "good": "bar", "made_on": on, "sources": []} for id, on in [
            ("W10", "2027-07-01"), ("W9", "2027-07-01"), ("W8", "2027-06-01"), ("W1", "2027-07-02"),
        ]),
    ]  # fmt: skip
    assert [(one["lot"], one["units"]) for one in seen("view.lotBalance('bar')", rows)] == [
        ("X", 6), ("W9", 4), ("W10", 3), ("W1", 1), (None, 5),
    ]  # fmt: skip


def test_what_moved_is_counted_by_its_reason_and_year() -> None:
    """The season's sums."""
    told = seen("[[...view.board.moved.get('bar')].sort(), view.setting('zip', '-'), view.setting('zip')]")
    assert told == [[["gone 2027", -3], ["opening 2027", 100]], "-", None]
