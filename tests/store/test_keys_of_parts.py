"""Parts by their keys: the number pad, the scale, undo, the finder of people, the search, heat looked at and looked at again."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.kinds_of_rows import carton, good, moved, order, person
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = (WEB.parent / "tests/screens").as_uri()
PLAY = """(async () => {
  const { Screen, wordsOf } = await import(`${asked.screens}/drawn.mjs`);
  const { effectsSince } = await import(`${asked.screens}/effects.mjs`);
  const { printed } = await import(`${asked.screens}/page.mjs`);
  const { askAlso } = await module('kernel/work.js');
  const acts_ = await module('store/acts.js');
  await (await module('store/phones.js')).phonesReady();
  const answers = asked.answers ?? {}, out = [], ops = [];
  askAlso({ inReach: () => true, ask: async (name, request) => {
    out.push([name, request]);
    const answer = answers[`${name} ${request.who ?? ''}`] ?? answers[name];
    return answer ? { answer } : null;
  } });
  for (const [name, ...given] of asked.before ?? []) ops.push((await acts_[name](...given)).op);
  for (const [at, minutes] of Object.entries(asked.ago ?? {})) {
    const { operation } = known.entries.get(ops[at]);
    operation.made_at = new Date(Date.parse(operation.made_at) - minutes * 60_000).toISOString();
  }
  const seen = new Set(known.entries.keys());
  const settle = async () => { for (let turn = 0; turn < 12; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const plays = [];
  for (const { tag, properties = {}, hears = [], acts = [], keeps = {} } of asked.plays) {
    localStorage.clear();
    for (const [key, value] of Object.entries(keeps)) localStorage.setItem(key, value);
    const told = [], heard = [];
    const names = Object.keys(properties);
    const values = names.map((name) => (name === 'op' ?
      ops[properties.op] : name === 'ops' ? properties.ops.map((at) => ops[at]) : properties[name]));
    const hear = (what) => ({ detail }) => {
      heard.push([what, detail?.id ?? detail ?? null]);
      if (what === 'change') for (const name of ['value', 'grams']) if (names.includes(name)) values[names.indexOf(name)] = detail;
    };
    const bound = [...names.map((name) => `.${name}=`), ...hears.map((what) => `@${what}=`)];
    const strings = bound.length ? bound.map((one, at) => (at ? ` ${one}` : `<${tag} ${one}`)).concat(`></${tag}>`) : [`<${tag}></${tag}>`];
    const template = { strings, get values() { return [...values, ...hears.map(hear)]; } };
    const screen = new Screen('', { template });
    const look = async () => { screen.said(); await settle(); screen.said(); await settle(); return screen.said(); };
    effectsSince();
    told.push((await look()).join(' '));
    effectsSince();
    for (const [what, ...given] of acts) {
      if (what === 'hear') {
        const [node] = screen.hearing().find(([one, event]) => event === given[1]
          && (one.tag === given[0] || wordsOf(one).includes(given[0])));
        screen.hear(node, given[1], given[2] ?? {}, given[3] ?? {});
      } else if (what === 'twice') { screen.touch(...given); screen.touch(...given); } else screen[what](...given);
      const now = (await look()).join(' ');
      const entries = [...known.entries.values()].filter(({ id }) => !seen.has(id));
      entries.forEach(({ id }) => seen.add(id));
      told.push({ said: now, heard: heard.splice(0), effects: effectsSince(), printed: printed.splice(0),
        rows: entries.flatMap(({ operation }) => operation.rows.filter(({ table }) => table !== 'undoing')
          .map(({ was, ...row }) => row)) });
    }
    screen.leave();
    plays.push(told);
  }
  return { plays, out };
})()"""


def played(module: str, *plays: Json, rows: list[Json] | None = None, **more: Any) -> Json:
    told: Json = in_page(module, PLAY, {"screens": SCREENS, "plays": plays, **more}, rows)
    return told


def keys(figures: str) -> list[list[str]]:
    said = {"<": "take the last figure away", "C": "take all figures away", ".": "point"}
    return [["touch", f"“{said.get(one, one)}” "] for one in figures]


def numbers(*cases: tuple[Json, str]) -> list[list[str]]:
    """What the pad says after each key."""
    plays: list[Json] = [{"tag": "number-pad", "properties": {"value": "", **given}, "hears": ["change"], "acts": keys(figures)}
             for given, figures in cases]  # fmt: skip
    told = played("parts/number-pad.js", *plays)["plays"]
    return [[detail for one in play[1:] for _, detail in one["heard"]] for play in told]


def test_the_number_that_large_keys_make() -> None:
    """Seven figures at most, one point, no zero before another figure; what others put there is not added to."""
    point = {"point": True}
    assert numbers(
        ({}, "12345678"), (point, "1.5.2"), (point, "0.5"), ({}, "05"), ({}, "00"), (point, "12345.78"), ({}, "12<3C4"),
        ({"value": "42"}, "7"), ({"value": "42", "own": True}, "7"), ({"value": "42"}, "<"), (point, ".5"), ({"value": "1234567"}, "8"),
    ) == [
        ["1", "12", "123", "1234", "12345", "123456", "1234567"], ["1", "1.", "1.5", "1.52"], ["0", "0.", "0.5"], ["0", "5"], ["0", "0"],
        ["1", "12", "123", "1234", "12345", "12345.", "12345.7"], ["1", "12", "1", "13", "", "4"],
        ["7"], ["427"], ["4"], [".", ".5"], ["8"],
    ]  # fmt: skip


def test_a_number_typed_by_a_keyboard_has_figures_alone() -> None:
    plays = [{"tag": "number-pad", "properties": {"value": "", "point": point}, "hears": ["change"],
              "acts": [["fill", "input", "a1.2345678"]]}
             for point in (False, True)]  # fmt: skip
    told = played("parts/number-pad.js", *plays)["plays"]
    assert [play[1]["heard"] for play in told] == [[["change", "1234567"]], [["change", "1.23456"]]]


def weighed(*plays: Json) -> list[Any]:
    told = played("parts/weigh-pad.js", *({"tag": "weigh-pad", "hears": ["change"], **play} for play in plays))["plays"]
    return [[play[0], *((one["said"], [detail for _, detail in one["heard"]], one["effects"]) for one in play[1:])] for play in told]


def test_a_weight_in_the_unit_that_the_scale_shows() -> None:
    """The device remembers which; what is entered is said in the other at once, and what was no unit is pounds."""
    turned, empty, usual = weighed(
        {"properties": {"grams": None, "usual": None}, "acts": [*keys("2.5"), ["touch", "g"], ["touch", "oz"], ["touch", "“take all"]]},
        {"properties": {"grams": None, "usual": None}, "acts": [["touch", "oz"], *keys("8")]},
        {"properties": {"grams": None, "usual": 907}, "acts": [["touch", "g"]]},
    )
    assert [one[1] for one in turned[1:]] == [[907], [907], [1134], [], [], [None]]
    places = [line.split("{")[1].split("}")[0] for line in (turned[0], *(one[0] for one in turned[1:]))]
    assert [place.split(": ")[1] if ": " in place else "" for place in places] == ["", "2", "2.", "2.5", "1134", "40", ""]
    assert all("[g] (pressed)" in one for one in (turned[4][0], usual[1][0])) and "placeholder 2}" not in usual[0]
    assert turned[4][2] == ["the device keeps honeyhold.scale: g"] and empty[2][1] == [227]
    assert "placeholder 2:" in usual[0] and "placeholder 907:" in usual[1][0]


def test_the_unit_that_a_device_remembers() -> None:
    kept = [{}, {"honeyhold.scale": "oz"}, {"honeyhold.scale": "stone"}, {"honeyhold.scale": "g"}]
    told = weighed(*({"properties": {"grams": grams, "usual": None}, "keeps": one} for one in kept for grams in (None, 1000)))
    pressed = [next(unit for unit in ("lb", "oz", "g") if f"[{unit}] (pressed)" in play[0]) for play in told]
    assert pressed == ["lb", "lb", "oz", "oz", "lb", "lb", "g", "g"]
    assert ["2.2}" in told[1][0], ": 35.27}" in told[3][0], ": 1000}" in told[7][0]] == [True] * 3


BAR = good("bar", ("wax bar", "wax bars", "bars"), 1, 250)
ORDERS = [BAR, person("ann", "Ann Lind", "+12185550142"), *order("o1", "ann", "pick_up", "promised", "2027-07-26", {"bar": (5, 1250)}),
          *order("o2", "ann", "pick_up", "promised", "2027-07-26", {"bar": (3, 750)})]  # fmt: skip


def test_undo_takes_back_what_was_written_once_and_says_how_long_it_may() -> None:
    """However often it is touched; of more than one entry what was undone already is passed over; without an entry there is no key."""
    notes = [["amend", "o1", {"note": "first"}], ["amend", "o2", {"note": "second"}], ["amend", "o1", {"pays": "cash"}],
             ["amend", "o2", {"heat": "fine"}], ["amend", "o1", {"gift_note": "Hi"}]]  # fmt: skip
    undo: Json = {"tag": "undo-key", "hears": ["undone"]}
    told = played(
        "parts/undo-key.js",
        undo | {"properties": {"op": 0, "words": "undo"}, "acts": [["twice", "undo"]]},
        undo | {"properties": {"op": 1, "ops": [0, 1], "words": "take it back"}, "acts": [["touch", "take it back"]]},
        undo | {"properties": {"op": 2, "ops": [3, 2]}, "acts": [["touch", "undo"]]}, undo | {"properties": {"op": 4}},
        undo | {"properties": {"op": None}}, undo | {"properties": {"op": 0}},
        rows=ORDERS, before=notes, ago={"1": 8.5, "2": 9.5, "4": 10},
    )["plays"]  # fmt: skip
    assert [play[0] for play in told] == [
        "[undo for 10 more minutes]", "[take it back for 2 more minutes]", "[undo for 1 more minute]", "", "", "",
    ]  # fmt: skip
    gone = {"said": "", "heard": [["undone", None]], "effects": ["aloud: Undone.", "undo-key tells undone"], "printed": []}
    assert [play[1] for play in told[:3]] == [
        gone | {"rows": [{"table": "order", "id": "o1", "note": ""}]}, gone | {"rows": [{"table": "order", "id": "o2", "note": ""}]},
        gone | {"rows": [{"table": "order", "id": "o2", "heat": ""}, {"table": "order", "id": "o1", "pays": "later"}]},
    ]  # fmt: skip


def test_what_cannot_be_undone_any_more_says_why() -> None:
    before = [["amend", "o1", {"lines": [{"good": "bar", "units": 4}]}], ["amend", "o1", {"lines": [{"good": "bar", "units": 3}]}]]
    (play,) = played("parts/undo-key.js", {"tag": "undo-key", "hears": ["undone"], "properties": {"op": 0}, "acts": [["touch", "undo"]]},
                     rows=ORDERS, before=before)["plays"]  # fmt: skip
    assert play[1]["said"].endswith("(heed):The order was changed since. Look at it as it is now.")
    assert not play[1]["heard"] and not play[1]["rows"]


PEOPLE = [
    person("ann", "Ann Tollefson", "+12185550142", ("41 Heron Sill Rd", "Duluth", "MN", "55811")),
    person("dora", "Dora Lindqvist", "+17155550178"),
    person("dora2", "Dot L.", "+17155550179", same_as="dora"), person("cy", "", "+493055501234"),
]  # fmt: skip


def test_people_are_found_by_keys_and_letters() -> None:
    """Enter takes the first one found, else whoever is new; one who was joined is who they are."""
    enter, other = ["hear", "input", "keydown", {"key": "Enter"}], ["hear", "input", "keydown", {"key": "a"}]
    finder: Json = {"tag": "person-finder", "hears": ["pick", "fresh"]}
    acts: list[list[list[Any]]] = [
        [["fill", "text", "toll"], other, enter, ["touch", "Ann"]], [["fill", "text", " Zoe "], enter, ["touch", "someone new"]],
        [["fill", "text", "  "], enter], [["fill", "text", "dot"], enter],
        [["touch", "“5” 5"], ["touch", "“5” 5"], ["touch", "“take the last one away”"], ["touch", "“letters”"], ["touch", "“letters”"]],
        [["fill", "text", "7155550190"]], [["fill", "text", "0142"]], [["fill", "text", "4930"]],
    ]  # fmt: skip
    found, new, blank, joined, pressed, number, four, abroad = played(
        "parts/person-finder.js", *(finder | {"acts": one} for one in acts), rows=PEOPLE
    )["plays"]
    assert "Ann ‹Toll›efson 218-555-0142 · Duluth" in found[1]["said"]
    assert [one["heard"] for one in found[2:]] == [[], [["pick", "ann"]], [["pick", "ann"]]]
    assert "nothing else comes of it" not in found[2]["effects"] and "nothing else comes of it" in found[3]["effects"]
    assert [one["heard"] for one in new[2:]] == [[["fresh", "Zoe"]]] * 2 and "someone new Zoe]" in new[1]["said"]
    assert blank[2]["heard"] == [] and "someone new" not in blank[1]["said"] and joined[2]["heard"] == [["pick", "dora"]]
    assert [f": {text}}}" in one["said"] for text, one in zip(("5", "55", "5", "5", "5"), pressed[1:], strict=True)] == [True] * 5
    assert ["inputmode text" in one["said"] for one in pressed[3:]] == [False, True, False]
    assert ["keyboard is on input" in " ".join(one["effects"]) for one in pressed[3:]] == [False, True, False]
    assert "someone new 715-555-0190]" in number[1]["said"] and "218-555-‹0›‹1›‹4›‹2› · Duluth" in four[1]["said"]
    assert "[+‹4›‹9›‹3›‹0›55501234]" in abroad[1]["said"]


def test_anything_is_found_by_a_few_letters() -> None:
    """Enter or a touch leads to it; that nothing is found is said, and said no more once something is."""
    enter, other = ["hear", "input", "keydown", {"key": "Enter"}], ["hear", "input", "keydown", {"key": "b"}]
    rows = [*PEOPLE, *order("o9", "ann", "pick_up", "promised", None, {}, note="after ten")]
    sheet: Json = {"tag": "search-sheet"}
    plays = [
        sheet | {"acts": [["fill", "input", "toll"], other, enter]}, sheet | {"acts": [["fill", "input", "A-9"], ["touch", "order A-9"]]},
        sheet | {"acts": [["fill", "input", "Zoe"], enter, ["fill", "input", "toll"], ["fill", "input", ""]]},
        sheet | {"acts": [["touch", "close"]]}, sheet | {"acts": [["hear", "dialog", "close"]]},
    ]  # fmt: skip
    entered, touched, nowhere, closed, escaped = played("parts/search-sheet.js", *plays, rows=rows)["plays"]
    assert "[Ann Tollefson Duluth]" in entered[1]["said"] and entered[2]["effects"] == []
    assert entered[3]["effects"] == ["leads to #book/person/ann", "search-sheet goes away"]
    assert "[order A-9 Ann Tollefson · after ten]" in touched[1]["said"]
    assert touched[2]["effects"] == ["leads to #book/order/o9", "search-sheet goes away"]
    assert ["Nothing here goes by that." in one["said"] for one in nowhere[1:]] == [True, True, False, False]
    assert nowhere[2]["effects"] == [] and closed[1]["effects"] == escaped[1]["effects"] == ["search-sheet goes away"]
    assert "scan a code" not in closed[0]


def test_heat_as_it_can_be_looked_at_is_drawn_when_it_is_opened() -> None:
    shown = ["hear", "details", "toggle", {}, {"open": True}]
    hidden = ["hear", "details", "toggle", {}, {"open": False}]
    request: Json = {"lines": []}
    answers = {"documents.heat": {"html": "<p>Heat</p>"}, "quoting.days_picture": {"svg": "<svg></svg>"},
               "quoting.trip_picture": {"svgs": []}}  # fmt: skip
    told = played(
        "parts/heat-pictures.js",
        {"tag": "heat-pictures", "properties": {"request": request, "who": "Ann", "number": "A-1"},
         "acts": [shown, ["touch", "print both"], hidden]},
        {"tag": "heat-pictures", "properties": {"request": None, "who": "Ann"}},
        {"tag": "heat-pictures", "properties": {"request": request, "who": None, "number": None}, "acts": [shown, ["touch", "print both"]]},
        answers=answers,
    )  # fmt: skip
    opened, none, nobody = told["plays"]
    assert opened[0] == "[every day and packing, and the trip]" and none == [""]
    assert all(words in opened[1]["said"] for words in ("“See it large: the drawing”", "No drawing now.", "[print both]"))
    assert opened[2]["printed"] == ["Heat"] and opened[3]["said"] == opened[0] and nobody[2]["printed"] == ["Heat"]
    assert [one for name, one in told["out"] if name == "documents.heat"] == [
        {"lines": [], "who": "Ann", "number": "A-1"}, {"lines": [], "who": "", "number": ""},
    ]  # fmt: skip


def test_heat_looked_at_again_is_answered_by_a_key() -> None:
    """Two are told, the others kept under how many they are; worse may be sent as it is, and a cool day calls for telling its person."""
    there: Json = dict(zip(("to_street", "to_city", "to_state", "to_zip"), ("4 Heron Sill Rd", "Duluth", "MN", "55811"), strict=True))
    rows = [
        BAR, *carton("c8", "8×6×4", [8, 6, 4], 62), moved("bar", 90, "poured", "2027-07-01"),
        *(row for n, name in enumerate(("Ann", "Ben", "Cy", "Dora")) for row in (
            person(name, name, ""), *order(f"o{n}", name, "post", "promised", f"2027-07-{26 + n}", {"bar": (1, 250)},
                                         posting_by="hand", posting_cents=700,
                             goes_to="own", told={"verdict": "firm"} if n == 1 else {}, **there),
        )),
    ]  # fmt: skip
    told_of = {"verdict": "soft", "basis": "forecast"}
    worse = {"change": "worse", "words": "Ann: hotter.", "told": told_of, "told_then": {"verdict": "firm"}, "do": {"dressing": "lined"}}
    answers = {
        "quoting.recheck Ann": worse, "quoting.recheck Ben": {"change": "cool", "words": "Ben: cool on Monday.",
            "do": {"leave_on": "2027-08-02"}},
        "quoting.recheck Cy": {"change": "better", "words": "Cy: cooler.", "told": {"verdict": "firm"}},
        "quoting.recheck Dora": {"words": "As before."},
    }  # fmt: skip
    acts = [["touch", "do that", 1], ["touch", "do that"], ["touch", "send it as it is"], ["touch", "leave it as it is"]]
    whole, brief = {"tag": "again-list", "properties": {"all": True}, "acts": acts}, {"tag": "again-list", "properties": {"all": False}}
    told = played("parts/again-list.js", brief, whole, rows=rows, answers=answers)
    (short,), (shown, cool, dressed, sent, left) = told["plays"]
    named = "“Heat looked at again” :"
    told_briefly = "heat [Ann: hotter.](#bench/o0) (heed) heat [Ben: cool on Monday.](#bench/o1) and [1 more on the Bench](#bench)"
    assert short == f"{named} {told_briefly}"
    assert shown == " ".join((
        f"{named} # Heat looked at again this morning [Ann: hotter.](#bench/o0) (heed) As it stands: soft, by the forecast. [do that]",
        "[send it as it is] [Ben: cool on Monday.](#bench/o1) [do that] [1 more] [Cy: cooler.](#bench/o2) [leave it as it is]",
    ))  # fmt: skip
    assert [one["rows"] for one in (cool, dressed, sent, left)] == [
        [{"table": "order", "id": "o1", "leave_on": "2027-08-02", "call_for": "going", "told": {}}],
        [{"table": "order", "id": "o0", "dressing": "lined", "told": {"verdict": "firm"}}],
        [{"table": "order", "id": "o0", "told": told_of}], [{"table": "order", "id": "o2", "told": {"verdict": "firm"}}],
    ]  # fmt: skip
    said = [next(words for words in one["effects"] if words.startswith("aloud")) for one in (cool, dressed, sent, left)]
    done = "aloud: Done. It stands so with the order."
    assert said == [done, f"{done} Mailing stays $7.00, as it was typed.", *["aloud: It goes as it is."] * 2]


def test_where_two_are_told_there_are_no_more() -> None:
    rows = [BAR, person("Ann", "Ann", ""), *(row for n in (1, 2) for row in order(
        f"o{n}", "Ann", "post", "promised", f"2027-07-{26 + n}", {"bar": (1, 250)},
        goes_to="own", to_street="1 Elm St", to_city="Duluth"))]  # fmt: skip
    answers = {"quoting.recheck": {"change": "worse", "words": "Hotter.", "told": {"verdict": "soft"}}}
    lists = [{"tag": "again-list", "properties": {"all": whole}} for whole in (False, True)]
    (brief,), (whole,) = played("parts/again-list.js", *lists, rows=rows, answers=answers)["plays"]
    assert brief.count("Hotter.") == whole.count("Hotter.") == 2 and "more" not in brief + whole and "do that" not in whole
    assert "As it stands: soft." in whole and played("parts/again-list.js", *lists, rows=rows)["plays"] == [[""], [""]]
