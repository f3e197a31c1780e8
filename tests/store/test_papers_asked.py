"""What each paper is asked with when its key is touched, and what is told once it went to the printer."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import TODAY, carton, good, moved
from screens.rows import ROWS, SETTINGS
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
ASKED = """
  const { askAlso } = await module('kernel/work.js');
  const heard = [];
  const answer = { html: '<body>paper</body>', notes: ['Mind the edge.'] };
  askAlso({ inReach: () => true, ask: async (name, request) => (heard.push([name, request]), { answer }) });
  const told = [];
  for (const [tag, given, ...keys] of asked) {
    const screen = new Screen(tag, given);
    await settled(screen);
    for (const words of keys) {
      heard.length = 0;
      screen.touch(words);
      const said = (await settled(screen)).filter((line) => line.includes('rinted'));
      told.push({ asked: heard.slice(), said });
    }
    screen.leave();
  }
  return told;"""
FACTS: Json = {"size": "letter", "today": TODAY, "day": TODAY}
PRINTED = "Printed from this device. Mind the edge."
GOODS: list[Json] = [
    good("jar", ("honey jar", "honey jars", ""), 2, 1200, kind="honey"), good("bar", ("wax bar", "wax bars", ""), 1, 300, kind="wax"),
    good("free", ("sample", "samples", ""), 3, 0, kind="wax"), good("old", ("old bar", "old bars", ""), 4, 100, kind="wax", hidden=True),
    good("kept", ("candle", "candles", ""), 5, 100, kind="wax", sold=False),
    good("left", ("lamp", "lamps", ""), 6, 100, kind="wax", sold=False),
    good("later", ("comb", "combs", ""), 7, 0, kind="honey", prices=[{"place": "", "since": "2027-09-01", "cents": 900, "steps": []}]),
    *carton("c6", "6×4×4", [6, 4, 4], 41), moved("left", 2, "opening", "2027-06-01"), moved("bar", 3, "opening", "2027-06-01"),
]  # fmt: skip


def asked(room: str, cases: list[list[Any]], rows: list[Json]) -> list[Json]:
    told: list[Json] = drawn_in_page(f"rooms/{room}/{room}-room.js", ASKED, cases, rows)
    return told


def without(request: Json, *names: str) -> Json:
    return {name: value for name, value in request.items() if name not in names}


def test_papers_for_the_wall_and_the_test_sheet() -> None:
    """What is offered and has a price, now or from a day on, stands on the price list; the test sheet is no sheet of labels."""
    keys = ["papers-board", {}, "print the price list", "print care cards", "print the test sheet"]
    prices, care, trial = asked("settings", [keys], GOODS)
    assert [one["said"] for one in (prices, care, trial)] == [[PRINTED] * times for times in (1, 2, 3)], "Each key tells of its own."
    [[name, request]] = prices["asked"]
    assert name == "documents.prices" and without(request, "goods", "house") == FACTS
    assert [row["id"] for row in request["goods"]] == ["bar", "jar", "later"]
    assert [(name, without(request, "house")) for name, request in care["asked"]] == [
        ("documents.care", {**FACTS, "honey": True, "wax": True}),
    ]  # fmt: skip
    [[name, request]] = trial["asked"]
    assert name == "documents.jar_labels" and without(request, "house", "sheet") == {**FACTS, "trial": True}
    assert (request["sheet"]["columns"], request["sheet"]["rows"]) == (3, 10)


def test_care_cards_are_of_what_is_offered() -> None:
    wax, honey = (asked("settings", [["papers-board", {}, "print care cards"]], [one])[0]["asked"][0][1] for one in (GOODS[1], GOODS[0]))
    assert [(one["wax"], one["honey"]) for one in (wax, honey)] == [(True, False), (False, True)]


def test_the_counting_sheet_has_what_is_offered_or_lies_here_and_the_cartons_last() -> None:
    [told] = asked("shelf", [["shelf-room", {"path": []}, "print a counting sheet"]], GOODS)
    [[name, request]] = told["asked"]
    assert told["said"] == [PRINTED] and name == "documents.counting" and without(request, "house", "shelf") == FACTS
    assert [(row["good"]["id"], row["lots"]) for row in request["shelf"]] == [
        ("bar", [{"lot": None, "units": 3, "made_on": None}]), ("jar", []), ("free", []),
        ("left", [{"lot": None, "units": 2, "made_on": None}]), ("later", []), ("c6", []),
    ]  # fmt: skip


def test_labels_of_a_lot_go_on_where_the_sheet_was_left() -> None:
    """The next sheet begins at the first label that is free; as many as the lot has, unless a number was typed."""
    cases = [["labels-board", {"good": "bar"}, "print 50 labels", "no lot on it", "print 30 labels", "“7” 7", "print 7 labels"]]
    fifty, _, thirty, _, seven = asked("shelf", cases, ROWS)
    assert [one["said"] for one in (fifty, thirty, seven)] == [
        [f"{many} labels printed from this device. Mind the edge."] for many in (50, 30, 7)
    ]  # fmt: skip
    requests = [one["asked"][0][1] for one in (fifty, thirty, seven)]
    assert [(one["lot"], one["count"], one["first"]) for one in requests] == [("W27-200-1", 50, 1), ("", 30, 21), ("", 7, 21)]
    assert all(one["good"]["id"] == "bar" and one["house"] == SETTINGS for one in requests)


def test_the_papers_of_a_parcel() -> None:
    label, slip, sheet = asked("bench", [
        ["pack-deck", {"order": "o3"}, "print the address label", "print the slip"],
        ["bench-room", {"path": []}, "print the gathering sheet"],
    ], ROWS)  # fmt: skip
    assert label["said"] == [PRINTED] and "Printed from this device." in slip["said"] and sheet["said"] == ["Printed from this device."]
    assert [one["asked"][0][0] for one in (label, slip, sheet)] == ["quoting.label", "quoting.slip", "quoting.gathering"]
    assert (label["asked"][0][1]["label_size"], label["asked"][0][1]["order"]["id"]) == ("label", "o3")
    assert slip["asked"][0][1] == without(label["asked"][0][1], "label_size")


def test_labels_are_of_the_last_of_the_lots_of_a_day() -> None:
    codes = ("W27-190-9", "W27-190-10")
    lot: Json = {"table": "lot", "good": "bar", "made_on": "2027-07-09", "sources": [], "measures": {}}
    lots = [{**lot, "id": code} for code in codes]
    rows = [GOODS[1], *lots, *(moved("bar", 4, "poured", "2027-07-09", code) for code in codes)]
    [told] = asked("shelf", [["labels-board", {"good": "bar"}, "print 4 labels"]], rows)
    assert told["asked"][0][1]["lot"] == "W27-190-10"
