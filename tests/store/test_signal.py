"""When the house is spoken with: when the line or the page comes back, and by a timer that waits longer after each failure."""

from __future__ import annotations

from typing import Any

import pytest

from store.in_page import in_page

Json = dict[str, Any]
KEPT = """(async () => {
  const ring = globalThis.setTimeout, due = [], asked_of = [];
  Math.random = () => asked.chance ?? 0.5;
  globalThis.setTimeout = (work, ms) => { due.push([Math.round(ms), work]); return due.length; };
  globalThis.fetch = async () => { throw new TypeError('no stream here'); };
  document.visibilityState = asked.hidden ? 'hidden' : 'visible';
  const settle = async () => { for (let turn = 0; turn < 10; turn += 1) await new Promise((later) => setImmediate(later)); };
  const said = [];
  let answers = asked.answers, refreshed = 0;
  const speak = here.keepInTouch({ token: () => asked.token ?? null, refresh: () => { refreshed += 1; },
    exchange: async () => { asked_of.push(1); return answers.shift() ?? true; } });
  const shown = (persisted) => dispatchEvent(Object.assign(new Event('pageshow'), { persisted }));
  const does = {
    rings: () => due.at(-1)[1](), speak, twice: () => { speak(); speak(); speak(); },
    online: () => dispatchEvent(new Event('online')), 'back in sight': () => shown(true), shown: () => shown(false),
    hide: () => { document.visibilityState = 'hidden'; dispatchEvent(new Event('visibilitychange')); },
  };
  await settle();
  said.push(due.splice(0, due.length - 1).length, due.map(([ms]) => ms));
  for (const step of asked.steps ?? []) {
    const before = due.length;
    does[step]();
    await settle();
    said.push(due.slice(before).map(([ms]) => ms));
  }
  return { said: said.slice(1), exchanges: asked_of.length, refreshed };
})()"""


def kept(answers: list[bool], *steps: str, **more: Any) -> Json:
    told: Json = in_page("store/signal.js", KEPT, {"answers": answers, "steps": steps, **more})
    return told


@pytest.mark.parametrize(("chance", "waits_ms"), [
    (0.5, [2000, 4000, 8000, 16000, 32000, 60000, 60000]), (0, [1500, 3000, 6000, 12000, 24000, 45000, 45000]),
    (1, [2500, 5000, 10000, 20000, 40000, 75000, 75000]),
])  # fmt: skip
def test_each_failure_waits_twice_as_long_up_to_a_minute(chance: float, waits_ms: list[int]) -> None:
    """A quarter more or less by chance, so that devices do not all come at once."""
    told = kept([False] * 7, *["rings"] * 6, token="t", chance=chance)
    assert [one for one, *_ in told["said"]] == waits_ms and told["exchanges"] == 7


def test_whoever_is_heard_waits_as_long_as_a_stream_is_quiet() -> None:
    """And the next failure begins anew."""
    assert kept([], "rings")["said"] == [[50_000], [50_000]] and kept([], "rings")["exchanges"] == 0  # nobody is added yet: nobody is asked
    told = kept([False, False, True, False], "rings", "rings", token="t")
    assert [one[0] for one in told["said"]] == [2000, 4000, 50_000]


def test_what_came_up_meanwhile_is_said_at_once_afterwards() -> None:
    told = kept([False, True], "twice", token="t")
    assert told["said"][1][0] == 0 and told["exchanges"] == 2
    told = kept([False, False], "twice", token="t")
    assert told["said"] == [[2000], [4000]] and told["exchanges"] == 2


def test_when_the_line_comes_back_it_is_tried_at_once_and_waits_short_again() -> None:
    told = kept([False] * 5, "rings", "online", "shown", "back in sight", token="t")
    assert told["said"] == [[2000], [4000], [2000], [], [2000]] and (told["exchanges"], told["refreshed"]) == (4, 2)


def test_nothing_runs_while_nobody_looks() -> None:
    assert kept([], hidden=True, token="t") == {"said": [[]], "exchanges": 0, "refreshed": 0}
    told = kept([], "hide", "online", token="t", chance=0.5)
    assert told["refreshed"] == 0 and told["exchanges"] == 1 and told["said"][1:] == [[], []]
