"""Money in whole cents, entry by entry: paid in part and in every way, put right, paid back, taken off, sent again; two devices agree."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.replica import Mirror
from hypothesis import given, settings
from hypothesis import strategies as st

from honeyhold.house.house import House
from honeyhold.records.models import Order, Payment, Till
from honeyhold.stock.till import till_of
from records.test_store import old_house
from replication.houses import Watch, device, small_house


def promised(hand: DeviceClient, units: int = 5, **more: Any) -> str:
    """An order of so many bars, 3 dollars each."""
    return hand.promise([("bar", units)], person=hand.note_person(name="Ann"), way="pick_up", **more).order


def owed(house: House, order: str) -> int:
    """By the records, whatever any device believes."""
    with house.records.read():
        found = house.records.row(Order, order)
        assert found is not None
        cents = house.records.sql('SELECT COALESCE(SUM(COALESCE(total_cents, units * price_cents)), 0) FROM line WHERE "order" = ?', order)
        total = int(cents.fetchone()[0]) + found["posting_cents"] + found["tax_cents"] + found["adjusted_cents"]
    return (0 if found["state"] == "let_go" else total) - int(found["paid_cents"])


def test_paid_in_parts_and_ways_with_change_and_the_number_of_a_check(house: House) -> None:
    hand = device(house, bars=10)
    order = promised(hand)
    hand.pay(order, 500, given_cents=2000)
    hand.pay(order, 400, "check", check_number="118")
    hand.pay(order, 600, "transfer")
    hand.exchange()
    assert hand.needs_you == [] and owed(house, order) == 0
    other = device(house, "B")
    rows = {row["how"]: row for row in other.view.rows["payment"].values()}
    assert (rows["cash"]["given_cents"], rows["check"]["check_number"], rows["transfer"]["cents"]) == (2000, "118", 600)


def test_a_paid_order_that_is_canceled_is_owed_back(house: House) -> None:
    hand = device(house, bars=10)
    order = promised(hand)
    hand.pay(order, 1500)
    hand.let_go(order)
    hand.exchange()
    assert owed(house, order) == -1500 and hand.view.owed(order) == -1500
    hand.pay(order, -1500)
    hand.exchange()
    assert owed(house, order) == 0


def test_a_correction_is_an_entry_of_the_same_day_and_way(house: House) -> None:
    hand = device(house, bars=10)
    order = promised(hand)
    hand.pay(order, 2000, "check", on="2026-07-18")
    (wrong,) = hand.view.rows["payment"]
    hand.correct(wrong, 1500)
    hand.exchange()
    assert hand.needs_you == [] and owed(house, order) == 0
    assert hand.view.money["2026-07-18", "check"] == 1500
    with pytest.raises(ValueError, match="already"):
        hand.correct(wrong, 1500)


@pytest.mark.parametrize("change", [
    {"how": "cash"}, {"on": "2026-07-19"}, {"corrects": "nobody"}, {"order": "other"}, {"corrects": "a correction"},
    {"corrects": None, "how": "check", "given_cents": 9000}, {"corrects": None, "how": "cash", "given_cents": 1}, {"how": "gold"},
    {"cents": 0},
])  # fmt: skip
def test_what_puts_nothing_right_is_refused_with_a_remedy(house: House, change: dict[str, Any]) -> None:
    hand = device(house, bars=20)
    order, other = promised(hand), promised(hand)
    hand.pay(order, 2000, "check", on="2026-07-18")
    (wrong,) = hand.view.rows["payment"]
    hand.correct(wrong, 1900)
    correction = next(row["id"] for row in hand.view.rows["payment"].values() if row.get("corrects"))
    row = {"table": "payment", "id": hand.new_id(), "how": "check", "on": "2026-07-18", "corrects": wrong, **change}
    row["order"] = other if change.get("order") else order
    if change.get("corrects") == "a correction":
        row["corrects"] = correction
    hand.write("pay", [{**row, "cents": change.get("cents", 500 if "given_cents" in change else -500)}])
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"]


def test_something_taken_off_is_owed_back_and_never_more_than_all(house: House) -> None:
    hand, other = device(house, bars=10), device(house, "B")
    order = promised(hand)
    hand.pay(order, 1500)
    hand.exchange()
    other.exchange()
    for one in (hand, other):
        one.adjust(order, -1000, "heat")  # both are told of it, neither has heard of the other
        one.exchange()
    (refused,) = other.needs_you
    assert "500 cents less than nothing" in refused["why"] and refused["remedy"]
    assert owed(house, order) == -1000 and hand.view.adjusted(order) == -1000
    hand.undo(hand.log[-1])
    hand.exchange()
    assert owed(house, order) == 0 and house.check() == []


def test_sent_again_at_no_charge_keeps_its_reason_and_is_carried_for_good(house: House) -> None:
    hand = device(house, bars=20)
    order = promised(hand)
    hand.hand_over(order, payment=(1500, "cash"))
    again = hand.send_again(order, "heat").order
    hand.hand_over(again)
    hand.exchange()
    assert hand.needs_you == [] and owed(house, again) == 0
    with house.records.write():
        house.records.sql("UPDATE \"order\" SET closed_on = '2020-01-01'")
    fresh = device(house, "B")
    assert again in fresh.view.rows["order"] and order not in fresh.view.rows["order"]
    assert (fresh.order(again)["replaces"], fresh.order(again)["free_for"]) == (order, "heat")


@pytest.mark.parametrize("wrong", [{"replaces": "nobody", "free_for": "heat"}, {"free_for": "boredom"}, "unsaid"])
def test_sent_again_for_no_reason_or_no_order_is_refused(house: House, wrong: Any) -> None:
    hand = device(house, bars=20)
    order = promised(hand)
    promised(hand, **({"replaces": order} if wrong == "unsaid" else wrong))
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"]


def test_the_till_is_undone_by_an_entry_once(house: House) -> None:
    hand = device(house)
    hand.till("opening", 5000)
    hand.till("counted", 4000, "short")
    count = hand.log[-1]
    hand.undo(count)
    hand.exchange()
    assert hand.needs_you == [] and told(house, "2026-07-20")["counted_cents"] is None
    hand.write("note_till", [{**count["rows"][0], "id": hand.new_id(), "undoes": count["rows"][0]["id"]}])
    hand.exchange()
    assert len(hand.needs_you) == 1


def test_records_of_the_first_schema_keep_their_payments(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        found = house.records.dicts(Payment.select())
    assert found and all(row["check_number"] == "" and row["given_cents"] is None and row["corrects"] is None for row in found)
    assert house.check() == []
    house.close()


def told(house: House, day: str) -> dict[str, Any]:
    """The till by the house's own ledgers, added up here."""
    with house.records.read():
        payments = house.records.dicts(Payment.select())
        return till_of(day, payments, house.records.dicts(Till.select()))


def of_device(mirror: Mirror, day: str) -> dict[str, Any]:
    """The till as a device works it out from what it carries."""
    money = [{"on": on, "how": how, "cents": cents} for (on, how), cents in mirror.money.items()]
    return till_of(day, money, mirror.rows["till"].values())


STEPS = st.lists(
    st.tuples(
        st.integers(0, 1),
        st.sampled_from(("pay", "pay back", "correct", "undo", "open", "take", "count", "cancel", "speak", "tomorrow")),
        st.integers(1, 9000), st.sampled_from(("cash", "check", "transfer")),
    ), min_size=4, max_size=30,
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(STEPS)
def test_the_till_closes_to_the_cent_after_any_interleaving(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[int, str, int, str]]
) -> None:
    """Two devices out of reach of each other pay, pay back, put right, undo, cancel and count: in the end all say one and the same till."""
    watch = Watch()
    house = small_house(tmp_path_factory.mktemp("till"), watch)
    hands = [device(house, "A", bars=10), device(house, "B", bars=10)]
    orders = [promised(hand) for hand in hands]
    for hand in (*hands, *hands):
        hand.exchange()
    for who, what, cents, how in steps:
        _step(hands[who], orders, what, cents, how, watch)
    for hand in (*hands, *hands):
        hand.exchange()
    days = sorted({on for on, _ in hands[0].mirror.money} | {row["on"] for row in hands[0].mirror.rows["till"].values()} | {"2026-07-20"})
    lies = 0
    for day in _each(days[0], days[-1]):
        here = told(house, day)
        assert of_device(hands[0].mirror, day) == here == of_device(hands[1].mirror, day)
        assert here["carried_cents"] == lies
        lies = here["expected_cents"] if here["counted_cents"] is None else here["counted_cents"]
    with house.records.read():
        sums = dict(house.records.sql('SELECT "order", SUM(cents) FROM payment GROUP BY "order"').fetchall())
    assert all(hand.mirror.paid.get(order, 0) == sums.get(order, 0) for hand in hands for order in orders)
    assert house.check() == []
    house.close()


def _step(hand: DeviceClient, orders: list[str], what: str, cents: int, how: str, watch: Watch) -> None:
    order = orders[cents % 2]
    mine = [entry for entry in hand.log if entry["kind"] in ("pay", "note_till")]
    payments = sorted(row["id"] for row in hand.view.rows["payment"].values() if not row.get("corrects") and row.get("note") != "undone")
    if what in ("pay", "pay back"):
        hand.pay(order, cents if what == "pay" else -cents, how)
    elif what == "correct" and payments:
        try:
            hand.correct(payments[cents % len(payments)], cents)
        except ValueError:
            return
    elif what == "undo" and mine:
        hand.undo(mine[cents % len(mine)])
    elif what in ("open", "take", "count"):
        hand.till({"open": "opening", "take": "taken", "count": "counted"}[what], cents)
    elif what == "cancel":
        hand.let_go(order)
    elif what == "speak":
        hand.exchange()
    elif what == "tomorrow":
        watch.later(days=1)


def _each(first: str, last: str) -> list[str]:
    day, end = (datetime.fromisoformat(one).replace(tzinfo=UTC) for one in (first, last))
    return [(day + timedelta(days=count)).date().isoformat() for count in range((end - day).days + 1)]
