"""Orders of long ago leave a device: all are looked at once a day, after that those that an answer speaks of; it comes to the same."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB, in_node

KEEP_SINCE = "2026-06-01"
BOTH_WAYS = f"""await (async () => {{
  const {{ Board }} = await import({(WEB / 'store/board.js').as_uri()!r});
  const board = new Board();
  const lay = (rows) => rows.forEach((row) => board.apply(row));
  lay(asked.before);
  here.forget(board, asked.keep_since, new Set());
  lay(asked.rows);
  const only = new Set(here.ordersOf(asked.rows, board));
  const named = new Set(asked.named);
  const one = board.copy(), other = board.copy();
  const told = [here.forget(one, asked.keep_since, named), here.forget(other, asked.keep_since, named, only)];
  const ids = (made) => ['order', 'line', 'payment', 'parcel'].map((table) => [...made.tables[table].keys()]);
  return {{ told, left: [ids(one), ids(other)] }};
}})()"""


def order(name: str, closed_on: str | None, cents: int = 500) -> list[dict[str, Any]]:
    """An order of one line; `closed_on`: handed over on that day."""
    state = "gone" if closed_on else "promised"
    line, dates = f"{name}-line", {"gone_on": closed_on, "closed_on": closed_on}
    went = {
        "table": "movement", "id": f"{name}-went", "good": "bar", "lot": "W1", "units": -2, "reason": "gone", "order": name, "line": line,
        "on": closed_on,
    }  # fmt: skip
    return [
        {"table": "order", "id": name, "number": f"A-{name}", "state": state, "way": "pick_up", **dates},
        {"table": "line", "id": line, "order": name, "good": "bar", "units": 2, "price_cents": cents // 2},
        {"table": "parcel", "id": f"{name}-parcel", "order": name, "part": 1},
        *([went] if closed_on else []),
    ]


def paid(name: str, cents: int = 500) -> dict[str, Any]:
    return {"table": "payment", "id": f"{name}-{cents}", "order": name, "cents": cents, "how": "cash", "on": "2026-07-01"}


BEFORE = [
    *order("owes", "2026-03-01"), *order("late", "2026-08-01"), *order("open", None), *order("settled", "2026-03-01"), paid("settled"),
    *order("part", "2026-03-01"), paid("part", 100),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "named", "gone"), [
    ([], [], []),
    ([paid("owes")], [], ["owes"]),
    ([paid("owes")], ["owes"], []),
    ([paid("owes", 100)], [], []),
    ([paid("late"), paid("open")], [], []),
    ([paid("owes"), paid("part", 400)], [], ["owes", "part"]),
    ([{"table": "parcel", "id": "owes-parcel", "arrived": "fine"}, paid("owes")], [], ["owes"]),
    ([paid("settled", 10)], [], []),
    ([*order("new", "2026-02-01"), paid("new")], [], ["new"]),
])  # fmt: skip
def test_looking_at_those_alone_comes_to_the_same(rows: list[dict[str, Any]], named: list[str], gone: list[str]) -> None:
    found = in_node("store/forget.js", BOTH_WAYS, {"before": BEFORE, "rows": rows, "named": named, "keep_since": KEEP_SINCE})
    whole, alone = found["told"]
    assert alone == whole and found["left"][0] == found["left"][1]
    assert sorted(one["id"] for one in alone["gone"]) == gone
