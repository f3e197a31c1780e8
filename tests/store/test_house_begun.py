"""The house as the rooms look at it: what a start reads and sets going, who is heard from then on, and when the rooms are told."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB
from screens.rows import ROWS
from store.in_page import PAGE, in_page

EFFECTS = (WEB.parent / "tests/screens/effects.mjs").as_uri()
BEGUN = """
  const [{ quiet }, { effectsSince }] = await Promise.all([import(asked.page), import(asked.effects)]);
  const { house } = here;
  const quick = globalThis.setTimeout;
  let due = [], ids = 0, drawn = 0, posts = [];
  globalThis.setTimeout = (work, ms = 0) => {
    if (ms < 100) return quick(work, 0);
    due.push({ id: (ids -= 1), ms, work });
    return ids;
  };
  const { clearTimeout } = globalThis;
  globalThis.clearTimeout = (id) => {
    due = due.filter((one) => one.id !== id);
    if (!(id < 0)) clearTimeout(id);
  };
  const after = (ms) => due.filter((one) => one.ms === ms).forEach(({ work }) => work());
  const others = [];
  BroadcastChannel.prototype.addEventListener = (_what, hears) => others.push(hears);
  BroadcastChannel.prototype.postMessage = (what) => posts.push(what);
  const others_say = (data) => others.forEach((hears) => hears({ data }));
  const asks = [];
  globalThis.fetch = async (path, how) => {
    asks.push([how.method, path, how.headers.Authorization ?? null]);
    throw new TypeError('it is out of reach');
  };
  const settle = async () => {
    for (let turn = 0; turn < 6; turn += 1) {
      await new Promise((later) => quick(later, 1));
      await quiet();
    }
  };
  const since = async (work) => {
    await settle();
    drawn = 0;
    await work();
    await settle();
    return drawn > 0;
  };
  house.subscribe(() => { drawn += 1; });
  const put = async (store, value, ...key) => (await db.database()).put(store, value, ...key);
  await put('keep', { ...known.marks, shape: 9 }, 'marks');
"""


def told(script: str, given: Any = None) -> Any:
    asked = {"page": PAGE, "effects": EFFECTS, "web": f"{WEB.as_uri()}/", "given": given}
    return in_page("store/house.js", f"(async () => {{{BEGUN}{script}}})()", asked, ROWS)


STORAGE = "Do it again; if it fails again, copy or print the text and load the page anew."


def test_what_stands_in_the_way_of_the_store_is_said_once_and_taken_back() -> None:
    """What came before anybody listened, too."""
    said = told("""
      db.watch.trouble('Another window is open.');
      await house.start();
      const said = [[house.status.storage.trouble]];
      for (const text of ['It is full.', 'It is full.', null, null, 'It was closed.'])
        said.push([await since(() => db.watch.trouble(text)), house.status.storage.trouble]);
      return said;""")
    assert said == [["Another window is open."], [True, "It is full."], [False, "It is full."], [True, None], [False, None],
                    [True, "It was closed."]]  # fmt: skip


@pytest.mark.parametrize("meanwhile", [None, "It was closed."])
def test_a_start_that_failed_says_why_until_one_does_not_and_that_is_the_only_one(meanwhile: str | None) -> None:
    """What else came up meanwhile still stands."""
    said = told("""
      const { open } = indexedDB;
      db.forget();
      indexedDB.open = () => { throw new Error('no disk'); };
      const first = house.start();
      const failed = [first === house.start(), await first.catch(({ kind }) => kind), house.status.storage.trouble, others.length];
      indexedDB.open = open;
      if (asked.given) db.watch.trouble(asked.given);
      const [second, again] = [house.start(), house.start()];
      await second;
      return [failed, second === again, house.status.started, others.length, house.status.storage.trouble];""", meanwhile)
    assert said == [[True, "storage", f"This device could not write it down (no disk). {STORAGE}", 0], True, True, 1, meanwhile]


@pytest.mark.parametrize(("identity", "removed", "noted", "emptied", "stays"), [
    (True, False, "Old", None, "Shed phone"), (False, False, "Old", "it was \u201cOld\u201d", "Old"), (False, False, None, None, None),
    (False, True, "Old", None, "Old"),
])  # fmt: skip
def test_a_browser_that_was_cleared_is_told_so(
    identity: bool, removed: bool, noted: str | None, emptied: str | None, stays: str | None
) -> None:
    """Not one that was removed; a device that is added notes its name."""
    found = told("""
      const { identity, removed, noted } = asked.given;
      if (noted) localStorage.setItem('honeyhold-was', noted);
      if (!identity) await (await db.database()).delete('keep', 'identity');
      if (removed) await put('keep', { ...known.marks, removed_at: '2027-07-01T10:00:00Z' }, 'marks');
      await house.start();
      return [house.status.emptied, localStorage.getItem('honeyhold-was'), house.status.enrolled];""",
                 {"identity": identity, "removed": removed, "noted": noted})  # fmt: skip
    assert (emptied in found[0]) if emptied else found[0] is None
    assert found[1:] == [stays, identity]


@pytest.mark.parametrize(("identity", "heard_at", "since"), [
    (True, "2027-07-24T11:00:00.000Z", "working since 11:00"), (True, None, "working since 15:00"), (False, None, "none since 15:00"),
])  # fmt: skip
def test_a_device_that_begins_is_sending_since_it_was_heard_last(identity: bool, heard_at: str | None, since: str) -> None:
    """One that is not added has no signal."""
    assert since == told("""
      globalThis.fetch = () => new Promise(() => {});
      if (!asked.given.identity) await (await db.database()).delete('keep', 'identity');
      await put('keep', { ...known.marks, shape: 9, heard_at: asked.given.heard_at }, 'marks');
      const drawn_by_it = await since(() => house.start());
      return drawn_by_it && `${house.status.signal} since ${house.status.since.toISOString().slice(11, 16)}`;""",
                         {"identity": identity, "heard_at": heard_at})  # fmt: skip


def test_another_window_that_wrote_is_heard_and_the_rooms_are_told() -> None:
    """Of half-made orders alone nothing else is read; a removal heard there loads this page anew, once."""
    said = told("""
      await house.start();
      await settle();
      const people = () => [Boolean(known.view.people.get('zed')), known.sentences.has('s9')];
      await put('rows', { id: 'zed', name: 'Zed', phone: '' }, ['person', 'zed']);
      await put('sentences', { id: 's9', owner: null, changed_at: '', draft: { person: null, lines: [], amends: null } });
      const said = [people()];
      said.push([await since(() => others_say('sentences')), ...people()]);
      said.push([await since(() => others_say('changed')), ...people()]);
      await put('keep', { ...known.marks, removed_at: '2027-07-24T10:00:00Z' }, 'marks');
      effectsSince();
      for (let times = 0; times < 2; times += 1) {
        await since(() => others_say('changed'));
        said.push(effectsSince());
      }
      return said;""")
    assert said == [[False, False], [True, False, True], [True, True, True], ["the page is loaded anew"], []]


def test_what_the_others_wrote_while_the_store_fails_is_no_trouble_of_the_page() -> None:
    said = told("""
      await house.start();
      const { transaction } = IDBDatabase.prototype;
      IDBDatabase.prototype.transaction = () => { throw new Error('no disk'); };
      return [await since(() => others_say('changed')), await since(() => dispatchEvent(new Event('online')))];""")
    assert said == [True, True]


KEPT = """
  const acts = await import(asked.web + 'store/acts.js');
  let asked_for = 0;
  const { was, grants, orders } = asked.given;
  if (was !== 'no storage') navigator.storage = {
    persisted: async () => { if (was === 'fails') throw new Error('no leave'); return was; },
    persist: async () => { asked_for += 1; if (grants === 'fails') throw new Error('no leave'); return grants; },
  };
  await put('keep', { ...known.head, orders }, 'head');
  await house.start();
  await settle();
  const said = [house.status.storage.persisted, asked_for];
  asks.length = 0;
  for (const name of ['One', 'Two']) {
    const is_drawn = await since(() => acts.savePerson({ name }));
    said.push([is_drawn, house.status.storage.persisted, asked_for]);
  }
  return [...said, asks.length];"""


@pytest.mark.parametrize(("was", "grants", "orders", "said"), [
    (True, True, 3, [True, 0, True, 0, True, 0]), (False, True, 1, [False, 0, True, 1, True, 1]),
    (False, False, 3, [False, 0, False, 1, False, 2]), (False, True, 0, [False, 0, False, 0, False, 0]),
    ("fails", "fails", 3, [False, 0, False, 1, False, 2]), ("no storage", True, 3, [False, 0, False, 0, False, 0]),
])  # fmt: skip
def test_once_an_order_was_taken_the_browser_is_asked_to_keep_it_until_it_does(was: Any, grants: Any, orders: int, said: list[Any]) -> None:
    """And with each entry the rooms are told, and the main computer is spoken with."""
    persisted, times, one, two, asks = told(KEPT, {"was": was, "grants": grants, "orders": orders})
    assert [persisted, times, *one[1:], *two[1:]] == said and (one[0], two[0], asks) == (True, True, 2)


def test_a_start_speaks_with_the_main_computer_looks_for_a_version_and_wakes_what_is_needed_later() -> None:
    """When the page has nothing better to do: the reader of telephone numbers, and the kernel."""
    said = told("""
      const idle = [];
      globalThis.requestIdleCallback = (work) => idle.push(work);
      const waiting = Object.assign(new EventTarget(), { postMessage() {} });
      const found = Object.assign(new EventTarget(), { waiting });
      navigator.serviceWorker = Object.assign(new EventTarget(), { controller: {}, register: async () => found });
      dispatchEvent(new Event('pointerdown'));
      const before = house.status.update;
      await house.start();
      await settle();
      const begun = [before, house.status.update, asks[0], house.status.kernel.state, house.status.signal];
      idle.forEach((work) => work());
      await settle();
      return [begun, await since(() => asks.length), house.status.kernel.state, idle.length];""")
    begun, _, kernel, idle = said
    assert begun == [False, True, ["POST", "/api/exchange", begun[2][2]], "asleep", "none"] and begun[2][2].startswith("Bearer ")
    assert (kernel, idle) == ("fetching", 3)


def test_a_slow_exchange_says_so_and_a_quick_one_does_not() -> None:
    said = told("""
      const signals = [];
      let end = null;
      globalThis.fetch = () => new Promise((_done, fails) => { end = fails; });
      const signal = () => signals.push([house.status.signal, due.filter(({ ms }) => ms === 600).length]);
      signal();
      const heard = house.exchange();
      await settle();
      signal();
      after(600);
      signal();
      end(new TypeError('it is out of reach'));
      signals.push(await heard);
      signal();
      await (await db.database()).delete('keep', 'identity');
      known.identity = null;
      signals.push(await house.exchange());
      signal();
      return signals;""")
    assert said == [["shared", 0], ["shared", 1], ["working", 1], False, ["none", 0], False, ["none", 0]]


def test_a_paper_comes_as_it_is_and_all_else_as_what_it_says_with_the_key_along() -> None:
    said = told("""
      const said = [];
      globalThis.fetch = async (path, { method, headers, body }) => {
        asks.push([method, path, headers.Authorization === `Bearer ${known.identity.token}`, body ?? null]);
        return new Response('{"fine": 1}', { headers: { 'Content-Type': 'application/json' } });
      };
      for (const path of ['/api/slip.pdf', '/api/all.zip?x=1', '/api/pdf', '/api/a.pdfs', '/api/b?as=.zip'])
        said.push(await house.call(path).then(async (it) => (it instanceof Blob ? ['paper', await it.text()] : it)));
      await house.call('/api/way', { method: 'PUT', body: { a: 1 } });
      return [said, asks.slice(-1), asks.every(([, , goes]) => goes)];""")
    paper, fine = ["paper", '{"fine": 1}'], {"fine": 1}
    assert said == [[paper, paper, fine, fine, paper], [["PUT", "/api/way", True, '{"a":1}']], True]


def test_what_needed_the_keeper_is_set_aside_and_who_listens_no_more_is_told_no_more() -> None:
    said = told("""
      const acts = await import(asked.web + 'store/acts.js'), { mark } = await import(asked.web + 'store/log.js');
      const { op } = await acts.savePerson({ name: 'One' });
      await mark([op], { state: 'refused', why: 'No.', remedy: 'Go.' });
      let also = 0;
      const end = house.subscribe(() => { also += 1; });
      const before = house.status.needsYou.map((one) => [one.op === op, one.kind, one.why, one.remedy]);
      const drawn_by_it = await since(() => house.dismiss(op));
      const heard = also > 0;
      end();
      also = 0;
      await since(() => house.dismiss(op));
      return [before, drawn_by_it, heard, also, house.status.needsYou];""")
    assert said == [[[True, "note_person", "No.", "Go."]], True, True, 0, []]


ASKED = """
  const { units, wait_s, held, answers, nobody } = asked.given, times = asked.given.clock;
  const [{ load }, { wishes }] = await Promise.all(['known', 'wishes'].map((name) => import(`${asked.web}store/${name}.js`)));
  let clock = 0, end = null;
  performance.now = () => clock;
  await put('keep', { granted: { bar: held }, spent: {} }, 'share');
  if (nobody) await (await db.database()).delete('keep', 'identity');
  await load();
  const callers = [];
  globalThis.fetch = async (_path, { body }) => {
    const { request, callers: on_the_line } = JSON.parse(body);
    callers.push(on_the_line.bar ?? null);
    const granted = answers.shift();
    if (granted === 'slow') await new Promise(() => {});
    if (granted === null) throw new TypeError('it is out of reach');
    const none = { landed: [], refused: [], changes: [], spent: {}, pool: {}, short: {}, ask_back: {} };
    const common = { protocol: 1, request, epoch: 'screens', cursor: 1, more: false, last_seq: 0, covered_to: 0 };
    const whole = { ...common, ...none, granted: { bar: granted }, house_time: '2027-07-24T15:00:00Z' };
    return new Response(JSON.stringify(whole), { headers: { 'Content-Type': 'application/json' } });
  };
  const waits = [];
  let got = null;
  house.ask('bar', units, wait_s).then((share) => { got = share; });
  const own = () => due.filter(({ ms, work }) => ms <= 1500 && ms !== 600 && work.length <= 1);
  for (const at of [...times, null]) {
    await settle();
    waits.push(own().map(({ ms }) => ms).sort((a, b) => a - b));
    if (at === null) break;
    clock = at;
    for (const one of own().filter(({ ms }) => ms === Math.min(...own().map((two) => two.ms)))) {
      due = due.filter((two) => two !== one);
      one.work();
    }
  }
  return { got, callers, after: wishes().callers.bar ?? null, waits: waits.map((now) => now[0] ?? null) };"""


def asked_for(units: int, answers: list[Any], clock: list[int], held: int = 2, wait_s: float | None = None, nobody: bool = False) -> Any:
    """What the device may promise of it at last, or None while it still waits; how many the main computer heard it is for, each time; what
    it hears of that afterwards; the waits. `clock`: how late it is at the end of each wait."""
    given = {"units": units, "answers": answers, "clock": clock, "held": held, "nobody": nobody}
    got = told(ASKED, given if wait_s is None else {**given, "wait_s": wait_s})
    return got["got"], got["callers"], got["after"], got["waits"][:-1] if got["got"] is not None else got["waits"]


def test_a_caller_waits_until_the_share_is_large_enough_and_no_longer_than_they_may() -> None:
    """Who is not heard, not added or has enough asks no more; between two questions there is a moment, and none after the time is over."""
    assert asked_for(2, [9], []) == (2, [], None, []) == asked_for(5, [9], [], nobody=True)
    assert asked_for(5, [5], []) == (5, [5], None, [])
    assert asked_for(5, [None, 9], [350]) == (2, [5], None, [1500])
    assert asked_for(5, [3, 9], []) == (None, [5], 5, [350])
    assert asked_for(5, [3, 9], [350]) == (9, [5, 5], None, [350])
    assert asked_for(5, [3, 4, 9], [1400, 1500]) == (4, [5, 5], None, [350, 100])
    assert asked_for(5, ["slow"], [1500]) == (2, [5], None, [1500])
    assert asked_for(5, ["slow"], [200], wait_s=0.2) == (2, [5], None, [200])
    assert asked_for(5, [9], [], wait_s=0) == (2, [], None, [])


def test_a_device_that_is_added_says_so_notes_its_name_and_speaks_at_once() -> None:
    """A code that is wrong changes nothing."""
    said = told("""
      const said = [];
      localStorage.setItem('honeyhold-was', 'Old');
      await (await db.database()).delete('keep', 'identity');
      await house.start();
      await settle();
      const answers = { '/api/enrol': [409, { detail: 'No such code.', remedy: 'Ask for a new one.' }] };
      globalThis.fetch = async (path, { headers, body }) => {
        asks.push([path, headers.Authorization ?? null, path === '/api/enrol' ? body : null]);
        if (!answers[path]) throw new TypeError('it is out of reach');
        const [status, answer] = answers[path];
        const kind = status < 300 ? 'application/json' : 'application/problem+json';
        return new Response(JSON.stringify(answer), { status, headers: { 'Content-Type': kind } });
      };
      const standing = () => {
        const { enrolled, emptied, signal, device } = house.status;
        return [enrolled, Boolean(emptied), signal, device?.name ?? null, localStorage.getItem('honeyhold-was')];
      };
      said.push(await house.enrol(' code ', ' Second ').catch(({ message }) => message), standing(), asks.splice(0));
      answers['/api/enrol'] = [200, { device: 'phone-b', token: 't', mark: 'B', role: 'keeper', name: 'Second' }];
      said.push(await since(() => house.enrol('code', 'Second')), standing(), asks.slice(0, 2), asks.length > 2);
      return said;""")
    sent = ["/api/enrol", None, '{"code":"code","name":"Second"}']
    assert said == [
        "No such code.", [False, True, "none", None, "Old"], [sent],
        True, [True, False, "none", "Second", "Second"], [sent, ["/api/mirror", "Bearer t", None]], True,
    ]  # fmt: skip
