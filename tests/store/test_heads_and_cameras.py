"""What stands at the head of every screen, the camera that looks for a code, the ZIP that a town follows, and molds that ring once more."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB, in_node
from screens.kinds_of_rows import carton, good, moved, order, person
from store.in_page import in_page

Json = dict[str, Any]
SCREENS, PARTS = (WEB.parent / "tests/screens").as_uri(), (WEB / "parts").as_uri()
HEAD = """(async () => {
  const { Screen } = await import(`${asked.screens}/drawn.mjs`);
  const { listeners } = await import(`${asked.screens}/page.mjs`);
  const { change, current } = await module('store/status.js');
  const { keepPour, freshPour } = await module('parts/pour-state.js');
  const { amend } = await module('store/acts.js');
  await module('parts/undo-key.js');
  const ticks = [], badges = [], stopped = [];
  globalThis.setInterval = (work, ms) => ticks.push([work, ms]);
  globalThis.clearInterval = (tick) => stopped.push(tick);
  navigator.setAppBadge = async (count) => { badges.push(count); throw new Error('not here'); };
  navigator.clearAppBadge = async () => { badges.push('none'); throw new Error('not here'); };
  const broken = [];
  process.on('unhandledRejection', ({ message }) => broken.push(message));
  const told = [];
  const before = listeners();
  const screen = new Screen('house-head');
  const look = async () => {
    for (let turn = 0; turn < 4; turn += 1) { screen.said(); await new Promise((later) => setTimeout(later, 0)); }
    told.push(screen.said().join(' '));
  };
  await look();
  keepPour({ ...freshPour(2), sets: [0, 1].map((at) => ({ state: 'cooling', at: Date.now() - 900_000 - at, cool_s: 0, due_s: 900 })) });
  dispatchEvent(new Event('honeyhold-molds-ready'));
  await look();
  location.hash = '#melt/pour/x';
  dispatchEvent(new Event('hashchange'));
  await look();
  location.hash = '#shelf';
  const needs = (count) => {
    for (const id of ['n1', 'n2']) known.entries.delete(id);
    for (let n = 1; n <= count; n += 1) known.entries.set(`n${n}`, { id: `n${n}`, seq: 90 + n, state: 'refused', why: '', remedy: '',
      operation: { kind: 'amend', rows: [], made_at: '2027-07-24T14:00:00Z' } });
  };
  for (const [count, update] of [[1, true], [2, false], [2, true], [0, true], [0, false]]) {
    needs(count);
    change({ update });
    await look();
  }
  const { op } = await amend('o1', { note: 'first' });
  const undo = new Screen('undo-key', { op });
  undo.said();
  const entry = known.entries.get(op);
  entry.operation.made_at = '2027-07-24T14:51:00Z';
  ticks.forEach(([work]) => work());
  told.push(undo.said().join(' '), ticks.map(([, ms]) => ms));
  current.since = new Date(Date.now() - 3_700_000);
  ticks.forEach(([work]) => work());
  await look();
  known.entries.clear();
  current.started = false;
  change({});
  await look();
  screen.leave();
  undo.leave();
  told.push(stopped.length, JSON.stringify(listeners()) === JSON.stringify(before), badges, broken);
  return told;
})()"""


def test_what_stands_at_the_head_of_every_screen() -> None:
    """Molds to be knocked out but not on the pour itself, how much needs a person, a new version where nothing is graver."""
    rows = [{"table": "device", "id": "phone-a", "name": "Shed phone", "role": "keeper", "lost": False}, person("ann", "Ann", ""),
            *order("o1", "ann", "pick_up", "promised", "2027-07-26", {})]  # fmt: skip
    told = in_page("parts/house-head.js", HEAD, {"screens": SCREENS}, rows)
    sent, foot = "all sent, 2 min ago", "[search] Sat Jul 24"
    molds = "[set 1 and 2: knock out](#melt/pour)"
    assert told[:3] == [f"{sent} {foot}", f"{sent} {molds} {foot}", f"{sent} {foot}"]
    assert told[3:8] == [
        f"{sent} {molds} [1 needs you](#settings/needs) {foot}", f"{sent} {molds} [2 need you](#settings/needs) {foot}",
        f"{sent} {molds} [2 need you](#settings/needs) {foot}", f"{sent} {molds} [new version](#settings/device) {foot}",
        f"{sent} {molds} {foot}",
    ]  # fmt: skip
    assert told[8:10] == ["[undo for 1 more minute]", [15_000, 10_000]]
    assert told[10].startswith("1 not sent yet ") and told[11] == f"opening the book … {molds}"
    assert told[12:] == [2, True, [1, 2, "none"], []]


CAMERA = """(async () => {
  const cameras = await module('parts/code-camera.js');
  await module('parts/search-sheet.js');
  const flat = (one) => Array.isArray(one) ? one.map(flat).join('') : typeof one === 'symbol' || typeof one === 'function' ? ''
    : one?.strings ? one.strings.map((text, at) => text + flat(one.values[at] ?? '')).join('') : String(one);
  const said = (drawn) => flat(drawn).replace(/<video[^>]*>/, '(video)').replace(/<[^>]*>/g, ' ').replace(/\\s+/g, ' ').trim();
  let pictures = [], fails = false, shows = 0;
  const settle = async () => { for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  globalThis.BarcodeDetector = class {
    static async getSupportedFormats() { return ['qr_code']; }
    async detect() { return (pictures.shift() ?? []).map((rawValue) => ({ rawValue })); }
  };
  const told = [], found = [];
  let updates = 0;
  const video = { play: async () => { shows += 1; } };
  const host = { addController() {}, requestUpdate: () => (updates += 1), updateComplete: Promise.resolve(), querySelector: () => video };
  const camera = new cameras.CodeCamera(host, (code) => found.push(code), (code) => code !== 'other');
  told.push(said(camera.key('scan a code')));
  navigator.mediaDevices = { getUserMedia: async () => { if (fails) throw new TypeError('no'); return { getTracks: () => [] }; } };
  const key = () => camera.key('scan a code', 'key quiet');
  const touch = () => key().values.find((one) => typeof one === 'function')();
  told.push([said(key()), key().values.includes('key quiet'), said(camera.picture())]);
  pictures = [['other'], ['AB1']];
  const looks = touch();
  told.push([said(key()), said(camera.picture())]);
  await looks;
  told.push([found.splice(0), said(key()), said(camera.picture()), updates, shows]);
  const looked = touch();
  touch();
  told.push([said(key()), said(camera.picture())]);
  await looked;
  told.push([found.length, said(camera.picture())]);
  updates = 0;
  camera.hostDisconnected();
  told.push(updates);
  fails = true;
  await touch();
  told.push([said(key()), said(camera.picture()).split(':')[0]]);
  fails = false;
  const sheets = [];
  for (const code of asked.codes) {
    const sheet = new (customElements.get('search-sheet'))();
    const gone = [];
    for (const [name, value] of Object.entries({ updateComplete: Promise.resolve(), querySelector: () => video, performUpdate() {},
      remove: () => gone.push('gone'), requestUpdate() {} })) Object.defineProperty(sheet, name, { value, configurable: true });
    location.hash = '#counter';
    pictures = [[code]];
    const deep = (one) => [one, ...(one?.values ?? []).flatMap((value) => (Array.isArray(value) ? value : [value]).flatMap(deep))];
    const keyOf = () => deep(sheet.render()).find((one) => one?.strings && flat(one).includes('scan a code') && one.values.length === 3);
    await keyOf().values.find((one) => typeof one === 'function')();
    await settle();
    sheets.push([sheet.text, sheet.hits.map(({ id }) => id), Boolean(sheet.said), gone.length, location.hash]);
  }
  return [...told, sheets];
})()"""


def test_the_camera_looks_for_one_code() -> None:
    """The key that starts it stops it, too; it goes dark when it is found or its element leaves, and says why it cannot look."""
    rows = [person("ann", "Ann Tollefson", ""), person("ann2", "Anna Berg", ""), *order("o1", "ann", "pick_up", "promised", None, {})]
    codes = ["HONEYHOLD:ORDER:o1", "HONEYHOLD:ORDER:o7", "Tollefson", "Ann", "9400 5550 1"]
    told = in_page("parts/code-camera.js", CAMERA, {"codes": codes}, rows)
    idle, looks = ["scan a code", ""], ["stop the camera", "(video)"]
    assert told[:5] == ["", ["scan a code", True, ""], looks, [["AB1"], *idle, 2, 1], idle]
    assert told[5:8] == [[0, ""], 0, ["scan a code", "The camera may not be used here"]]
    assert told[8] == [
        ["", [], False, 1, "#book/order/o1"], ["", [], True, 0, "#counter"], ["", [], False, 1, "#book/person/ann"],
        ["Ann", ["ann", "ann2"], False, 0, "#counter"], ["9400 5550 1", [], True, 0, "#counter"],
    ]  # fmt: skip


READ = """await (async () => {
  const { register } = await import('node:module');
  const find = `export const resolve = (name, context, next) => name === '/lib/jsqr/dist/jsQR.js'
    ? { url: 'data:text/javascript,', shortCircuit: true } : next(name, context);`;
  let sees = null;
  globalThis.jsQR = (data, width, height) => { if (sees === 'fails') throw new Error('no');
    return sees && { data: `${sees} ${data.length} ${width} ${height}` }; };
  const told = [await here.readSquare({ data: [], width: 1, height: 1 }).catch(({ message }) => message)];
  register(`data:text/javascript,${encodeURIComponent(find)}`);
  const fresh = await import(`${asked}/scan.js?anew`);
  for (sees of [null, 'AB1', 'fails'])
    told.push(await fresh.readSquare({ data: [1, 2], width: 3, height: 4 }).catch(({ message }) => message));
  const made = [];
  let dark = 0, plays = 0;
  const stream = { getTracks: () => [{ stop: () => (dark += 1) }] };
  Object.defineProperty(globalThis, 'navigator', { configurable: true, value: { mediaDevices: { getUserMedia: async () => stream } } });
  sees = 'AB2';
  for (const [wide, high, draws] of [[0, 9, true], [9, 0, true], [9, 9, false], [9, 8, true]]) {
    const stop = new AbortController();
    const picture = { canvas: {}, drawImage: () => made.push([wide, high]),
      getImageData: (x, y, width, height) => ({ data: [0], width, height }) };
    globalThis.document = { createElement: () => ({ getContext: () => (draws ? picture : null) }) };
    let looks = 0;
    const video = { get videoWidth() { if ((looks += 1) > 1) stop.abort(); return wide; },
      videoHeight: high, play: async () => (plays += 1) };
    told.push(await fresh.scanned(video, stop.signal).catch(({ message }) => message));
  }
  const stopped = new AbortController();
  stopped.abort();
  told.push(await fresh.scanned({ play: async () => (plays += 1) }, stopped.signal).catch(({ message }) => message));
  return [...told, made, plays, dark];
})()"""


def test_where_the_browser_reads_no_codes_a_library_does() -> None:
    """Not before the camera shows anything; one that was stopped before it came is never shown."""
    told = in_node("parts/scan.js", READ, PARTS)
    assert told == ["What reads codes is not on this device yet: type what is under the code.", "", "AB1 2 3 4",
                    "This code cannot be read here: type what is under the code.", "", "", "", "AB2 1 9 8", "", [[9, 8]], 4, 8]  # fmt: skip


ZIPS = """(async () => {
  const { gzipSync } = await import('node:zlib');
  const fetched = [];
  globalThis.fetch = async (address) => {
    fetched.push(address.split('/').at(-1));
    return address.endsWith('manifest.json') ? new Response(JSON.stringify({ zips: 'zips.gz' }))
      : new Response(gzipSync('54843\\tHayward\\tWI\\n968\\tDuluth\\tMN\\n29470\\tTempe\\tAZ'));
  };
  const settle = async () => { for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setTimeout(later, 1)); };
  const told = [];
  for (const { before, zip, city = '', state = '', typed = [], becomes } of asked) {
    const elements = { city: { value: city, dataset: {} }, state: { value: state, dataset: {} } };
    const fields = here.addressFields(before === undefined ? null : { zip: before }).map(({ values }) => values);
    const hears = Object.fromEntries(fields.map((values) => [values[2], values.at(-1)]));
    for (const name of typed) hears[name]({ target: elements[name] });
    const input = { value: zip, form: { elements } };
    hears.zip({ target: input });
    if (becomes) input.value = becomes;
    await settle();
    told.push([elements.city.value, elements.state.value]);
  }
  return [told, fetched];
})()"""


def test_town_and_state_follow_the_zip_but_what_a_person_typed_stays() -> None:
    """More digits of the same place change nothing, an answer to an older ZIP neither."""
    duluth: Json = {"city": "Duluth", "state": "MN"}
    told, fetched = in_page("parts/address-form.js", ZIPS, [
        {"zip": "55811"}, {"zip": "55811-1234", "city": "Old", "state": "XX"}, {"zip": "5581", **duluth}, {"zip": "99999", **duluth},
        {"zip": "85281", **duluth}, {"zip": "85281", **duluth, "typed": ["city"]}, {"zip": "85281", "typed": ["city", "state"]},
        {"zip": "85281", "becomes": "8528", **duluth}, {"before": "55811", "zip": "55811-2", "city": "Proctor", "state": "MN"},
        {"before": "55811", "zip": "55811", "city": "Proctor", "state": "MN"},
        {"before": "55811", "zip": "55811", "city": "", "state": "MN"},
        {"before": "55811", "zip": "54843", "city": "Proctor", "state": "MN"}, {"zip": "85281", "city": "Mesa", "typed": ["city"]},
    ])  # fmt: skip
    tempe = ["Tempe", "AZ"]
    assert told == [
        ["Duluth", "MN"], ["Duluth", "MN"], ["Duluth", "MN"], ["Duluth", "MN"], tempe, ["Duluth", "AZ"], tempe, ["Duluth", "MN"],
        ["Proctor", "MN"], ["Proctor", "MN"], ["Duluth", "MN"], ["Hayward", "WI"], ["Mesa", "AZ"],
    ]  # fmt: skip
    assert fetched == ["manifest.json", "zips.gz"]


def test_an_address_that_is_not_right_says_what() -> None:
    whole = {"street": "41 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
    cases = [{}, {"street": "", "city": ""}, {"street": ""}, {"city": ""}, {"state": "Min"}, {"state": "mn"},
             {"state": ""}, {"zip": "5581"},
             {"zip": "55811-1"}, {"zip": "55811-1234"}, {"zip": ""}]  # fmt: skip
    told = in_node("parts/address-form.js", "asked.map((one) => here.addressTrouble(one))", [whole | one for one in cases])
    assert [words.split(":")[0].split(".")[0] for words in told] == [
        "", "Write a street or a PO box, and the city", "", "", "“Min” is no state", "“mn” is no state", "", "“5581” is no ZIP",
        "“55811-1” is no ZIP", "", "",
    ]  # fmt: skip


TIMED = """(async () => {
  const told = [], locks = [], resumed = [], broken = [];
  process.on('unhandledRejection', ({ message }) => broken.push(message));
  globalThis.setTimeout = () => 0;
  const settle = async () => { for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setImmediate(later)); };
  const held = () => Object.assign(new EventTarget(), { release: async () =>
    { locks.push('released'); throw new Error('gone already'); } });
  let last = null, refuses = false;
  navigator.wakeLock = { request: async (what) => {
    locks.push(what);
    if (refuses) throw new Error('the battery runs low');
    return (last = held());
  } };
  navigator.serviceWorker = { getRegistration: async () => { throw new Error('no worker'); } };
  document.visibilityState = 'hidden';
  const sound = () => ({ gain: {}, frequency: {}, connect() {}, start() {}, stop() {} });
  globalThis.AudioContext = class { state = asked.sounds; createGain = sound; createOscillator = sound;
    async resume() { resumed.push(this.state); throw new Error('may not sound'); } };
  here.readyToSound();
  here.readyToSound();
  if (asked.permission) globalThis.Notification = { permission: asked.permission };
  const shown = [];
  if (asked.shows) navigator.serviceWorker.getRegistration = async () => ({ showNotification: async (words) => shown.push(words) });
  const { keepPour, freshPour } = await module('parts/pour-state.js');
  const keep = async (ago_s) => {
    const sets = ago_s.map((s) => ({ state: 'cooling', at: Date.now() - s * 1000, cool_s: 0, due_s: 900 }));
    keepPour({ ...freshPour(1), sets });
    await settle();
  };
  await keep([900]);
  here.watchMolds();
  await settle();
  document.visibilityState = 'visible';
  await keep([901]);
  await keep([60]);
  last.dispatchEvent(new Event('release'));
  await keep([61]);
  const older = last;
  document.visibilityState = 'hidden';
  await keep([62]);
  document.visibilityState = 'visible';
  await keep([63]);
  older.dispatchEvent(new Event('release'));
  await keep([64]);
  await keep([]);
  refuses = true;
  await keep([65]);
  await keep([66]);
  return { resumed: resumed.length, locks, broken, shown, mayAsk: here.mayAsk() };
})()"""


def test_a_screen_that_was_let_go_of_is_kept_on_again() -> None:
    """By the device itself where it lets go, not by what it let go of before; whatever is refused breaks nothing."""
    told = in_page("parts/mold-timer.js", TIMED, {"sounds": "suspended", "permission": "granted"})
    assert told["locks"] == ["screen", "screen", "released", "screen", "released", "screen", "screen"]
    assert (told["resumed"], told["broken"], told["mayAsk"]) == (2, [], False)
    assert in_page("parts/mold-timer.js", TIMED, {"sounds": "running", "shows": True})["resumed"] == 0
    for permission, shown in ((None, []), ("denied", []), ("granted", ["Set 1: knock out"])):
        told = in_page("parts/mold-timer.js", TIMED, {"sounds": "running", "permission": permission, "shows": True})
        assert (told["shown"], told["broken"]) == (shown, [])


ANEW = """(async () => {
  const { askAlso } = await module('kernel/work.js');
  const { current } = await module('store/status.js');
  const out = [];
  askAlso({ inReach: () => true, ask: async (_name, request) => { out.push([request.who, request.leave_on]);
    return { answer: { change: 'worse', words: 'Hotter.' } }; } });
  const settle = async () => { for (let turn = 0; turn < 60; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const told = [];
  const look = async (again = here) => { const end = again.onAgain(() => {}); await settle(); end(); told.push(out.splice(0)); };
  const kept = () => Object.keys(JSON.parse(localStorage.getItem('honeyhold.again')));
  current.signal = 'none';
  await look();
  current.signal = 'shared';
  current.started = false;
  await look();
  current.started = true;
  await look();
  const move = async (units) => {
    known.view.board.apply({ table: 'movement', id: `m${units}`, good: 'c8', units, reason: 'bought', on: '2027-07-24', lot: null });
    await look();
  };
  await move(2); await move(-1); await move(-1);
  const fresh = await import(`${asked}/again.js?anew`);
  await look(fresh);
  told.push(fresh.toTell().map(({ order }) => order.id));
  known.view.orders.delete('o2');
  known.view.board.apply({ table: 'order', id: 'o1', dressing: 'lined' });
  await look();
  told.push(kept());
  localStorage.setItem('honeyhold.again', 'no JSON');
  await look(await import(`${asked}/again.js?broken`));
  return told;
})()"""


def test_what_was_asked_again_is_known_after_the_next_start() -> None:
    """Asked only where anybody can answer, by cartons that are there or not, and forgotten with its order."""
    rows = [
        good("bar", ("wax bar", "wax bars", "bars"), 1, 250), person("ann", "Ann Lind", "", ("4 Heron Sill Rd", "Duluth", "MN", "55811")),
        *carton("c8", "8×6×4", [8, 6, 4], 62), moved("bar", 9, "poured", "2027-07-01"),
        *order("o1", "ann", "post", "promised", "2027-07-26", {"bar": (1, 250)}),
        *order("o2", None, "post", "promised", "2027-07-27", {"bar": (1, 250)}),
    ]  # fmt: skip
    both = [["Ann Lind", "2027-07-26"], ["", "2027-07-27"]]
    told = in_page("parts/again.js", ANEW, PARTS, rows)
    assert told == [[], [], both, both, [], both, [], ["o1", "o2"], both[:1], ["o1"], both[:1]]


WIDE = """(async () => {
  const media = {};
  globalThis.matchMedia = (which) =>
    (media[which.includes('48rem') ? 'wide' : 'roomy'] = Object.assign(new EventTarget(), { matches: which.includes('48rem') }));
  const fresh = await import(`${asked}/wide.js?anew`);
  let updates = 0;
  const watch = new fresh.WideWatch({ addController() {}, requestUpdate: () => (updates += 1) });
  const turn = () => Object.values(media).forEach((one) => one.dispatchEvent(new Event('change')));
  const told = [fresh.isWide(), fresh.isRoomy()];
  for (const act of [() => {}, () => watch.hostConnected(), () => watch.hostDisconnected()]) { act(); turn(); told.push(updates); }
  return told;
})()"""


def test_a_screen_that_is_turned_is_drawn_again() -> None:
    assert in_page("parts/wide.js", WIDE, PARTS) == [True, False, 0, 2, 2]
