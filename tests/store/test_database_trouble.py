"""What is said when the store of a device is full, fails, hangs, or is closed under the page, and when the trouble is over."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from store.in_page import in_page

DO = "Do it again; if it fails again, copy or print the text and load the page anew."
ROOM = "Make room on the device, then do it again; copy or print the text meanwhile."
FULL = f"This device's storage is full, so nothing was written down. {ROOM}"
TRIED = """
  const heard = [];
  here.watch.trouble('It is over already.');
  here.watch.trouble('It began early.');
  here.watch.listen((text) => heard.push(text));
  here.watch.listen((text) => heard.push(text));
  const said = (work) => work.then((value) => value ?? 'done', (error) => [error.constructor.name, error.message,
    error.remedy].filter(Boolean).join(' '));
  const { HouseError } = await import(`${asked.web}store/trouble.js`);
  const keep = (tx) => tx.objectStore('keep');"""


def tried(script: str) -> Any:
    return in_page("store/database.js", f"(async () => {{{TRIED}{script}}})()", {"web": f"{WEB.as_uri()}/"})


def no(why: str) -> str:
    return f"HouseError This device could not write it down ({why}). {DO}"


def test_what_fails_is_told_in_words_and_by_its_own_reason() -> None:
    """What another window did first, and what an act refuses, is no trouble of the store."""
    told = tried("""
      const full = new DOMException('', 'QuotaExceededError'), nameless = new DOMException('', 'DataError');
      const thrown = [full, nameless, new DOMException('why', 'DataError'), new Error('a slip'), 'words', '', new here.Raced('raced'),
        new HouseError('draft', 'No.', 'Go.')];
      const read = [], written = [];
      for (const error of thrown) {
        read.push(await said(here.read(['keep'], async () => { throw error; })));
        written.push(await said(here.write(['keep'], async () => { throw error; })));
      }
      return [read, written, heard];""")
    words = [f"HouseError {FULL}", *(no(why) for why in ("DataError", "why", "a slip", "words", "no reason given")), "Raced raced",
        "HouseError No. Go."]
    assert told[:2] == [words, words]
    assert told[2] == ["It began early.", *(text.removeprefix("HouseError ") for text in words[:6])]


def test_nothing_is_written_of_what_fails_half_way_and_the_endings_reason_is_told() -> None:
    told = tried("""
      await here.write(['log', 'keep'], async (tx) => {
        await keep(tx).put(1, 'a');
        await tx.objectStore('log').put({ device: 'd', seq: 1, id: 'e1', state: 'x' });
      });
      const { transaction } = IDBDatabase.prototype;
      let raw;
      IDBDatabase.prototype.transaction = function (...given) { return (raw = transaction.apply(this, given)); };
      const failed = await said(here.write(['log', 'keep'], async (tx) => {
        await keep(tx).put(2, 'a');
        raw._abort('QuotaExceededError'); // as a browser does at the commit
        throw new DOMException('only aborted', 'AbortError');
      }));
      const late = await said(here.write(['keep'], async (tx) => {
        await keep(tx).put(3, 'b');
        await tx.done;
        throw new Error('too late');
      }));
      const hangs = await said(here.write(['keep'], async (tx) => { await keep(tx).put(4, 'a'); for (;;) await keep(tx).get('a'); }, 20));
      const quick = await said(here.write(['keep'], async (tx) => { for (let i = 0; i < 50; i += 1) await keep(tx).get('a'); }, 5000));
      const kept = await here.read(['keep'], (tx) => Promise.all(['a', 'b'].map((key) => keep(tx).get(key))));
      return [failed, late, hangs.slice(0, 48), quick, kept];""")
    assert told == [f"HouseError {FULL}", no("too late"), "HouseError This device could not write it down (", "done", [1, 3]]


def test_where_no_transaction_begins_twice_running_the_remedy_is_told() -> None:
    """Once is tried again on a connection opened anew; what fails twice is told as storage trouble, reading or writing."""
    told = tried("""
      const { transaction } = IDBDatabase.prototype;
      const failing = (times) => {
        let left = times;
        IDBDatabase.prototype.transaction = function (...given) {
          if ((left -= 1) >= 0) throw new DOMException('it is closing', 'InvalidStateError');
          return transaction.apply(this, given);
        };
      };
      const told = [];
      for (const times of [1, 2]) {
        failing(times);
        told.push(await said(here.write(['keep'], (tx) => keep(tx).put(times, 'a'))));
        failing(times);
        told.push(await said(here.read(['keep'], (tx) => keep(tx).get('a'))));
      }
      failing(0);
      return [...told, await here.read(['keep'], (tx) => keep(tx).get('a'))];""")
    assert told == ["a", 1, no("it is closing"), no("it is closing"), 1]


def test_trouble_is_over_once_the_same_sort_of_writing_succeeds() -> None:
    told = tried("""
      const fine = (...stores) => here.write(stores, (tx) => tx.objectStore(stores[0]).get('x'));
      await fine('keep');
      await said(here.write(['keep', 'log'], async () => { throw new Error('a slip'); }));
      await fine('keep');
      await fine('keep', 'log');
      await fine('rows');
      return heard.map((text) => text && text.slice(0, 46));""")
    assert told == ["It began early.", None, "This device could not write it down (a slip). ", None, None]


def test_a_store_that_does_not_open_is_tried_again() -> None:
    told = tried("""
      const { open } = indexedDB;
      here.forget();
      let times = 0;
      indexedDB.open = () => { times += 1; throw new Error('not now'); };
      const first = [await said(here.read(['keep'], async () => {})), times];
      first.push(await said(here.write(['keep'], async () => {})), times);
      indexedDB.open = open;
      return [first, await said(here.read(['keep'], async () => 'read'))];""")
    assert told == [[no("not now"), 1, no("not now"), 2], "read"], "Once a question, not twice."


def test_a_store_of_an_older_form_is_brought_up_and_waits_for_the_window_that_has_it() -> None:
    """Once that is closed nothing stands in the way. A newer form that another window opens, or a store that the browser closes, is told;
    what was being written says nothing of it."""
    told = tried("""
      const opened = (version, upgrade = () => {}) => new Promise((made) => {
        const request = indexedDB.open('honeyhold', version);
        request.onupgradeneeded = () => upgrade(request.result);
        request.onsuccess = () => made(request.result);
      });
      here.forget();
      globalThis.indexedDB = new IDBFactory();
      const old = await opened(1, (made) => {
        for (const name of ['keep', 'rows', 'sums']) made.createObjectStore(name);
        const log = made.createObjectStore('log', { keyPath: ['device', 'seq'] });
        log.createIndex('by_id', 'id', { unique: true });
        log.createIndex('by_state', 'state');
      });
      await new Promise((put) => { old.transaction('keep', 'readwrite').objectStore('keep').put('kept', 'a').onsuccess = put; });
      const waiting = here.read(['keep', 'sentences'], (tx) => keep(tx).get('a'));
      while (heard.length < 2) await new Promise((later) => setTimeout(later));
      old.close();
      const kept = await waiting;
      const before = heard.length;
      let newer;
      const during = await said(here.write(['keep'], async (tx) => {
        await keep(tx).put(1, 'b');
        newer = opened(3);
        while (heard.length === before) await keep(tx).get('a');
      }));
      (await newer).close();
      return [kept, during, heard];""")
    assert told == ["kept", "done", [
        "It began early.", "Another window of Honeyhold is still open in its older form. Close the other windows.", None,
        "A newer Honeyhold was opened in another window. Load this page again.",
    ]]  # fmt: skip
