"""A house with years of orders behind it: invented people and orders from a seed, every one landed by the house's own code."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from honeyhold.house.house import House
from honeyhold.operations.canonical import entry_hash

Json = dict[str, Any]
BARS = 10_000_000
SHARE = 500_000
FIRST_DAY = datetime(2024, 1, 2, 9, 0, tzinfo=UTC)
FIRST_NAMES = (
    "Ada", "Bela", "Cosmo", "Dora", "Emil", "Fenna", "Gregor", "Hanne", "Ivo", "Jette", "Kaspar", "Lotte", "Marek", "Nele", "Orla",
    "Piet", "Quirin", "Rosa", "Svea", "Tilo", "Ute", "Veit", "Wilma", "Xenia", "Yorick", "Zita",
)  # fmt: skip
NAME_STARTS = (
    "Alder", "Birch", "Clover", "Dusk", "Elder", "Fern", "Garner", "Heather", "Iris", "Juniper", "Kestrel", "Linden", "Maple",
    "Nettle", "Oak", "Plover", "Quill", "Reed", "Sorrel",
)  # fmt: skip
NAME_ENDS = (
    "bank", "brook", "bury", "croft", "dale", "field", "ford", "gate", "holm", "land", "ley", "mere", "mont", "ridge", "stead",
    "ton", "wick", "wood", "worth", "yard",
)  # fmt: skip
STREETS = ("Comb Lane", "Hive Road", "Clover Street", "Skep Hill", "Meadow Way", "Smoker Court", "Queen Avenue")
PLACES = (("Ashmere", "WI", "54806"), ("Birchfold", "MN", "55802"), ("Cloverly", "MI", "49855"), ("Duskwater", "TX", "78701"))
GOODS = [
    {"table": "good", "id": "bar", "name": "wax bar", "plural": "wax bars", "short": "bars", "kind": "wax", "unit": "each",
     "net_g": 28, "gross_g": 29, "length_mm": 96, "width_mm": 32, "height_mm": 12, "price_cents": 250, "row": 10, "rank": 1,
     "sold": True},
    {"table": "good", "id": "pint", "name": "pint jar", "plural": "pint jars", "short": "pints", "kind": "honey", "unit": "each",
     "net_g": 680, "gross_g": 950, "length_mm": 80, "width_mm": 80, "height_mm": 130, "upright": True, "glass": True,
     "price_cents": 1400, "row": 12, "rank": 2, "sold": True},
]  # fmt: skip


@dataclass
class Clock:
    """The time as the generator wants it."""

    now: datetime = FIRST_DAY

    def __call__(self) -> datetime:
        return self.now


@dataclass
class Writer:
    """One device that only writes: its chain, and the entries it has not sent yet."""

    identity: Json
    dice: random.Random
    seq: int = 0
    last_hash: str = ""
    orders: int = 0
    unpaid: float = 0.005
    entries: list[Json] = field(default_factory=list)

    def new_id(self) -> str:
        """A UUID from the seed."""
        return str(UUID(int=self.dice.getrandbits(128), version=4))

    def write(self, kind: str, rows: list[Json], spent: dict[str, int] | None = None, made_at: datetime = FIRST_DAY) -> Json:
        """One entry, in its place in the chain."""
        self.seq += 1
        entry = {
            "id": self.new_id(), "device": self.identity["device"], "seq": self.seq, "kind": kind, "version": 1,
            "made_at": f"{made_at:%Y-%m-%dT%H:%M:%SZ}", "before": self.last_hash, "spent": spent or {}, "rows": rows,
        }  # fmt: skip
        self.last_hash = entry["hash"] = entry_hash(entry)
        self.entries.append(entry)
        return entry

    def person(self) -> Json:
        """An invented person with an invented number (555-01xx)."""
        city, state, zip_code = self.dice.choice(PLACES)
        name = f"{self.dice.choice(FIRST_NAMES)} {self.dice.choice(NAME_STARTS)}{self.dice.choice(NAME_ENDS)}"
        phone = f"+1{self.dice.randrange(201, 990)}55501{self.dice.randrange(100):02}"
        return {
            "table": "person", "id": self.new_id(), "name": name, "phone": phone,
            "street": f"{self.dice.randrange(1, 999)} {self.dice.choice(STREETS)}", "unit": "", "city": city, "state": state,
            "zip": zip_code, "note": "", "hidden": False,
        }  # fmt: skip

    def promise(self, person: Json | str, at: datetime = FIRST_DAY) -> Json:
        """An order of one or two lines, all of it from the share; a new person comes with it."""
        order, self.orders = self.new_id(), self.orders + 1
        day = at.date().isoformat()
        known = person if isinstance(person, str) else person["id"]
        rows = [] if isinstance(person, str) else [person]
        rows.append({
            "table": "order", "id": order, "number": f"{self.identity['mark']}-{self.orders}", "person": known, "way": "post",
            "state": "promised", "leave_on": (at + timedelta(days=3)).date().isoformat(), "dressing": "plain", "hold_for_cool": False,
            "pays": "later", "posting_cents": 900, "note": "", "heat": "Firm on the way.", "taken_on": day,
        })  # fmt: skip
        spent: dict[str, int] = {}
        for good in ["bar", "pint"][: self.dice.choice((1, 1, 2))]:
            line, units = self.new_id(), self.dice.choice((5, 5, 5, 10, 10, 2))
            rows.append({"table": "line", "id": line, "order": order, "good": good, "units": units, "price_cents": 250})
            rows.append({"table": "reservation", "id": self.new_id(), "order": order, "line": line, "good": good, "units": units})
            spent[good] = units
        return self.write("promise", rows, spent, at)

    def hand_over(self, promised: Json, at: datetime = FIRST_DAY) -> Json:
        """A promised order goes, with its parcel and its money."""
        order = next(row["id"] for row in promised["rows"] if row["table"] == "order")
        day = at.date().isoformat()
        rows: list[Json] = [{"table": "order", "id": order, "state": "gone", "gone_on": day}]
        cents = 900
        for line in (row for row in promised["rows"] if row["table"] == "line"):
            cents += line["units"] * line["price_cents"]
            rows.append({
                "table": "movement", "id": self.new_id(), "good": line["good"], "lot": LOTS[line["good"]], "units": -line["units"],
                "reason": "gone", "order": order, "line": line["id"], "on": day,
            })  # fmt: skip
            rows.append({
                "table": "reservation", "id": self.new_id(), "order": order, "line": line["id"], "good": line["good"],
                "units": -line["units"],
            })  # fmt: skip
        rows.append({"table": "parcel", "id": self.new_id(), "order": order, "part": 1, "gross_g": 700, "packed_on": day})
        if self.dice.random() >= self.unpaid:
            rows.append({"table": "payment", "id": self.new_id(), "order": order, "cents": cents, "how": "check", "on": day})
        return self.write("hand_over", rows, None, at)

    def asks(self, most: int = 200, **more: Any) -> Iterator[Json]:
        """Its entries as exchanges of at most so many; they are dropped from here."""
        while self.entries:
            yield self.ask(self.entries[:most], **more)
            del self.entries[:most]

    def ask(self, operations: list[Json], cursor: int = 0, **more: Any) -> Json:
        """One ask as it goes over the line."""
        return {
            "protocol": 1, "request": self.new_id(), "device": self.identity["device"], "epoch": self.identity["epoch"],
            "cursor": cursor, "operations": operations, **more,
        }  # fmt: skip


LOTS = {"bar": "W24-002-1", "pint": "H24-002-1"}


def open_house(folder: Path, clock: Clock) -> House:
    """Two goods and more of each than anybody will ever want, each in one lot."""
    return with_goods(House.open(folder, now=clock))


def with_goods(house: House) -> House:
    """The same for one that is open already."""
    house.write("set_good", GOODS)
    rows: list[Json] = []
    for good, lot in LOTS.items():
        rows.append({"table": "lot", "id": lot, "good": good, "made_on": "2024-01-02"})
        rows.append({
            "table": "movement", "id": f"opening-{good}", "good": good, "lot": lot, "units": BARS, "reason": "made", "on": "2024-01-02",
        })  # fmt: skip
    house.write("make", rows)
    return house


def writer_of(house: House, name: str, seed: int) -> Writer:
    """An enrolled device with a share that lasts."""
    writer = Writer(house.enrol(house.new_code()["code"], name), random.Random(seed))
    wants = {"bar": SHARE, "pint": SHARE}
    house.exchange(writer.identity["token"], writer.ask([], callers=wants))
    return writer


def landed(house: House, writer: Writer) -> None:
    """Sends all that the writer has; every entry must land."""
    for ask in writer.asks():
        ask["cursor"] = house.position()
        answer = house.exchange(writer.identity["token"], ask)
        assert not answer["refused"] and answer["expects"] is None, (answer["refused"][:1], answer["expects"])


def live_through(house: House, clock: Clock, writer: Writer, people: int, orders: int, days: int, open_orders: int) -> list[Json]:
    """`days` in which so many people order so often; the last `open_orders` are still open at the end. The promises."""
    promised: list[Json] = []
    known: list[str] = []
    first = clock.now
    for number in range(orders):
        clock.now = first + timedelta(days=days * number / orders)
        person: Json | str = writer.person() if number < people else writer.dice.choice(known)
        if not isinstance(person, str):
            known.append(person["id"])
        promised.append(writer.promise(person, clock.now))
        if number < orders - open_orders:
            writer.hand_over(promised[-1], clock.now)
        if len(writer.entries) >= 100:
            landed(house, writer)
    landed(house, writer)
    clock.now = first + timedelta(days=days)
    return promised
