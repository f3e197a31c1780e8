"""What is believed of an answer at the door of the main computer, and what is said of any other."""

from __future__ import annotations

from typing import Any

from goods.in_node import in_node

Json = dict[str, Any]
KNOCKED = """await (async () => {
  const told = [];
  for (const { door, body = '', status = 200, type, given = [] } of asked) {
    globalThis.fetch = async () => new Response(new TextEncoder().encode(body), { status, headers: type ? { 'Content-Type': type } : {} });
    try {
      told.push(await here[door](...given));
    } catch ({ kind, message, remedy, status, kept, code, forget, epoch }) {
      told.push([kind, message, remedy, { status, kept, code, forget, epoch }]);
    }
  }
  return told;
})()"""
PROBLEM = "application/problem+json"
NOTHING = {"status": 0, "kept": [], "code": "", "forget": False, "epoch": ""}
ANSWER = """{"protocol": 1, "request": "r1", "epoch": "e", "landed": [], "refused": [], "changes": [], "cursor": 1, "more": false,
    "granted": {},
  "spent": {}, "pool": {}, "short": {}, "ask_back": {}, "last_seq": 0, "covered_to": 0, "house_time": "2027-07-24T15:00:00Z"}"""


def out_of_reach(why: str) -> list[Any]:
    return ["no answer", f"The main computer is out of reach{why}.", "Try again once there is signal.", NOTHING]


def test_an_answer_of_another_kind_is_none() -> None:
    knocks = [("<p>Sign in</p>", "text/html; charset=utf-8"), ("{}", None), ('{"a": 1}', "Application/JSON; charset=utf-8"),
              ('{"a":', "application/json")]  # fmt: skip
    told = in_node("store/doors.js", KNOCKED, [
        {"door": "knockJson", "given": ["/api/x"], "body": body, "type": type} for body, type in knocks
    ])  # fmt: skip
    assert told == [out_of_reach(" (came as text/html)"), out_of_reach(" (came as nothing)"), {"a": 1}, out_of_reach("")]


def test_a_refusal_says_its_own_words_or_what_number_it_came_under() -> None:
    whole = """{"detail": "It is lost.", "title": "Lost", "remedy": "Find it.", "kept": ["a"], "type": "urn:honeyhold:device-lost",
        "forget": true,
      "epoch": "e2"}"""
    refusals = [
        (502, "text/html", "<p>"), (500, PROBLEM, "{"), (500, PROBLEM, "null"), (409, PROBLEM, '{"title": "Taken", "kept": "a"}'),
        (409, PROBLEM, "{}"), (403, f"{PROBLEM}; charset=utf-8", whole), (404, None, ""),
    ]  # fmt: skip
    told = in_node("store/doors.js", KNOCKED, [
        {"door": "knockJson", "given": ["/api/x"], "status": status, "body": body, "type": type} for status, type, body in refusals
    ])  # fmt: skip
    assert told == [
        out_of_reach(" (status 502)"), out_of_reach(" (status 500)"), out_of_reach(" (status 500)"),
        ["refused", "Taken", "", {**NOTHING, "status": 409}], ["refused", "The main computer answered 409.", "", {**NOTHING,
            "status": 409}],
        ["refused", "It is lost.", "Find it.", {"status": 403, "kept": ["a"], "code": "device-lost", "forget": True, "epoch": "e2"}],
        out_of_reach(" (status 404)"),
    ]  # fmt: skip


def test_only_the_answer_to_this_very_request_is_believed() -> None:
    wrong = {
        '"r1"': ('"r2"', "the answer was to another request"), '"protocol": 1': ('"protocol": 2', "not what this app understands"),
        '"pool": {}': ('"pool": null', "pool is null"), '"short": {}': ('"short": []', "short is array"),
        '"landed": []': ('"landed": {}', "landed is object"), '"cursor": 1': ('"cursor": "1"', "cursor is string"),
        '"more": false,': ("", "more is undefined"),
    }  # fmt: skip
    ask = {"door": "sendExchange", "given": [{"request": "r1"}, "t"], "type": "application/json"}
    bodies = [ANSWER, *(ANSWER.replace(part, by) for part, (by, _) in wrong.items()), "null"]
    told = in_node("store/doors.js", KNOCKED, [{**ask, "body": body} for body in bodies])
    assert told[0]["request"] == "r1"
    assert told[1:] == [out_of_reach(f" ({why})") for _, why in [*wrong.values(), ("", "the answer was to another request")]]
    mirror = {"door": "fetchMirror", "given": ["t"], "type": "application/json", "body": '{"protocol": 1, "epoch": "e", "cursor": null}'}
    assert in_node("store/doors.js", KNOCKED, [mirror]) == [out_of_reach(" (cursor is null)")]
