"""A device that hears it was removed: what it forgets at once, what it hands in first, when the page starts anew, and when its key goes."""

from __future__ import annotations

import json
from typing import Any

from goods.in_node import WEB
from screens.kinds_of_rows import order
from store.with_house import Json, entry, states, talked

EFFECTS = (WEB.parent / "tests/screens/effects.mjs").as_uri()
TURNED_AWAY = """(async () => {
  const { effectsSince } = await import(EFFECTS);
  const { exchangeAll } = await import(`${asked.web}store/exchange.js`);
  const said = [], anew = [], at_once = [], posted = [];
  BroadcastChannel.prototype.postMessage = (what) => posted.push(what);
  localStorage.clear();
  sessionStorage.clear();
  for (const [name, value] of Object.entries({ 'honeyhold.dress': 'dark', 'honeyhold.draft': 'Half' })) localStorage.setItem(name, value);
  sessionStorage.setItem('honeyhold.sentence', 's1');
  for (let round = 0; round < given.exchanges; round += 1) {
    effectsSince();
    posted.length = 0;
    said.push(await exchangeAll(() => ({ wants: {}, callers: {} })).then(() => '', ({ message }) => message));
    anew.push(effectsSince().filter((what) => what === 'the page is loaded anew').length);
    at_once.push([posted.length > 0, known.view.orders.size, known.sentences.size, Boolean(known.marks.removed_at)]);
  }
  const keep = await db.read(['keep'], (tx) => tx.objectStore('keep').getAllKeys());
  const left = await db.read(['sentences'], (tx) => tx.objectStore('sentences').count());
  return { said, anew, at_once, keep, left, local: { ...localStorage }, session: { ...sessionStorage },
    known: [...known.entries.values()].map(({ seq, state }) => [seq, state]).sort(), named: known.identity?.name ?? null };
})()""".replace("EFFECTS", json.dumps(EFFECTS))
NOW_TOLD = "2027-07-24T15:00:00.000Z"
ROWS = order("o1", None, "pick_up", "promised", None, {"bar": (1, 300)})
DRAFT: Json = {"person": None, "lines": [{"good": "bar", "units": 1}], "amends": None}
SENTENCE: Json = {"id": "s1", "owner": None, "changed_at": "", "draft": DRAFT}
KEEP: Json = {"took": {"o1": 3}, "forgotten": [{"id": "o0", "number": "A-0", "person": None, "gone_on": None}],
              "share": {"granted": {"bar": 4}, "spent": {"bar": 1}}}  # fmt: skip


def lost(*kept: int, epoch: str = "screens", **more: Any) -> Json:
    return {"refuses": 403, "type": "urn:honeyhold:device-lost", "detail": "Shed phone was declared lost.", "remedy": "-",
            "kept": [f"e{seq}" for seq in kept], "epoch": epoch, **more}  # fmt: skip


def turned_away(*cases: Json) -> list[Json]:
    usual: Json = {"rows": ROWS, "sentences": [SENTENCE], "keep": KEEP, "exchanges": 1}
    return talked("store/removed.js", TURNED_AWAY, [{**usual, **case} for case in cases])


def sent(told: Json) -> list[Any]:
    return [operations for _, operations, _ in told["asks"]]


def test_names_and_drafts_go_at_once_and_the_page_starts_anew() -> None:
    """Light or dark stays; so do the key and the log, until a backup holds all of it. The other windows are told."""
    [told] = turned_away({"answers": [lost()]})
    value = told["value"]
    assert (value["said"], value["anew"]) == (["Shed phone was declared lost."], [1])
    assert (value["at_once"], told["rows"], told["sums"], value["left"]) == ([[True, 0, 0, True]], [], [], 0)
    assert sorted(value["keep"]) == ["head", "identity", "marks", "share"]
    assert told["share"] == {"granted": {}, "spent": {}}
    assert (value["local"], value["session"]) == ({"honeyhold.dress": "dark"}, {})
    marks = told["marks"]
    assert (marks["epoch"], marks["cursor"], marks["offered_in"]) == ("screens", 1, "screens")
    assert marks["removed_at"] == NOW_TOLD


def test_all_that_the_log_holds_is_handed_in_first_and_then_the_page_starts_anew() -> None:
    """Not what was settled, and nothing of another device; what was kept apart stays so, and is not offered again at the next word."""
    log = [entry(1, "landed", position=1), entry(2, "refused", why="No."), entry(3), entry(4, "set_aside"), entry(5, "kept_apart"),
           entry(6, "landed", device="phone-z"), entry(7, "earlier", device="phone-y")]  # fmt: skip
    [told] = turned_away({"answers": [lost(3), lost(1, 2), lost(), lost()], "log": log, "exchanges": 2})
    assert sent(told) == [[3], [1, 2], [], []]
    assert told["value"]["known"] == sorted(map(list, states(told)))
    assert sorted(states(told)) == [
        (1, "kept_apart"), (2, "kept_apart"), (3, "kept_apart"), (4, "set_aside"), (5, "kept_apart"), (6, "landed"), (7, "earlier")
    ]  # fmt: skip
    assert told["value"]["anew"] == [1, 0] and told["value"]["at_once"] == [[True, 0, 0, True], [False, 0, 0, True]]


def test_what_was_never_sent_is_offered_where_nothing_was_kept_this_time() -> None:
    log = [entry(1, "landed", position=1)]
    first, again = turned_away({"answers": [lost(), lost()], "log": log}, {"answers": [lost(), lost(), lost()], "log": log, "exchanges": 2})
    assert (sent(first), states(first), first["value"]["anew"]) == ([[], [1]], [(1, "in_hand")], [1])
    assert (sent(again), again["value"]["anew"]) == ([[], [1], [1]], [1, 0])


def test_put_back_from_a_backup_the_main_computer_is_offered_all_of_it_once_more() -> None:
    """What this device wrote under an earlier name, too, is then to be handed in; one that names no epoch asks for nothing."""
    removed: Json = {"removed_at": "2027-07-01T10:00:00.000Z", "offered_in": "screens", "shape": 9}
    log = [entry(1, "kept_apart"), entry(2, "set_aside"), entry(7, "kept_apart", device="phone-y")]
    told, same, silent, theirs = turned_away(
        {"answers": [lost(epoch="later"), lost(1, epoch="later"), lost(epoch="later")], "log": log, "marks": removed},
        {"answers": [lost()], "log": log, "marks": removed}, {"answers": [lost(epoch="")], "log": log, "marks": removed},
        {"answers": [lost(epoch="later")] * 2, "log": log[1:], "marks": removed, "exchanges": 2},
    )  # fmt: skip
    assert (sent(told), states(told)) == ([[], [1], []], [(1, "kept_apart"), (2, "set_aside"), (7, "earlier")])
    assert [sent(one) for one in (same, silent, theirs)] == [[[]], [[]], [[], []]]
    assert states(same) == states(silent) == [(1, "kept_apart"), (2, "set_aside"), (7, "kept_apart")]
    assert states(theirs) == [(2, "set_aside"), (7, "earlier")]
    whole = (told, same, silent, theirs)
    assert [sorted(map(list, states(case))) for case in whole] == [case["value"]["known"] for case in whole]
    assert [case["value"]["at_once"][0][0] for case in whole] == [True, False, False, False], "It is told to the other windows."
    assert [case["marks"]["offered_in"] for case in whole] == ["later", "screens", "screens", "later"]
    assert [case["value"]["anew"] for case in whole] == [[0], [0], [0], [0, 0]]


def test_once_a_backup_holds_it_the_log_and_the_key_go_and_nothing_is_asked_any_more() -> None:
    """But what is to be handed in under another name stays, and so does since when it is removed."""
    removed: Json = {"removed_at": "2027-07-01T10:00:00.000Z", "offered_in": "screens", "shape": 9}
    log = [entry(1, "kept_apart"), entry(7, "earlier", device="phone-y")]
    answers = [lost(forget=True)]
    gone, at_once = turned_away({"answers": answers, "log": log, "marks": removed}, {"answers": answers, "log": log[1:]})
    for told, since in ((gone, "2027-07-01T10:00:00.000Z"), (at_once, NOW_TOLD)):
        value = told["value"]
        assert (value["keep"], value["left"], told["rows"], told["sums"], value["anew"]) == (["marks"], 0, [], [], [1])
        assert (states(told), told["marks"]["removed_at"], told["marks"]["epoch"]) == ([(7, "earlier")], since, None)
        assert (value["local"], value["session"], value["at_once"][0][0]) == ({"honeyhold.dress": "dark"}, {}, True)


def test_one_that_was_removed_before_it_ever_heard_what_is_kept_asks_for_that_no_more() -> None:
    [told] = turned_away({"answers": [lost(), lost()], "marks": {"cursor": None, "epoch": None}, "rows": [], "exchanges": 2})
    assert [path for path, *_ in told["asks"]] == ["/api/mirror", "/api/exchange"] and told["marks"]["cursor"] == 0


def test_another_refusal_wipes_nothing() -> None:
    [told] = turned_away({"answers": [{**lost(forget=True), "type": "urn:honeyhold:unknown-device"}]})
    value = told["value"]
    assert (value["said"], value["anew"], value["at_once"]) == (["Shed phone was declared lost."], [0], [[False, 1, 1, False]])
    assert (value["local"]["honeyhold.draft"], value["session"]) == ("Half", {"honeyhold.sentence": "s1"})
