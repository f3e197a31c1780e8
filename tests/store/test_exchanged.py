"""One exchange after the other: what is sent, when it goes on by itself, what is laid and what becomes of each entry."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import moved, order, person
from store.with_house import Json, entry, states, talked

WISHES = "here.exchangeAll(() => ({ wants: {}, callers: {} }))"
MANY = [entry(seq) for seq in range(1, 202)]


def exchanged(*cases: Json) -> list[Json]:
    return talked("store/exchange.js", WISHES, list(cases))


def sent(told: Json) -> list[Any]:
    return [operations and (operations[0], operations[-1], len(operations)) for _, operations, _ in told["asks"]]


def doors(told: Json) -> list[str]:
    return [path.removeprefix("/api/") for path, *_ in told["asks"]]


def test_who_is_not_added_asks_nobody_and_a_mirror_is_fetched_where_the_main_computer_is_another() -> None:
    later = {"epoch": "later"}
    cases: list[tuple[Json, list[Json], list[str]]] = [
        ({}, [later] * 3, ["exchange", "mirror", "exchange"]), ({"epoch": None}, [later], ["exchange"]), ({}, [{}], ["exchange"]),
        ({"shape": 4}, [{}] * 2, ["mirror", "exchange"]), ({"cursor": None}, [{}] * 2, ["mirror", "exchange"]),
    ]  # fmt: skip
    nobody, *told = exchanged({"answers": [{}], "nobody": True}, *({"marks": marks, "answers": answers} for marks, answers, _ in cases))
    assert (nobody["said"], nobody["asks"]) == ("This device is not added yet. Add it with a code.", [])
    assert [[one["said"], *doors(one)] for one in told] == [["", *asked] for *_, asked in cases]
    assert [one["marks"]["epoch"] for one in told] == ["later", "later", "screens", "screens", "screens"]


def test_it_goes_on_at_once_with_what_was_not_sent_and_not_with_what_waits_for_its_cause() -> None:
    read = {"marks": {"read_to": 201}, "log": MANY}
    landed, refused = {"landed": [{"id": "e1", "position": 1}]}, {"refused": [{"id": "e1", "why": "No.", "remedy": "Go."}]}
    rest = {"last_seq": 201}
    all_sent, more, unread, *kept = exchanged(
        {"answers": [{"ask_back": {"jar": 1}}, {"ask_back": {"bar": 2}}], "log": MANY[:200]},
        {"answers": [{"more": True, "ask_back": {"jar": 1}}, {"ask_back": {"bar": 2}}]},
        {"answers": [{"last_seq": 200}, {"ask_back": {"bar": 2}}], "log": MANY},
        *({**read, "answers": [{**first, **rest}, rest]} for first in ({}, landed, refused)),
    )
    assert (sent(all_sent), all_sent["value"]) == ([(1, 200, 200)], {"jar": 1})
    assert (len(more["asks"]), more["value"]) == (2, {"bar": 2})
    assert (sent(unread)[0], sent(unread)[1][0], len(unread["asks"])) == ((1, 200, 200), 201, 2)
    assert [len(one["asks"]) for one in kept] == [1, 2, 2]


def test_after_a_hole_the_entries_from_there_are_said_again_and_where_that_cannot_help_it_stops() -> None:
    """Of a copied device the rest is sent too where the first were refused."""
    log = [entry(1, "landed", position=1), entry(2, "landed", position=2), entry(3, "landed", position=3), entry(4), entry(5)]
    fork = {"last_seq": 0, "expects": {"seq": 1, "why": "A fork."}}
    apart = [{"id": f"e{seq}", "why": "Kept apart.", "remedy": "."} for seq in range(1, 201)]

    def hole(seq: int, why: str) -> Json:
        return {"last_seq": 5, "expects": {"seq": seq, "why": why}}

    again, *stopped = exchanged(
        {"answers": [hole(2, "A hole."), {"last_seq": 5}], "log": log},
        *({"answers": [hole(seq, "A fork."), {}], "log": log} for seq in (4, 5, 7)),
        {"answers": [hole(3, "A fork."), {}], "log": log[:3]},
        {"answers": [fork, {}], "log": MANY}, {"answers": [{**fork, "refused": apart}, {}], "log": MANY},
    )  # fmt: skip
    assert [operations for _, operations, _ in again["asks"]] == [[4, 5], [2, 3, 4, 5]]
    assert (states(again)[0], again["marks"]["frozen"]) == ((1, "landed"), None)
    assert [one["marks"]["frozen"] for one in stopped] == ["A fork."] * 6
    assert [len(one["asks"]) for one in stopped] == [1, 1, 1, 1, 1, 2]


def test_what_another_window_laid_is_not_laid_again_and_not_forgotten() -> None:
    """Where it wrote while the answer was on its way, the answer is not laid at all."""
    ann, bo, cy = person("ann", "Ann", ""), person("bo", "Bo", ""), person("cy", "Cy", "")
    changes = [{"device": "x", "id": f"c{at}", "position": at, "rows": [row]} for at, row in enumerate((ann, bo, cy), start=1)]
    others: list[Json] = [{"cursor": 5}, {"epoch": "other"}]
    laid, *raced = exchanged(
        {"answers": [{"changes": changes, "cursor": 3}], "marks": {"cursor": 2}},
        *({"answers": [{"changes": changes, "cursor": 3, "meanwhile": {"marks": marks, "rows": [ann]}}]} for marks in others),
    )
    assert (laid["rows"], laid["view"], laid["marks"]["cursor"]) == ([["person", "cy"]], ["cy"], 3)
    assert [one["said"].split()[0] for one in raced] == ["Raced", "Raced"]
    assert [(one["rows"], one["marks"]["cursor"]) for one in raced] == [([["person", "ann"]], 5), ([["person", "ann"]], 1)]


READ_EARLIER = """(async () => {
  known.marks = { ...known.marks, ...given.read };
  await db.write(['rows'], (tx) => tx.objectStore('rows').put({ id: 'bo', name: 'Bo' }, ['person', 'bo']));
  return here.exchangeAll(() => ({ wants: {}, callers: {} }));
})()"""


def test_a_window_that_read_earlier_reads_again_before_it_lays_an_answer() -> None:
    read: list[Json] = [{"cursor": 0}, {"epoch": "before"}, {}]
    told = talked("store/exchange.js", READ_EARLIER, [{"answers": [{}], "read": marks} for marks in read])
    assert [(one["said"], one["view"]) for one in told] == [("", ["bo"]), ("", ["bo"]), ("", [])]


def test_what_is_refused_is_shown_unless_nobody_needs_to_do_anything() -> None:
    """Set aside is: an undo that was done already, what was settled before, a sentence that is an order there."""
    log = [entry(1), entry(2, dealt_with=True), entry(3, "set_aside"), entry(4), entry(5, sentence="w1"), entry(6, sentence="w2"),
        entry(7), entry(8)]
    why = {1: "It is gone.", 2: "It is gone.", 3: "It is gone.", 4: "Already undone.", 5: "Taken.", 6: "Taken.", 7: "Already promised."}
    refused = [{"id": f"e{seq}", "why": said, "remedy": "."} for seq, said in why.items()]
    refused.append({"id": "none", "why": "", "remedy": ""})
    answer = {"refused": refused, "landed": [{"id": "e8", "position": 9}], "last_seq": 8}
    [told] = exchanged({"answers": [answer], "log": log, "rows": order("w1", None, "pick_up", "promised", None, {})})
    assert states(told) == [(1, "refused"), (2, "set_aside"), (3, "set_aside"), (4, "set_aside"), (5, "set_aside"), (6, "refused"),
                            (7, "set_aside"), (8, "landed")]  # fmt: skip


POSITIONS = """(async () => {
  await here.exchangeAll(() => ({ wants: {}, callers: {} }));
  return [...known.entries.values()].map(({ seq, state, position }) => [seq, state, position]);
})()"""


def test_an_own_entry_among_what_changed_has_landed_though_its_answer_was_lost() -> None:
    """It says where; what another device wrote says nothing of an own one."""
    def change(seq: int, device: str, position: int) -> Json:
        return {"device": device, "id": f"e{seq}", "position": position, "rows": []}

    changes = [change(1, "phone-a", 5), change(2, "phone-z", 6), change(9, "phone-a", 7), change(3, "phone-a", 8)]
    answer = {"changes": changes, "cursor": 8, "last_seq": 3, "landed": [{"id": "e3", "position": 8}]}
    [told] = talked("store/exchange.js", POSITIONS, [{"answers": [answer], "log": [entry(1), entry(2), entry(3)]}])
    assert told["value"] == [[1, "landed", 5], [2, "in_hand", None], [3, "landed", 8]]
    assert states(told) == [(1, "landed"), (2, "in_hand"), (3, "landed")]


def test_entries_of_long_ago_that_every_backup_holds_leave_the_device() -> None:
    def old(seq: int, state: str, made_at: str, position: int | None) -> Json:
        made = entry(seq, state, position=position)
        return {**made, "operation": {**made["operation"], "made_at": made_at}}

    spring = "2027-05-01T12:00:00Z"
    log = [old(1, "landed", spring, 3), old(2, "set_aside", spring, None), old(3, "landed", spring, 7), old(4, "landed", spring, 8),
           old(5, "landed", "2027-07-20T12:00:00Z", 6)]  # fmt: skip
    answer = {"covered_to": 7, "last_seq": 5, "cursor": 9}
    first, again = exchanged({"answers": [answer], "log": log}, {"answers": [answer], "log": log, "marks": {"covered_to": 7}})
    assert (states(first), len(states(again))) == ([(4, "landed"), (5, "landed")], 5)


def test_orders_of_long_ago_leave_the_device_and_who_had_them_is_kept() -> None:
    """Of a parcel that came it is kept how it came; an order sent again at no charge stays, and so does one that is owed for or open."""
    def gone(id: str, closed_on: str, **more: Any) -> list[Json]:
        return order(id, "ann", "post", "gone", None, {"bar": (1, 300)}, handed=True, gone_on=closed_on, closed_on=closed_on, **more)

    def paid(id: str) -> Json:
        return {"table": "payment", "id": f"y{id}", "order": id, "cents": 300, "how": "cash", "on": "2026-01-01"}

    parcel = {"table": "parcel", "part": 1, "dressing": "plain", "packed_on": "2026-01-01"}
    rows = [
        *gone("o1", "2026-05-31"), paid("o1"), *gone("o2", "2026-06-01"), paid("o2"), *gone("o3", "2026-01-01"),
        *gone("o4", "2026-01-01", free_for="heat"), paid("o4"), *order("o5", "ann", "post", "let_go", None, {"bar": (1, 300)},
        closed_on="2026-01-01"), {**parcel, "id": "p1", "order": "o1", "gross_g": 400, "arrived": "fine", "arrived_on": "2026-01-05"},
        {**parcel, "id": "p5", "order": "o5"}, moved("bar", 9, "opening", "2026-01-01"),
    ]  # fmt: skip
    earlier = {"id": "o0", "number": "A-0", "person": None, "gone_on": "2025-01-01"}
    let_go = [row for row in rows if row.get("order", row["id"]) == "o5"]
    told, none, first, other = exchanged(
        {"answers": [{"keep_since": "2026-06-01"}], "rows": rows, "keep": {"forgotten": [earlier]}},
        {"answers": [{"keep_since": "2026-01-01"}], "rows": rows}, {"answers": [{"keep_since": "2026-06-01"}], "rows": rows},
        {"answers": [{"keep_since": "2026-05-01"}], "rows": let_go, "keep": {"forgotten": [earlier]}},
    )  # fmt: skip
    gone_one = {"id": "o1", "number": "A-1", "person": "ann", "gone_on": "2026-05-31"}
    assert [one["forgotten"] for one in (told, none, first, other)] == [[earlier, gone_one], None, [gone_one], [earlier]]
    assert [id for table, id in told["rows"] if table == "order"] == ["o2", "o3", "o4"]
    assert [id for table, id in told["rows"] if table in ("line", "payment")] == ["o2-bar", "o3-bar", "o4-bar", "yo2", "yo4"]
    assert told["parcels"] == [{"id": "p1", "order": "o1", "part": 1, "dressing": "plain", "packed_on": "2026-01-01", "told_permille": None,
                                "arrived": "fine", "arrived_on": "2026-01-05"}]  # fmt: skip
    assert not [key for key in told["sums"] if key[1].startswith(("o1", "o5"))]
    assert other["rows"] == []
