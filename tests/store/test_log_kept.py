"""The log of a device: written once and in order whatever another window does, sent in pages that a door takes, and read as far as is
needed."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from goods.in_node import WEB
from screens.rows import NOW
from store.in_page import ZONE, in_page
from store.with_house import Json, entry

WEB_URL = f"{WEB.as_uri()}/"
WRITTEN = """(async () => {
  const { load } = await import(`${asked.web}store/known.js`), { WINDOW } = await import(`${asked.web}store/turn.js`);
  const kinds = () => db.read(['log'], async (tx) => (await tx.objectStore('log').getAll()).map(({ seq }) => seq));
  const told = [];
  for (const { stale, always, spent = {}, sentence, undoes, keep = {}, marks = {}, owner, failing, two } of asked.cases) {
    await db.write(['keep', 'log', 'sentences'], async (tx) => {
      await Promise.all(['log', 'sentences'].map((name) => tx.objectStore(name).clear()));
      const identity = { device: 'phone-a', token: '-', mark: 'A', role: 'keeper', name: 'Shed' };
      const kept = { identity, head: { seq: 1, hash: 'x1', orders: 0 }, share: { granted: { bar: 5 }, spent: { bar: 1 } }, ...keep };
      for (const [name, value] of Object.entries({ ...kept, marks: { epoch: 'e', cursor: 1,
        ...marks } })) tx.objectStore('keep').put(value, name);
      for (const entry of asked.log) tx.objectStore('log').put(entry);
      if (owner !== undefined) tx.objectStore('sentences').put({ id: 's2', owner: owner === 'here' ? WINDOW : owner, draft: {
        lines: [] } });
    });
    await load();
    Object.assign(known, stale);
    let builds = 0;
    const build = () => {
      builds += 1;
      if (always) known.head = { ...known.head, seq: 40 };
      if (failing) throw new TypeError('a slip');
      const rows = [{ table: 'setting', id: 'fan', value: builds }, ...(undoes ? [{ table: 'undoing', id: undoes }] : [])];
      return { kind: undoes ? 'undo' : 'set_house', rows, spent, sentence, orders: 1 };
    };
    const work = two ? here.appendAll(() => [build(), build()]) : here.append(build);
    const said = await work.then(() => '', ({ message, remedy }) => `${message} ${remedy ?? ''}`.trim());
    const { share, head, sentences } = await db.read(['keep', 'sentences'], async (tx) => ({
      share: await tx.objectStore('keep').get('share'), head: await tx.objectStore('keep').get('head'),
      sentences: await tx.objectStore('sentences').count(),
    }));
    told.push([said, builds, await kinds(), share.spent, head.orders, sentences]);
  }
  return told;
})()"""
OTHERS = "Another window kept writing at the same time. Close the other windows, then do it again."


def written(cases: list[Json]) -> list[list[Any]]:
    log = [entry(1, "landed", position=1, sentence="s1")]
    told: list[list[Any]] = in_page("store/log.js", WRITTEN, {"cases": cases, "log": log, "web": WEB_URL})
    return told


def test_what_another_window_wrote_is_read_and_the_entry_is_made_anew_after_it() -> None:
    """Six times; what cannot be written by any trying is written not at all."""
    head, share = {"seq": 1, "hash": "x1", "orders": 0}, {"granted": {"bar": 99}, "spent": {}}
    device = {"device": "phone-z", "token": "-", "mark": "Z"}
    told = written([
        {}, {"stale": {"head": {**head, "seq": 0}}}, {"stale": {"head": {**head, "hash": "y"}}}, {"stale": {"identity": device}},
        {"always": True}, {"failing": True}, {"two": True},
        {"spent": {"bar": 4}}, {"spent": {"bar": 5}, "stale": {"share": share}}, {"spent": {"bar": 0}}, {"spent": {"bar": 3}, "two": True},
        {"spent": {"bar": 2}, "two": True}, {"undoes": "none"},
    ])  # fmt: skip
    done, not_done = [[1, 2], {"bar": 1}, 1, 0], [[1], {"bar": 1}, 0, 0]
    assert told == [
        ["", 1, *done], ["", 2, *done], ["", 2, *done], ["", 2, *done], [OTHERS, 6, *not_done], ["a slip", 1, *not_done],
        ["", 2, [1, 2, 3], {"bar": 1}, 2, 0], ["", 1, [1, 2], {"bar": 5}, 1, 0], [OTHERS, 6, *not_done], [OTHERS, 6, *not_done],
        [OTHERS, 12, *not_done], ["", 2, [1, 2, 3], {"bar": 5}, 2, 0], [OTHERS, 6, *not_done],
    ]  # fmt: skip


def test_who_may_not_write_here_any_more_is_told_where_to() -> None:
    added = "This device is not added yet. Add it with a code from an owner's device."
    told = written([
        {"stale": {"identity": None}}, {"marks": {"removed_at": "2027-07-01T00:00:00Z"}}, {"marks": {"moved_to": "https://new.local"}},
        {"marks": {"frozen": "Its storage is an older copy."}},
    ])  # fmt: skip
    assert [one[0] for one in told] == [
        added, added, "This device goes on at https://new.local: the main computer moved there. Open it there and write it down again.",
        "Its storage is an older copy. Add this device again with a new code, then do it again.",
    ]  # fmt: skip
    assert [one[2] for one in told] == [[1]] * 4


def test_a_sentence_becomes_an_order_once_and_in_the_window_that_has_it() -> None:
    told = written([
        {"sentence": "s1"}, {"sentence": "s2", "owner": "window-b"}, {"sentence": "s2", "owner": None}, {"sentence": "s2", "owner": "here"},
        {"sentence": "s3", "owner": None}, {"sentence": "s2"},
    ])  # fmt: skip
    assert [[said, len(log), sentences] for said, _, log, _, _, sentences in told] == [
        ["This order is written down already. Look for it in the Book, or start over.", 1, 0],
        ["This order is being written in another window. Go on there, or take it over here.", 1, 1],
        ["", 2, 0], ["", 2, 0], ["", 2, 1], ["", 2, 0],
    ]  # fmt: skip


PAGES = """(async () => {
  const told = [];
  for (const [most, ...letters] of asked.cases) {
    await db.write(['log'], (tx) => Promise.all([tx.objectStore('log').clear(), ...letters.map((many, at) => {
      const operation = { note: '' };
      operation.note = 'x'.repeat(many - JSON.stringify(operation).length);
      return tx.objectStore('log').put({ device: 'phone-a', seq: at + 1, id: `e${at}`, state: 'in_hand', operation });
    })]));
    const { operations, left, unread } = await here.inHandOperations(most);
    told.push([operations.length, left, unread]);
  }
  return told;
})()"""


def test_so_many_entries_go_together_as_the_door_takes_letters_and_one_at_least() -> None:
    half = 500_000
    cases = [[200, half, half, 20], [200, half, half + 1, 20], [200, 2 * half + 1, 20], [200, half, half], [1, 20, 20, 20], [3, 20, 20, 20]]
    told = in_page("store/log.js", PAGES, {"cases": cases})
    assert told == [[2, 1, 1], [1, 2, 2], [1, 1, 1], [2, 0, 0], [1, 2, 2], [3, 0, 0]]


READ = """(async () => {
  const told = [];
  for (const log of asked) {
    await db.write(['log'], (tx) => Promise.all([tx.objectStore('log').clear(), ...log.map((entry) => tx.objectStore('log').put(entry))]));
    await here.load();
    told.push([...known.entries.values()].map(({ seq }) => seq));
  }
  return told;
})()"""


def test_the_latest_sixty_entries_are_known_and_before_them_what_the_mirror_has_not() -> None:
    """Up to the first that it has; what is in hand or was refused is known however old it is."""
    old = [entry(seq, "landed", position=1) for seq in range(1, 71)]
    some = [*old[:4], entry(5, "refused"), entry(6), *old[6:8], entry(9, "landed", position=9), entry(10, "landed", position=9), *old[10:]]
    told = in_page("store/known.js", READ, [old, some, old[:60]])
    assert told == [[*range(11, 71)], [5, 6, 9, 10, *range(11, 71)], [*range(1, 61)]]


DAYS = """(async () => {
  const { furnish } = await import(asked.page);
  const days = [];
  for (const settings of asked.cases) {
    await db.write(['rows'], (tx) => tx.objectStore('rows').clear());
    await furnish({ rows: Object.entries(settings).map(([id, value]) => ({ table: 'setting', id, value })), identity: null });
    days.push(here.today());
  }
  return days;
})()"""


def test_the_day_is_the_houses_and_where_its_zone_is_none_the_devices_own() -> None:
    east, west, moment = "Pacific/Kiritimati", "America/Chicago", "2027-07-24"
    own = datetime.fromisoformat(NOW).astimezone(ZoneInfo(ZONE)).date().isoformat()
    cases = [{}, {"zone": east}, {"time_zone": east}, {"zone": west, "time_zone": east}, {"zone": east, "time_zone": west},
        {"zone": "Nowhere"}]
    page = (WEB.parent / "tests/screens/page.mjs").as_uri()
    assert in_page("store/known.js", DAYS, {"cases": cases, "page": page}) == [
        own, "2027-07-25", "2027-07-25", moment, "2027-07-25", own
    ]  # fmt: skip
