"""What the book's papers are asked with: the receipt of an order, what a person owes, and a year as far as this device knows it."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import TODAY, moved, order
from screens.rows import ROWS, YESTERDAY
from store.in_page import in_page

Json = dict[str, Any]


def _paid(id: str, order: str, cents: int, on: str = TODAY) -> Json:
    return {"table": "payment", "id": id, "order": order, "cents": cents, "how": "cash", "on": on, "note": ""}


OWING: list[Json] = [
    *order("o61", "ben", "pick_up", "let_go", None, {"jar": (1, 1200)}), _paid("y61", "o61", -500),
    *order("o62", "ben", "pick_up", "let_go", None, {"jar": (1, 1200)}), _paid("y62", "o62", 700),
    *order("o63", "ben", "pick_up", "promised", TODAY, {"jar": (1, 1200)}), _paid("y63", "o63", 1200),
    *order("o64", "ben", "pick_up", "promised", TODAY, {"jar": (1, 1200)}), _paid("y64", "o64", 1500),
]  # fmt: skip


def test_a_statement_has_what_is_owed_and_what_is_to_be_paid_back_and_nothing_settled() -> None:
    name, asked = in_page("rooms/book/statement.js", "{ return here.statementAsked('ben'); }", None, [*ROWS, *OWING])
    assert name == "documents.statement" and asked["person"]["id"] == "ben"
    told = {row["order"]["id"]: (row["owed_cents"], row["paid_cents"], row["adjusted_cents"]) for row in asked["orders"]}
    assert told == {"o2": (9200, 0, 0), "o62": (-700, 700, 0), "o64": (-300, 1500, 0)}
    assert [(line["good"]["id"], line["units"]) for row in asked["orders"] for line in row["lines"] if row["order"]["id"] == "o2"] == [
        ("bar", 40)
    ]


def test_a_receipt_has_the_number_of_each_box_that_has_one() -> None:
    rows: list[Json] = [
        {"table": "parcel", "id": "p4b", "order": "o4", "part": 2, "tracking": ""},
        {"table": "parcel", "id": "p4c", "order": "o4", "part": 3},
    ]
    asked = "{ return ['o4', 'o9'].map((id) => here.receiptRequest(id)); }"
    mailed, sold = in_page("rooms/book/receipt.js", asked, None, [*ROWS, *rows])
    assert mailed["tracking"] == [{"number": "9400 5550 1", "link": "https://example.org/9400%205550%201"}]
    assert mailed["person"]["id"] == "ann" and sold["person"] is None
    assert (mailed["paid_cents"], mailed["adjusted_cents"], [one["id"] for one in mailed["payments"]]) == (3200, 0, ["y1"])
    assert [(line["good"]["id"], line["units"], line["total_cents"]) for line in mailed["lines"]] == [("bar", 10, 2300)]


YEAR = """{
  const { change } = await module('store/status.js');
  const asked_of = [];
  let told = null;
  globalThis.fetch = async (path) => {
    asked_of.push(path);
    if (!told) throw new TypeError('nobody answers');
    return new Response(JSON.stringify(told), { headers: { 'Content-Type': 'application/json' } });
  };
  change({ signal: 'none' });
  const alone = await here.yearAsked('2027');
  change({ signal: 'shared' });
  const unheard = await here.yearAsked('2027');
  told = asked;
  return [alone, unheard, await here.yearAsked('2027'), asked_of];
}"""
IN_THE_YEAR: list[Json] = [
    moved("jar", -2, "sold", "2027-05-01", "J27-180-1"),
    moved("jar", -3, "broken", "2027-05-01", "J27-180-1"),
    moved("bar", -9, "sold", "2026-05-01"),
    moved("block", -1, "sold", "2027-05-01"),
    moved("block", 1, "gone", "2027-05-01"),
    *order("o71", "gus", "post", "promised", None, {"bar": (1, 0)}, free_for="heat"),
    *order("o72", "gus", "post", "let_go", None, {"bar": (1, 0)}, free_for="loss"),
    *order("o73", "gus", "post", "promised", None, {"bar": (1, 0)}, free_for="loss", taken_on="2026-07-01"),
    *({"table": "adjustment", "id": f"a7{nth}", "order": "o4", "cents": cents, "why": why, "on": on, "note": ""}
      for nth, (cents, why, on) in enumerate((
          (-250, "heat", YESTERDAY), (-100, "gift", YESTERDAY), (100, "gift", TODAY), (-900, "loss", "2026-12-31"),
      ))),
    _paid("y71", "o5", 400, "2027-12-31"),
    _paid("y72", "o5", 900, "2026-12-31"),
]  # fmt: skip


def test_a_year_is_the_main_computers_where_it_is_heard_and_else_what_this_device_knows() -> None:
    goods = [{"good": "jar", "units": 3}, {"good": "salve", "units": 1}, {"good": "bar", "units": 4}]
    told = {"year": 2027, "partial": False, "goods": goods}
    alone, unheard, heard, asked_of = in_page("rooms/book/year.js", YEAR, told, [*ROWS, *IN_THE_YEAR])
    assert alone == unheard and alone[0] == heard[0] == "documents.year"
    assert asked_of == ["/api/years/2027"] * 2
    year = alone[1]
    assert (year["year"], year["partial"]) == (2027, True)
    assert [(one["good"]["id"], one["units"]) for one in year["goods"]] == [("bar", 25), ("jar", 3)]
    months = [month["income_cents"] for month in year["months"]]
    assert months == [*[0] * 6, 3200 + 1200 + 1100 + 1000, *[0] * 4, 400]
    assert year["replaced"] == [{"why": "heat", "count": 2}]
    assert year["taken_off"] == [{"why": "heat", "cents": 750}]
    assert heard[1]["partial"] is False
    assert [(one["good"]["id"], one["units"]) for one in heard[1]["goods"]] == [("bar", 4), ("jar", 3)]
