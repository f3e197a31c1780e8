"""Molds that cool, water by the honey's warmth, a step of another stage, a weighing by difference, and a day's papers in piles."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import TODAY, bulk, good, moved, order
from store.drawn_in_page import drawn_in_page
from store.in_page import in_page

Json = dict[str, Any]
ROWS: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 300, kind="wax", row=10, net_g=28, gross_g=30),
    *(bulk(id, id, 20) for id in ("honey_bulk", "honey_residue", "cappings", "wax_melted", "wax_dipped", "wax_coarse", "wax_fine",
        "wax_back")),
    moved("wax_melted", 2000, "came", "2027-07-01"), moved("wax_dipped", 1000, "came", "2027-07-01"), moved("bar", 40, "opening",
        "2027-06-01"),
    *order("o1", None, "post", "packed", TODAY, {"bar": (5, 1250)}),
    {"table": "parcel", "id": "p1", "order": "o1", "part": 1, "packed_on": TODAY, "dressing": "plain", "gross_g": 300, "gross_sd_g": 5,
        "plan": {"contents": {"bar": 5}}},
    *order("o2", None, "post", "packed", TODAY, {"bar": (6, 1500)}),
    *({"table": "parcel", "id": f"p2{part}", "order": "o2", "part": part, "packed_on": TODAY, "dressing": "plain", "gross_g": 200,
        "plan": {"contents": {"bar": 3}}}
      for part in (1, 2)),
    *order("o4", None, "post", "packed", TODAY, {"bar": (5, 1250)}),
    {"table": "parcel", "id": "p4", "order": "o4", "part": 1, "packed_on": TODAY, "dressing": "plain", "gross_g": 300,
        "plan": {"contents": {"bar": 5}}},
    *order("o3", None, "post", "packed", TODAY, {"bar": (5, 1250)}),
    {"table": "parcel", "id": "p3", "order": "o3", "part": 1, "packed_on": TODAY, "dressing": "plain", "gross_g": 300,
        "plan": {"contents": {"bar": 4, "jar": 1}}},
]  # fmt: skip


def test_a_mold_says_how_long_it_is_to_cool_and_since_when_it_is_ready() -> None:
    """Nothing works out how long here: it is 45 minutes."""
    body = """const { freshPour, keepPour } = await module('parts/pour-state.js');
      keepPour({ ...freshPour(asked.length), sets: asked.map((ago) => ({ state: 'cooling', at: Date.now() - ago * 1000, cool_s: 0,
          due_s: 2700 })) });
      const screen = new Screen('pour-deck');
      const lines = (await settled(screen)).filter((line) => line.startsWith('[set')).map((line) => line.replace(' [step back]', ''));
      return [lines, [...screen.whole().matchAll(/data-state="(.*?)"/g)].map(([, state]) => state)];"""
    assert drawn_in_page("rooms/melt/pour-deck.js", body, [0, 2699, 2700, 2701], ROWS) == [
        ["[set 1knock out cool 45:00 more]", "[set 2knock out cool 0:01 more]", "[set 3knock out ready since 0:00]",
         "[set 4knock out ready since 0:01]"],
        ["cooling", "cooling", "ready", "ready"],
    ]  # fmt: skip


def test_a_device_that_keeps_no_timers_says_so() -> None:
    body = """const screen = new Screen('pour-deck');
      await settled(screen);
      localStorage.setItem = () => { throw new Error('full'); };
      screen.touch('pour');
      return (await settled(screen)).filter((line) => line.includes('keeps no timers'));"""
    words = "(heed):This device keeps no timers (its storage is full): note the times on paper."
    assert drawn_in_page("rooms/melt/pour-deck.js", body, None, ROWS) == [words]


def test_a_reading_is_asked_with_the_warmth_of_the_honey_and_as_it_is_where_the_instrument_corrects() -> None:
    """Without a figure it is 68 °F; what was reckoned is written down, else the reading of an instrument that corrects itself."""
    body = """const { askAlso } = await module('kernel/work.js');
      const found = [];
      askAlso({ inReach: () => asked.answers, ask: async (name, request) => (name.includes('moisture') && found.push(request),
        { answer: { words: 'so wet', water_percent: 17.64 } }) });
      const made = [];
      for (const [itself, values] of asked.readings) {
        const screen = new Screen('extract-deck', { itself, values, buckets: [9000] });
        const lines = await settled(screen);
        screen.properties = {};
        screen.touch('to the book');
        await settled(screen);
        made.push([lines.includes('so wet'), [...known.view.lots.values()].at(-1).measures.water_permille ?? null]);
      }
      return [made, found.filter((one, at) => JSON.stringify(one) !== JSON.stringify(found[at - 1]))];"""
    readings = [[True, {"reading": 18.2}], [False, {"reading": 18.2}], [False, {"reading": 18.2, "warmth": 77}]]
    made, found = drawn_in_page("rooms/melt/extract-deck.js", body, {"answers": True, "readings": readings}, ROWS)
    assert made == [[True, 176]] * 3
    assert [one["temperature_c"] for one in found] == [20, 20, 25]
    assert [one["corrects_itself"] for one in found] == [True, False, False]
    made, found = drawn_in_page("rooms/melt/extract-deck.js", body, {"answers": False, "readings": readings[:2]}, ROWS)
    assert (made, found) == ([[False, 182], [False, None]], [])


def test_the_deck_of_another_stage_begins_empty() -> None:
    body = """const screen = new Screen('step-deck', { from: 'wax_melted' });
      const entered = async () => (await settled(screen)).find((line) => line.includes('What to weigh'));
      await settled(screen);
      for (const words of ['“1” 1', 'next', '“1” 1']) { screen.touch(words); await settled(screen); }
      const before = await entered();
      screen.properties = { from: 'wax_dipped' };
      return [before, await entered()];"""
    assert drawn_in_page("rooms/melt/step-deck.js", body, None, ROWS) == [
        "“What to weigh” : [first melt in 1 lb] [dipped wax out 1 lb] (pressed)",
        "“What to weigh” : [dipped wax in 2 lb 3 oz] (pressed) [coarse screened wax out –]",
    ]


def test_only_a_single_parcel_of_one_good_that_was_weighed_empty_teaches_its_weight() -> None:
    body = """const notes = await module('parts/bench-notes.js');
      for (const id of ['o1', 'o2', 'o3']) notes.note(id, { empty_g: 120 });
      const weighed = async (order, note) => {
        const screen = new Screen('pack-deck', { order, note });
        await settled(screen);
        screen.touch('on the scale');
        const lines = await settled(screen);
        if (lines.some((line) => line.includes('[type grams]'))) { screen.touch('type grams'); await settled(screen); }
        for (const digit of '270') { screen.touch(`“${digit}” ${digit}`); await settled(screen); }
        screen.touch('write it down');
        await settled(screen);
        return [lines[0], notes.weighingsOf('bar').length];
      };
      return [await weighed('o2', notes.noteOf('o2')), await weighed('o3', notes.noteOf('o3')), await weighed('o4', notes.noteOf('o4')),
        await weighed('o1', notes.noteOf('o1')), notes.weighingsOf('bar')];"""
    asks = "# What does the scale say? Planned {}."
    two, mixed, never, empty, kept = drawn_in_page("rooms/bench/pack-deck.js", body, None, ROWS)
    assert (two, mixed, never) == ([asks.format("7 oz"), 0], [f"{asks.format('11 oz')} Empty it was 4 oz.", 0], [asks.format("11 oz"), 0])
    assert empty == [f"{asks.format('11 oz')} Empty it was 4 oz.", 1]
    assert kept == [{"parcel": "p1", "count": 5, "net_g": 150, "division_g": 5}]


def test_a_days_papers_go_to_the_printer_in_piles_of_a_hundred_and_stop_where_they_are_stopped() -> None:
    body = """(async () => {
      const { askAlso } = await module('kernel/work.js');
      const told = [];
      askAlso({ inReach: () => true, ask: async (name, { at,
          told: plan }) => ({ answer: name.includes('gathering') ? { html: '<p>sheet</p>' }
        : (told.push(plan ?? null), { slip: '<body>slip</body>', label: at % 50 ? '<body>label</body>' : null,
            no_label: at === 50 ? 'no address' : '', parcels: [at] }) }) });
      const day = async (many, stopped) => {
        const [pages, steps, stop] = [[], [], new AbortController()];
        const asked = Array.from({ length: many }, (_, at) => () => ({ number: `A-${at}`, alike: at < 2 ? 'same' : `${at}`, request: { at },
          ...(at % 2 ? { row: { at } } : {}) }));
        const tell = ({ done, of }) => { steps.push(of); if (done === stopped) stop.abort(); };
        const came = await here.printPile(asked, {}, tell, stop.signal, async (page) => pages.push(['slip', 'label',
            'sheet'].map((word) => page.split(`>${word}<`).length - 1)));
        return [came.printed, came.without, pages, steps.length];
      };
      return [await day(99), await day(100), await day(101), await day(5, 3), await day(1), told.slice(0, 3)];
    })()"""
    pages = in_page("rooms/bench/day-pile.js", f"await {body}", None, ROWS)
    without = ["A-50: no address"]
    assert pages == [
        [99, without, [[99, 0, 0], [0, 97, 0], [0, 0, 1]], 99],
        [100, without, [[100, 0, 0], [0, 98, 0], [0, 0, 1]], 100],
        [101, without, [[100, 0, 0], [0, 98, 0], [1, 0, 0], [0, 0, 1]], 101],
        [3, [], [[3, 0, 0], [0, 2, 0], [0, 0, 1]], 3],
        [1, [], [[1, 0, 0]], 1],
        [None, [0], None],
    ]
