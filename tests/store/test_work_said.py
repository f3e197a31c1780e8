"""What is said at the Bench, at the stove and of the other calls where a screen comes to it seldom: drawn and touched by itself."""

from __future__ import annotations

from typing import Any

import pytest

from screens.kinds_of_rows import TODAY, good, moved, order, person
from screens.rows import DULUTH
from store.drawn_in_page import drawn_in_page
from store.in_page import in_page

Json = dict[str, Any]
ROWS: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 300, kind="wax", row=10, net_g=28, gross_g=30),
    good("jar", ("honey jar", "honey jars", "jars"), 2, 1200, kind="honey"),
    moved("bar", 40, "opening", "2027-06-01"),
    person("ann", "Ann Tollefson", "+12185550142", DULUTH),
    *order("o1", "ann", "post", "packed", TODAY, {"bar": (5, 1250)}, heat="fine"),
    *order("o2", "ann", "post", "promised", TODAY, {"bar": (5, 1250)}, number="A-2"),
]  # fmt: skip
"""A house with a good of each kind, a parcel that is packed and one that is not."""


def test_runs_of_lots_leave_out_what_is_used_up_and_forget_what_is_as_planned_again() -> None:
    body = """[
      here.lotsFor('bar', 7, { lotBalance: () => [{ lot: 'A', units: 0 }, { lot: 'B', units: -2 }, { lot: 'C', units: 3 }, { lot: null,
          units: 4 },
        { lot: 'D', units: 9 }] }),
      here.lotsFor('bar', 3, { lotBalance: () => [{ lot: 'A', units: 2 }] }),
      here.withLot([{ lot: 'B', units: 4, meant: 'A' }, { lot: 'A', units: 2 }], 0, 3, 'A'),
      here.withLot([{ lot: 'A', units: 4 }], 1, 2, null),
    ]"""
    assert in_page("rooms/bench/lots.js", body) == [
        [{"lot": "C", "units": 3}, {"lot": None, "units": 4}],
        [{"lot": "A", "units": 2}, {"lot": None, "units": 1}],
        [{"lot": "A", "units": 3}, {"lot": "B", "units": 1, "meant": "A"}, {"lot": "A", "units": 2}],
        [{"lot": "A", "units": 1}, {"lot": None, "units": 2, "meant": "A"}, {"lot": "A", "units": 1}],
    ]


PARCEL: Json = {"carton_name": "6×4×4", "gross_words": "1 lb", "part": 1}
CARTONS: list[tuple[Json, Json, str]] = [
    ({"state": "working"}, {}, "# choosing the carton …"),
    ({"state": "refused", "why": "That cannot be."}, {}, "# Carton by eye; That cannot be."),
    ({"state": "none"}, {}, "# Carton by eye; Nothing of it is here to pack yet."),
    ({"state": "unknown", "why": "Not awake."}, {}, "# Carton by eye; Not awake. Pack as you know how; weigh it, and it is kept."),
    ({"parcel": {"parcels": [PARCEL], "proved": True}}, {}, "# 6×4×4; 1 lb packed. Proved the smallest."),
    ({"parcel": {"parcels": [PARCEL], "proved": False}}, {}, "# 6×4×4; 1 lb packed. The best found."),
    ({"parcel": {"parcels": [PARCEL], "said": "Nothing smaller does."}}, {}, "# 6×4×4; 1 lb packed. Nothing smaller does."),
    ({"parcel": {"parcels": [PARCEL], "said": "x"}}, {"carton": "c6"}, "# 6×4×4; 1 lb packed. Chosen by hand."),
]  # fmt: skip


def test_a_carton_says_why_it_is_this_one() -> None:
    body = """const order = known.view.orders.get('o2');
      return asked.map(([{ state = 'known', why = '', parcel }, note]) =>
        said(here.cartonSaid(order, { state, why, answer: parcel ? { parcel } : null }, note)).join('; '));"""
    asked = [(call, note) for call, note, _said in CARTONS]
    assert drawn_in_page("rooms/bench/parcel-said.js", body, asked, ROWS) == [told for _call, _note, told in CARTONS]


def test_what_to_mind_names_the_box_where_there_are_several() -> None:
    body = """[here.minded(null), here.minded({ cautions: ['Glass.'], parcel: { parcels: [{ part: 1, notes: ['One note.'] }] } }),
      here.minded({ parcel: { parcels: [{ part: 1, notes: ['One.', 'Two.'] }, { part: 2 }, { part: 3, notes: ['Three.'] }] } })]"""
    assert in_page("rooms/bench/parcel-said.js", body, None, ROWS) == [
        [], ["Glass.", "One note."], ["Box 1: One.", "Box 1: Two.", "Box 3: Three."],
    ]  # fmt: skip


def test_what_heat_will_do_and_what_does_not_go_into_a_carton_chosen_by_hand() -> None:
    body = """const [packed, promised] = ['o1', 'o2'].map((id) => known.view.orders.get(id));
      const { packOtherwise } = await module('rooms/bench/otherwise.js');
      const heat = { verdict_words: 'may melt', chance_words: '1 in 5', when_words: '', harmless: false };
      const of = (order, answer) => said(here.heatSaid(order, { answer, asked: {} })).slice(2).join('; ');
      const chosen = (parcel) => said(packOtherwise({ order: promised, carton: 'c6', answer: { parcel }, choose() {}, dress() {} }))
        .filter((line) => line.startsWith('It ')).join();
      return [of(packed, {}), of(promised, { heat, advice: { words: 'pad it' } }), of(promised, { heat: { ...heat, harmless: true },
          advice: { words: 'pad it' } }),
        of(promised, { heat, basis: 'normals' }), of(promised, { unknown: ['No ZIP.'] }), of(promised, null),
        chosen({ ok: true, words: 'just so', posting_cents: 950 }), chosen({ ok: true, words: 'just so', posting_cents: null }),
        chosen({ ok: false, why_not: [{ why: 'too long' }] }), chosen({ ok: false, why_not: [] })];"""
    assert drawn_in_page("rooms/bench/parcel-said.js", body, None, ROWS) == [
        "heat; fine", "heat; may melt (heed), 1 in 5; pad it", "heat; may melt",
        "heat; may melt (heed), 1 in 5; By the normals.", "heat; No ZIP.", "",
        "It goes in: just so, mailing $9.50.", "It goes in: just so.",
        "It does not go in: (heed) too long.", "It does not go in: (heed) nothing here holds it.",
    ]  # fmt: skip


LEARNED = """const notes = await module('parts/bench-notes.js');
  const { askAlso } = await module('kernel/work.js');
  const asked_of = [];
  askAlso({ inReach: () => true, ask: async (name, request) => (asked_of.push([name, request]), { answer: asked.answer }) });
  for (let at = 0; at < asked.times; at += 1) notes.keepWeighing('bar', { parcel: `p${at}`, count: 5, net_g: 170, division_g: 5 });
"""


@pytest.mark.parametrize(("times", "role", "mass", "spread", "offered"), [
    (2, "keeper", 33.3, 2.8, False), (3, "keeper", 33.3, 2.8, True), (3, "helper", 33.3, 2.8, False),
    (3, "keeper", 30.2, 0.5, False), (3, "keeper", 30.2, 0.624, False), (3, "keeper", 30.2, 0.625, True), (3, "keeper", 30.2, 0.3, True),
])  # fmt: skip
def test_a_weight_is_learned_from_three_weighings_by_an_owner_where_it_differs(
    times: int, role: str, mass: float, spread: float, offered: bool
) -> None:
    body = f"""{LEARNED}
      known.identity.role = asked.role;
      const screen = new Screen('learnt-weight', {{ good: 'bar' }});
      return [await settled(screen), asked_of];"""
    asked = {"times": times, "role": role, "answer": {"mass_g": mass, "mass_sd_g": spread}}
    said, asked_of = drawn_in_page("rooms/bench/learnt-weight.js", body, asked, ROWS)
    words = f"A wax bar weighs {mass:.1f} g on your scale, give or take {spread:.1f} g; the book says 30 g."
    assert said == ([words, f"[use {round(mass)} g from now on]"] if offered else [])
    if offered:
        assert asked_of == [["packing.learn_mass", {"mass_g": 30, "mass_sd_g": 0.5, "weight": 4, "weighings": [
            {"parcel": f"p{at}", "count": 5, "net_g": 170, "division_g": 5} for at in range(times)]}]]  # fmt: skip


def test_what_was_learned_is_written_down_once_and_undone_with_its_weighings() -> None:
    body = f"""{LEARNED}
      const screen = new Screen('learnt-weight', {{ good: 'bar' }});
      const kept = () => notes.weighingsOf('bar').length;
      const told = [await settled(screen), kept()];
      screen.touch('use 33 g');
      told.push(await settled(screen), kept(), known.view.goods.get('bar').gross_g);
      screen.touch('undo');
      return [...told, await settled(screen), kept(), known.view.goods.get('bar').gross_g];"""
    asked = {"times": 3, "answer": {"mass_g": 33.3, "mass_sd_g": 2.8}}
    before, kept, after, left, grams, undone, again, as_before = drawn_in_page("rooms/bench/learnt-weight.js", body, asked, ROWS)
    assert (before[-1], kept) == ("[use 33 g from now on]", 3)
    assert (after[0], left, grams) == ("The book has learned it.", 0, 33)
    assert (undone[-1], again, as_before) == ("[use 33 g from now on]", 3, 30)
