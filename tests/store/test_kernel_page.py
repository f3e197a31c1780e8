"""The page's side of the kernel: when it is started, given up and started again, and who answers meanwhile."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

Json = dict[str, Any]
PAGE = """await (async () => {
  const { mock } = await import('node:test');
  mock.timers.enable({ apis: ['setTimeout'] });
  const page = new EventTarget(), workers = [], locks = [], states = [], sent = [], told = {}, house = [], stops = {};
  globalThis.window = globalThis;
  globalThis.addEventListener = page.addEventListener.bind(page);
  const service = Object.assign(new EventTarget(), { controller: asked.uncontrolled ? null : {} });
  Object.defineProperty(globalThis, 'navigator', { configurable: true, value: {
    serviceWorker: asked.no_service ? undefined : service, locks: { request: (name, gone) => locks.push({ name, gone }) } } });
  globalThis.Worker = class extends EventTarget {
    ended = false;
    constructor(address, options) { super(); workers.push(this); this.made = [new URL(address).pathname.split('/').at(-1), options]; }
    postMessage(data) { sent.push(data.wake ? 'wake' : data); }
    terminate() { this.ended = true; }
  };
  let idle = null, reach = false, answers = null;
  if (asked.idle) globalThis.requestIdleCallback = (fn, options) => { idle = { fn, options }; };
  const ask = async (name, request, wait_s) => {
    house.push([name, request, Math.round(wait_s * 10) / 10]);
    return answers;
  };
  here.askAlso({ inReach: () => reach, ask });
  here.onKernel((kernel) => states.push(kernel.state));
  const says = (n, data) => workers[n].dispatchEvent(Object.assign(new Event('message'), { data }));
  const does = {
    wake: () => void here.wakeKernel(), idle: () => here.wakeWhenIdle(), 'is idle': () => idle.fn(), says,
    breaks: (n, message) => workers[n].dispatchEvent(Object.assign(new Event('error'), { message })), gone: (n) => locks[n].gone(),
    wait: (ms) => mock.timers.tick(ms), online: () => page.dispatchEvent(new Event('online')),
    controls: () => service.dispatchEvent(new Event('controllerchange')),
    reach: (now, answer = null) => { reach = now; answers = answer; },
    ask: (name, wait_s) => {
      stops[name] = new AbortController();
      here.work(name, { of: name }, { ...(wait_s ? { wait_s } : {}), signal: stops[name].signal }).then((answer) => (told[name] = answer),
        (error) => (told[name] = { unknown: error.unknown, message: error.message, remedy: error.remedy, name: error.name }));
    },
    stop: (name) => stops[name].abort(),
  };
  for (const [what, ...given] of asked.steps) {
    does[what](...given);
    await new Promise((resolve) => setImmediate(resolve));
  }
  let last = null;
  here.onKernel((kernel) => { last = kernel; });
  return { states, last, sent, told, house, means: here.means(), ended: workers.map((one) => one.ended), made: workers[0]?.made ?? null,
    locks: new Set(locks.map(({ name }) => name)).size, idle: idle?.options ?? null };
})()"""
ELSEWHERE = "Go on without it; it is worked out when the main computer is in reach again."
AWAKE: tuple[list[Any], ...] = (["wake"], ["says", 0, {"state": "awake", "heap_mb": 20}])


def page(*steps: list[Any], **more: bool) -> Json:
    told: Json = in_node("kernel/work.js", PAGE, {"steps": steps, **more})
    return told


def unknown(message: str) -> Json:
    return {"unknown": True, "message": message, "remedy": ELSEWHERE, "name": "WorkError"}


NOBODY = unknown("Neither this device nor the main computer can work it out now.")
ANSWERED: list[Any] = ["says", 0, {"id": 1, "reply": '{"answer": 7}'}]


def unavailable(why: str) -> str:
    return f"Calculations are not available on this device: {why}."


def test_it_is_started_once_and_says_how_far_it_is() -> None:
    told = page(["wake"], ["wake"], ["says", 0, {"state": "fetching", "done": 5, "total": 9}], ["wake"])
    assert told["states"] == ["asleep", "fetching", "fetching"] and told["sent"] == ["wake"]
    assert told["made"] == ["worker.js", {"type": "module", "name": "kernel"}]
    assert (told["last"]["done"], told["last"]["total"], told["last"]["why"]) == (5, 9, "")
    assert page(*AWAKE, ["wake"])["sent"] == ["wake"]
    assert page(["wake"])["last"] == {"state": "fetching", "done": 0, "total": 0, "why": "", "start_s": None, "heap_mb": None}


def test_it_is_started_when_the_page_has_nothing_better_to_do() -> None:
    assert page(["idle"], idle=True)["idle"] == {"timeout": 8000} and page(["idle"], idle=True)["sent"] == []
    assert page(["idle"], ["is idle"], idle=True)["sent"] == ["wake"]
    assert page(["idle"], ["wait", 1999])["sent"] == [] and page(["idle"], ["wait", 2000])["sent"] == ["wake"]


def test_it_waits_a_little_for_the_service_worker() -> None:
    assert page(["wake"], no_service=True)["sent"] == ["wake"]
    assert page(["wake"], ["wait", 4999], uncontrolled=True)["sent"] == []
    assert page(["wake"], ["wait", 5000], uncontrolled=True)["sent"] == ["wake"]
    assert page(["wake"], ["controls"], uncontrolled=True)["sent"] == ["wake"]


@pytest.mark.parametrize(("steps", "why"), [
    ([["wait", 45_000]], "its files did not come"),
    ([["wait", 44_999], ["says", 0, {"state": "fetching", "done": 1, "total": 2}], ["wait", 45_000]], "its files did not come"),
    ([["says", 0, {"state": "waking"}], ["wait", 60_000]], "it did not start"),
    ([["says", 0, {"failed": "app.zip came damaged"}]], "app.zip came damaged"),
    ([["breaks", 0, ""]], "its script could not be loaded"), ([["breaks", 0, "no leave"]], "no leave"),
])  # fmt: skip
def test_a_start_that_comes_to_nothing_is_said_and_tried_again_with_signal(steps: list[list[Any]], why: str) -> None:
    told = page(["wake"], *steps, ["wait", 100_000])
    assert (told["last"]["state"], told["last"]["why"], told["ended"]) == ("unavailable", unavailable(why), [True])
    again = page(["wake"], *steps, ["online"], ["online"])
    assert (again["last"]["state"], again["last"]["why"], again["ended"]) == ("fetching", "", [True, False])


@pytest.mark.parametrize("steps", [
    [["wait", 44_999]], [["wait", 44_999], ["says", 0, {"state": "fetching", "done": 1, "total": 2}], ["wait", 44_999]],
    [["says", 0, {"state": "waking"}], ["wait", 59_999]], [["says", 0, {"state": "awake"}], ["wait", 900_000]],
])  # fmt: skip
def test_a_slow_start_is_no_failure(steps: list[list[Any]]) -> None:
    assert page(["wake"], *steps)["last"]["state"] != "unavailable"


@pytest.mark.parametrize(("died", "why"), [
    (["says", 0, {"died": "no memory"}], "no memory"), (["breaks", 0, ""], "it broke"), (["breaks", 0, "stack"], "stack"),
    (["gone", 0], "it ended without a word"),
])  # fmt: skip
def test_a_kernel_that_died_is_started_again(died: list[Any], why: str) -> None:
    begun = (["wake"], ["says", 0, {"holds": True}], ["says", 0, {"state": "awake"}])
    told = page(*begun, died, ["wait", 999])
    assert (told["last"]["state"], told["last"]["why"], told["ended"]) == ("unavailable", unavailable(why), [True])
    told = page(
        *begun, died, ["wait", 1000], ["says", 0, {"state": "awake"}], ["breaks", 0, "late"], ["says", 1, {"holds": True}], ["gone", 0]
    )
    assert (told["last"]["state"], told["ended"], told["locks"]) == ("fetching", [True, False], 2)


def test_one_that_dies_again_and_again_is_started_less_and_less_often_and_then_no_more() -> None:
    steps: list[list[Any]] = [["wake"]]
    for n, wait_ms in enumerate((1000, 2000, 4000, 8000, 16_000)):
        steps += [["says", n, {"died": "no memory"}], ["wait", wait_ms - 1]]
        assert len(page(*steps)["ended"]) == n + 1
        steps += [["wait", 1]]
        assert len(page(*steps)["ended"]) == n + 2
    assert len(page(*steps, ["says", 5, {"died": "no memory"}], ["wait", 900_000])["ended"]) == 6
    worked = [*steps, ["says", 5, {"id": 1, "reply": "{}"}], ["says", 5, {"died": "no memory"}], ["wait", 1000]]
    assert len(page(*worked)["ended"]) == 7


def test_awake_it_answers() -> None:
    told = page(*AWAKE, ["ask", "heat.card"], ANSWERED)
    assert told["sent"][1:] == [{"id": 1, "name": "heat.card", "request": '{"of":"heat.card"}'}]
    assert (told["told"], told["house"], told["means"]) == ({"heat.card": 7}, [], "true false")
    defect = '{"problem": {"code": "defect", "detail": "it failed", "remedy": "tell"}}'
    told = page(*AWAKE, ["ask", "a"], ["says", 0, {"id": 1, "reply": defect}])["told"]
    assert told["a"] == {"unknown": True, "message": "it failed", "remedy": "tell", "name": "WorkError"}
    told = page(*AWAKE, ["ask", "a"], ["says", 0, {"id": 1, "reply": defect.replace('"defect"', '"parcel"')}])["told"]
    assert told["a"]["unknown"] is False


def test_while_it_is_not_awake_the_house_is_asked() -> None:
    told = page(["reach", True, {"answer": 5}], ["ask", "a", 3], ["ask", "b"])
    assert (told["told"], told["house"]) == ({"a": 5, "b": 5}, [["a", {"of": "a"}, 3], ["b", {"of": "b"}, 8]])
    assert page(["ask", "a"])["told"] == {"a": NOBODY} and page(["reach", True], ["ask", "a"])["told"] == {"a": NOBODY}
    assert page(["ask", "a"])["house"] == [] and page()["means"] == "false false" and page(["reach", True])["means"] == "false true"


def test_one_that_wakes_in_time_answers_after_all() -> None:
    woken = (["wake"], ["ask", "a"], ["says", 0, {"state": "waking"}], ["says", 0, {"state": "awake"}], ANSWERED)
    assert page(*woken)["told"] == {"a": 7}
    assert page(["wake"], ["ask", "a", 2], ["wait", 1900])["told"] == {} and page(["wake"], ["ask", "a", 2], ["wait", 2000])["told"] == {
        "a": NOBODY
    }
    assert page(["wake"], ["ask", "a"], ["says", 0, {"failed": "no leave"}])["told"] == {"a": NOBODY}
    told = page(["wake"], ["says", 0, {"state": "waking"}], ["ask", "a"], ["stop", "a"], ["says", 0, {"state": "awake"}])
    assert told["told"] == {"a": NOBODY} and told["sent"] == ["wake"]


def test_died_in_the_middle_the_house_is_asked() -> None:
    begun = (*AWAKE, ["reach", True, {"answer": 5}], ["ask", "a"], ["says", 0, {"died": "no memory"}])
    assert page(*begun)["told"] == {"a": 5}
    late = (["wake"], ["ask", "a"], ["says", 0, {"state": "awake"}], ["says", 0, {"died": "no memory"}])
    assert page(*late)["told"] == {"a": unknown("The calculation stopped in the middle.")}


def test_what_takes_too_long_or_is_not_wanted_is_not_known() -> None:
    late = unknown("a took longer than it may.")
    assert page(*AWAKE, ["ask", "a", 2], ["wait", 2000])["told"] == {"a": late}
    assert page(*AWAKE, ["ask", "a", 2], ["stop", "a"])["told"] == {"a": late}


def test_one_that_is_overdue_is_left_alone_and_the_house_asked() -> None:
    begun = (*AWAKE, ["ask", "a", 1], ["wait", 5000], ["reach", True, {"answer": 5}])
    told = page(*begun, ["ask", "b"])
    assert (told["told"]["b"], told["means"]) == (5, "false true")
    dead = page(*begun, ["wait", 4000])
    assert (dead["last"]["why"], dead["ended"]) == (unavailable("a never came back"), [True])
