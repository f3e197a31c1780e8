"""Goal: a lot from which more left than came is told to the owner. Method: the browser's own view of such rows, in Node."""

from __future__ import annotations

from goods.in_node import WEB, in_node


def test_a_lot_that_two_devices_emptied_is_named_and_no_other() -> None:
    rows: list[dict[str, object]] = [
        {"table": "good", "id": "bar", "name": "bar", "kind": "wax", "unit": "each"},
        {"table": "lot", "id": "W1", "good": "bar", "made_on": "2026-07-20"},
        {"table": "lot", "id": "W2", "good": "bar", "made_on": "2026-07-20"},
    ]
    for lot, units in (("W1", 10), ("W1", -6), ("W1", -6), ("W2", 5), ("W2", -5), (None, -3)):
        moved = {"table": "movement", "id": f"m{len(rows)}", "good": "bar", "reason": "sold", "on": "2026-07-20"}
        rows.append({**moved, "lot": lot, "units": units})
    board = f"new (await import({(WEB / 'store/board.js').as_uri()!r})).Board()"
    laid = f"((board) => (asked.forEach((row) => board.apply(row)), new here.View(board).lotsBelowZero()))({board})"
    named = in_node("store/view.js", laid, rows)
    assert [(one["good"]["id"], one["lot"], one["units"]) for one in named] == [("bar", "W1", 2)]
