"""Cartons that run low and how long they last, cartons of a size of one's own, and the wax and honey that is kept by weight."""

from __future__ import annotations

from typing import Any

from goods.in_node import in_node
from screens.kinds_of_rows import TODAY, bulk, carton, good, moved, order
from store.in_page import in_page

Json = dict[str, Any]
LOW = """(async () => {
  const [{ View }, { Board }] = [await module('store/view.js'), await module('store/board.js')];
  return asked.map((rows) => {
    const board = new Board();
    for (const row of rows) board.apply(row);
    const view = new View(board);
    return [here.isLow('c8', view), here.cartonsLow(view, '2027-07-24').map(({ words }) => words),
      here.usedOfLate('c8', view, '2027-07-24'),
      here.lastingSaid('c8', view, '2027-07-24')];
  });
})()"""


def shelf(left: int, days: list[str], first: str | None, **more: Any) -> list[Json]:
    """A house with so many cartons left, whose first order was taken that day, with a parcel packed in one on each of these days."""
    parcels = [{"table": "parcel", "id": f"p{n}", "order": "o1", "carton": "c8", "packed_on": day} for n, day in enumerate(days)]
    return [
        *carton("c8", "8×6×4", [8, 6, 4], 62, **more), *([moved("c8", left, "bought", "2027-06-01")] if left else []),
        *order("o1", None, "post", "gone", None, {}, taken_on=first), *parcels,
        {"table": "parcel", "id": "not yet", "order": "o1", "carton": "c8", "packed_on": None},
        {"table": "parcel", "id": "other", "order": "o1", "carton": "c6", "packed_on": TODAY},
    ]  # fmt: skip


def low(*houses: list[Json]) -> list[list[Any]]:
    told: list[list[Any]] = in_page("parts/cartons-low.js", LOW, houses)
    return told


def test_a_carton_is_low_at_its_mark_already() -> None:
    mark = {"table": "setting", "id": "carton_low"}
    houses = [shelf(left, [], TODAY) for left in (4, 5, 6, 0, -1)]
    marked = [[*shelf(left, [], TODAY), {**mark, "value": {"c8": 12}}] for left in (11, 12, 13)]
    of_another = [*shelf(5, [], TODAY), {**mark, "value": {"c6": 1}}]
    said = [told[:2] for told in low(*houses, *marked, of_another, shelf(1, [], TODAY, hidden=True))]
    assert said == [
        [True, ["8×6×4: 4 left"]], [True, ["8×6×4: 5 left"]], [False, []], [True, ["8×6×4: none left"]], [True, ["8×6×4: none left"]],
        [True, ["8×6×4: 11 left"]], [True, ["8×6×4: 12 left"]], [False, []], [True, ["8×6×4: 5 left"]], [True, []],
    ]  # fmt: skip


def test_how_long_cartons_last_by_those_packed_of_late() -> None:
    """Both the first and the last of the days count, none before or after; of fewer than three, or of less than a week, nothing is said."""
    since, before, three = "2027-06-27", "2027-06-26", [TODAY] * 3
    told = low(
        shelf(10, [since, TODAY, TODAY], "2027-01-01"), shelf(10, [before, "2027-07-25", TODAY], "2027-01-01"),
        shelf(10, [TODAY, TODAY], "2027-01-01"), shelf(10, three, "2027-07-18"), shelf(10, three, "2027-07-19"),
        shelf(10, three, None), shelf(0, three, "2027-01-01"),
    )  # fmt: skip
    assert [one[2] for one in told] == [
        {"used": 3, "days": 28}, {"used": 1, "days": 28}, {"used": 2, "days": 28}, {"used": 3, "days": 7}, {"used": 3, "days": 6},
        {"used": 3, "days": 1}, {"used": 3, "days": 28},
    ]  # fmt: skip
    assert [one[3] for one in told] == [
        "more than two months at the pace of the last 28 days (3 used)", "", "", "about 23 days at the pace of the last 7 days (3 used)",
        "", "", "",
    ]  # fmt: skip
    told = low(*(shelf(left, [TODAY] * used, "2027-07-18") for left, used in ((26, 3), (27, 3), (1, 7), (1, 8), (2, 7), (3, 3))))
    assert [one[3].split(" at ")[0] for one in told] == [
        "about 60 days", "more than two months", "about 1 day", "less than a day", "about 2 days", "about 7 days",
    ]  # fmt: skip
    assert told[-1][1] == ["8×6×4: 3 left, about 7 days at the pace of the last 7 days (3 used)"]


NAMED = "asked.map((sides) => [here.sizeName(sides), sides.map(here.outerText)])"
ADDED = """(async () => {
  const told = [];
  for (const one of asked) {
    const before = new Set(known.entries.keys());
    const said = await here.addCarton(one).catch(({ message, remedy }) => ({ said: `${message} ${remedy}` }));
    const rows = [...known.entries.values()].filter(({ id }) => !before.has(id)).flatMap(({ operation }) => operation.rows);
    told.push({ ...said, rows });
  }
  return told;
})()"""


def test_a_carton_is_called_by_its_sides_in_one_unit() -> None:
    """Outside it is exact where inside is in whole 32nds of an inch, else rounded up in millimeters."""
    sizes = [["8 5/8", "5 3/8", "1 5/8 in"], ["220 mm", "150mm", "100 mm"], ["8 in", "150 mm", "4"], ["8.1 in", "6", "4"]]
    assert in_page("parts/cartons.js", NAMED, sizes) == [
        ["8 5/8×5 3/8×1 5/8", ["8 15/16 in", "5 11/16 in", "2 1/4 in"]],
        ["220×150×100 mm", ["228 mm", "158 mm", "116 mm"]],
        ["8 in×150 mm×4 in", ["8 5/16 in", "158 mm", "4 5/8 in"]],
        ["8.1×6×4", ["214 mm", "6 5/16 in", "4 5/8 in"]],
    ]


def test_a_carton_written_down() -> None:
    sides = ["8 1/2", "6 in", "110 mm"]
    plain, own, again, *refused = in_page("parts/cartons.js", ADDED, [
        {"sides": sides}, {"sides": sides, "name": "  flat one ", "tare_g": 95, "cost_cents": 70, "count": 25}, {"sides": sides},
        {"sides": sides, "count": -1}, {"sides": sides, "count": 1.5}, {"sides": ["8", "wide", "4"]},
    ])  # fmt: skip
    good_row, row = plain["rows"]
    assert (plain["carton"], plain["counted"], good_row["name"], good_row["rank"]) == (
        "carton_8-1_2x6x110mm", None, "carton 8 1/2 in×6 in×110 mm", 100,
    )  # fmt: skip
    assert (row["inner"], row["tare_g"], row["cost_cents"]) == (["8 1/2 in", "6 in", "110 mm"], 117, 0)
    good_row, row, came = own["rows"]
    assert (good_row["id"], good_row["name"], good_row["plural"], good_row["short"], good_row["rank"]) == (
        "carton_8-1_2x6x110mm.2", "carton flat one", "cartons flat one", "flat one", 101,
    )  # fmt: skip
    assert (row["name"], row["tare_g"], row["cost_cents"], own["counted"] is None) == ("flat one", 95, 70, False)
    assert (came["good"], came["units"], came["reason"]) == ("carton_8-1_2x6x110mm.2", 25, "opening")
    assert again["carton"] == "carton_8-1_2x6x110mm.3" and not any(one["rows"] for one in refused)
    assert [one["said"] for one in refused] == [
        "-1 cartons cannot lie here. Give a whole number, or 0.", "1.5 cartons cannot lie here. Give a whole number, or 0.",
        "The width is “wide”, which is no length. Write it like 8 5/8, 8 5/8 in, or 220 mm.",
    ]  # fmt: skip


def test_no_length_is_nothing_long() -> None:
    asked = ["0", "0 in", "0/16", "0 mm", "1/32", "0.1 mm", "3/0"]
    assert in_node("parts/lengths.js", "asked.map(here.lengthMm)", asked) == [None, None, None, None, 25.4 / 32, 0.1, None]


MADE = """(() => {
  const { cappings, wax_fine } = here.waxRequest({ ...asked, row: 0 }, 1830).stages;
  return { missing: here.missingStages().map(({ id, rank, unit, sold, plural }) => [id, rank, unit, sold, plural]), own: here.ownPours(),
    all: here.stagesKnown(), rows: [0, 6].map((row) => here.waxRequest({ ...asked, row }, 1830).pour_units), cappings, wax_fine,
    cool: here.waxRequest(asked, 1830).cool_min, per: here.perUnitMg(asked), grams: here.gramsFor(asked, 10),
    made: [undefined, 'wax', 'honey'].map((kind) => here.madeGoods(kind).map(({ id }) => id)) };
})()"""


def test_what_the_rooms_about_making_share() -> None:
    """Stages that are not in the book yet, cooling times oldest first, and a good of no row poured by ten."""
    rows = [
        bulk("honey_bulk", "honey in buckets", 1), bulk("wax_fine", "fine screened wax", 2), moved("wax_fine", 900, "came", TODAY),
        moved("cappings", 40, "made", TODAY), good("jar", ("jar", "jars", ""), 2, 1, kind="honey"),
        good("bar", ("bar", "bars", ""), 1, 1, kind="wax"), good("gone", ("gone", "", ""), 0, 1, kind="wax", hidden=True),
        good("never", ("never", "", ""), 0, 1, kind="wax", sold=False),
        *({"table": "lot", "id": id, "good": "bar", "made_on": day, "measures": measures} for id, day, measures in (
            ("W2", "2027-07-09", {"cool_s": 1500, "fan": True}), ("W1", "2027-07-02", {"cool_s": 1700}), ("W3", "2027-07-10", {}),
            ("W4", "2027-06-09", {"cool_s": 1900, "fan": False}),
        )),
    ]  # fmt: skip
    told = in_page("parts/weighing.js", MADE, {"id": "bar", "net_g": 28, "row": 10}, rows)
    assert [one[0] for one in told["missing"]] == ["honey_residue", "cappings", "wax_melted", "wax_dipped", "wax_coarse", "wax_back"]
    assert told["missing"][0] == ["honey_residue", 201, "g", False, "honey from the cappings"] and told["missing"][-1][1] == 207
    assert told["own"] == [{"cool_s": 1900, "fan": False}, {"cool_s": 1700, "fan": False}, {"cool_s": 1500, "fan": True}]
    assert (told["all"], told["rows"], told["cappings"], told["wax_fine"], told["cool"]) == (False, [10, 6], 40, 900, 31)
    assert (told["per"], told["grams"], told["made"]) == (28_850, 289, [["bar", "jar"], ["bar"], ["jar"]])
