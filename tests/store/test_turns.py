"""Windows of one device take turns: who waits how long for whom, what no update may come into, and what a window keeps for itself."""

from __future__ import annotations

from typing import Any

import pytest

from store.in_page import in_page

LOCKS = """
  const asks = [], waits = [], ends = [];
  let clock = null;
  AbortSignal.timeout = (ms) => {
    waits.push(ms);
    clock = new AbortController();
    return clock.signal;
  };
  /** By name who has it: `shared` or `exclusive`; whoever waits is served in turn. */
  const held = [], queue = [];
  const free = ({ name, mode }) => !held.some((one) => one.name === name && (mode === 'exclusive' || one.mode === 'exclusive'));
  const serve = () => {
    const next = queue.findIndex(free);
    if (next < 0) return;
    const [one] = queue.splice(next, 1);
    run(one);
    serve();
  };
  const run = (one) => {
    held.push(one);
    const over = () => {
      if (held.includes(one)) held.splice(held.indexOf(one), 1);
      serve();
    };
    Promise.resolve().then(() => one.work({ name: one.name })).finally(over).then(one.done, one.fails);
  };
  const request = (name, options, work = options) => new Promise((done, fails) => {
    const { mode = 'exclusive', ifAvailable = false, steal = false, signal = null } = typeof options === 'function' ? {} : options;
    asks.push([name, mode, steal ? 'steals' : ifAvailable ? 'if free' : signal ? 'for a while' : 'waits']);
    const one = { name, mode, work, done, fails };
    if (steal) for (const other of held.filter((has) => has.name === name)) {
      held.splice(held.indexOf(other), 1);
      other.fails(new DOMException('stolen', 'AbortError'));
    }
    if (free(one)) return run(one);
    if (ifAvailable) return Promise.resolve(work(null)).then(done, fails);
    signal?.addEventListener('abort', () => {
      if (!queue.includes(one)) return;
      queue.splice(queue.indexOf(one), 1);
      fails(signal.reason);
    });
    queue.push(one);
  });
  const query = async () => ({ held: held.map(({ name }) => ({ name })), pending: [] });
  navigator.locks = asked === 'none' ? undefined : { request, query };
  const settle = async () => { for (let turn = 0; turn < 25; turn += 1) await new Promise((later) => setImmediate(later)); };
  const told = (work) => work.then((value) => value ?? null, (error) => `fails: ${error.message}`);
  const state = async (promise) => { await settle(); return Promise.race([promise, Promise.resolve('waits')]); };
"""


def turns(script: str, locks: str = "there") -> Any:
    return in_page("store/turn.js", f"(async () => {{{LOCKS}{script}}})()", locks)


@pytest.mark.parametrize("locks", ["there", "none"])
def test_one_window_after_the_other_and_who_waited_long_enough_goes_on(locks: str) -> None:
    """Its work is done once, even where it fails; without turns everybody works at once."""
    said = turns("""
      let end = null, times = 0;
      const first = told(here.inTurn('log', 1500, () => new Promise((over) => { end = over; })));
      await settle();
      const second = told(here.inTurn('log', 700, async () => (times += 1)));
      const other = told(here.inTurn('exchange', 900, async () => 'its own turn'));
      const said = [await state(second), await state(other)];
      clock?.abort();
      await settle();
      end('over');
      said.push(await state(second), await state(first), times);
      const impatient = here.inTurn('log', 300, () => new Promise((over) => { end = over; }));
      await settle();
      const late = told(here.inTurn('log', 200, async () => 'goes on'));
      said.push(await state(late));
      clock?.abort(new Error('too long'));
      said.push(await state(late));
      end();
      await impatient;
      const fails = told(here.inTurn('log', 100, async () => { times += 1; throw new Error('its own'); }));
      said.push(await state(fails), times, waits, asks);
      return said;""", locks)  # fmt: skip
    after = ["fails: its own", 2]
    if locks == "none":
        assert said == [1, "its own turn", 1, "over", 1, "goes on", "goes on", *after, [], []]
    else:
        names = ["log", "log", "exchange", "log", "log", "log"]
        assert said == ["waits", "its own turn", 1, "over", 1, "waits", "goes on", *after, [1500, 700, 900, 300, 200, 100],
                        [[f"honeyhold-{name}", "exclusive", "for a while"] for name in names]]  # fmt: skip


@pytest.mark.parametrize("locks", ["there", "none"])
def test_nothing_comes_in_between_while_an_order_is_taken(locks: str) -> None:
    """Said twice it is one; over is over however often it is said. What fails in between is told."""
    said = turns("""
      let times = 0;
      const between = async (work = async () => { times += 1; }) => {
        const ran = told(here.betweenOrders(work));
        await settle();
        clock?.abort(new Error('too long'));
        return [await state(ran), times];
      };
      const said = [await between()];
      here.takingOrder(true);
      here.takingOrder(true);
      said.push(await between());
      here.takingOrder(false);
      here.takingOrder(false);
      said.push(await between());
      here.takingOrder(true);
      said.push(await between());
      here.takingOrder(false);
      said.push(await between(async () => { throw new Error('no'); }));
      return [said, [...new Set(waits)], asks.filter(([, mode]) => mode === 'shared')];""", locks)  # fmt: skip
    assert said[0] == [[True, 1], [False, 1], [True, 2], [False, 2], ["fails: no", 2]]
    shared = [["honeyhold-order", "shared", "waits"]] * 2
    assert said[1:] == ([[400], shared] if locks == "there" else [[], []])


@pytest.mark.parametrize("locks", ["there", "none"])
def test_an_order_on_hold_is_one_that_is_taken_and_a_store_that_fails_has_none(locks: str) -> None:
    said = turns("""
      const put = (units) => db.database().then((open) => open.put('sentences', { id: 's1', draft: { lines: units } }));
      const said = [];
      for (const lines of [[{ good: 'bar', units: 1 }], []]) {
        await put(lines);
        said.push(await here.betweenOrders(async () => {}));
      }
      await put([{ good: 'bar', units: 1 }]);
      IDBDatabase.prototype.transaction = () => { throw new Error('no disk'); };
      said.push(await here.betweenOrders(async () => {}));
      return said;""", locks)  # fmt: skip
    assert said == [False, True, True]


def test_what_a_window_keeps_it_has_until_it_gives_it_up_or_another_takes_it() -> None:
    said = turns("""
      const lost = [];
      const keep = (name, how) => here.keepForWindow(name, () => lost.push(how?.steal ? 'thief' : name), how);
      const names = async () => [...await here.keptByWindows()].sort();
      const first = await keep('a');
      const said = [[typeof first, await keep('a'), await names()]];
      const waiting = keep('a', { wait_ms: 50 });
      said.push(await state(waiting));
      first();
      const second = await state(waiting);
      said.push([typeof second, lost.length]);
      const third = keep('a', { wait_ms: 70 });
      await settle();
      clock.abort(new Error('too long'));
      said.push(await state(third));
      const fourth = await keep('a', { steal: true, wait_ms: 90 });
      await settle();
      said.push([typeof fourth, [...lost]]);
      second();
      await settle();
      said.push([[...lost], await names()]);
      fourth();
      await settle();
      said.push([[...lost], await names()]);
      return [said, waits, asks.map(([name, , how]) => [name, how])];""")
    a = "honeyhold-a"
    assert said == [
        [["function", None, ["a"]], "waits", ["function", 0], None, ["function", ["a"]], [["a"], ["a"]], [["a"], []]], [50, 70],
        [[a, "if free"], [a, "if free"], [a, "for a while"], [a, "for a while"], [a, "steals"]],
    ]  # fmt: skip


def test_a_browser_without_turns_keeps_everything_for_everybody() -> None:
    said = turns("""
      const [one, two] = await Promise.all([1, 2].map(() => here.keepForWindow('a', () => {})));
      one();
      return [typeof one, typeof two, (await here.keptByWindows()).size];""", "none")
    assert said == ["function", "function", 0]
