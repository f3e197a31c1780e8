"""Half-made orders between windows: which of them a window takes up, lets go, or finds gone, and whether it was kept."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from store.in_page import in_page

BEGUN = """
  const { sentences } = here, at = (name) => import(asked.web + name);
  const [{ load, heldOf }, { change, current, listeners }, { WINDOW }] = await Promise.all(['store/known.js', 'store/status.js',
    'store/turn.js'].map(at));
  const draft = (units, more) => ({ person: null, lines: units ? [{ good: 'bar', units }] : [], amends: null, ...more });
  const rows = async () => (await db.read(['sentences'], (tx) => tx.objectStore('sentences').getAll())).map(({ id, owner, draft: {
    lines } }) =>
    [id === asked.name ? 'mine' : id, owner === WINDOW ? 'here' : owner, lines[0]?.units ?? 0]);
  const put = (id, owner, units = 1, changed_at = '') =>
    db.write(['sentences'], (tx) => tx.objectStore('sentences').put({ id, owner, changed_at, draft: draft(units) })).then(load);
  const short = (name) => name.replace('honeyhold-sentence-', '').replace(/^\\d.*/, 'mine');
  const held = [], given = [], lost = {};
  let refused = [];
  navigator.locks.request = async (name, options, work = options) => {
    if (!name.includes('-sentence-')) return work({});
    if (refused.includes(short(name))) return work(null);
    held.push([short(name), options.steal ? 'steals' : options.ifAvailable ? 'if free' : 'waits']);
    await new Promise((_done, stolen) => { lost[short(name)] = () => stolen(new Error('stolen')); Promise.resolve(work({})).then(_done); });
    given.push(short(name));
  };
  let live = [];
  navigator.locks.query = async () => ({ held: live.map((name) => ({ name: `honeyhold-sentence-${name}` })), pending: [] });
  const quiet = () => new Promise((later) => setTimeout(later, 1));
  const mine = () => sentences.mine && [short(`honeyhold-sentence-${sentences.mine.id}`), sentences.mine.draft.lines[0]?.units ?? 0];"""


def told(script: str) -> Any:
    return in_page("store/sentences.js", f"(async () => {{{BEGUN}{script}}})()", {"web": f"{WEB.as_uri()}/"})


def test_what_is_nothing_yet_is_dropped_where_it_is_put_on_hold() -> None:
    """And its lock is given back; whoever has none in hand loses nothing by it."""
    steps = told("""
      await sentences.park(); await sentences.drop(); sentences.ended();
      sentences.write(draft(0));
      await sentences.settled();
      const kept = [(await rows()).length];
      await sentences.park();
      kept.push((await rows()).length, mine());
      sentences.write(draft(3));
      await sentences.park();
      kept.push((await rows()).map(([, owner, units]) => [owner, units]), mine());
      await quiet();
      return [kept, held, given];""")
    assert steps == [[1, 0, None, [[None, 3]], None], [["mine", "if free"]] * 2, ["mine"] * 2]


def test_an_order_on_hold_is_taken_up_and_the_one_in_hand_is_put_there() -> None:
    steps = told("""
      await put('x1', null, 4);
      await put('x2', 'window-b', 5);
      sentences.write(draft(2));
      await sentences.settled();
      const same = await sentences.open(sentences.mine.id);
      const changed = await rows();
      const went = await sentences.open('x1');
      const after = (await rows()).map(([id, owner]) => [short(`honeyhold-sentence-${id}`), owner]).sort();
      refused = ['x2'];
      const taken = await sentences.open('x2');
      const back = mine();
      refused = [];
      const forced = await sentences.open('x2', { force: true });
      await quiet();
      return [same, changed.length, went, after, taken, back, forced, mine(), held, given];""")
    assert steps == [
        True, 3, True, [["mine", None], ["x1", "here"], ["x2", "window-b"]], False, ["x1", 4], True, ["x2", 5],
        [["mine", "if free"], ["x1", "waits"], ["x1", "waits"], ["x2", "steals"]], ["mine", "x1", "x1"],
    ]  # fmt: skip


def test_at_the_start_the_latest_that_a_window_left_is_taken_up_and_no_other() -> None:
    """Not what another window writes now, nor what was put on hold."""
    left = told("""
      await put('x1', 'gone', 3, '2'); await put('x2', 'other', 4, '1'); await put('x3', null, 5, '3');
      await sentences.takeUp();
      await sentences.takeUp();
      return [mine(), held, (await rows()).map(([id, owner]) => [id, owner]), sentences.others().map(({ id }) => id), sentences.ready];""")
    assert left == [["x1", 3], [["x1", "if free"]], [["x1", "here"], ["x2", "other"], ["x3", None]], ["x3", "x2"], True]
    living = told("""
      await put('x1', 'w', 3, '2'); await put('x2', 'other', 4, '1');
      live = ['x1'];
      await sentences.takeUp();
      return [mine(), sentences.others().map(({ id, elsewhere }) => [id, elsewhere])];""")
    assert living == [["x2", 4], [["x1", True]]]
    second = told("""
      await put('x1', 'w', 3, '3'); await put('x2', 'w', 4, '2'); await put('x4', 'w', 6, '1');
      refused = ['x1'];
      await sentences.takeUp();
      return [mine(), held];""")
    assert second == [["x2", 4], [["x2", "if free"]]]


def test_what_this_tab_had_is_taken_up_first_unless_it_is_on_hold() -> None:
    script = """
      await put('x1', 'w', 3, '1'); await put('x2', OWNER, 4, '2'); await put('x3', 'w', 5, '3');
      sessionStorage.setItem('honeyhold.sentence', NOTED);
      live = LIVE;
      await sentences.takeUp();
      return [mine(), held];"""

    def taken(owner: str, noted: str, live: str = "[]") -> Any:
        return told(script.replace("OWNER", owner).replace("NOTED", noted).replace("LIVE", live))

    assert taken("'w'", "'x1'", "['x1']") == [["x1", 3], [["x1", "waits"]]]
    assert taken("null", "'x2'") == [["x3", 5], [["x3", "if free"]]]
    assert taken("'w'", "'none'") == [["x3", 5], [["x3", "if free"]]]


def test_what_a_version_before_kept_is_gone_on_with_once() -> None:
    """Unless something is in hand by then; what is no draft is thrown away."""
    script = """
      localStorage.setItem('honeyhold.draft', KEPT);
      BEFORE
      await put('x1', 'w', 3, '1');
      await sentences.takeUp();
      await sentences.settled();
      return [mine(), sentences.mine?.draft.amends ?? null, localStorage.getItem('honeyhold.draft')];"""
    lines = "JSON.stringify({ lines: [{ good: 'bar', units: 7 }] })"
    cases = [(lines, "", ["mine", 7]), (lines, "sentences.write(draft(2));", ["mine", 2]), ("'{\\\"lines\\\": 7}'", "", ["x1", 3]),
             ("'null'", "", ["x1", 3]), ("'{'", "", ["x1", 3])]  # fmt: skip
    found = [told(script.replace("KEPT", kept).replace("BEFORE", before)) for kept, before, _ in cases]
    assert [one[:2] for one in found] == [[mine, None] for *_, mine in cases]
    assert [one[2] for one in found] == [None, None, None, None, "{"]


def test_what_another_window_steals_is_lost_here_and_what_was_given_up_is_not() -> None:
    steps = told("""
      sentences.write(draft(2));
      await sentences.settled();
      await quiet();
      lost.mine();
      await quiet();
      const first = [mine(), sentences.taken_away];
      sentences.write(draft(3));
      await sentences.settled();
      const again = [mine()[1], sentences.taken_away];
      await sentences.park();
      lost.mine();
      await quiet();
      return [first, again, sentences.taken_away];""")
    assert steps == [[None, True], [3, False], False]


def test_what_the_device_will_not_keep_is_said_until_it_keeps_it_again() -> None:
    steps = told("""
      let drawn = 0;
      listeners.add(() => { drawn += 1; });
      const { transaction } = IDBDatabase.prototype;
      const said = [];
      const written = async (units, fails) => {
        IDBDatabase.prototype.transaction = fails ? () => { throw new Error('full'); } : transaction;
        drawn = 0;
        sentences.write(draft(units));
        await sentences.settled();
        await quiet();
        said.push([sentences.unkept, drawn > 0, mine()[1]]);
      };
      for (const [units, fails] of [[1, false], [2, true], [3, true], [4, false], [5, false]]) await written(units, fails);
      return [said, (await rows()).map(([, owner, units]) => [owner, units])];""")
    assert steps == [[[False, False, 1], [True, True, 2], [True, False, 3], [False, True, 4], [False, False, 5]], [["here", 5]]]


def test_what_another_window_ended_meanwhile_is_let_go_and_a_store_that_fails_leaves_it_there() -> None:
    steps = told("""
      await put('x1', null, 4);
      await sentences.open('x1');
      await db.write(['sentences'], (tx) => tx.objectStore('sentences').delete('x1'));
      sentences.write(draft(9));
      await sentences.settled();
      const ended = [mine(), sentences.taken_away, await rows()];
      await put('x2', null, 5);
      const { transaction } = IDBDatabase.prototype;
      IDBDatabase.prototype.transaction = () => { throw new Error('full'); };
      const went = await sentences.open('x2');
      IDBDatabase.prototype.transaction = transaction;
      await sentences.open('x2');
      IDBDatabase.prototype.transaction = () => { throw new Error('full'); };
      await sentences.drop();
      IDBDatabase.prototype.transaction = transaction;
      return [ended, went, mine(), await rows()];""")
    assert steps == [[None, True, []], False, None, [["x2", "here", 5]]]


def test_what_is_written_here_is_newer_than_what_was_read_whether_it_could_be_kept_or_not() -> None:
    """Its units are held, and no other order of this device counts on them."""
    steps = told("""
      sentences.write(draft(2));
      await sentences.settled();
      const { transaction } = IDBDatabase.prototype;
      IDBDatabase.prototype.transaction = () => { throw new Error('full'); };
      sentences.write(draft(6));
      await sentences.settled();
      IDBDatabase.prototype.transaction = transaction;
      const units = [heldOf('bar')];
      await load();
      units.push(heldOf('bar'));
      await quiet();
      change({});
      await quiet();
      return [...units, heldOf('bar'), mine(), (await rows()).map(([, , units]) => units)];""")
    assert steps == [6, 2, 6, ["mine", 6], [2]]


def test_what_was_taken_away_stands_among_the_others_as_the_other_window_has_it() -> None:
    steps = told("""
      await put('x1', null, 3);
      await sentences.open('x1');
      await quiet();
      const before = sentences.others();
      live = ['x1'];
      await (await db.database()).put('sentences', { id: 'x1', owner: 'w', changed_at: '', draft: draft(8) });
      lost.x1();
      for (let turn = 0; turn < 200 && !sentences.others()[0]?.elsewhere; turn += 1) await quiet();
      return [before, mine(), sentences.others().map(({ id, elsewhere, draft: { lines } }) => [id, elsewhere, lines[0].units])];""")
    assert steps == [[], None, [["x1", True, 8]]]
