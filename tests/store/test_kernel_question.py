"""One question on a screen: its answer is seen only while it answers the present request, and what is not known is asked again."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB, in_node

Json = dict[str, Any]
QUESTION = """await (async () => {
  const { mock } = await import('node:test');
  const { askAlso } = await import(asked.work);
  globalThis.window = globalThis;
  mock.timers.enable({ apis: ['setTimeout'] });
  let reach = false, drawn = 0, heard = 0, controller = null;
  askAlso({ inReach: () => reach, ask: async () => null });
  const asks = [];
  const how = (asking) => new Promise((resolve, reject) => asks.push({ ...asking, resolve, reject }));
  const question = new here.Question({ requestUpdate: () => (drawn += 1), addController: (one) => (controller = one) }, how,
    { ...asked.options, heard: () => (heard += 1) });
  const does = {
    about: (request, subject) => question.about(request, subject), wait: (ms) => mock.timers.tick(ms), reach: (now) => { reach = now; },
    known: (n, answer) => asks[n].resolve(answer), half: (n, answer) => asks[n].tell(answer),
    fails: (n, error) => asks[n].reject(error.enough ? new here.Enough('that is all') : error),
    comes: () => controller.hostConnected(), leaves: () => controller.hostDisconnected(),
  };
  for (const [what, ...given] of asked.steps) {
    does[what](...given);
    await new Promise((resolve) => setImmediate(resolve));
  }
  const { state, why, remedy, answer, waits } = question;
  return { state, why, remedy, answer, waits, times: asks.length, given_up: asks.map(({ signal }) => signal.aborted), drawn, heard,
    asked: question.asked, to: asked.to ? question.answerTo(...asked.to) : null };
})()"""


def after(*steps: list[Any], to: list[Any] | None = None, **options: Any) -> Json:
    asked = {"work": (WEB / "kernel/work.js").as_uri(), "steps": steps, "to": to, "options": options}
    told: Json = in_node("kernel/question.js", QUESTION, asked)
    return told


ASKED: tuple[list[Any], ...] = (["about", {"of": 1}], ["wait", 1])
UNKNOWN: Json = {"unknown": True, "message": "not now", "remedy": "wait"}


def test_nothing_is_asked_before_there_is_a_request() -> None:
    told = after(["about", None], ["wait", 1])
    assert (told["state"], told["waits"], told["times"], told["drawn"]) == ("none", False, 0, 0)
    assert after(["comes"])["drawn"] == 1


def test_the_answer_is_the_answer_to_this_request() -> None:
    told = after(*ASKED, ["about", {"of": 1}], ["known", 0, 7], to=[{"of": 1}])
    assert (told["state"], told["answer"], told["to"], told["times"]) == ("known", 7, 7, 1)
    assert (told["drawn"], told["heard"], told["waits"], told["asked"]) == (1, 1, False, {"of": 1})
    assert after(*ASKED, ["known", 0, 7], to=[{"of": 2}])["to"] is None
    assert after(*ASKED, ["known", 0, 7], to=[{"of": 1}, "another"])["to"] is None


def test_another_request_and_the_old_answer_is_gone_however_late_it_comes() -> None:
    told = after(*ASKED, ["about", {"of": 2}], ["wait", 1], ["known", 0, 7], ["half", 0, 6])
    assert (told["state"], told["answer"], told["given_up"], told["drawn"]) == ("working", None, [True, False], 0)
    assert after(*ASKED, ["known", 0, 7], ["about", {"of": 2}])["answer"] is None
    assert after(*ASKED, ["about", {"of": 2}], ["fails", 0, UNKNOWN])["state"] == "working"
    assert after(["about", {"of": 1}, "ann"], ["wait", 1], ["about", {"of": 1}, "ben"], ["wait", 1])["times"] == 2


def test_it_is_asked_once_nothing_changed_for_a_while() -> None:
    begun = (["about", {"of": 1}], ["wait", 299], ["about", {"of": 2}], ["wait", 299])
    assert after(*begun, pause_ms=300)["times"] == 0
    assert after(*begun, ["wait", 1], pause_ms=300)["times"] == 1


def test_half_an_answer_stays_when_the_rest_does_not_come() -> None:
    told = after(*ASKED, ["half", 0, 3])
    assert (told["state"], told["answer"], told["waits"]) == ("half", 3, True)
    told = after(*ASKED, ["half", 0, 3], ["fails", 0, UNKNOWN])
    assert (told["state"], told["answer"], told["waits"], told["why"], told["remedy"]) == ("unknown", 3, False, "not now", "wait")
    assert after(*ASKED, ["half", 0, 3], ["fails", 0, {"enough": True}])["state"] == "known"


def test_a_refusal_is_said_and_not_asked_again() -> None:
    told = after(*ASKED, ["fails", 0, {"message": "no such good"}], ["wait", 100_000], ["reach", True], ["about", {"of": 1}], ["wait", 1])
    assert (told["state"], told["why"], told["remedy"], told["times"]) == ("refused", "no such good", "", 1)


@pytest.mark.parametrize(("waits_ms", "times"), [
    ([3999], 1), ([4000], 2), ([4000, 7999], 2), ([4000, 8000, 16_000, 32_000, 63_999], 5), ([4000, 8000, 16_000, 32_000, 64_000], 6),
    ([4000, 8000, 16_000, 32_000, 64_000, 900_000], 6),
])  # fmt: skip
def test_what_is_not_known_is_asked_again_less_and_less_often(waits_ms: list[int], times: int) -> None:
    steps = [step for n, ms in enumerate(waits_ms) for step in (["fails", n, UNKNOWN], ["wait", ms])]
    assert after(*ASKED, *steps)["times"] == times


def test_what_is_not_known_is_asked_at_once_when_somebody_else_may_know() -> None:
    begun = (*ASKED, ["fails", 0, UNKNOWN])
    assert after(*begun, ["about", {"of": 1}], ["wait", 1])["times"] == 1
    told = after(*begun, ["reach", True], ["about", {"of": 1}], ["wait", 1])
    assert (told["times"], told["state"], told["why"]) == (2, "working", "")
    assert after(*begun, ["reach", True], ["about", {"of": 1}], ["wait", 1], ["about", {"of": 1}], ["wait", 1])["times"] == 2


def test_once_it_left_the_screen_nobody_asks() -> None:
    told = after(*ASKED, ["fails", 0, UNKNOWN], ["leaves"], ["wait", 100_000])
    assert (told["times"], told["state"], told["asked"], told["why"], told["remedy"]) == (1, "none", None, "", "")
    assert after(*ASKED, ["known", 0, 7], ["leaves"], to=[{"of": 1}])["to"] is None
    assert after(*ASKED, ["leaves"], ["about", {"of": 1}], ["wait", 1])["times"] == 2
