"""Listening to the main computer: who listens and when, what a word of it does, and when it is begun again once a stream is over."""

from __future__ import annotations

from typing import Any

import pytest

from store.in_page import in_page

Json = dict[str, Any]
Step = list[Any]
HEARD = """(async () => {
  let due = [], ids = 0, token = asked.token, exchanges = 0, clock = 1000;
  const streams = [], happened = [], locks = [], answers = asked.answers;
  Math.random = () => 0.5;
  performance.now = () => clock;
  globalThis.setTimeout = (work, ms) => {
    due.push({ id: (ids += 1), ms: Math.round(ms), name: work.name, work });
    return ids;
  };
  globalThis.clearTimeout = (id) => { due = due.filter((one) => one.id !== id); };
  globalThis.fetch = async (path, { headers, signal }) => {
    happened.push(`listens with ${headers.Authorization}`);
    const body = new ReadableStream({ start: (to) => streams.push(to) });
    signal.addEventListener('abort', () => streams.at(-1).error(signal.reason));
    return new Response(body, { headers: { 'Content-Type': asked.kind } });
  };
  if (asked.locks === 'none') navigator.locks = undefined;
  else navigator.locks.request = async (name, { signal }, work) => {
    locks.push(name);
    if (asked.locks !== 'another window') return work();
    await new Promise((_done, given_up) => { signal.addEventListener('abort', () => given_up(signal.reason)); });
  };
  const settle = async () => { for (let turn = 0; turn < 25; turn += 1) await new Promise((later) => setImmediate(later)); };
  setTimeout(function somebody() {}, 9999);
  const speak = here.keepInTouch({ token: () => token, refresh: () => {},
    exchange: async () => { exchanges += 1; happened.push('exchanges'); return answers.shift() ?? true; } });
  const ring = (name) => {
    const [one] = due.filter((timer) => timer.name === name);
    due = due.filter((timer) => timer !== one);
    one.work();
  };
  const does = {
    speaks: speak, says: (text) => streams.at(-1).enqueue(new TextEncoder().encode(text)),
    breaks: () => streams.at(-1).error(new TypeError('no line')),
    ends: (after_ms) => { clock += after_ms; streams.at(-1).close(); }, rings: ring,
    looked: (state) => {
      document.visibilityState = state;
      dispatchEvent(new Event('visibilitychange'));
    },
    added: (now) => { token = now; },
  };
  const said = [];
  for (const [what, ...given] of [['nothing'], ...asked.steps]) {
    does[what]?.(...given);
    await settle();
    const timers = due.filter(({ name }) => name !== 'somebody').map(({ name, ms }) => `${name} in ${ms} ms`).sort();
    said.push([happened.splice(0), timers]);
  }
  return { said, locks, exchanges, others: due.filter(({ name }) => name === 'somebody').length };
})()"""


def heard(*steps: Step, answers: list[bool] | None = None, token: str | None = "key", **more: Any) -> Json:
    """Of the beginning and each step what it did, and which timers wait then."""
    asked = {"steps": steps, "answers": answers or [], "token": token, "kind": "text/event-stream", "locks": "free", **more}
    told: Json = in_page("store/signal.js", HEARD, asked)
    assert told["others"] == 1, "A timer of somebody else's stays."
    return told


QUIET = "speak in 50000 ms"
LISTENS = "listens with Bearer key"
BEGUN: Json = [["exchanges", LISTENS], [QUIET]]


@pytest.mark.parametrize("locks", ["free", "none"])
def test_once_it_was_heard_it_is_listened_to_and_each_word_is_a_reason_to_speak(locks: str) -> None:
    """One stream, however often it is spoken with meanwhile."""
    told = heard(["says", ": still here\n"], ["says", "data: 1\n"], ["speaks"], locks=locks)
    assert told["said"] == [BEGUN, [[], [QUIET]], [["exchanges"], [QUIET]], [["exchanges"], [QUIET]]]
    assert told["locks"] == (["honeyhold-stream"] if locks == "free" else [])


def test_nobody_listens_who_was_not_heard_is_not_added_or_is_not_looked_at() -> None:
    out = heard(["rings", "speak"], answers=[False])
    assert out["said"] == [[["exchanges"], ["speak in 2000 ms"]], BEGUN]
    added = heard(["added", "key"], ["speaks"], token=None)
    assert added["said"] == [[[], [QUIET]], [[], [QUIET]], BEGUN]
    hidden = heard(["looked", "hidden"], ["speaks"], ["looked", "visible"])
    assert hidden["said"] == [BEGUN, [[], []], [["exchanges"], []], BEGUN]


def test_of_several_windows_one_listens_and_the_others_wait_for_it() -> None:
    told = heard(["speaks"], ["looked", "hidden"], ["looked", "visible"], locks="another window")
    assert told["said"] == [[["exchanges"], [QUIET]], [["exchanges"], [QUIET]], [[], []], [["exchanges"], [QUIET]]]
    assert told["locks"] == ["honeyhold-stream"] * 2, "A place is waited for once, and anew by whoever was away."


def test_a_stream_that_ended_in_its_time_or_told_something_is_begun_again_at_once() -> None:
    for steps in ([["ends", 55_000]], [["says", "data: 1\n"], ["ends", 10]]):
        told = heard(*steps, ["rings", "hear"])
        assert told["said"][-2:] == [[[], ["hear in 250 ms", QUIET]], [[LISTENS], [QUIET]]]


def test_one_that_was_none_is_begun_again_less_and_less_often() -> None:
    """Cut off at once, broken, or somebody else's page; after one that ended in its time it is soon again."""
    waits_ms = (8000, 16_000, 32_000, 60_000, 60_000)
    for end in (["ends", 0], ["breaks"]):
        told = heard(*[step for _ in waits_ms for step in (end, ["rings", "hear"])], ["ends", 55_000], ["rings", "hear"], end)
        after = [timers for _, timers in told["said"][1:]]
        assert after[:-3:2] == [sorted([f"hear in {wait} ms", QUIET]) for wait in waits_ms]
        assert after[-3:] == [["hear in 250 ms", QUIET], [QUIET], ["hear in 8000 ms", QUIET]]
    page = heard(["rings", "hear"], kind="text/html")["said"]
    assert page == [[["exchanges", LISTENS], ["hear in 8000 ms", QUIET]], [[LISTENS], ["hear in 16000 ms", QUIET]]]


def test_after_an_exchange_that_failed_it_is_waited_longer_still() -> None:
    told = heard(["says", "data: 1\n"], ["breaks"], answers=[True, False])
    assert told["said"][1:] == [[["exchanges"], ["speak in 2000 ms"]], [[], ["hear in 16000 ms", "speak in 2000 ms"]]]


def test_whoever_hides_the_page_ends_it_and_nothing_waits() -> None:
    told = heard(["looked", "hidden"], ["looked", "visible"], ["looked", "hidden"])
    assert told["said"] == [BEGUN, [[], []], BEGUN, [[], []]]
