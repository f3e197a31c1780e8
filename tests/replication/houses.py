"""A small house for tests: forty bars, twenty jars, two devices."""

from __future__ import annotations

import atexit
import contextlib
import shutil
import sqlite3
import tempfile
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from uuid import uuid4

from demo_seed.client.device import DeviceClient

import postgresql_server
from honeyhold.house.house import FILE_NAME, House
from honeyhold.house.where_kept import NOTE_NAME, database_of
from honeyhold.operations.allocations import pools
from honeyhold.operations.canonical import entry_hash
from honeyhold.records.models import Balance, LateEntry
from quick_disk import QUICK_DISK

MONDAY = datetime(2026, 7, 20, 14, 10, tzinfo=UTC)
DAY = "2026-07-20"
"""Every commit waits for its disk, and that disk is quick, where the machine has it."""
Json = dict[str, Any]


class Watch:
    """A clock that a test moves by hand."""

    def __init__(self) -> None:
        self.now = MONDAY

    def __call__(self) -> datetime:
        return self.now

    def later(self, **gap: int) -> None:
        """Time goes by."""
        self.now += timedelta(**gap)


def small_house(folder: Path, watch: Watch | None = None) -> House:
    """Bars, jars and a carton on the shelf; no device yet. A copy of one that is made once a run, with an epoch of its own."""
    watch = watch or Watch()
    if watch.now != MONDAY:
        return made_anew(folder, watch)
    copied(_template(), folder / "data")
    if address := database_of(folder / "data"):
        postgresql_server.cluster().run("DELETE FROM meta WHERE key = 'epoch'", _name(address))
        return House.open(folder / "data", now=watch)
    with contextlib.closing(sqlite3.connect(folder / "data" / FILE_NAME)) as records, records:
        records.execute("DELETE FROM meta WHERE key = 'epoch'")
    return House.open(folder / "data", now=watch)


@cache
def _template() -> Path:
    folder = Path(tempfile.mkdtemp(dir=QUICK_DISK))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    made_anew(folder, Watch()).close()
    if postgresql_server.chosen():
        postgresql_server.cluster().made.clear()  # the template stays when its first test is over
    return folder / "data"


def copied(folder: Path, target: Path) -> Path:
    """The data folder of a closed house as another one, with a database of its own where it has one."""
    shutil.copytree(folder, target)
    if address := database_of(folder):
        (target / NOTE_NAME).write_text(postgresql_server.cluster().database(_name(address)), "utf-8")
    return target


def _name(address: str) -> str:
    return urlsplit(address).path.lstrip("/")


def made_anew(folder: Path, watch: Watch) -> House:
    """The same, made and not copied: for what looks at how a house comes to be."""
    house = House.open(folder / "data", now=watch)
    goods = [("bar", "wax"), ("jar", "honey"), ("box", "carton")]
    rows = [{"table": "good", "id": good, "name": good, "kind": kind, "price_cents": 300} for good, kind in goods]
    carton = {"table": "carton", "id": "box", "name": "box", "inner": ["6 in", "4 in", "4 in"], "outer": ["6 in", "4 in", "4 in"]}
    house.write("set_good", [*rows, carton])
    house.write("buy", [movement("bar", 40), movement("jar", 20), movement("box", 10)])
    return house


def movement(good: str, units: int, reason: str = "opening", lot: str | None = None, **more: Any) -> Json:
    """One movement row."""
    return {
        "table": "movement", "id": str(uuid4()), "good": good, "lot": lot, "units": units, "reason": reason, "on": DAY, **more,
    }  # fmt: skip


def device(house: House, name: str = "Shed phone", bars: int = 0, role: str = "keeper") -> DeviceClient:
    """An enrolled device that needs so many bars for a caller."""
    hand = DeviceClient.enrol(house, name, role)
    hand.exchange(callers={"bar": bars} if bars else None)
    return hand


def pool(house: House, good: str = "bar") -> int:
    """What the house may still give out."""
    with house.records.read():
        return pools(house.records)[good]


def on_hand(house: House, good: str = "bar") -> int:
    """Units on the shelf by the house's books."""
    with house.records.read():
        row = house.records.first(Balance.select().where(Balance.good == good))
    assert row is not None
    return int(row["on_hand"])


def late(house: House) -> list[Json]:
    """What was kept apart."""
    with house.records.read():
        return house.records.dicts(LateEntry.select())


def entry(hand: DeviceClient, kind: str, rows: list[Json], **other: Any) -> Json:
    """The device's next entry, made by hand (nothing in it is checked on the device)."""
    last = hand.log[-1] if hand.log else None
    operation: Json = {
        "id": str(uuid4()), "device": hand.identity["device"], "seq": last["seq"] + 1 if last else 1, "kind": kind,
        "version": 1, "made_at": "2026-07-20T14:10:03Z", "before": last["hash"] if last else "", "spent": {}, "rows": rows,
        **other,
    }  # fmt: skip
    if "hash" not in other:
        try:
            operation["hash"] = entry_hash(operation)
        except ValueError:
            operation["hash"] = "0" * 64
    return operation


def ask(hand: DeviceClient, *operations: Any, **other: Any) -> Json:
    """An exchange's ask as it goes over the line."""
    return {
        "protocol": 1, "request": str(uuid4()), "device": hand.identity["device"], "epoch": None, "cursor": 0,
        "operations": list(operations), "spent": {}, "wants": {}, "clock": "2026-07-20T14:10:04Z", **other,
    }  # fmt: skip


def said(house: House, hand: DeviceClient, *operations: Any, **other: Any) -> Json:
    """The house's answer to operations made by hand."""
    return house.exchange(hand.identity["token"], ask(hand, *operations, **other))
