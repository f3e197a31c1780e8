"""What this browser cannot work out the main computer does: how it is asked, whose refusal counts, and when it is no use asking."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from store.in_page import in_page

WORKED = """{
  const [{ means, work }, { current }] = await Promise.all([import(asked.web + 'kernel/work.js'), import(asked.web + 'store/status.js')]);
  const told = [];
  const waits = [];
  AbortSignal.timeout = (ms) => { waits.push(ms); return new AbortController().signal; };
  for (const { signal, status, body, nobody, wait_s, given_up } of asked.cases) {
    const asks = [], { identity } = known;
    Object.assign(current, { signal });
    if (nobody) known.identity = null;
    const hearing = new AbortController();
    if (given_up === 'before') hearing.abort();
    globalThis.fetch = async (path, { method, headers, body: sent, signal: stops }) => {
      asks.push([method, path, headers.Authorization ?? null, sent]);
      if (given_up === 'meanwhile') hearing.abort();
      if (stops.aborted) throw stops.reason;
      if (!status) throw new TypeError('it is out of reach');
      const kind = status < 300 ? 'application/json' : 'application/problem+json';
      return new Response(JSON.stringify(body), { status, headers: { 'Content-Type': kind } });
    };
    waits.length = 0;
    const said = await work('heat.card', { of: 1 }, { wait_s: wait_s ?? 3, signal: hearing.signal })
      .then((answer) => ({ answer }), ({ unknown, message, remedy }) => ({ unknown, message, remedy }));
    told.push({ ...said, asks, waits: waits.map((ms) => Math.ceil(ms / 1000)), reach: means() });
    Object.assign(known, { identity });
  }
  return told;
}"""
NOT_NOW = {
    "unknown": True, "message": "Neither this device nor the main computer can work it out now.",
    "remedy": "Go on without it; it is worked out when the main computer is in reach again.",
}  # fmt: skip
NO = {"detail": "No such town.", "remedy": "Say another."}


def worked_out(*cases: dict[str, Any]) -> list[dict[str, Any]]:
    usual = {"signal": "shared", "status": 200, "body": {"warm": 7}}
    asked = {"web": f"{WEB.as_uri()}/", "cases": [{**usual, **case} for case in cases]}
    told: list[dict[str, Any]] = in_page("store/house.js", WORKED, asked)
    return told


def test_it_is_asked_with_the_key_and_no_longer_than_the_question_may_take() -> None:
    one, stranger, none = worked_out({}, {"nobody": True, "wait_s": 60}, {"body": None})
    asked = ["POST", "/api/work/heat.card", "Bearer -", '{"of":1}']
    assert (one["answer"], one["asks"], one["waits"]) == ({"warm": 7}, [asked], [3])
    assert (stranger["asks"], stranger["waits"]) == ([[*asked[:2], None, asked[3]]], [60])
    assert none["answer"] is None, "An answer that says nothing is one."


def test_its_refusal_counts_and_an_answer_that_did_not_come_is_none() -> None:
    """Neither does one of the main computer's own trouble, nor that this device is not signed in any more."""
    refused = worked_out(*({"status": status, "body": NO} for status in (400, 422, 499, 403)))
    assert [(one["unknown"], one["message"], one["remedy"]) for one in refused] == [(False, "No such town.", "Say another.")] * 4
    silent = worked_out(*({"status": status, "body": NO} for status in (401, 500, 503, 0)), {"given_up": "meanwhile"})
    assert [{name: one[name] for name in NOT_NOW} for one in silent] == [NOT_NOW] * 5
    assert [len(one["asks"]) for one in silent] == [1] * 5


def test_out_of_reach_and_given_up_it_is_not_asked() -> None:
    told = worked_out({"signal": "none"}, {"signal": "working"}, {"given_up": "before"})
    assert [(len(one["asks"]), one["reach"]) for one in told] == [(0, "false false"), (1, "false true"), (0, "false true")]
