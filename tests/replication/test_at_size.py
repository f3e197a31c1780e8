"""What an exchange costs does not grow with the history; what was said twice changes nothing, in any table."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.replica import Mirror

from honeyhold.house.house import House
from honeyhold.operations.canonical import entry_hash
from honeyhold.replication.mirror import keep_since
from replication.busy_house import Clock, Writer, landed, live_through, open_house, writer_of

SEEN_EACH_TIME = ("seen_at", "gap_s", "skew_s")
"""What an exchange notes of the device itself whenever it is heard."""


def every_row(house: House) -> dict[str, list[tuple[Any, ...]]]:
    """All tables, row by row."""
    found = {}
    with house.records.view():
        for table in house.records.database.get_tables():
            names = [column.name for column in house.records.database.get_columns(table)]
            kept = ", ".join(f'"{name}"' for name in names if name not in SEEN_EACH_TIME or table != "device_state")
            found[table] = sorted(house.records.sql(f'SELECT {kept} FROM "{table}"').fetchall(), key=repr)
    return found


def steps_of_ten_changes(house: House, writer: Writer, listener: Writer) -> int:
    """How many steps SQLite's machine takes for an exchange that brings ten entries, wishes and all."""
    cursor, steps = house.position(), [0]

    def one_more() -> int:
        steps[0] += 1
        return 0

    for _ in range(10):
        writer.promise(writer.person())
    landed(house, writer)
    ask = listener.ask([], cursor, wants={"bar": 600_000})
    with house.records.read():
        house.records.database.connection().set_progress_handler(one_more, 1)
        answer = house.exchange(listener.identity["token"], ask)
    assert len(answer["changes"]) == 10
    return steps[0]


@pytest.mark.of_a_file
def test_ten_changes_cost_the_same_after_any_history(tmp_path: Path) -> None:
    """Counted in steps of SQLite's own machine, so that no other work on this computer blurs it."""
    clock = Clock()
    house = open_house(tmp_path / "house", clock)
    writer, listener = writer_of(house, "Shed phone", 1), writer_of(house, "Tablet", 2)
    live_through(house, clock, writer, people=100, orders=300, days=30, open_orders=10)
    short = steps_of_ten_changes(house, writer, listener)
    live_through(house, clock, writer, people=100, orders=1500, days=150, open_orders=10)  # as many a day: two weeks tell what is wanted
    long = steps_of_ten_changes(house, writer, listener)
    assert house.position() > 3000
    assert long <= 1.1 * short, (short, long)
    house.close()


def test_three_weeks_said_twice_change_nothing(tmp_path: Path) -> None:
    house = open_house(tmp_path / "house", Clock())
    writer = writer_of(house, "Shed phone", 1)
    for number in range(60):
        promised = writer.promise(writer.person())
        writer.hand_over(promised) if number % 2 else writer.promise(promised["rows"][0]["id"])
    asks = [writer.ask(writer.entries[first : first + 40]) for first in range(0, 120, 40)]
    answers = [house.exchange(writer.identity["token"], ask) for ask in asks]
    assert sum(len(answer["landed"]) for answer in answers) == 120
    once = every_row(house)
    again = [house.exchange(writer.identity["token"], ask) for ask in asks]
    assert [answer["landed"] for answer in again] == [answer["landed"] for answer in answers]
    assert every_row(house) == once and len(once["operation"]) > 120
    assert house.check() == []
    house.close()


def test_a_device_that_lived_through_it_holds_what_a_new_one_does(tmp_path: Path) -> None:
    """Orders closed more than thirty days ago leave the device, unless money is owed or an entry in hand speaks of them."""
    clock = Clock()
    house = open_house(tmp_path / "house", clock)
    old, writer = DeviceClient.enrol(house, "Tablet"), writer_of(house, "Shed phone", 5)
    old.exchange()
    writer.unpaid = 0.1
    for _ in range(4):
        live_through(house, clock, writer, people=10, orders=60, days=25, open_orders=5)
        old.exchange()
    fresh = Mirror.from_answer(house.mirror(old.identity["token"]))
    assert plain(old.mirror) == plain(fresh)
    assert 80 < len(fresh.rows["order"]) < 150 and len(fresh.rows["person"]) == 40
    old_day = keep_since(house.clock.today())
    kept = [row for row in old.mirror.rows["order"].values() if row["closed_on"] and row["closed_on"] < old_day]
    assert kept and all(old.mirror.owed(row["id"]) for row in kept), "of the old orders, only those that owe"
    house.close()


def test_what_owes_and_what_is_in_hand_is_not_forgotten(tmp_path: Path) -> None:
    clock = Clock()
    house = open_house(tmp_path / "house", clock)
    hand = DeviceClient.enrol(house, "Tablet")
    hand.exchange(callers={"bar": 40})
    taken = [hand.promise([("bar", 5, 300)], person=hand.note_person(name=name)) for name in ("Ada", "Bela", "Cosmo", "Dora")]
    for one in taken[:3]:
        hand.hand_over(one.order)
    hand.let_go(taken[3].order)
    for one in taken[:2]:
        hand.pay(one.order, 1500, "check")
    hand.exchange()
    clock.now += timedelta(days=40)
    hand.pay(taken[0].order, 100, "cash")
    hand.mirror.forget(keep_since(house.clock.today()), hand.mirror.orders_named(hand.in_hand))
    assert set(hand.mirror.rows["order"]) == {taken[0].order, taken[2].order}, "in hand; and owing"
    hand.exchange()
    fresh = Mirror.from_answer(house.mirror(hand.identity["token"]))
    assert plain(hand.mirror) == plain(fresh) and set(fresh.rows["order"]) == {taken[0].order, taken[2].order}
    assert fresh.owed(taken[0].order) == -100 and fresh.owed(taken[2].order) == 1500
    hand.pay(taken[2].order, 1500, "check")
    hand.exchange()
    assert set(hand.mirror.rows["order"]) == {taken[0].order}
    house.close()


def test_the_day_an_order_was_closed_is_the_houses_own(tmp_path: Path) -> None:
    house = open_house(tmp_path / "house", Clock())
    hand = DeviceClient.enrol(house, "Tablet")
    hand.exchange(callers={"bar": 10})
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Ada"))
    hand.log[-1]["rows"][0]["closed_on"] = "1999-01-01"
    hand.log[-1]["hash"] = entry_hash(hand.log[-1])
    hand.exchange()
    assert hand.needs_you == [] and hand.mirror.rows["order"][taken.order]["closed_on"] is None
    hand.let_go(taken.order)
    hand.exchange()
    assert hand.mirror.rows["order"][taken.order]["closed_on"] == house.clock.today().isoformat()
    house.close()


def plain(mirror: Mirror) -> dict[str, Any]:
    """Orders, lines, parcels and sums, without sums of nothing."""
    rows = {table: mirror.rows[table] for table in ("order", "line", "parcel")}
    sums = {name: {key: units for key, units in getattr(mirror, name).items() if units} for name in ("sure", "handed", "paid", "promised")}
    return {**{table: sorted(found) for table, found in rows.items()}, **sums}
