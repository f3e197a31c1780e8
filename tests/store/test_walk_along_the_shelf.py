"""The walk along the shelf: where it stops and in which order, what a difference is written down as, and how it goes on another time."""

from __future__ import annotations

from typing import Any

from screens.acts import touch
from screens.kinds_of_rows import carton, good, moved
from store.drawn_in_page import drawn_in_page
from store.screens_in_page import Moment, played, screen

Json = dict[str, Any]
ROWS: list[Json] = [
    *carton("c6", "6×4×4", [6, 4, 4], 41),
    good("jar", ("honey jar", "honey jars", "jars"), 3, 1200, kind="honey"),
    good("bar", ("wax bar", "wax bars", "bars"), 2, 300, kind="wax"),
    good("old", ("old bar", "old bars", ""), 1, 100, kind="wax", hidden=True),
    good("kept", ("candle", "candles", ""), 5, 100, kind="wax", sold=False),
    good("left", ("lamp", "lamps", ""), 4, 100, kind="wax", sold=False),
    good("loose", ("loose wax", "", ""), 1, 100, kind="wax", unit="g"),
    {"table": "lot", "id": "W27-190-1", "good": "bar", "made_on": "2027-07-09", "sources": [], "measures": {}},
    moved("bar", 8, "poured", "2027-07-09", "W27-190-1"), moved("bar", 4, "opening", "2027-06-01"),
    moved("old", 9, "opening", "2027-06-01"),
    moved("left", 2, "opening", "2027-06-01"), moved("loose", 900, "opening", "2027-06-01"),
]  # fmt: skip


def stop(moment: Moment) -> tuple[str, str]:
    """Which lot is asked about, and of which good."""
    at = next(place for place, line in enumerate(moment.lines) if ": the book says " in line)
    return moment.lines[at - 1].removeprefix("# "), moment.lines[at]


def test_it_stops_at_every_lot_of_what_is_offered_or_lies_here() -> None:
    """Cartons last; what is by weight or put away is not walked, and what the book does not know is at none."""
    as_the_book_says = [touch(f"{units} lie there") for units in (8, 4, 0, 2, 0)]
    [moments] = played(screen("count-walk", *as_the_book_says), rows=ROWS, room="shelf")
    assert [stop(moment) for moment in moments[:-1]] == [
        ("W27-190-1, Fri Jul 9", "wax bars: the book says 8"), ("no lot written", "wax bars: the book says 4"),
        ("no lot written", "honey jars: the book says 0"), ("no lot written", "lamps: the book says 2"),
        ("no lot written", "cartons 6×4×4: the book says 0"),
    ]  # fmt: skip
    told = ["0 counts done, 5 to go.", "1 count done, 4 to go.", *(f"{done} counts done, {5 - done} to go." for done in (2, 3, 4))]
    assert [moment.lines[2] for moment in moments] == [*told, "All counted."]
    assert moments[-1].lines[3:] == ["So far as the book says.", "[walk again]"]


WALKED = """
  const screen = new Screen('count-walk');
  const told = [];
  for (const words of asked) {
    const before = known.entries.size;
    await settled(screen);
    screen.touch(words);
    const lines = await settled(screen);
    const wrote = [...known.entries.values()].slice(before).flatMap(({ operation: { rows } }) =>
      rows.filter(({ table }) => table === 'movement').map(({ good, lot, units, reason }) => [good, lot, units, reason]));
    told.push([lines.filter((line) => /fewer|more|^wax bars,|^wax bars$|^lamps/.test(line) && !line.includes('undo')), wrote,
      JSON.parse(localStorage.getItem('honeyhold.walk'))?.found.map(({ gap, reason }) => [gap, reason]) ?? null]);
  }
  return told;"""


def test_a_difference_is_written_down_as_what_it_was() -> None:
    """Fewer are gone for a reason, or nobody knows; more are counted; what is undone is walked to again, and all of it on another walk."""
    keys = ["“6” 6", "given away", "“5” 5", "1 more than the book", "0 lie there", "“0” 0", "nobody knows", "undo", "8 lie there",
            "0 lie there", "walk again"]  # fmt: skip
    told = drawn_in_page("rooms/shelf/shelf-room.js", WALKED, keys, ROWS)
    wrote = [entries for _, entries, _ in told]
    gift = ["bar", "W27-190-1", -2, "gift"]
    assert wrote[1] == [gift] and wrote[3] == [["bar", None, 1, "counted"]], wrote
    assert wrote[6] == [["left", None, -2, "counted"]], wrote
    assert [entries for place, entries in enumerate(wrote) if place not in (1, 3, 6, 7)] == [[]] * 7
    gone, more, none, unknown = [-2, "gift"], [1, "counted"], [0, None], [-2, "counted"]
    assert [kept for *_, kept in told] == [
        None, [gone], [gone], [gone, more], [gone, more, none], [gone, more, none], [gone, more, none, unknown], [more, none, unknown],
        [more, none, unknown, none], [more, none, unknown, none, none], [],
    ]  # fmt: skip
    assert told[0][0] == ["# 2 fewer than the book. Why?"]
    assert told[1][0] == ["2 fewer", "wax bars, W27-190-1: given away"]
    assert told[6][0] == ["2 fewer", "wax bars, W27-190-1: given away", "1 more", "wax bars", "2 fewer", "lamps: nobody knows"]
    assert told[9][0] == ["1 more", "wax bars", "2 fewer", "lamps: nobody knows"] and told[10][0] == []
