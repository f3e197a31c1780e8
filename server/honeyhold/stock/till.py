"""The cash till, day by day: what should lie in it, what was counted, and the difference. Worked out from entries alone, never kept:
an entry that comes late from a device out of reach changes the day it belongs to, and every device says the same in the end.

`web/store/till.js` says the same in the browser; `tests/stock/till_cases.json` holds both to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

WAYS: Final = ("cash", "check", "transfer", "other")

Row = Mapping[str, Any]


def till_of(day: str, money: Iterable[Row], entries: Iterable[Row]) -> dict[str, Any]:
    """`{"carried_cents", "opening_cents", "taken_cents", "came", "expected_cents", "counted_cents", "difference_cents", "note"}` of a day.

    `money`: `{"on", "how", "cents"}`, by day and way; `entries`: rows of the till. What lay there in the morning is what was counted last,
    and the cash of the days since. The last three are null, null and empty where nobody counted.
    """
    known, money = standing(entries), list(money)
    last = max((row["on"] for row in known if row["what"] == "counted" and row["on"] < day), default="")
    carried = (_count(known, last) or {"cents": 0})["cents"] if last else 0
    carried += sum(row["cents"] for row in money if row["how"] == "cash" and last < row["on"] < day)
    carried += sum(_sign(row) * row["cents"] for row in known if last < row["on"] < day)
    came = {way: sum(row["cents"] for row in money if row["on"] == day and row["how"] == way) for way in WAYS}
    opening, taken = (_sum(known, day, what) for what in ("opening", "taken"))
    expected, count = carried + opening - taken + came["cash"], _count(known, day)
    return {
        "carried_cents": carried, "opening_cents": opening, "taken_cents": taken, "came": came, "expected_cents": expected,
        "counted_cents": count["cents"] if count else None, "difference_cents": count["cents"] - expected if count else None,
        "note": str(count.get("note") or "") if count else "",
    }  # fmt: skip


def standing(entries: Iterable[Row]) -> list[Row]:
    """The entries (of the till, or of another ledger whose rows name what they undo) that nobody undid."""
    written = list(entries)
    undone = {row.get("undoes") for row in written}
    return [row for row in written if not row.get("undoes") and row["id"] not in undone]


def _sign(row: Row) -> int:
    return {"opening": 1, "taken": -1}.get(row["what"], 0)


def _sum(known: list[Row], day: str, what: str) -> int:
    return sum(row["cents"] for row in known if row["on"] == day and row["what"] == what)


def _count(known: list[Row], day: str) -> Row | None:
    """Of a day's counts the last one, by the clocks of those who counted; of two at one moment every device takes the same."""
    counts = [row for row in known if row["on"] == day and row["what"] == "counted"]
    return max(counts, key=lambda row: (row["at"], row["id"]), default=None)
