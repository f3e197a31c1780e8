"""What an exchange costs does not grow with the history; what was said twice changes nothing, in any table."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

from honeyhold.house.house import House
from sync.busy_house import Clock, Writer, landed, live_through, open_house, writer_of

SEEN_EACH_TIME = ("seen_at", "gap_s", "skew_s")
"""What an exchange notes of the device itself whenever it is heard."""


def every_row(house: House) -> dict[str, list[tuple[Any, ...]]]:
    """All tables, row by row."""
    with sqlite3.connect(house.records.path) as file:
        tables = [row[0] for row in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = {}
        for table in tables:
            names = [column[1] for column in file.execute(f'PRAGMA table_info("{table}")')]
            kept = ", ".join(f'"{name}"' for name in names if name not in SEEN_EACH_TIME or table != "device_state")
            found[table] = sorted(file.execute(f'SELECT {kept} FROM "{table}"').fetchall(), key=repr)
    file.close()
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


def test_ten_changes_cost_the_same_after_any_history(tmp_path: Path) -> None:
    """Counted in steps of SQLite's own machine, so that no other work on this computer blurs it."""
    clock = Clock()
    house = open_house(tmp_path / "house", clock)
    writer, listener = writer_of(house, "Shed phone", 1), writer_of(house, "Tablet", 2)
    live_through(house, clock, writer, people=20, orders=50, days=100, open_orders=10)
    short = steps_of_ten_changes(house, writer, listener)
    live_through(house, clock, writer, people=100, orders=1000, days=100, open_orders=10)
    long = steps_of_ten_changes(house, writer, listener)
    assert house.position() > 2000
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
