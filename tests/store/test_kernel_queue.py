"""Questions to the kernel: one at a time, in order; who waits too long asks elsewhere, and a kernel that never answers is given up."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

Json = dict[str, Any]
QUEUE = """await (async () => {
  const { mock } = await import('node:test');
  mock.timers.enable({ apis: ['setTimeout'] });
  const sent = [], dead = [], told = {}, stops = {};
  let takes = true;
  const queue = new here.Queue((one) => takes && Boolean(sent.push(one)), (why) => dead.push(why));
  const does = {
    ask: (name, wait_ms) => {
      stops[name] = new AbortController();
      queue.ask(name, { of: name }, wait_ms, stops[name].signal).then((reply) => (told[name] = reply === here.DIED ? 'died' : reply));
    },
    answer: (id, reply) => queue.answered({ id, reply }), wait: (ms) => mock.timers.tick(ms), stop: (name) => stops[name].abort(),
    die: () => queue.die(), takes: (now) => { takes = now; }, next: () => queue.next(),
  };
  for (const [what, ...how] of asked) {
    does[what](...how);
    await new Promise((resolve) => setImmediate(resolve));
  }
  return { sent: sent.map(({ id, name }) => [id, name]), asked: sent.map((one) => one.request), told, dead, overdue: queue.overdue };
})()"""


def queued(*steps: list[Any]) -> Json:
    told: Json = in_node("kernel/queue.js", QUEUE, steps)
    return told


def test_one_at_a_time_in_order() -> None:
    begun = (["ask", "a", 1000], ["ask", "b", 1000], ["ask", "c", 1000])
    assert queued(*begun) == {"sent": [[1, "a"]], "asked": ['{"of":"a"}'], "told": {}, "dead": [], "overdue": False}
    told = queued(*begun, ["answer", 1, "yes"], ["answer", 1, "again"], ["answer", 9, "to nobody"])
    assert told["sent"] == [[1, "a"], [2, "b"]] and told["told"] == {"a": "yes"}


def test_a_kernel_that_can_take_none_is_given_it_later() -> None:
    begun = (["takes", False], ["ask", "a", 1000], ["takes", True])
    assert queued(*begun)["sent"] == []
    assert queued(*begun, ["next"], ["next"])["sent"] == [[1, "a"]]
    assert queued(["next"])["sent"] == []


def test_what_is_no_longer_asked_is_never_sent() -> None:
    told = queued(["ask", "a", 1000], ["ask", "b", 1000], ["ask", "c", 1000], ["stop", "b"], ["answer", 1, "yes"])
    assert told["sent"] == [[1, "a"], [3, "c"]] and told["told"] == {"a": "yes", "b": None}


@pytest.mark.parametrize(("wait_ms", "waited_ms", "told"), [(1000, 999, {}), (1000, 1000, {"a": None}), (-500, 1, {"a": None})])
def test_nobody_waits_longer_than_they_may(wait_ms: int, waited_ms: int, told: Json) -> None:
    assert queued(["ask", "a", wait_ms], ["wait", waited_ms])["told"] == told


@pytest.mark.parametrize(("wait_ms", "waited_ms", "overdue", "dead"), [
    (1000, [4999], False, []), (1000, [5000], True, []), (1000, [5000, 3999], True, []), (1000, [5000, 4000], True, ["a never came back"]),
    (-500, [3999], False, []), (-500, [4000], True, []),
])  # fmt: skip
def test_four_seconds_over_it_is_overdue_and_four_more_the_kernel_is_dead(
    wait_ms: int, waited_ms: list[int], overdue: bool, dead: list[str]
) -> None:
    told = queued(["ask", "a", wait_ms], *(["wait", ms] for ms in waited_ms))
    assert (told["overdue"], told["dead"]) == (overdue, dead)


def test_an_answer_that_came_after_all_ends_it() -> None:
    begun = (["ask", "a", 1000], ["ask", "b", 60_000], ["wait", 5000], ["answer", 1, "late"])
    told = queued(*begun, ["wait", 4000])
    assert (told["sent"], told["overdue"], told["dead"]) == ([[1, "a"], [2, "b"]], False, [])


def test_when_it_died_everybody_is_told_and_nothing_is_left() -> None:
    begun = (["ask", "a", 60_000], ["ask", "b", 60_000])
    told = queued(*begun, ["die"], ["next"], ["answer", 1, "from the grave"], ["ask", "c", 1000])
    assert told["told"] == {"a": "died", "b": "died"} and told["sent"] == [[1, "a"], [3, "c"]]
    assert queued(["ask", "a", 1000], ["wait", 5000], ["die"], ["wait", 9000]) | {"told": {}} == {
        "sent": [[1, "a"]], "asked": ['{"of":"a"}'], "told": {}, "dead": [], "overdue": False,
    }  # fmt: skip
    assert queued(["takes", False], ["ask", "a", 1000], ["die"])["told"] == {"a": "died"}
