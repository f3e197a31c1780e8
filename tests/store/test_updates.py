"""New versions of the app: how one is looked for, when a window is told that one waits, and when it takes over; never within an order."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB
from store.in_page import PAGE, in_page

Step = list[Any]
EFFECTS = (WEB.parent / "tests/screens/effects.mjs").as_uri()
UPDATES = """{
  const [{ quiet }, { effectsSince }] = await Promise.all([import(asked.page), import(asked.effects)]);
  const happened = [], due = [], versions = {};
  globalThis.setTimeout = (work, ms) => due.push({ work, ms });
  globalThis.MessageChannel = class {
    port1 = {};
    port2 = { postMessage: (data) => this.port1.onmessage({ data }) };
  };
  const version = (name, answers) => {
    const postMessage = (told, [port] = []) => {
      happened.push(`${name} is told: ${told}`);
      if (answers) port?.postMessage('yes');
    };
    return (versions[name] = Object.assign(new EventTarget(), { state: 'installing', postMessage }));
  };
  let reach = true;
  const looks = async () => { happened.push('looks'); if (!reach) throw new Error('it is out of reach'); };
  const found = Object.assign(new EventTarget(), { installing: null, waiting: null, active: null, update: looks });
  const workers = Object.assign(new EventTarget(), { controller: asked.served ? {} : null, register: async (path, { updateViaCache }) => {
    happened.push(`registers ${path} ${updateViaCache}`);
    if (!reach) throw new Error('it is out of reach');
    return asked.pretends ? undefined : found;
  } });
  if (!asked.none) navigator.serviceWorker = workers;
  const touches = [];
  globalThis.addEventListener = (sign, hears, { capture }) => touches.push({ sign, hears, capture });
  const app = await import(`${asked.web}store/update.js?watched`);
  const does = {
    begins: () => void app.watchUpdates((waits) => happened.push(waits ? 'one waits' : 'none waits')),
    'takes over': () => void app.takeOver().then((did) => happened.push(`took over: ${did}`)),
    there: (place, name, answers = true) => { found[place] = version(name, answers); },
    comes: (name, answers = true) => {
      found.installing = version(name, answers);
      found.dispatchEvent(new Event('updatefound'));
    },
    'found again': () => found.dispatchEvent(new Event('updatefound')),
    becomes: (name, state) => {
      versions[name].state = state;
      for (const place of ['installing', 'waiting']) if (found[place] === versions[name]) found[place] = null;
      if (state === 'installed') found.waiting = versions[name];
      versions[name].dispatchEvent(new Event('statechange'));
    },
    controls: () => {
      workers.controller = {};
      workers.dispatchEvent(new Event('controllerchange'));
    },
    touched: (sign, on_its_way = 'to the window') =>
      touches.filter((one) => one.sign === sign && (one.capture || on_its_way !== 'stopped')).forEach(({ hears }) => hears()),
    looked: (state) => {
      document.visibilityState = state;
      dispatchEvent(new Event('visibilitychange'));
    },
    reach: (now) => { reach = now; },
    order: async (units) => (await db.database()).put('sentences', { id: 's1', draft: { lines: units ? [{ good: 'bar', units }] : [] } }),
    rings: () => due.splice(0).forEach(({ work }) => work()),
  };
  const said = [];
  for (const [what, ...given] of asked.steps) {
    const before = what === 'rings' ? 0 : due.length;
    await does[what](...given);
    for (let turn = 0; turn < 12; turn += 1) {
      await new Promise((later) => setImmediate(later));
      await quiet();
    }
    said.push([...happened.splice(0), ...effectsSince(), ...due.slice(before).map(({ ms }) => `again in ${ms} ms`)]);
  }
  return said;
}"""
REGISTERS = "registers /service-worker.js none"
ANEW = "the page is loaded anew"


def told(*steps: Step, served: bool = True, **more: bool) -> list[list[str]]:
    """What came of each step. `served`: a version controls this window already; `none`: the browser knows no service workers."""
    asked = {"steps": steps, "served": served, "page": PAGE, "web": f"{WEB.as_uri()}/", "effects": EFFECTS, **more}
    said: list[list[str]] = in_page("store/update.js", UPDATES, asked)
    return said


BEGINS: Step = ["begins"]


def test_a_window_is_told_of_a_version_that_waits_and_not_of_the_first_there_is() -> None:
    coming: list[Step] = [BEGINS, ["comes", "new"], ["becomes", "new", "installed"], ["becomes", "new", "activating"]]
    assert told(*coming) == [[REGISTERS, "none waits"], [], ["one waits"], ["none waits"]]
    assert told(*coming, served=False) == [[REGISTERS, "none waits"], [], ["none waits"], ["none waits"]]
    installed: Step = ["becomes", "new", "installed"]
    under_way = told(["there", "installing", "new"], BEGINS, installed)
    again = told(["there", "installing", "new"], BEGINS, ["found again"], installed)
    assert under_way == [[], [REGISTERS, "none waits"], ["one waits"]]
    assert again == [[], [REGISTERS, "none waits"], [], ["one waits"]], "A version is followed once, however often it is found."


@pytest.mark.parametrize("how", [{"none": True}, {"pretends": True}])
def test_a_browser_without_is_told_nothing_and_nothing_takes_over(how: dict[str, bool]) -> None:
    assert told(BEGINS, ["takes over"], ["looked", "visible"], **how) == [[REGISTERS] * (not how.get("none")), ["took over: false"], []]
    assert told(BEGINS, ["takes over"])[1] == ["took over: false"]


def test_a_window_of_the_version_before_is_loaded_anew_and_one_that_had_none_is_not() -> None:
    assert told(BEGINS, ["controls"])[1] == [ANEW]
    assert told(BEGINS, ["controls"], ["controls"], served=False)[1:] == [[], [ANEW]]


def test_it_is_not_loaded_anew_within_an_order_but_once_that_is_over() -> None:
    """A sentence in which nothing stands is none."""
    later = "again in 2000 ms"
    assert told(BEGINS, ["order", 2], ["controls"], ["rings"], ["order", 0], ["rings"], ["rings"])[2:] == [[later], [later], [], [ANEW], []]


def test_whoever_comes_back_to_the_window_looks_for_a_new_version() -> None:
    """Out of reach is no trouble."""
    steps = (BEGINS, ["looked", "visible"], ["looked", "hidden"], ["reach", False], ["looked", "visible"])
    assert told(*steps)[1:] == [["looks"], [], [], ["looks"]]


def test_what_does_not_come_is_tried_again_less_and_less_often() -> None:
    """A first version is registered anew, a later one looked for; once one came the next trial is soon again."""
    waits_s = (15, 30, 60, 120, 240, 480, 900, 900)
    out = told(["reach", False], BEGINS, *[["rings"]] * 7, ["reach", True], ["rings"], ["rings"])
    assert out[1:9] == [[REGISTERS, f"again in {wait * 1000} ms"] for wait in waits_s]
    assert out[9:] == [[], [REGISTERS, "none waits"], []]
    failed: list[Step] = [["comes", "new"], ["becomes", "new", "redundant"], ["rings"]]
    first = told(BEGINS, *failed, *failed)[2:]
    assert first == [["none waits", "again in 15000 ms"], [REGISTERS, "none waits"], [], ["none waits", "again in 30000 ms"],
                     [REGISTERS, "none waits"]]  # fmt: skip
    came: list[Step] = [["comes", "third"], ["becomes", "third", "installed"], ["becomes", "third", "redundant"]]
    later = told(["there", "active", "old"], BEGINS, *failed, *came, *failed, ["reach", False], *failed)
    assert later[3:] == [
        ["none waits", "again in 15000 ms"], ["looks"], [], ["one waits"], ["none waits"], [], ["none waits", "again in 15000 ms"],
        ["looks"], [], [], ["none waits", "again in 30000 ms"], ["looks"],
    ]  # fmt: skip


HANDED = ["new is told: are you awake", "again in 2000 ms", "old is told: are you awake", "again in 2000 ms", "new is told: take over",
          "again in 5000 ms"]  # fmt: skip


def told_to(lines: list[str]) -> list[str]:
    return [line for line in lines if " is told: " in line]


def test_at_the_start_a_version_that_waits_takes_over_unless_something_was_touched() -> None:
    start: list[Step] = [["there", "active", "old"], ["there", "waiting", "new"], BEGINS]
    said = told(*start, ["controls"], ["touched", "pointerdown"])[2:]
    assert (told_to(said[0]), said[1]) == (told_to(HANDED), [ANEW])
    assert [line for line in said[0] if line not in HANDED] == [REGISTERS, "one waits"]
    for sign, *way in (("pointerdown",), ("keydown",), ("keydown", "stopped")):
        assert told(["touched", sign, *way], *start)[3] == [REGISTERS, "one waits"], "A key that a part keeps to itself is one, too."
    assert told(["touched", "pointermove"], *start)[3] == said[0]
    assert told(*start, served=False)[2] == [REGISTERS, "none waits"]


def test_the_new_one_takes_over_once_both_are_awake_and_within_no_order() -> None:
    """One that does not answer is awake after two seconds; a change that never comes is waited for no longer than five."""
    touched: list[Step] = [["touched", "keydown"], BEGINS]
    took: list[Step] = [["takes over"], ["controls"], ["takes over"]]
    both: list[Step] = [["there", "active", "old"], ["there", "waiting", "new"]]
    assert told(*both, *touched, *took)[4:6] == [
        [*told_to(HANDED), *["again in 2000 ms"] * 2, "again in 5000 ms"], ["took over: true", ANEW]
    ]  # fmt: skip
    assert told_to(told(["there", "waiting", "new"], *touched, *took)[3]) == ["new is told: are you awake", "new is told: take over"]
    assert told(*both, *touched, ["order", 1], ["takes over"])[5] == ["took over: false"]
    mute = told(["there", "active", "old", False], ["there", "waiting", "new", False], *touched, ["takes over"], *[["rings"]] * 3)
    assert mute[4:] == [
        ["new is told: are you awake", "again in 2000 ms"], ["old is told: are you awake", "again in 2000 ms"],
        ["new is told: take over", "again in 5000 ms"], ["took over: true"],
    ]  # fmt: skip
