"""What a change of an order writes: its lines and what is set aside, its person and tax, and who is left alone in a parcel by it."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import TODAY, moved, order
from screens.rows import ROWS
from store.acted import Json, acted, rows_of


def by_mail(id: str, **more: Any) -> list[Json]:
    return order(id, "ann", "post", more.pop("state", "promised"), TODAY, {"jar": (1, 1200)}, **more)


def test_a_good_in_two_lines_stands_in_the_first_and_nothing_is_set_aside_twice() -> None:
    """A line that is nothing already is not written again."""
    line = {"table": "line", "order": "w1", "good": "bar", "price_cents": 300}
    rows = [
        *ROWS, *order("w1", "ben", "pick_up", "promised", TODAY, {"bar": (8, 2400)}),
        {**line, "id": "w1-more", "units": 6, "total_cents": 1800}, {**line, "id": "w1-none", "units": 0, "total_cents": 0},
        {"table": "reservation", "id": "r1", "order": "w1", "line": "w1-more", "good": "bar", "units": 3},
    ]  # fmt: skip
    told = acted([["amend", "w1", {"note": " x "}], ["amend", "w1", {"lines": [{"good": "bar", "units": 10}]}]], rows, {"bar": 4})
    assert [told[0]["answer"][name] for name in ("sure", "waiting")] == [{"bar": 11}, {"bar": 3}]
    assert told[0]["wrote"][0]["rows"] == [{"table": "order", "id": "w1", "note": "x", "was": {"note": ""}}]
    assert rows_of(told[1], "line", "id", "units", "total_cents", "was") == [
        ["w1-more", 0, 0, {"units": 6}], ["w1-bar", 10, 3000, {"units": 8}]
    ]  # fmt: skip
    assert rows_of(told[1], "reservation", "line", "units") == [["w1-more", -3], ["w1-bar", 2]]
    assert (told[1]["wrote"][0]["spent"], told[1]["answer"]["waiting"]) == ({"bar": 2}, {})


def test_what_is_lowered_frees_what_is_set_aside_beyond_it_and_what_is_raised_comes_from_the_share_alone() -> None:
    rows = [*ROWS, *order("w1", "ben", "pick_up", "promised", TODAY, {"jar": (5, 6000), "bar": (40, 12000)}, sure={"jar": 3, "bar": 40})]
    told = acted([
        ["amend", "w1", {"lines": [{"good": "jar", "units": units}, {"good": "bar", "units": 40}]}] for units in (4, 3, 2, 9, 9)
    ], rows, {"jar": 4})  # fmt: skip
    assert [rows_of(step, "line", "units", "total_cents") for step in told] == [[[units, units * 1200]] for units in (4, 3, 2, 9)] + [[]]
    assert [rows_of(step, "reservation", "units") for step in told] == [[], [], [[-1]], [[4]], []]
    assert [step["answer"]["waiting"] for step in told] == [{"jar": 1}, {}, {}, {"jar": 3}, {"jar": 3}]
    assert [step["answer"]["op"] is None for step in told] == [False, False, False, False, True]


def test_an_order_gets_a_person_and_the_tax_of_where_it_goes_then() -> None:
    taxed: Json = {"tax_rate": 5500, "tax_mailing": True, "tax_cents": 60, "posting_cents": 1000}
    rows = [*ROWS, *order("w2", None, "pick_up", "promised", TODAY, {"jar": (2, 2400)}),
            *order("w3", None, "post", "promised", TODAY, {"jar": (2, 2400)}, **taxed),
            *order("w4", "ann", "pick_up", "promised", TODAY, {"jar": (2, 2400)}, **taxed)]  # fmt: skip
    nora = {"name": "Nora Quist", "phone": "+12185550144", "state": "MN", "city": "Ely"}
    told = acted([
        ["amend", "w2", {"note": "hello", "told": {}}],
        ["amend", "w2", {"person": nora, "way": "post", "posting_cents": 100}],
        ["amend", "w2", {"person": {"id": "ann", "note": "Leave it on the porch."}}],
        ["amend", "w3", {"person": nora}],
        ["amend", "w3", {"told": {"verdict": "firm"}}], ["amend", "w3", {"told": {"verdict": "firm"}}],
        ["amend", "w2", {"way": "pick_up"}], ["amend", "w4", {"way": "post"}],
    ], rows)  # fmt: skip
    assert told[0]["wrote"][0]["rows"] == [{"table": "order", "id": "w2", "note": "hello", "was": {"note": ""}}]
    assert rows_of(told[1], "person", "name", "phone", "city", "street") == [["Nora Quist", "+12185550144", "Ely", ""]]
    new = told[1]["wrote"][0]["rows"][0]["id"]
    assert told[1]["wrote"][0]["rows"][1] == {
        "table": "order", "id": "w2", "person": new, "way": "post", "posting_cents": 100,
        "was": {"person": None, "way": "pick_up", "posting_cents": 0},
    }  # fmt: skip
    assert told[2]["wrote"][0]["rows"] == [{"table": "order", "id": "w2", "person": "ann", "was": {"person": new}}]
    assert rows_of(told[3], "order", "tax_cents", "tax_rate", "tax_mailing") == [[0, 0, False]]
    assert rows_of(told[4], "order", "told", "was") == [[{"verdict": "firm"}, {}]] and told[5]["wrote"] == []
    assert rows_of(told[6], "order", "tax_rate", "tax_mailing", "tax_cents") == [[5500, True, 6]]
    assert rows_of(told[7], "order", "tax_rate", "tax_mailing", "tax_cents") == [[0, False, 0]]


def test_who_rode_with_an_order_is_left_to_itself_by_what_changes() -> None:
    """Where the mailing cost nothing because they went together, the table says its price anew; of a packed order nothing is parted."""
    rows = [
        *ROWS, *by_mail("w4", state="packed"), *by_mail("w5", state="packed", goes_with="w4"),
        *by_mail("w6", posting_cents=300, posting_by="hand"), *by_mail("w7", goes_with="w6", posting_by="hand"),
        *by_mail("w8", goes_with="w6", posting_cents=50, posting_by="hand"), *by_mail("w9", goes_with="w6", posting_by="hand"),
    ]  # fmt: skip
    told = acted([
        ["amend", "w5", {"way": "pick_up"}], ["amend", "w4", {"way": "pick_up"}], ["amend", "w5", {"note": "x"}],
        ["amend", "w7", {"way": "pick_up"}],
        ["amend", "w8", {"goes_with": None}], ["amend", "w8", {"goes_with": None}], ["amend", "w8", {"goes_with": "w6"}],
        ["amend", "w9", {"way": "pick_up", "posting_cents": 20}],
        ["amend", "w7", {"way": "post", "goes_with": "w6", "posting_by": "hand"}],
        ["amend", "w6", {"way": "pick_up"}],
        ["letGo", "o8"], ["letGo", "o1"], ["amend", "w5", {"goes_with": None}],
    ], rows)  # fmt: skip
    together = "They are packed together by now. Undo the packing first."
    assert [step["said"] for step in told] == [together, together, *[""] * 10, "Order A-w5 is packed by now. Look at it again."]
    assert [step["answer"] and step["answer"]["parted"] for step in told[2:12]] == [
        {"alone": alone, "left": left} for alone, left in (
            ([], None), (["w7"], "w6"), (["w8"], "w6"), ([], None), ([], "w6"), (["w9"], "w6"), ([], "w6"), (["w7", "w8"], None), ([],
                "o1"),
            ([], None),
        )
    ]  # fmt: skip
    orders = [rows_of(step, "order", "id", "way", "goes_with", "posting_by", "was") for step in told]
    was = {"goes_with": "w6"}
    assert orders[3] == [["w7", "pick_up", None, "", {**was, "posting_by": "hand", "way": "post"}]]
    assert orders[4:7] == [[["w8", None, None, None, was]], [], [["w8", None, "w6", None, {"goes_with": None}]]]
    assert orders[7] == [["w9", "pick_up", None, None, {**was, "posting_cents": 0, "way": "post"}]]
    assert orders[9] == [
        ["w6", "pick_up", None, None, {"way": "post"}], ["w7", None, None, "", {"posting_by": "hand"}], ["w8", None, None, None, {}]
    ]  # fmt: skip
    assert ["posting_by" in row for row in told[9]["wrote"][2]["rows"]] == [False]


def test_an_order_is_promised_sold_and_handed_over_with_what_was_said_and_no_more() -> None:
    """What is not said is left as it is usual: picked up, paid later, nothing in the hand."""
    jar, part = [{"good": "jar", "units": 1}], order("w1", "ben", "pick_up", "packed", TODAY, {"jar": (2, 2400), "block": (1, 2200)},
        sure={"jar": 2})
    away = [moved("block", -1, "gone", TODAY, order="w1", line="w1-block")]
    ben = {"person": {"id": "ben"}, "lines": jar}
    told = acted([
        ["promise", ben], ["promise", {**ben, "goes_to": "other", "to_city": "Ely"}],
        ["promise", {**ben, "way": "post", "goes_to": "", "to_city": "Ely", "gift_note": " Hello "}],
        ["promise", {**ben, "way": "post", "goes_to": "other", "to_name": " Mia ", "to_city": "Ely"}],
        ["promise", {"person": {"name": "Nora", "city": "Ely"}, "lines": jar, "way": "post", "free_for": "loss"}],
        ["sendAgain", "o12", "breakage"],
        ["sell", {**ben, "pays": "later"}], ["sell", {"lines": jar, "paid_cents": 0}],
        ["sell", {"lines": jar, "paid_cents": 500, "given_cents": 500}], ["sell", {"lines": jar, "paid_cents": 500, "given_cents": 501}],
        ["sell", {"lines": jar, "pays": "check", "paid_cents": 500, "given_cents": 900}], ["sell", {"lines": jar, "short": 1}],
        ["handOver", "w1", {"cents": 100, "how": "cash", "given_cents": 100}],
        ["pack", "o1", {"parcels": [{"id": "mine", "carton": "c8", "scale_g": 2400, "told_permille": 7}, {"carton": None}]}],
    ], [*ROWS, *part, *away], {"jar": 2})  # fmt: skip
    assert [step["said"] for step in told] == [""] * len(told)
    where = [rows_of(step, "order", "way", "goes_to", "to_name", "to_city", "gift_note", "pays") for step in told[:6]]
    assert where == [[row] for row in (
        ["pick_up", None, None, None, None, "later"], ["pick_up", None, None, None, None, "later"],
        ["post", None, None, None, "Hello", "later"], ["post", "other", "Mia", "Ely", None, "later"],
        ["post", "own", "", "Ely", None, "later"], ["pick_up", None, None, None, None, "later"],
    )]  # fmt: skip
    assert [rows_of(step, "order", "replaces", "free_for", "note") for step in told[4:6]] == [
        [[None, "loss", ""]], [["o12", "breakage", "instead of A-12"]]
    ]  # fmt: skip
    assert rows_of(told[5], "line", "price_cents", "total_cents") == [[0, 0]]
    assert [rows_of(step, "payment", "cents", "how", "given_cents") for step in told[6:13]] == [
        [], [], [[500, "cash", None]], [[500, "cash", 501]], [[500, "check", None]], [[1161, "cash", None]], [[100, "cash", None]]
    ]  # fmt: skip
    assert [rows_of(step, "order", "pays") for step in told[6:9]] == [[["later"]], [["cash"]], [["cash"]]]
    assert rows_of(told[12], "movement", "good", "units") == [["jar", -2]]
    assert rows_of(told[12], "reservation", "good", "units") == [["jar", -2]]
    parcels = rows_of(told[13], "parcel", "id", "scale_g", "told_permille", "part", "carton", "gross_g")
    assert parcels[0] == ["mine", 2400, 7, 1, "c8", 0] and parcels[1][1:] == [None, None, 2, None, 0]
    assert rows_of(told[13], "movement", "good", "units") == [["c8", -1]]


def test_the_main_computer_is_asked_only_for_what_the_share_does_not_cover() -> None:
    draft = {"person": {"id": "ben"}, "way": "pick_up"}
    told = acted([
        ["promise", {**draft, "lines": [{"good": "jar", "units": 5}]}], ["asks"],
        ["promise", {**draft, "lines": [{"good": "bar", "units": 1}]}, {"wait_s": 0}], ["asks"],
        ["promise", {**draft, "lines": [{"good": "bar", "units": 1}]}], ["asks"],
    ], ROWS, {"jar": 5})  # fmt: skip
    asks = [step["answer"] for step in told[1::2]]
    assert (asks[:2], asks[2] > 0) == ([0, 0], True)
    assert [step["answer"]["waiting"] for step in told[::2]] == [{}, {"bar": 1}, {"bar": 1}]
