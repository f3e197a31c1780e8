"""What no act takes, in its own words, and that nothing is written then; what lies just inside of it is taken."""

from __future__ import annotations

from typing import Any

from screens.kinds_of_rows import good, order
from screens.rows import ROWS
from store.acted import Step, acted

WICK = good("wick", ("wick", "", ""), 9, 100)


def draft(*lines: tuple[str, Any], **more: Any) -> dict[str, Any]:
    return {"person": {"id": "ben"}, "lines": [{"good": name, "units": units} for name, units in lines], "way": "pick_up", **more}


def hold(wanted: list[tuple[Step, str]], **more: Any) -> None:
    """Each is refused with these words, or written where there are none; what is refused leaves nothing behind."""
    told = acted([step for step, _ in wanted], [*ROWS, WICK], **more)
    assert [step["said"] for step in told] == [said for _, said in wanted]
    assert [bool(step["wrote"]) for step in told] == [not said for _, said in wanted]


BARS = ("bar", 2)
SURE = "are sure by now: another window or order took the rest. Go back, look at it again and read it anew."


def test_an_order_that_cannot_be_promised() -> None:
    taken = {"order": "o1", "lines": ["l1"]}
    hold([
        (["promise", draft(BARS, way="walk_in")], "A walk-in is sold, not promised. Choose by mail or to be picked up."),
        (["promise", draft(BARS, person=None)], "Nobody is named. Say who it is for."),
        (["promise", {**draft(), "lines": None}], "Nothing is wanted yet. Say what and how many."),
        (["promise", draft(("bar", 0))], "Nothing is wanted yet. Say what and how many."),
        (["promise", draft(*[("bar", 1)] * 41)], "41 lines are too many. Split it: at most 40."),
        (["promise", draft(("none", 1))], "There is no good called none. Choose one of what you sell."),
        (["promise", draft(("wick", -1))], "-1 wick cannot be promised. Say a whole number from 1."),
        (["promise", draft(("bar", 1.5))], "1.5 wax bars (1 oz) cannot be promised. Say a whole number from 1."),
        (["promise", draft(BARS, leave_on="July 4")], '"July 4" is not a day. Choose a day.'),
        (["promise", draft(BARS, ids=taken)], "This was promised already, perhaps in another window. Nothing to do."),
        (["promise", draft(BARS, said_sure={"bar": 2})], f"Only 1 of 2 wax bars (1 oz) {SURE}"),
        (["promise", draft(("block", 1), said_sure={"block": 1})], f"Only 0 of 1 candle block (1 lb) {SURE}"),
        (["promise", draft(("wick", 3), said_sure={"wick": 3})], f"Only 0 of 3 wick {SURE}"),
        (["promise", draft(BARS, said_sure={"none": 2})], f"Only 0 of 2 none {SURE}"),
        (["promise", draft(BARS, posting_cents=1.5)], "posting_cents is 1.5. Give a whole number."),
        (["promise", draft(BARS, leave_on="2027-07-28", said_sure={"bar": 1})], ""),
        (["promise", draft(*[("bar", 1)] * 40)], ""),
    ], granted={"bar": 1})  # fmt: skip


def test_goods_prices_and_molds_that_are_none() -> None:
    prices = [{"place": "mail", "since": f"2027-09-{day:02d}", "cents": 300, "steps": []} for day in range(1, 24)]
    steps = [[at, 10 * at] for at in range(2, 9)]
    none = "There is no good called none. Choose one of what you sell."
    named = {"name": "candle", "plural": "candles", "short": "candles"}
    hold([
        (["addGoods", []], "0 goods at once. Add 1 to 40."),
        (["addGoods", [named] * 41], "41 goods at once. Add 1 to 40."),
        (["addGoods", [named] * 40], ""),
        (["addGood", {"usual": "none"}], "“none” is none of the usual goods. Choose one of the list, or name your own."),
        (["addGood", {"name": " "}], "The good has no name. Say what it is called, such as honey jar (1 lb)."),
        (["addGood", {**named, "price_cents": -1}], "-1 is no price in cents. Give a price from $0.00."),
        (["addGood", {**named, "price_cents": 0}], ""),
        (["setPrice", "none", 10], none),
        (["setPrice", "bar", 1.5], "1.5 is no price in cents. Give a price from $0.00."),
        (["setPrices", "bar", {"steps": steps}], "7 quantities are too many. Keep 6 at most."),
        (["setPrices", "bar", {"steps": steps[:6]}], ""),
        (["setPrices", "bar", {"steps": [[501, 9000]]}], "501 for so much is no price. Say from 2 to 500, each number once."),
        (["setPrices", "bar", {"steps": [[500, 9000]]}], ""),
        (["setPrices", "bar", {"steps": [[2, -1]]}], "-1 is no price in cents. Give a price from $0.00."),
        (["setPrices", "bar", {"steps": [[2, 0]]}], ""),
        (["setGood", {"id": "bar", "prices": prices}], ""),
        (["setPrices", "bar", {"place": "counter", "cents": 1}], ""),
        (["setPrices", "bar", {"place": "mail", "cents": 1}], "25 prices are too many. Take an old one away first."),
        (["setPourSize", "bar", 0], "0 is no number of pieces. Say from 1 to 100."),
        (["setPourSize", "bar", 101], "101 is no number of pieces. Say from 1 to 100."),
        (["setPourSize", "bar", 1.5], "1.5 is no number of pieces. Say from 1 to 100."),
        (["setPourSize", "bar", 1], ""), (["setPourSize", "bar", 100], ""), (["setPourSize", "none", 5], none),
        (["setSold", "none", True], none), (["orderGoods", ["none"]], none),
    ])  # fmt: skip


def test_money_and_cash_that_is_none() -> None:
    more = "That is more than the order comes to. Take off less."
    hold([
        (["pay", "o2", 0, "cash"], "Nothing was paid. Give the amount."),
        (["pay", "o2", 9200, "cash", "", {"given_cents": 9199}], "That is less than it costs. Enter it as a part of what they owe."),
        (["pay", "o2", 100, "check", "", {"given_cents": 200}], "That is less than it costs. Enter it as a part of what they owe."),
        (["pay", "o2", 100, "cash", "", {"given_cents": 100}], ""),
        (["payAll", ["o2", "o6"], "cash"], "Something of it was paid meanwhile. Look at them again."),
        (["payAll", ["o12", "o12x"], "cash"], "Something of it was paid meanwhile. Look at them again."),
        (["correct", "y1", 3200], "It says so already. Nothing to do."),
        (["correct", "none", 3200], "That payment is not on this device. Enter what was paid by itself."),
        (["adjust", "o12", 0, "heat"], "Nothing is taken off. Give the amount."),
        (["adjust", "none", -1, "heat"], "There is no order none. Choose one from the list."),
        (["adjust", "o12", -2201, "heat"], more),
        (["adjust", "o12", -2200, "heat"], ""),
        (["adjust", "o12", -1, "heat"], more),
        (["adjust", "o12", 1, "heat"], ""),
        (["till", "counted", -1], "Less than nothing is no cash. Give the amount."),
        (["till", "counted", 0], ""),
    ])  # fmt: skip


def test_what_lies_on_no_shelf_and_came_out_of_nothing() -> None:
    one = "Give a whole number from 1."
    hold([
        (["goWithout", "bar", 0, "post"], "Nobody went without nothing. Say how many they wanted."),
        (["goWithout", "none", 1, "post"], "There is no good none. Choose one from the list."),
        (["count", "bar", "W27-190-1", -1], "-1 cannot be on a shelf. Count from 0."),
        (["count", "bar", "W27-190-1", 0], ""),
        (["takeAway", "bar", None, 0, "gift"], f"0 is not an amount. {one}"),
        (["buy", "c8", 0], f"0 is not an amount. {one}"),
        (["buy", "c8", 1], ""),
        (["make", {"lots": []}], "Nothing was made. Say what came out and how many."),
        (["make", {"lots": [{"good": "bar", "units": 1}], "used": [{"good": "wax_fine", "units": -2}]}], f"-2 is not an amount. {one}"),
        (["make", {"lots": [{"good": "bar", "units": 1}], "made_on": "July 4"}], '"July 4" is not a day. Choose a day.'),
        (["extract", {"buckets_g": []}], "No bucket was weighed. Weigh the first bucket."),
        (["pass", {"from": "wax_fine", "grams": 10, "to": [{"good": "wax_back", "units": 11}]}],
         "11 g came out of 10 g. Weigh both again: less comes out than went in."),
        (["pass", {"from": "wax_fine", "grams": 10, "to": []}], "Nothing came out. Weigh what came out, or enter it as lost."),
        (["pass", {"from": "wax_fine", "grams": 10, "to": [{"good": "wax_back", "units": 10}]}], ""),
        (["pour", {"good": "bar", "units": 1, "specked": 1, "poured_g": 10, "back_g": 10}],
         "10 g of specks out of 10 g poured. Weigh both again."),
        (["joinPeople", "dora2", "dora"], "They are joined already. Nothing to do."),
        (["joinPeople", "ben", None], "They are two already. Nothing to do."),
        (["joinPeople", "none", "ben"], "Nobody of that name is on this device. Look at the Book again."),
        (["savePerson", {"name": " ", "phone": ""}], "The person has neither a name nor a number. Say who it is for."),
        (["promiseStanding", "none", "2027-08-01"], "That standing order is not on this device. Look at the person in the Book."),
        (["promiseStanding", "s1", "2027-07-23"], "This was promised already, perhaps in another window. Nothing to do."),
        (["sendAgain", "o9", "heat"], "Nobody is named in that order. Take a new order on the Counter."),
    ])  # fmt: skip


def test_an_order_that_is_not_as_it_was_thought() -> None:
    named = [*ROWS, WICK, *order("w1", "ben", "pick_up", "promised", None, {"wick": (3, 300)}, sure={"wick": 1})]
    named += [*order("w2", "ben", "pick_up", "promised", None, {"gone_good": (3, 300)}, sure={})]
    lower = "Lower the order to what is here, or let it wait for the next pour."
    steps: list[tuple[Step, str]] = [
        (["letGo", "none"], "There is no order none. Choose one from the list."),
        (["letGo", "o6"], "Order A-6 is let go by now. Look at it again."),
        (["handOver", "o4"], "Order A-4 is gone by now. Look at it again."),
        (["handOver", "o2"], f"15 wax bars (1 oz) still wait. {lower}"),
        (["handOver", "w1"], f"2 wick still wait. {lower}"),
        (["handOver", "w2"], f"3 gone_good still wait. {lower}"),
        (["pack", "o3", {"parcels": [{}]}], "Order A-3 is packed by now. Look at it again."),
        (["pack", "o1", {"parcels": []}], "No parcel is given. Say how it was packed."),
        (["handOver", "o12", {"lots": {"o12-block": [{"lot": None, "units": 2}]}}],
         "The lots named hold 2, but 1 leave. Name lots for all of them."),
    ]  # fmt: skip
    told = acted([step for step, _ in steps], named)
    assert [step["said"] for step in told] == [said for _, said in steps]
    assert [step["wrote"] for step in told] == [[]] * len(steps)
