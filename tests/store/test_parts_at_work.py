"""What works behind the screens: posted orders asked again, papers on their way to the printer, and molds that ring."""

from __future__ import annotations

from typing import Any

import pytest

from screens.kinds_of_rows import good, order, person
from store.in_page import in_page

Json = dict[str, Any]
AGAIN = """(async () => {
  const { askAlso } = await module('kernel/work.js');
  const out = [], told = [];
  let answers = asked.answers;
  const quiet = async () => { for (let turn = 0; turn < 60; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  askAlso({ inReach: () => true, ask: async (name, request, wait_s) => {
    out.push([name, request.leave_on, request.lines.map(({ units }) => units), Math.round(wait_s), request.who]);
    const answer = answers.shift();
    if (answer === 'refused') throw Object.assign(new Error('no'), { unknown: false });
    return answer ? { answer } : null;
  } });
  const asks = [];
  const look = async () => { const end = here.onAgain(() => told.push(0)); await quiet(); end(); asks.push(out.splice(0)); };
  await look();
  await look();
  for (const row of asked.then) { known.view.board.apply(row); known.view.byOrder.clear(); }
  answers = asked.later ?? [];
  await look();
  return { asks, told: told.length, to_tell: here.toTell().map(({ order, answer }) => [order.id, answer.change]),
    of: Object.fromEntries([...known.view.orders.keys()].map((id) => [id, here.againOf(id)])),
    kept: Object.keys(JSON.parse(localStorage.getItem('honeyhold.again') ?? '{}')) };
})()"""
DULUTH = ("4 Heron Sill Rd", "Duluth", "MN", "55811")
POSTED: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 250), person("ann", "Ann Lind", "", DULUTH), person("bo", "Bo Berg", "", DULUTH),
    *order("o1", "ann", "post", "promised", "2027-08-03", {"bar": (1, 250)}),
    *order("o2", "bo", "post", "packed", "2027-07-24", {"bar": (2, 500)}),
    *order("o3", "ann", "post", "promised", "2027-08-04", {"bar": (3, 750)}),
    *order("o4", "ann", "post", "promised", "2027-07-23", {"bar": (4, 1000)}),
    *order("o5", "ann", "pick_up", "promised", "2027-07-26", {"bar": (5, 1250)}),
    *order("o6", "bo", "post", "promised", None, {"bar": (6, 1500)}, hold_for_cool=True),
    *order("o7", "bo", "post", "promised", None, {"bar": (7, 1750)}, hold_for_cool=False),
    *order("o8", "ann", "post", "promised", "2027-08-03", {"bar": (8, 2000)}, goes_with="o1"),
    *order("o9", "ann", "post", "gone", "2027-07-26", {"bar": (9, 2250)}),
]  # fmt: skip
OF_O2, OF_O1, OF_O6 = (
    ["quoting.recheck", "2027-07-24", [2], 20, "Bo Berg"], ["quoting.recheck", "2027-08-03", [1, 8], 20, "Ann Lind"],
    ["quoting.recheck", None, [6], 20, "Bo Berg"],
)  # fmt: skip


def asked_again(answers: list[Any], then: list[Json] | None = None, later: list[Any] | None = None) -> Json:
    told: Json = in_page("parts/again.js", AGAIN, {"answers": answers, "then": then or [], "later": later}, POSTED)
    return told


def test_who_leaves_within_ten_days_or_waits_for_a_cool_spell_is_asked_about_once() -> None:
    """The first to leave first, with what goes in the same parcel; each answer is told of, and the same is not asked twice."""
    told = asked_again([{"change": "hotter"}, {"same": 1}, {"change": "a day"}])
    assert told["asks"] == [[OF_O2, OF_O1, OF_O6], [], []] and told["told"] == 3
    assert told["to_tell"] == [["o2", "hotter"], ["o6", "a day"]] and sorted(told["kept"]) == ["o1", "o2", "o6"]
    assert told["of"]["o1"] == {"same": 1} and told["of"]["o3"] is None


def test_what_changed_is_asked_about_again_and_its_old_answer_told_no_more() -> None:
    changed = [{"table": "order", "id": "o2", "dressing": "liner"}]
    told = asked_again([{"change": "hotter"}, {"same": 1}, {"same": 2}], changed, [{"change": "cooler"}])
    assert [one[:3] for one in told["asks"][2]] == [OF_O2[:3]] and told["to_tell"] == [["o2", "cooler"]]
    told = asked_again([{"change": "hotter"}, {"same": 1}, {"same": 2}], changed)
    assert told["to_tell"] == [] and told["of"]["o2"] is None and told["of"]["o1"] == {"same": 1}


def test_where_nobody_answers_the_rest_is_asked_with_the_next_change() -> None:
    told = asked_again([{"change": "hotter"}, None, {"same": 1}, {"same": 2}])
    assert told["asks"] == [[OF_O2, OF_O1], [OF_O1, OF_O6], []] and told["told"] == 3


def test_what_is_refused_is_not_asked_again_and_not_told() -> None:
    told = asked_again(["refused", {"change": "hotter"}, {"same": 2}])
    assert told["asks"] == [[OF_O2, OF_O1, OF_O6], [], []] and told["to_tell"] == [["o1", "hotter"]]


PRINTED = """(async () => {
  const { askAlso } = await module('kernel/work.js');
  const out = [], done = [];
  const ask = async (name, request, wait_s) => { out.push([name, request, Math.round(wait_s)]); return { answer: asked.answer }; };
  askAlso({ inReach: () => true, ask });
  const sheet = Object.assign(new EventTarget(), { document: {}, focus: () => done.push('focus'), print: () => done.push('print') });
  const frame = Object.assign(new EventTarget(), { contentWindow: sheet, attributes: {}, remove: () => done.push('gone'),
    setAttribute(name, value) { this.attributes[name] = value; } });
  document.createElement = (tag) => Object.assign(frame, { tag });
  document.body.append = (one) => { done.push(`shown ${one.tag}`); queueMicrotask(() => one.dispatchEvent(new Event('load'))); };
  const told = await here.printPaper('documents.slip', { order: 'o1' }, ...asked.more);
  sheet.dispatchEvent(new Event('afterprint'));
  return { told, out, done, title: frame.title, hidden: frame.attributes['aria-hidden'],
    html: frame.srcdoc.replace(/<style>[^]*<\\/style>/, '<face>') };
})()"""


@pytest.mark.parametrize(("answer", "notes", "html", "more", "wait_s"), [
    ({"html": "<head></head><p>a</p>", "notes": ["three to a sheet"]}, ["three to a sheet"], "<head><face></head><p>a</p>", [], 30),
    ({"html": "<p>a</p>"}, [], "<face><p>a</p>", [{"wait_s": 5}], 5),
])  # fmt: skip
def test_a_paper_goes_to_the_printer_and_says_what_whoever_prints_it_should_know(
    answer: Json, notes: list[str], html: str, more: list[Json], wait_s: int
) -> None:
    told = in_page("parts/papers.js", PRINTED, {"answer": answer, "more": more})
    assert told["told"] == {"notes": notes} and told["html"] == html
    assert told["out"] == [["documents.slip", {"order": "o1"}, wait_s]]
    assert told["done"] == ["shown iframe", "focus", "print", "gone"] and told["title"] and told["hidden"] == "true"


@pytest.mark.parametrize(("kept", "size"), [("letter", "letter"), ("a4", "a4"), ("a5", "a5"), ("a3", "letter"), (None, "letter")])
def test_the_size_of_the_paper_that_lies_there(kept: str | None, size: str) -> None:
    rows = [{"table": "setting", "id": "paper", "value": kept}, {"table": "setting", "id": "name", "value": "Alder Hill"}] if kept else []
    told = in_page("parts/papers.js", "[here.paperSize(), here.paperFacts()]", rows=rows)
    house = {"paper": kept, "name": "Alder Hill"} if kept else {}
    assert told == [size, {"house": house, "size": size, "today": "2027-07-24", "day": "2027-07-24"}]


RUNG = """(async () => {
  const shaken = [], told = [], due = [], tones = [], locks = [], seen = {};
  let volume = 0;
  globalThis.setTimeout = (work, ms) => { due.push(ms); return due.length; };
  navigator.vibrate = (pattern) => shaken.push(pattern);
  navigator.serviceWorker = { getRegistration: async () => ({ showNotification: async (words, how) => told.push([words, how.tag]) }) };
  const held = () => Object.assign(new EventTarget(), { release: async () => locks.push('released') });
  navigator.wakeLock = { request: async (what) => { locks.push(what); return held(); } };
  globalThis.Notification = { permission: asked.permission ?? 'granted', requestPermission: async () => 'granted' };
  document.visibilityState = asked.hidden ? 'hidden' : 'visible';
  globalThis.AudioContext = class {
    state = 'suspended'; currentTime = 100; destination = 'ear';
    async resume() { this.state = 'running'; }
    createGain() { return { gain: { set value(given) { volume = given; } }, connect() {} }; }
    createOscillator() {
      const tone = { frequency: {}, connect() {}, start: (at) => { tone.from = at; } };
      const ms = (at) => Math.round((at - 100) * 1000);
      tone.stop = (at) => tones.push([tone.frequency.value, ms(tone.from), ms(at)]);
      return tone;
    }
  };
  addEventListener('honeyhold-molds-ready', () => (seen.ready = (seen.ready ?? 0) + 1));
  const { keepPour, freshPour } = await module('parts/pour-state.js');
  const set = ([state, ago_s, due_s]) => ({ state, at: Date.now() - ago_s * 1000, cool_s: 0, due_s });
  const settle = async () => { for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setImmediate(later)); };
  if (asked.touched) here.readyToSound();
  await settle();
  keepPour({ ...freshPour(1), sets: asked.sets.map(set) });
  here.watchMolds();
  await settle();
  document.visibilityState = 'visible';
  if (asked.again) keepPour({ ...freshPour(1), sets: asked.again.map(set) });
  await settle();
  return { shaken, told, due, tones, volume, locks, ready: here.readySets(), heard: seen.ready, ask: here.mayAsk(),
    rung: JSON.parse(localStorage.getItem('honeyhold.rung') ?? '[]').length };
})()"""
SHAKEN = [400, 150, 400, 150, 700]


def rung(*sets: list[Any], **more: Any) -> Json:
    told: Json = in_page("parts/mold-timer.js", RUNG, {"sets": sets, **more})
    return told


@pytest.mark.parametrize(("ago_s", "ready", "rings"), [
    (899, [], False), (900, [1], True), (901, [1], True), (900 + 599, [1], True), (900 + 600, [1], False), (9000, [1], False),
])  # fmt: skip
def test_a_set_rings_when_it_has_cooled_and_startles_nobody_later(ago_s: int, ready: list[int], rings: bool) -> None:
    told = rung(["cooling", ago_s, 900])
    assert (told["ready"], told["shaken"], told["told"]) == (ready, [SHAKEN] if rings else [], [])
    assert told["due"] == ([1020] if ago_s == 899 else []) and told["heard"] == 1 and told["locks"] == ["screen"]


def test_each_rings_once_and_the_next_that_ends_is_waited_for() -> None:
    cooling = [["cooling", 900, 900], ["cooling", 60, 900], ["cooling", 30, 900], ["cooling", 5000, None]]
    sets = [*cooling, ["out", 900, 900], ["empty", 0, None]]
    told = rung(*sets, again=sets)
    assert (told["ready"], told["shaken"], told["due"], told["rung"]) == ([1], [SHAKEN], [840_020, 840_020], 1)
    told = rung(["cooling", 900, 900], again=[["cooling", 901, 900], ["cooling", 950, 900]])
    assert (told["ready"], told["shaken"], told["rung"]) == ([1, 2], [SHAKEN, SHAKEN], 2)


def test_the_device_tells_of_it_where_nobody_looks_and_it_may() -> None:
    told = rung(["cooling", 950, 900], ["empty", 0, None], ["cooling", 900, 900], hidden=True)
    assert told["told"] == [["Set 1 and 3: knock out", "molds"]] and told["locks"] == [] and told["ask"] is False
    told = rung(["cooling", 950, 900], hidden=True, permission="default")
    assert told["told"] == [] and told["ask"] is True and told["shaken"] == [SHAKEN]


def test_it_is_heard_where_the_page_was_touched() -> None:
    assert rung(["cooling", 900, 900])["tones"] == []
    told = rung(["cooling", 900, 900], touched=True)
    assert told["tones"] == [[660, 0, 224], [880, 280, 504], [660, 560, 784], [880, 840, 1064]] and told["volume"] == 0.25


def test_the_screen_stays_on_while_molds_cool() -> None:
    cooling, out = ["cooling", 60, 900], ["out", 60, 900]
    assert rung(cooling, again=[cooling, cooling])["locks"] == ["screen"]
    assert rung(cooling, again=[out])["locks"] == ["screen", "released"] and rung(out)["locks"] == []


KEYS = """(async () => {
  const made = [];
  globalThis.HTMLElement ??= class {};
  document.createElement = (tag) => { made.push(tag); throw new Error('as far as this'); };
  document.querySelector = (which) => (which === 'dialog[open]' && asked.open ? {} : null);
  localStorage.setItem('honeyhold.single-keys', asked.single ?? 'on');
  process.on('uncaughtException', () => {});
  here.listenForShortcuts();
  const told = [];
  for (const key of asked.keys) {
    location.hash = '#counter';
    const none = { code: '', altKey: false, ctrlKey: false, metaKey: false };
    const event = Object.assign(new Event('keydown', { cancelable: true }), none, key);
    const field = Object.assign(Object.create(HTMLElement.prototype), { closest: () => ({}) });
    if (key.writes) Object.defineProperty(event, 'target', { value: field });
    if (key.taken) event.preventDefault();
    dispatchEvent(event);
    await new Promise((later) => setImmediate(later));
    told.push(made.splice(0)[0] ?? location.hash.slice(1));
  }
  return told;
})()"""


def pressed(*keys: Json, **more: Any) -> list[str]:
    told: list[str] = in_page("parts/shortcuts.js", KEYS, {"keys": keys, **more})
    return told


SLASH, ASKS = {"code": "Slash", "key": "/"}, {"code": "Slash", "key": "?"}


def test_the_keyboards_short_ways() -> None:
    told = pressed(SLASH, ASKS, SLASH | {"altKey": True}, {"key": "a"}, *({"code": f"Digit{n}", "altKey": True} for n in range(8)))
    rooms = ["counter", "counter", "shelf", "bench", "melt", "book", "settings", "counter"]
    assert told == ["search-sheet", "dialog", "dialog", "counter", *rooms]


def test_what_is_no_short_way() -> None:
    """While somebody writes, over an open sheet, with other keys held, or where single keys are off."""
    others = [{"ctrlKey": True}, {"metaKey": True}, {"taken": True}]
    assert pressed(*(key | other for key in (SLASH, ASKS, {"code": "Digit2", "altKey": True}) for other in others)) == ["counter"] * 9
    assert pressed(SLASH | {"writes": True}, ASKS | {"writes": True}, {"code": "Digit2"}) == ["counter"] * 3
    assert pressed(SLASH, ASKS, {"code": "Digit2", "altKey": True}, SLASH | {"altKey": True}, single="off") == [
        "counter", "counter", "shelf", "dialog",
    ]  # fmt: skip
    assert pressed(SLASH, ASKS, {"code": "Digit2", "altKey": True}, open=True) == ["counter"] * 3
