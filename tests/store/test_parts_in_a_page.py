"""What parts do with the page around them: where the keyboard stands, heights that are kept, the camera, files, and what is told once."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB, in_node
from store.in_page import in_page

Json = dict[str, Any]
ARRIVED = """(async () => {
  const told = [];
  for (const { from, to, title = null, links = [], at = null, beside = false } of asked) {
    let focused = null;
    const focusable = (name, more = {}) => ({ name, focus: ({ preventScroll }) => (focused = [name, preventScroll]), ...more });
    const heading = title && focusable('title', { textContent: title.words,
      matches: (which) => which === 'a[href]' && Boolean(title.link) });
    const drawn = links.map(([href, seen]) => focusable(href, { getAttribute: () => href, checkVisibility: () => seen }));
    document.activeElement = at && { matches: (which) => which.split(', ').includes(at.tag) };
    const main = focusable('main', { contains: () => Boolean(at?.within), querySelectorAll: () => drawn,
      querySelector: (which) => (which.includes('.pair') === beside ? heading : null) });
    document.title = '';
    await here.arrived(from, to, 'Book', main);
    told.push([...(focused ?? [null]), document.title, heading?.tabIndex ?? null]);
  }
  return told;
})()"""


def test_the_keyboard_stands_at_the_name_of_what_was_entered_and_back_at_the_link() -> None:
    """One goes back to the link that was followed while it is in sight, once; whoever writes already is left alone."""
    ann = {"words": "  Ann \n Tollefson ", "link": False}
    links = [["#shelf", True], ["#book/ann", True]]
    there, back = {"from": "#book", "to": "#book/ann"}, {"from": "#book/ann", "to": "#book"}
    told = in_page("parts/moving.js", ARRIVED, [
        there | {"title": ann, "links": links}, back | {"title": ann, "links": links}, {"from": "#shelf", "to": "#book", "title": ann},
        there | {"title": ann}, back | {"title": ann, "links": [["#book/ann", False]]},
        there | {"title": ann, "at": {"tag": "input", "within": True}}, there | {"title": ann, "at": {"tag": "textarea", "within": True}},
        there | {"title": ann, "at": {"tag": "button", "within": True}}, there | {"title": ann, "at": {"tag": "input", "within": False}},
        there, there | {"title": {"words": "x" * 70, "link": True}}, there | {"title": {"words": "Book", "link": False}, "beside": True},
        {"from": "#book", "to": "#book", "title": ann, "links": [["#book", True]]}, there | {"title": ann},
        {"from": "#melt", "to": "#book", "title": ann, "links": [["#shelf", True]]},
        there | {"title": ann}, back | {"title": ann, "links": links}, {"from": "#shelf", "to": "#book", "title": ann, "links": links},
        {"from": "#book", "to": "#shelf", "title": ann}, {"from": "#shelf", "to": "#book", "title": ann, "links": links},
    ])  # fmt: skip
    page, entered = "Ann Tollefson · Book · Honeyhold", ["title", True, "Ann Tollefson · Book · Honeyhold", -1]
    assert told == [
        entered, ["#book/ann", False, page, None], entered, entered, entered, [None, page, None], [None, page, None], entered, entered,
        ["main", True, "Book · Honeyhold", None], ["title", True, f"{'x' * 60} · Book · Honeyhold", None],
        ["title", True, "Book · Honeyhold", -1], entered, entered, entered, entered, ["#book/ann", False, page, None], entered, entered,
        ["#shelf", False, page, None],
    ]  # fmt: skip



FRAMES = """(async () => {
  const frames = [], told = [];
  globalThis.requestAnimationFrame = (work) => frames.push(work);
  const main = { contains: () => false, querySelectorAll: () => [], querySelector: () => null, focus: () => told.push('focus') };
  here.arrived('#book', '#shelf', 'Shelf', main);
  for (let frame = 0; frame < 3; frame += 1) {
    await new Promise((later) => setTimeout(later, 0));
    told.push(frames.length);
    frames.splice(0).forEach((work) => work());
  }
  return told;
})()"""


def test_what_was_entered_has_two_frames_to_be_drawn() -> None:
    assert in_page("parts/moving.js", FRAMES) == [1, 1, "focus", 0]


HELD = """(() => {
  let waits = false;
  const inner = [{}, { waits: false }];
  const part = { style: { minHeight: '' }, offsetHeight: 120, querySelectorAll: () => inner };
  const held = new here.HeldHeights({ addController() {},
    querySelectorAll: (which) => (which === '[data-held]' ? [part] : []) }, () => waits);
  return asked.map(({ height, drawing = false, waiting = false, other = false }) => {
    if (other) held.letGo();
    part.offsetHeight = height;
    held.hostUpdate();
    [waits, inner[1].waits] = [waiting, drawing];
    held.hostUpdated();
    return part.style.minHeight;
  });
})()"""


def test_what_is_worked_out_anew_keeps_its_height_meanwhile() -> None:
    """As it was last drawn whole, and no longer than it waits; of something else nothing is kept."""
    whole, waits = {"height": 120}, {"height": 40, "waiting": True}
    told = in_node("parts/held-heights.js", HELD, [
        waits, waits, whole, {"height": 130, "waiting": True}, waits, {"height": 50, "drawing": True},
        {"height": 60}, {"height": 70, "drawing": True},
        {"height": 80, "waiting": True, "other": True}, {"height": 90, "waiting": True}, {"height": 95},
    ])  # fmt: skip
    assert told == ["40px", "40px", "", "130px", "130px", "130px", "", "70px", "", "90px", ""]


ACTED = """(async () => {
  const { effectsSince } = await import(asked);
  const told = [], updates = [];
  const done = { focus: ({ preventScroll }) => told.push(['focus', preventScroll]) };
  let drawn = done;
  const host = { addController() {}, requestUpdate: () => updates.push(0), updateComplete: Promise.resolve(),
    querySelector: (which) => (which === '.done' ? drawn : null) };
  const act = new here.Act(host), asks = new here.Act(host, { asks: true });
  const settle = async () => { for (let turn = 0; turn < 10; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  effectsSince();
  let goOn;
  const first = act.run(() => new Promise((later) => (goOn = later)), 'Done.');
  const second = await act.run(async () => { told.push('touched twice'); return {}; }, 'Twice.');
  let late = false;
  const third = act.run(async () => { late = true; return { op: 'e3' }; }, ({ op }) => `Left ${op}.`, { touched: false });
  await settle();
  told.push(['waits', second, late, act.busy]);
  goOn({ op: 'e1' });
  const [one, other] = [await first, await third];
  await settle();
  told.push([one.op, other.op, act.busy, act.done.words, effectsSince()]);
  act.failed({ message: 'No room.', remedy: '' });
  asks.failed({ message: 'No answer.', remedy: '' });
  await settle();
  told.push([act.done, act.error.message, effectsSince()]);
  updates.length = 0;
  act.stands();
  act.stands();
  await settle();
  told.push([act.error, updates.length]);
  act.failed({ message: 'Bad.', remedy: '' });
  await settle();
  await act.run(async () => ({}), '', { touched: false });
  await settle();
  told.push([act.error, act.done.words]);
  effectsSince();
  act.about('a'); act.about('a');
  told.push(act.done === null);
  for (const [here_, what] of [[null, true], [document.body, true], [{ checkVisibility: () => false }, true],
    [{ checkVisibility: () => true }, true], [null, false]]) {
    document.activeElement = here_;
    drawn = done;
    await act.run(async () => ({}), 'Done.', { focus: what });
    await settle();
    told.push('next');
  }
  drawn = null;
  document.activeElement = null;
  await act.run(async () => { throw Object.assign(new Error('It broke.'), { remedy: 'Again.' }); }, 'Done.');
  await settle();
  told.push(act.error.message);
  await act.run(async () => ({}), 'Done.');
  await settle();
  told.push([act.error, act.done.words]);
  document.getElementById = () => null;
  await act.run(async () => ({}), 'Said to nobody.');
  await settle();
  told.push(act.done.words);
  return told;
})()"""


def test_an_act_is_done_once_said_and_told_when_it_is_not() -> None:
    """The keyboard goes to what was done only where the key is gone; what nobody touched a key for waits its turn and takes no keyboard."""
    told = in_page("parts/act.js", ACTED, (WEB.parent / "tests/screens/effects.mjs").as_uri())
    focused = ["focus", True]
    assert told[0] == ["waits", None, False, True] and told[1] == focused
    assert told[2][:4] == ["e1", "e3", False, "Left e3."] and {words.split(": ")[1] for words in told[2][4]} >= {"Done.", "Left e3."}
    assert told[3][:2] == [None, "No room."] and {words.split(": ")[1] for words in told[3][2]} >= {
        "Not written down. No room.", "Not done. No answer.",
    }  # fmt: skip
    assert told[4:7] == [[None, 1], [None, ""], True]
    assert told[7:-3] == [focused, "next", focused, "next", focused, "next", "next", "next"]
    assert told[-3:] == ["It broke.", [None, "Done."], "Said to nobody."]


DEMO = """(async () => {
  const { current } = await module('store/status.js');
  const out = [];
  let heard = 0;
  globalThis.fetch = async (path, { cache }) => {
    out.push([path, cache]);
    if (asked.answer === null) throw new TypeError('no way there');
    return new Response(JSON.stringify(asked.answer));
  };
  const { identity } = known;
  if (!asked.enrolled) known.identity = null;
  const told = [];
  current.started = false;
  told.push(here.isDemo(() => (heard += 1)));
  await new Promise((later) => setTimeout(later, 5));
  told.push([out.length, heard]);
  current.started = true;
  told.push(here.isDemo(() => (heard += 1)), here.isDemo(() => (heard += 1)));
  await new Promise((later) => setTimeout(later, 5));
  told.push(here.isDemo(), [out, heard]);
  known.identity = identity;
  return told;
})()"""


@pytest.mark.parametrize(("answer", "demo"), [({"demo": True}, True), ({"demo": 1}, False), (None, False)])
def test_before_a_device_is_added_the_main_computer_is_asked_once_whether_this_is_the_demo(answer: Any, demo: bool) -> None:
    told = in_page("parts/demo.js", DEMO, {"answer": answer, "enrolled": False})
    assert told == [False, [0, 0], False, False, demo, [[["/api/health", "no-store"]], 1]]


def test_a_device_of_the_house_knows_the_demo_by_a_setting() -> None:
    for value in (True, False):
        rows = [{"table": "setting", "id": "demo", "value": value}]
        told = in_page("parts/demo.js", DEMO, {"answer": {"demo": not value}, "enrolled": True}, rows)
        assert told == [value, [0, 0], value, value, value, [[], 0]]


MANY = """await (async () => {
  const focused = [];
  let updates = 0;
  const host = { requestUpdate: () => (updates += 1), updateComplete: Promise.resolve() };
  const many = new here.Many(host);
  const drawn = (list) => many.of(list, Array.from({ length: 700 }, (_, at) => at), (row) => row).values;
  const rows = Array.from({ length: 700 }, (_, at) => ({ querySelector: () => ({ focus: () => focused.push(at) }) }));
  const button = { closest: (which) => (which === 'ul, ol' ? { children: rows } : null) };
  await drawn('sales')[1].values[0]({ currentTarget: button });
  const told = [drawn('sales')[0].length, drawn('others')[0].length, updates];
  await drawn('sales')[1].values[0]({ currentTarget: { closest: () => null } });
  return [...told, drawn('sales')[0].length, focused];
})()"""


def test_more_of_a_long_list_is_shown_and_the_keyboard_stands_at_the_first_that_came() -> None:
    assert in_node("parts/many.js", MANY) == [600, 100, 1, 700, [100]]


FILES = """await (async () => {
  const { saveFile } = await import(new URL('save-file.js', asked.parts).href);
  const told = [], later = [];
  globalThis.setTimeout = (work, ms) => { later.push([work, ms]); return 0; };
  globalThis.document = { createElement: (tag) => ({ tag, click() { told.push([this.tag, this.href, this.download]); } }) };
  URL.createObjectURL = () => 'blob:1';
  URL.revokeObjectURL = (address) => told.push(`gone ${address}`);
  saveFile(new Blob(['x']), 'orders.csv');
  later.forEach(([work, ms]) => { told.push(ms); work(); });
  const shared = [];
  let fails = null;
  Object.defineProperty(globalThis, 'navigator', { configurable: true, value: {
    canShare: asked.can === null ? undefined : ({ files: [{ name, type }] }) => { shared.push([name, type]); return asked.can; },
    share: async ({ files: [{ name, type, size }], title }) => {
      if (fails) throw Object.assign(new Error('not shared'), { name: fails });
      shared.push([name, type, size, title]);
    } } });
  told.push(here.canShare('slip.html'), await here.sharePaper('slip of A-3.pdf', 'abc'));
  fails = 'AbortError';
  told.push(await here.sharePaper('slip.html', ''));
  fails = 'NotAllowedError';
  told.push(await here.sharePaper('slip.html', '').catch(({ message }) => message));
  return { told, shared };
})()"""


@pytest.mark.parametrize("can", [True, False, None])
def test_a_file_is_kept_or_shared(can: bool | None) -> None:
    """Whoever thinks better of sharing is told nothing; whatever else goes wrong is told."""
    told = in_node("parts/share.js", FILES, {"parts": f"{(WEB / 'parts').as_uri()}/", "can": can})
    assert told["told"] == [["a", "blob:1", "orders.csv"], 60_000, "gone blob:1", bool(can), {"op": None}, None, "not shared"]
    asked = [] if can is None else [["slip.html", "text/html"]]
    assert told["shared"] == [*asked, ["slip of A-3.pdf", "application/pdf", 3, "slip of A-3"]]


SMALL = """await (async () => {
  const told = [];
  for (const { size, lengths = [10], draws = true } of asked) {
    globalThis.createImageBitmap = async () => { if (!size) throw new Error('no picture'); return { width: size[0], height: size[1] }; };
    const made = [], kinds = [];
    const canvas = { getContext: () => draws && { fillRect: (...box) => made.push(box), drawImage: (_, ...box) => made.push(box) },
      toDataURL: (kind, quality) => { kinds.push([kind, quality ?? null]);
        return 'x'.repeat(lengths[kinds.length - 1] ?? lengths.at(-1)); } };
    globalThis.document = { createElement: () => canvas };
    const said = await here.smallPicture({}).then(({ length }) => length, ({ message, remedy }) => `${message} ${remedy}`);
    told.push([said, canvas.width ?? 0, canvas.height ?? 0, made.map(([x, y, ...box]) => [x, y, ...box].join(' '))]);
  }
  return told;
})()"""


def test_a_picture_is_made_small_enough() -> None:
    """No larger than it was; the first way of keeping it that is short enough, else the shortest."""
    told = in_node("parts/small-picture.js", SMALL, [
        {"size": [960, 240]}, {"size": [240, 100]}, {"size": [480, 1]}, {"size": [4800, 4]},
        {"size": None}, {"size": [9, 9], "draws": False},
        {"size": [9, 9], "lengths": [120_001, 120_000, 5]}, {"size": [9, 9], "lengths": [400_000, 300_000, 200_000, 150_000]},
    ])  # fmt: skip
    boxes = [[f"0 0 {wide} {high}"] * 2 for wide, high in ((480, 120), (240, 100), (480, 1), (480, 1))]
    assert told[:4] == [[10, 480, 120, boxes[0]], [10, 240, 100, boxes[1]], [10, 480, 1, boxes[2]], [10, 480, 1, boxes[3]]]
    assert [one[0] for one in told[4:]] == [
        "That file is no picture that can be read. Choose a PNG or JPEG.",
        "This device cannot draw now. Load the page anew, then choose the picture again.", 120_000, 150_000,
    ]  # fmt: skip


OFFERED = """(async () => {
  const told = [];
  addEventListener(here.INSTALL_OFFERED, () => told.push(['offered', here.mayInstall()]));
  here.listenForInstall();
  const offer = () => Object.assign(new Event('beforeinstallprompt', { cancelable: true }), { prompt: async () => told.push('asked') });
  const first = offer();
  dispatchEvent(first);
  told.push(first.defaultPrevented);
  await here.install();
  await here.install();
  dispatchEvent(offer());
  dispatchEvent(new Event('appinstalled'));
  return told;
})()"""


def test_an_offer_to_install_is_good_for_one_asking() -> None:
    yes, no = ["offered", True], ["offered", False]
    assert in_page("parts/install.js", OFFERED) == [yes, True, no, "asked", no, yes, no]
