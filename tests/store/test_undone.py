"""What is undone, how long, and what stands afterwards: the opposite of all that was written, once."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import TODAY, moved, order
from screens.rows import DULUTH, ROWS
from store.acted import Json, Step, acted, rows_of

DRAFT = {"person": {"id": "ben"}, "lines": [{"good": "bar", "units": 3}], "way": "pick_up", "pays": "cash", "paid_cents": 100}
BEFORE = "This can no longer be undone. Enter what is right now."
ALREADY = "This was undone already, perhaps in another window. Nothing to do."
SHARE = {"bar": 12, "jar": 5}
PLACE: Json = {"goes_to": "own", **dict(zip(("to_street", "to_city", "to_state", "to_zip"), DULUTH, strict=True))}


def undone(*acts: Step, rows: list[Json] = ROWS, granted: dict[str, int] | None = None) -> list[tuple[Json, Json]]:
    """Each act with what undid it at once."""
    steps = [step for at, act in enumerate(acts) for step in (act, ["undo", f"${2 * at}.op"])]
    told = acted(steps, rows, SHARE if granted is None else granted)
    assert [step["said"] for step in told] == [""] * len(told)
    for did, back in zip(told[::2], told[1::2], strict=True):
        assert [entry["kind"] for entry in back["wrote"]] == ["undo"] * len(did["answer"].get("ops", [0])[:1])
        assert rows_of(back, "undoing", "id") == [[did["answer"]["op"]]]
    return list(zip(told[::2], told[1::2], strict=True))


def test_an_order_promised_or_sold_is_let_go_and_its_goods_and_money_are_back() -> None:
    (promised, back), (_sold, returned) = undone(["promise", DRAFT], ["sell", {"lines": [{"good": "jar", "units": 1}]}])
    name = promised["answer"]["order"]
    assert rows_of(back, "order", "id", "state") == [[name, "let_go"]]
    assert rows_of(back, "reservation", "order", "good", "units") == [[name, "bar", -3]]
    assert rows_of(back, "payment", "order", "cents", "how", "note") == [[name, -100, "cash", "undone"]]
    assert rows_of(returned, "order", "state") == [["let_go"]]
    assert rows_of(returned, "movement", "good", "units", "lot", "reason") == [["jar", 1, "J27-180-1", "sold"]]
    assert rows_of(returned, "payment", "cents") == [[-1161]]


def test_what_is_on_no_order_is_set_back_or_turned_round() -> None:
    told = [back for _, back in undone(
        ["pay", "o12", 500, "cash", "", {"given_cents": 700}], ["adjust", "o12", -100, "heat", "x"], ["till", "taken", 100, "y"],
        ["goWithout", "bar", 2, "post"], ["make", {"lots": [{"good": "bar", "units": 3}]}], ["buy", "c8", 2], ["count", "c8", None, 4],
        ["weigh", "p3", 2600], ["arrive", "p4", "fine"], ["track", "p4", " 9400 1 "], ["setHouse", "fan", True], ["setHouse", "leave_hour",
            9],
        ["savePerson", {"name": "New"}], ["savePerson", {"id": "gus", "note": "rings twice"}], ["setPrice", "bar", 310],
        ["joinPeople", "ben", "ann"], ["noteLot", {"id": "W27-190-1", "note": ""}], ["saveStanding", {"id": "s3", "paused": False}],
    )]  # fmt: skip
    rows = [{key: value for key, value in step["wrote"][0]["rows"][1].items() if key not in ("id", "on", "line",
        "undoes")} for step in told]
    money = {"order": "o12", "note": "undone"}
    movement = {"table": "movement", "order": None, "note": ""}
    assert rows[:7] == [
        {"table": "payment", **money, "cents": -500, "how": "cash"},
        {"table": "adjustment", **money, "cents": 100, "why": "heat"},
        {"table": "till", "what": "taken", "cents": 100, "note": "undone", "at": "2027-07-24T15:00:00Z"},
        {"table": "lost_sale", "good": "bar", "units": 2, "cents": 600},
        {**movement, "good": "bar", "lot": "W27-205-A1", "units": -3, "reason": "poured"},
        {**movement, "good": "c8", "lot": None, "units": -2, "reason": "bought"},
        {**movement, "good": "c8", "lot": None, "units": 5, "reason": "counted"},
    ]
    assert rows[7:12] == [
        {"table": "parcel", "scale_g": 2510, "was": {"scale_g": 2600}},
        {"table": "parcel", "arrived": "", "arrived_on": None, "was": {"arrived": "fine", "arrived_on": TODAY}},
        {"table": "parcel", "tracking": "9400 5550 1", "was": {"tracking": "94001"}},
        {"table": "setting", "value": None, "was": {"value": True}},
        {"table": "setting", "value": 15, "was": {"value": 9}},
    ]
    assert rows[12:] == [
        {"table": "person", "hidden": True},
        {"table": "person", "note": "", "was": {"note": "rings twice"}},
        {"table": "good", "price_cents": 300, "steps": [[5, 1250], [10, 2300]], "prices": [],
         "was": {"price_cents": 310, "steps": [[5, 1250], [10, 2300]], "prices": []}},
        {"table": "person", "same_as": None, "was": {"same_as": "ann"}},
        {"table": "lot", "note": "a clear pour", "was": {"note": ""}},
        {"table": "standing", "paused": True, "was": {"paused": False}},
    ]  # fmt: skip


def test_what_went_in_one_parcel_is_packed_and_handed_over_and_comes_back_together() -> None:
    """The rider's entry of the same breath goes back with the host's; an order in another parcel stays as it is."""
    other = order("w1", "gus", "post", "promised", TODAY, {"jar": (1, 1200)})
    rows = [*ROWS, *other, *order("w2", "ann", "post", "promised", TODAY, {"block": (1, 2200)}, goes_with="o1", **PLACE)]
    told = acted([
        ["pack", "w1", {"parcels": [{}]}], ["pack", "o1", {"parcels": [{"carton": "c8"}]}], ["undo", "$1.op"], ["undo", "$1.op"],
        ["pack", "o1", {"parcels": [{"carton": "c8"}]}], ["handOver", "o1", {"cents": 50}], ["undo", "$5.op"], ["undo", "$0.op"],
        ["undo", "$4.op"], ["pack", "o1", {"parcels": [{}]}], ["amend", "w2", {"note": "x"}], ["undo", "$9.op"],
    ], rows)  # fmt: skip
    assert [step["said"] for step in told] == ["", "", "", ALREADY, *[""] * 8]
    states = [rows_of(step, "order", "id", "state") for step in told]
    three = ["o1", "w2", "o8"]
    assert states == [
        [["w1", "packed"]], [[id, "packed"] for id in three], [[id, "promised"] for id in three], [],
        [[id, "packed"] for id in three], [[id, "gone"] for id in three], [[id, "packed"] for id in three], [["w1", "promised"]],
        [[id, "promised"] for id in three], [[id, "packed"] for id in three], [["w2", None]], [[id, "promised"] for id in three],
    ]  # fmt: skip
    assert [len(told[at]["wrote"]) for at in (1, 2, 5, 6, 8, 11)] == [3] * 6
    assert rows_of(told[2], "parcel", "id", "packed_on") == [[told[1]["answer"]["parcels"][0], None]]
    assert rows_of(told[2], "movement", "good", "units") == [["c8", 1]]
    assert rows_of(told[6], "order", "gone_on") == [[None]] * 3
    assert rows_of(told[6], "reservation", "order", "good", "units") == [
        ["o1", "bar", 20], ["o1", "jar", 2], ["w2", "block", 1], ["o8", "block", 1]
    ]  # fmt: skip
    assert rows_of(told[6], "payment", "order", "cents") == [["o1", -50]]


def test_how_an_order_stood_before_it_left_is_told_by_its_parcels_where_it_was_not_kept() -> None:
    rows = [*ROWS, *order("w1", "fay", "post", "packed", TODAY, {"block": (1, 2200)}, goes_with="o3"),
            *order("w2", "ben", "pick_up", "packed", TODAY, {"block": (1, 2200)})]  # fmt: skip
    steps: list[Step] = []
    for at, name in enumerate(("o3", "w1", "w2")):
        steps += [["handOver", name], ["mark", [f"${3 * at}.op"], {"prior": []}], ["undo", f"${3 * at}.op"]]
    told = acted(steps, rows)
    assert [step["said"] for step in told] == [""] * 9
    assert [rows_of(step, "order", "id", "state") for step in told[2::3]] == [[["o3", "packed"]], [["w1", "packed"]], [["w2", "promised"]]]


def test_an_order_let_go_stands_again_with_what_the_share_still_covers() -> None:
    """The same good in two lines takes from one share; what was handed over is not set aside anew, and a packed order is packed again."""
    twice = order("w1", "ben", "pick_up", "promised", TODAY, {"bar": (8, 2400), "block": (2, 4400)}, sure={"bar": 8})
    twice += [{"table": "line", "id": "w1-more", "order": "w1", "good": "bar", "units": 6, "price_cents": 300, "total_cents": 1800}]
    part = [*order("w2", "ben", "pick_up", "packed", TODAY, {"jar": (3, 3600)}, sure={"jar": 1}),
            moved("jar", -2, "gone", TODAY, "J27-180-1", order="w2", line="w2-jar")]  # fmt: skip
    [(_, two), (_, three)] = undone(["letGo", "w1"], ["letGo", "w2"], rows=[*ROWS, *twice, *part], granted={"bar": 10, "jar": 9})
    assert rows_of(two, "order", "id", "state") == [["w1", "promised"]]
    assert rows_of(two, "reservation", "line", "units") == [["w1-bar", 8], ["w1-more", 2]]
    assert two["wrote"][0]["spent"] == {"bar": 10}
    assert rows_of(three, "order", "id", "state") == [["w2", "packed"]]
    assert (rows_of(three, "reservation", "line", "units"), three["wrote"][0]["spent"]) == ([["w2-jar", 1]], {"jar": 1})


def test_a_change_is_set_back_unless_the_lines_were_changed_since() -> None:
    rows = [*ROWS, *order("w1", "ben", "pick_up", "promised", TODAY, {"jar": (2, 2400), "bar": (4, 1200)})]
    lines = [{"good": "jar", "units": 2}, {"good": "bar", "units": 9}, {"good": "block", "units": 1}]
    told = acted([
        ["amend", "w1", {"lines": lines, "note": "x"}], ["undo", "$0.op"],
        ["amend", "w1", {"lines": lines}], ["amend", "w1", {"lines": [*lines[:1], {"good": "bar", "units": 8}, lines[2]]}],
        ["undo", "$2.op"], ["undo", "$3.op"], ["undo", "$2.op"],
    ], rows, {"bar": 20})  # fmt: skip
    assert [step["said"] for step in told] == ["", "", "", "", "The order was changed since. Look at it as it is now.", "", ""]
    units = [rows_of(step, "line", "good", "units", "total_cents") for step in told]
    assert units[0] == [[None, 9, 2700], ["block", 1, 2200]]
    assert rows_of(told[1], "order", "note", "was") == [["", {"note": "x"}]]
    assert [units[at] for at in (1, 3, 5, 6)] == [
        [[None, 4, 1200], [None, 0, 0]], [[None, 8, 2400]], [[None, 9, 2700]], [[None, 4, 1200], [None, 0, 0]]
    ]  # fmt: skip
    assert rows_of(told[1], "reservation", "good", "units") == [["bar", -5]]


def test_that_an_order_goes_alone_is_set_back_unless_it_was_packed_since() -> None:
    """What else was changed of it is set back all the same."""
    together: Json = {**PLACE, "handed": False}
    rows = [*ROWS, *order("w1", "ann", "post", "promised", TODAY, {"jar": (1, 1200)}, **together),
            *order("w2", "ann", "post", "promised", TODAY, {"block": (1, 2200)}, goes_with="w1", **together)]  # fmt: skip
    told = acted([
        ["amend", "w2", {"goes_with": None}], ["undo", "$0.op"], ["amend", "w2", {"goes_with": None}], ["amend", "w2", {"note": "x"}],
        ["pack", "w2", {"parcels": [{}]}], ["undo", "$2.op"], ["undo", "$3.op"],
    ], rows)  # fmt: skip
    packed = "Order A-w2 is packed by now. Look at it again."
    assert [step["said"] for step in told] == ["", "", "", "", "", packed, ""]
    assert rows_of(told[1], "order", "id", "goes_with", "was") == [["w2", "w1", {"goes_with": None}]]
    assert (told[5]["wrote"], rows_of(told[6], "order", "note")) == ([], [[""]])


def test_it_is_undone_within_ten_minutes_and_only_what_stands() -> None:
    until = "2027-07-24T15:10:00.000Z"
    told = acted([
        ["buy", "c8", 2], ["undoable", "$0.op"], ["ahead_ms", 599_999], ["undoable", "$0.op"], ["ahead_ms", 1], ["undoable", "$0.op"],
        ["undo", "$0.op"], ["undo", "none"], ["ahead_ms", -600_000],
        ["promise", DRAFT], ["letGo", "$9.order"], ["undoable", "$9.op"], ["undoable", "$10.op"], ["undo", "$10.op"], ["undoable", "$9.op"],
        ["mark", ["$9.op"], {"state": "refused"}], ["undoable", "$9.op"], ["mark", ["$9.op"], {"state": "set_aside"}], ["undoable",
            "$9.op"],
        ["mark", ["$9.op"], {"state": "landed"}], ["undoable", "$9.op"], ["undoable", "$13.ops.0"],
    ], ROWS)  # fmt: skip
    said: list[Any] = [step["said"] or step["answer"] for step in told]
    assert [said[at] for at in (1, 3, 5, 6, 7)] == [until, until, None, BEFORE, BEFORE]
    assert [said[at] for at in (11, 12, 14, 16, 18, 20, 21)] == [None, until, until, None, None, until, None]
