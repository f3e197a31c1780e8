"""What is written of goods: new ones, their prices by place and day, the molds, the order in which they stand."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import TODAY, good
from screens.rows import ROWS
from store.acted import acted, rows_of

TOMORROW, FALL, WINTER = "2027-07-25", "2027-09-01", "2027-12-01"


def rule(place: str, since: str, cents: int, *steps: list[int]) -> dict[str, Any]:
    return {"place": place, "since": since, "cents": cents, "steps": list(steps)}


MAIL, NOW_ON = rule("mail", FALL, 130), rule("counter", TODAY, 110, [3, 300])
NEXT, ALWAYS = rule("counter", TOMORROW, 115, [4, 400]), rule("counter", "", 105, [2, 200])
CAKE = good("cake", ("cake", "cakes", "cakes"), 9, 100, prices=[MAIL, NOW_ON, NEXT, ALWAYS])
WICK = good("wick", ("wick", "wicks", "wicks"), 9, 100, steps=[[10, 900]])


def test_prices_are_told_the_general_one_first_then_by_place_and_day() -> None:
    two = [rule("mail", FALL, 1), rule("counter", WINTER, 2), rule("", FALL, 3), rule("counter", FALL, 4)]
    steps = [
        ["pricesOf", CAKE], ["pricesOf", {"prices": two, "price_cents": 5, "steps": [[2, 9]]}], ["pricesOf", {}],
        *(["stepsAt", CAKE, "counter", since] for since in ("", TODAY, TOMORROW, FALL)), ["stepsAt", WICK, "", ""], ["stepsAt", {}, "mail",
            ""],
    ]  # fmt: skip
    found = [step["answer"] for step in acted(steps, [])]
    assert found[0] == [rule("", "", 100), ALWAYS, NOW_ON, NEXT, MAIL]
    assert found[1] == [rule("", "", 5, [2, 9]), two[2], two[3], two[1], two[0]]
    assert found[2] == [rule("", "", 0)]
    assert found[3:] == [[[3, 300]], [[3, 300]], [[4, 400]], [], [[10, 900]], []]


def test_a_price_takes_the_place_of_the_one_that_counts_and_leaves_the_others() -> None:
    """What begins today is now; a new day goes on from the price that would count then, without quantities."""
    told = acted([
        ["setPrices", "cake", {"place": "counter", "cents": 120}],
        ["setPrices", "cake", {"place": "counter", "since": TODAY, "cents": 125}],
        ["setPrices", "cake", {"place": "counter", "since": TOMORROW, "cents": 126}],
        ["setPrices", "cake", {"place": "mail", "since": WINTER}],
        ["dropPrice", "cake", {"place": "mail", "since": FALL}],
        ["dropPrice", "cake", {"place": "counter", "since": ""}],
        ["setPrices", "wick", {"place": "mail"}],
        ["setPrices", "wick", {"cents": 90}],
        ["setPrices", "wick", {"since": TOMORROW, "cents": 80}],
    ], [CAKE, WICK])  # fmt: skip
    assert [step["said"] for step in told] == [""] * len(told)
    prices = [rows_of(step, "good", "prices", "price_cents", "steps") for step in told]
    now, other, winter = rule("counter", "", 125, [3, 300]), rule("counter", TOMORROW, 126, [4, 400]), rule("mail", WINTER, 130)
    assert prices[:6] == [[[rules, None, None]] for rules in (
        [MAIL, NEXT, {**now, "cents": 120}], [MAIL, NEXT, now], [MAIL, now, other], [MAIL, now, other, winter], [now, other, winter],
        [other, winter],
    )]  # fmt: skip
    mail, later = rule("mail", "", 100), rule("", TOMORROW, 80)
    assert prices[6:] == [[[[mail], None, None]], [[[mail], 90, [[10, 900]]]], [[[mail, later], None, None]]]


def test_goods_begin_with_what_is_usual_and_what_was_stopped_comes_back_as_it_was() -> None:
    long = "pillar candle with a long name, red"
    told = acted([
        ["addGood", {"id": "old", "name": " Old soap "}],
        ["addGood", {"id": "own", "name": long, "price_cents": 700}],
        ["addGood", {"name": "honey", "form": "jar", "rank": 2}],
        ["addGoods", [{"usual": "candle_votive"}, {"name": "clip", "row": 3}]],
        ["addGood", {"usual": "candle_votive", "price_cents": 250}],
    ], [*ROWS, WICK])  # fmt: skip
    assert [step["said"] for step in told] == [""] * len(told)
    assert told[0]["wrote"][0]["rows"] == [{"table": "good", "id": "old", "name": "Old soap", "sold": True, "hidden": False}]
    own = told[1]["wrote"][0]["rows"][0]
    assert own == {
        "table": "good", "id": "own", "name": long, "plural": long, "short": long[:30], "kind": "wax", "unit": "each", "row": 1, "form": "",
        "price_cents": 700, "sold": True, "hidden": False, "rank": 10,
    }  # fmt: skip
    jar = told[2]["wrote"][0]["rows"][0]
    assert [jar[name] for name in ("kind", "row", "glass", "rank", "short")] == ["honey", 6, True, 2, "honey"]
    assert rows_of(told[3], "good", "id", "rank", "row", "kind", "typical") == [
        ["candle_votive", 11, 6, "wax", True], [told[3]["answer"]["goods"][1], 12, 3, "wax", None]
    ]  # fmt: skip
    assert len(told[3]["wrote"]) == 1
    assert told[4]["wrote"][0]["rows"] == [
        {"table": "good", "id": "candle_votive", "price_cents": 250, "sold": True, "hidden": False}
    ]  # fmt: skip


def test_goods_stand_by_rank_and_of_one_rank_by_their_names() -> None:
    """What stands where it stood is not written; more than forty at once are none's wish."""
    goods = [good(f"g{at:02d}", (f"g{at}", "", ""), 99 - at, 0) for at in range(41)]
    same = [good(id, (id, "", ""), 5, 0) for id in ("pear", "fig", "nut")]
    ids = [row["id"] for row in goods]
    first = acted([["goodsKept"]], [*same, good("kiln", ("kiln", "", ""), 1, 0, unit="g"), good("box", ("box", "", ""), 1, 0,
        kind="carton"),
                                    good("gone", ("gone", "", ""), 1, 0, hidden=True), good("stop", ("stop", "", ""), 9, 0,
                                        sold=False)])  # fmt: skip
    assert [row["id"] for row in first[0]["answer"]] == ["fig", "nut", "pear", "stop"]
    told = acted([["orderGoods", ids], ["orderGoods", ids[:40]], ["orderGoods", ids[:40]], ["orderGoods", [ids[1], ids[0], *ids[2:]]]],
        goods)
    assert told[0]["said"] == "41 goods would change places. Move fewer: at most 40 at once."
    assert [[step["answer"] is None, rows_of(step, "good", "id", "rank")] for step in told] == [
        [True, []], [False, [[id, at + 1] for at, id in enumerate(ids[:40])]], [False, []], [False, [["g01", 1], ["g00", 2], ["g40", 41]]],
    ]  # fmt: skip
    assert told[2]["answer"] == {"op": None}
    sold = acted([["setSold", "g00", False], ["setPourSize", "g00", 100]], goods)
    assert [step["wrote"][0]["rows"] for step in sold] == [[{"table": "good", "id": "g00", **more}] for more in ({"sold": False},
        {"row": 100})]
