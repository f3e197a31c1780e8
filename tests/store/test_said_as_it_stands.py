"""What a board says and writes of what stands already, of what is only half done, and of a figure while it is typed."""

from __future__ import annotations

from typing import Any

import pytest

from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page
from store.in_page import in_page

Json = dict[str, Any]

STANDING = """asked.map(({ state, sure, handed }) => {
  known.view.orders.get('o1').state = state;
  const all = [{ id: 'o1' }, ...known.view.ridersOf('o1')].flatMap(({ id: order }) => known.view.linesOf(order));
  for (const { id } of all) {
    known.view.board.sure.set(id, sure);
    known.view.board.handed.set(id, handed);
  }
  return here.standing(known.view.orders.get('o1'), known.view);
})"""


def test_an_order_that_is_packed_but_for_a_part_says_that_the_part_waits() -> None:
    """Of five bars ordered: all sure, some, none; packed or only promised."""
    asked = [{"state": state, "sure": sure, "handed": 0} for state in ("packed", "promised") for sure in (5, 2, 0)]
    rows = [{**row, "units": 5} if row["table"] == "line" and row["order"] == "o1" else row for row in ROWS]
    assert in_page("rooms/bench/order-work.js", STANDING, asked, rows) == [
        "packed", "packed; part of it waits", "packed; part of it waits", "", "part of it waits", "waits",
    ]  # fmt: skip


def test_a_reading_is_looked_at_once_nobody_types_any_more() -> None:
    """Of 1, 12 and 120 grams the last is asked about, a while after it was typed."""
    body = """const { askAlso } = await module('kernel/work.js');
      const weighed = [], waits = [];
      const answer = { verdict: 'light', said: 'Too light.' };
      askAlso({ inReach: () => true, ask: async (_name, { scale_g }) => (weighed.push(scale_g), { answer }) });
      const { setTimeout: later } = globalThis;
      globalThis.setTimeout = (work, ms) => (waits.push(ms), 0);
      const planned = { gross_g: 500, gross_sd_g: 3, contents: [] };
      const screen = new Screen('scale-deck', { parcel: { id: 'p1', gross_g: 500 }, planned, pieces: [], empty_g: 80 });
      const heard = [];
      for (const digit of ['1', '2', '0']) {
        screen.said();
        screen.touch(digit);
        heard.push(screen.said().includes('Too light.'));
      }
      const asked_early = weighed.length;
      globalThis.setTimeout = later;
      screen.touch('⌫');
      screen.said();
      screen.touch('0');
      return [heard, asked_early, Math.min(...waits), (await settled(screen)).filter((line) => line.includes('Too light.')), weighed];"""
    said, early, pause_ms, warned, weighed = drawn_in_page("rooms/bench/scale-deck.js", body, None, ROWS)
    assert (said, early, warned, weighed) == ([False] * 3, 0, ["(heed):Too light."], [120])
    assert pause_ms >= 300


LIMIT = {"name": "wax_mark_c", "words": "bars take marks", "unit": "°", "usual_tenths": 380, "source": "measured"}
HEAT = """
  const { askAlso } = await module('kernel/work.js');
  askAlso({ inReach: () => true, ask: async () => ({ answer: { limits: [asked.limit] } }) });
  const log = () => db.read(['log'], (tx) => tx.objectStore('log').getAll());
  const wrote = async () => (await log()).flatMap(({ operation: { rows } }) => rows.map(({ id, value }) => [id, value]));
  const screen = new Screen('heat-board');
  await settled(screen);
"""


@pytest.mark.parametrize(("typed", "written"), [
    ("100.4", []), (" 100.4 ", []), ("100.5", [["thresholds", {"wax_mark_c": 381}]]), ("warm", []),
])  # fmt: skip
def test_a_figure_under_heat_typed_as_it_stands_is_not_written_again(typed: str, written: list[Any]) -> None:
    body = f"""{HEAT}
      screen.fill('input', 'warm', 0);
      const wrong = (await settled(screen)).some((line) => line.includes('is no figure'));
      screen.fill('input', asked.typed, 0);
      return [wrong, (await settled(screen)).some((line) => line.includes('is no figure')), await wrote()];"""
    told = drawn_in_page("rooms/settings/heat-board.js", body, {"limit": LIMIT, "typed": typed}, ROWS)
    assert told == [True, typed == "warm", written]


def test_a_choice_under_heat_that_stands_is_not_written_again() -> None:
    body = f"""{HEAT}
      for (const words of ['metal, in the sun', '3 pm', 'may be advised', 'porch']) {{
        screen.touch(words);
        await settled(screen);
      }}
      return wrote();"""
    assert drawn_in_page("rooms/settings/heat-board.js", body, {"limit": LIMIT}, ROWS) == [["mailbox", "porch_sun"]]


NONE_HERE = "(heed):None of them lies here: no parcel is packed with a padding until one is counted or brought back."
MATERIAL = {"name": "wool", "thickness_mm": 13, "mw_per_mk": 40, "kg_per_m3": 35, "cost_cents": 0}


@pytest.mark.parametrize(("listed", "said"), [
    ([], "None is listed: the plan reckons with a recycled fiber batt of 15 mm."),
    ([{"hidden": True, "here": None}], NONE_HERE), ([{"hidden": False, "here": 0}], NONE_HERE),
    ([{"hidden": False, "here": 0}, {"hidden": False, "here": 1}], None), ([{"hidden": False, "here": None}], None),
])  # fmt: skip
def test_where_no_padding_lies_here_it_is_said_what_that_means(listed: list[Json], said: str | None) -> None:
    """As the plan has it: what is listed and used up, or put away, is not reckoned with, and nothing stands in for it."""
    paddings = [{"id": f"p{at}", **MATERIAL, **row} for at, row in enumerate(listed)]
    rows = [row for row in ROWS if row["id"] not in ("paddings", "cold_packs")]
    rows += [{"table": "setting", "id": "paddings", "value": paddings}]
    lines = drawn_in_page("rooms/settings/padding-board.js", "return settled(new Screen('padding-board'));", None, rows)
    assert [line for line in lines if "None" in line and "cold" not in line and "6 × 4" not in line] == ([said] if said else [])


def test_a_lot_typed_wrong_for_one_good_is_not_told_of_the_next() -> None:
    """Two lines of one order: what was typed for the first is not in the field of the second, and nothing is said of it."""
    body = """const screen = new Screen('parcel-board', { order: 'o1' });
      await settled(screen);
      const swap = async (lot) => {
        screen.touch(`another lot than ${lot}`);
        return (await settled(screen)).join(' ');
      };
      await swap('W27-190-1');
      screen.fill('lot', 'Z99');
      screen.touch('this one');
      const wrong = (await settled(screen)).join(' ');
      return [wrong, await swap('J27-180-1')];"""
    rows = [{**row, "state": "promised"} if row["id"] == "o1" else row for row in ROWS]
    wrong, other = drawn_in_page("rooms/bench/parcel-board.js", body, None, rows)
    assert "No lot Z99 is in the book." in wrong
    assert "Which did you take?" in other and "No lot Z99" not in other


def test_a_helpers_device_is_told_who_answers_the_first_questions() -> None:
    """And is shown none of them; an owner's sees their list."""
    body = """const told = [];
      for (const role of ['helper', 'keeper']) {
        known.identity.role = role;
        for (const path of [[], ['name']]) told.push((await settled(new Screen('first-walk', { path }))).join(' '));
      }
      return told;"""
    helper, at_name, own, own_name = drawn_in_page("rooms/settings/first/first-walk.js", body, None, ROWS)
    assert helper == at_name == "This is a helper's device. An owner's device answers the first questions."
    assert "# First questions" in own and "What is your honey house called" in own_name
