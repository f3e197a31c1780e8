"""Where a finger did something the place rests while it is under way and a moment more, and then answers again, whatever came of it."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.kinds_of_rows import good, order, person
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = (WEB.parent / "tests/screens").as_uri()
RESTS = """(async () => {
  const { Screen } = await import(`${asked.screens}/drawn.mjs`);
  const [{ Act }, { amend }] = await Promise.all(['parts/act.js', 'store/acts.js'].map(module));
  await module('parts/undo-key.js');
  let clock = 1000;
  performance.now = () => clock;
  globalThis.MutationObserver = class { observe() {} disconnect() {} takeRecords() { return []; } };
  const settle = async () => { for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const finger = (x) => { for (const what of ['pointerdown', 'pointerup'])
    dispatchEvent(Object.assign(new Event(what), { clientX: x, clientY: 100 })); };
  const rests = (x) => {
    const click = Object.assign(new Event('click', { cancelable: true }), { detail: 1, clientX: x, clientY: 100 });
    dispatchEvent(click);
    return click.defaultPrevented;
  };
  let at = 0;
  /** Before; at once, and while it goes on; when it is over, a moment later, and after that moment. */
  const looked = async (begin, end = () => {}) => {
    at += 1000;
    finger(at);
    const told = [rests(at)];
    await begin();
    clock += 5000;
    told.push(rests(at), rests(at + 48), rests(at + 49));
    end();
    await settle();
    told.push(rests(at));
    clock += 699;
    told.push(rests(at));
    clock += 1;
    told.push(rests(at));
    return told;
  };
  const all = {};
  const host = { addController() {}, requestUpdate() {}, updateComplete: Promise.resolve(), querySelector: () => null };
  const act = new Act(host);
  let goOn, fail;
  const run = (work, how) => async () => { act.run(work, '', how); await settle(); };
  all.act = await looked(run(() => new Promise((later) => (goOn = later))), () => goOn({}));
  all.failed = await looked(run(() => new Promise((_, no) => (fail = no))), () => fail(new Error('no')));
  all.untouched = await looked(run(async () => ({}), { touched: false }));
  for (const [name, ...changes] of [['undone', 4], ['not undone', 4, 3]]) {
    const ops = [];
    for (const units of changes) ops.push((await amend('o1', { lines: [{ good: 'bar', units }] })).op);
    const undo = new Screen('undo-key', { op: ops[0] });
    undo.said();
    all[name] = await looked(() => undo.touch('undo'));
    all[name].push(undo.said().length > 1);
    undo.leave();
  }
  return all;
})()"""


def test_a_place_that_was_touched_answers_again_once_it_is_over() -> None:
    """Seven tenths of a second later, be it done, refused, undone or not to be undone; what no finger began lets no place rest."""
    rows = [good("bar", ("wax bar", "wax bars", "bars"), 1, 250), person("ann", "Ann Lind", ""),
            *order("o1", "ann", "pick_up", "promised", "2027-07-26", {"bar": (5, 1250)})]  # fmt: skip
    told = in_page("parts/resting.js", RESTS, {"screens": SCREENS}, rows)
    rests, never = [False, True, True, False, True, True, False], [False] * 7
    assert told == {"act": rests, "failed": rests, "untouched": never, "undone": [*rests, False], "not undone": [*rests, True]}
