"""One honey house in which much has happened already, for entries to land in: every table has rows, and nothing of it hangs on chance.

Ids, moments, tokens and the epoch are given. What is asked of it lands inside a savepoint that is rolled back, so that each question
finds the house as it was made.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch
from uuid import UUID, uuid5

from demo_seed.client.device import DeviceClient

import postgresql_server
from entries.people_and_goods import CARTONS, GOODS, PEOPLE, RULES
from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House
from honeyhold.records import models
from honeyhold.replication.sessions import Sessions
from quick_disk import QUICK_DISK
from replication.houses import Watch

Json = dict[str, Any]
Row = tuple[Any, ...]
EPOCH: Final = "00000000aaaaaaaa"
LATER: Final = "113f2a0-bbbbbbbb"
"""An epoch that begins after a restore."""
NAMES: Final = UUID("4c5b2d8e-0f7b-5d0b-8a53-7a2f0b1c9e11")
NOT_TOLD: Final = ((models.DeviceState, "token_hash"), (models.PendingEntry, "number"))
"""What is drawn by chance, and what counts on where a question was undone."""
TABLES: Final = (
    *models.ROWS.values(), models.Balance, models.LotBalance, models.Share, models.DeviceState, models.Operation, models.LateEntry,
    models.PendingEntry, models.LotRenamed, models.MetaValue,
)  # fmt: skip
EVERY_ROW: Final = {
    model._meta.table_name: "SELECT {} FROM \"{}\"".format(
        ", ".join(f'"{field.column_name}"' for field in model._meta.sorted_fields if (model, field.column_name) not in NOT_TOLD),
        model._meta.table_name,
    )
    for model in TABLES
}  # fmt: skip


class Ids:
    """One id after the other, the same every time."""

    def __init__(self, whose: str) -> None:
        self.whose, self.number = whose, 0

    def __call__(self) -> str:
        self.number += 1
        return str(uuid5(NAMES, f"{self.whose} {self.number}"))


@contextmanager
def lived_in() -> Iterator[LivedIn]:
    """The house for a while: whatever lands in it is undone by its question."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        house = LivedIn(Path(folder))
        yield house
        house.close()


class LivedIn:
    """The house, its two devices, and the ids of what stands in it by short names."""

    def __init__(self, folder: Path) -> None:
        self.watch, self.ids = Watch(), Ids("house")
        self.house = House.open(folder / "data", new_id=self.ids, now=self.watch)
        if postgresql_server.chosen():
            postgresql_server.cluster().made.clear()  # it stays when the first test is over
        self._named(EPOCH)
        self.keeper, self.helper = (
            DeviceClient.enrol(self.house, name, role, Ids(name)) for name, role in (("Shed phone", "keeper"), ("Wall tablet", "helper"))
        )
        self.named: dict[str, str] = {}
        _lived(self)
        self.made = self.ids.number
        with self.house.records.read():
            self.before = self._rows()

    def _named(self, epoch: str) -> None:
        with self.house.records.write():
            self.house.records.set_meta("epoch", epoch)
        self.house.epoch = epoch
        self.house.records.keep_to_history()

    def close(self) -> None:
        """Lets the house go."""
        self.house.close()

    def hands(self) -> tuple[DeviceClient, DeviceClient]:
        """Both devices as they were left, each free to write whatever it likes."""
        memo = {id(one): one for hand in (self.keeper, self.helper) for one in (hand.transport, hand.clock)}
        keeper, helper = deepcopy((self.keeper, self.helper), memo)
        return keeper, helper

    @contextmanager
    def asked(self) -> Iterator[None]:
        """Whatever lands inside is undone afterwards; between `opened` and its end."""
        house = self.house
        house.sessions, house._judged_at, self.ids.number, house.epoch = Sessions(), (0, 0), self.made, EPOCH
        house.records.sql("SAVEPOINT question")
        try:
            yield
        finally:
            house.records.sql("ROLLBACK TO question")
            house.records.sql("RELEASE question")
            house.epoch = EPOCH

    @contextmanager
    def opened(self) -> Iterator[None]:
        """Inside, every write of the house is a savepoint of one that never lands."""
        records = self.house.records
        inside = patch.multiple(records, write=records.savepoint, view=records.read)
        with records.read(), inside, records.database.atomic() as all_of_it:
            yield
            all_of_it.rollback()

    def said(self, hand: DeviceClient, *operations: Any, **other: Any) -> Any:
        """What the house answers to an exchange, or what it refuses."""
        ask = {
            "protocol": 1, "request": str(uuid5(NAMES, "request")), "device": hand.identity["device"], "epoch": None, "cursor": 2**53 - 1,
            "operations": list(operations), **other,
        }  # fmt: skip
        try:
            answer = self.house.exchange(hand.identity["token"], ask)
        except HoneyholdError as trouble:
            return trouble.code, str(trouble), trouble.remedy, {**vars(trouble), "kept": getattr(trouble, "kept", None)}
        return {name: value for name, value in answer.items() if name not in ("request", "protocol", "house_time", "keep_since")}

    def restored(self) -> None:
        """From here on the house was put back, and waits for both devices. Inside a question."""
        self.house.records.set_meta("epoch", LATER)
        self.house.epoch = LATER

    def changes(self) -> dict[str, list[str]]:
        """By table the rows that are gone and those that came since the house was made, as texts."""
        found = {}
        for table, rows in self._rows().items():
            if rows != self.before[table]:
                found[table] = [*_told("-", self.before[table] - rows), *_told("+", rows - self.before[table])]
        return found

    def _rows(self) -> dict[str, set[Row]]:
        return {table: set(self.house.records.sql(asked).fetchall()) for table, asked in EVERY_ROW.items()}


def _told(sign: str, rows: set[Row]) -> list[str]:
    """Yes and no as numbers, as one of the two databases keeps them."""
    return sorted(f"{sign} " + ", ".join(str(int(value) if isinstance(value, bool) else value) for value in row) for row in rows)


def _lived(here: LivedIn) -> None:
    keeper, helper, named = here.keeper, here.helper, here.named
    keeper.exchange()
    keeper.set_house({
        "name": "Nine Lindens", "time_zone": "America/Chicago", "state": "MN", "posting_days": ["Mon", "Tue"], "short_one_in": 10,
        "sales_tax": {"on": True, "rate": 6875, "mailing": True, "elsewhere": False}, "shelf_units": {"bar": 60},
    })  # fmt: skip
    keeper.set_good([{**row, "prices": RULES} if row["id"] == "bar" else row for row in GOODS], CARTONS)
    keeper.buy([("clean-wax", None, 9000, "opening"), ("raw", None, 8000, "opening"), ("bar", None, 110, "opening"),
                ("comb", None, 2, "opening"), ("pint", None, 40, "opening"), ("box", None, 12, "bought"),
                ("big", None, 2, "bought")], on="2026-06-01")  # fmt: skip
    keeper.make([{"id": "W26-190-1", "good": "bar", "made_on": "2026-07-09", "note": "fine", "measures": {"wax_c": 72}}],
                [("clean-wax", None, -1200, "used"), ("bar", "W26-190-1", 40, "poured")], on="2026-07-09")  # fmt: skip
    keeper.make([{"id": "J26-180-1", "good": "pint", "made_on": "2026-06-29", "sources": []},
                 {"id": "J26-180-2", "good": "pint", "made_on": "2026-06-29", "sources": ["J26-180-1"]}],
                [("raw", None, -4000, "used"), ("pint", "J26-180-1", 6, "bottled"), ("pint", "J26-180-2", 3, "bottled")],
                on="2026-06-29")  # fmt: skip
    for name, fields in PEOPLE.items():
        named[name] = keeper.note_person(**fields)
    keeper.join_people(named["ruth again"], named["ruth"])
    keeper.exchange(callers={"bar": 40, "pint": 20})
    helper.exchange(callers={"pint": 8, "bar": 6})
    _orders(keeper, named)
    keeper.exchange(callers={"bar": 9, "pint": 6})
    _of_the_helper(helper, named)
    for hand in (keeper, helper, keeper):
        hand.exchange()
    here.house.write("foretell", [{
        "table": "forecast", "id": "558", "service": "a service", "issued": "2026-07-20T12:00:00Z", "fetched_at": "2026-07-20T13:00:00Z",
        "days": [{"day": "2026-07-21", "max_tenths": 335, "min_tenths": 221, "sky_percent": 40}],
    }])  # fmt: skip
    for hand in (keeper, helper):
        hand.exchange()
        assert not hand.needs_you and not hand.in_hand, hand.needs_you


def _orders(hand: DeviceClient, named: dict[str, str]) -> None:
    ruth, nell, bob = (named[name] for name in ("ruth", "nell", "bob"))
    own = {"leave_on": "2026-07-27", "taken_on": "2026-07-18"}
    named["mailed"] = hand.promise([("bar", 4), ("pint", 1)], ruth, posting_cents=940, posting_by="hand", note="rings twice", **own).order
    named["rider"] = hand.promise([("bar", 2)], ruth, **own).order
    named["host"] = hand.promise([("pint", 1)], ruth, **own).order
    hand.amend(named["rider"], goes_with=named["host"])
    named["picked up"] = hand.promise([("pint", 2)], nell, "pick_up", (1500, "check"), leave_on="2026-07-22").order
    named["gift"] = hand.promise([("bar", 1)], bob, goes_to="other", to_name="Ada Lind", to_street="9 Larch Rd", to_city="Bar Harbor",
                                 to_state="ME", to_zip="04609", gift_note="Happy birthday", hold_for_cool=True).order  # fmt: skip
    for name in ("packed", "gone", "arrived", "let go", "packed and let go"):
        named[name] = hand.promise([("bar", 2), ("pint", 1)], ruth, dressing="lined", leave_on="2026-07-20").order
        if name == "let go":
            hand.let_go(named[name])
        else:
            parcel = {"carton": "box", "dressing": "lined", "plan": {"layers": [["bar", 2]]}, "gross_g": 1200, "told_permille": 12}
            (named[f"parcel {name}"],) = hand.pack(named[name], [parcel])
    hand.weigh(named["parcel packed"], 1230)
    hand.let_go(named["packed and let go"])
    hand.hand_over(named["gone"], payment=(700, "cash"))
    hand.track(named["parcel gone"], "9400 1")
    hand.hand_over(named["arrived"])
    hand.arrive({named["parcel arrived"]: "dented"})
    hand.adjust(named["arrived"], -250, "heat", "two were dented")
    hand.exchange(callers={"bar": 16, "pint": 6})
    named["again"] = hand.send_again(named["arrived"], "heat").order
    named["sold"] = hand.sell([("bar", 3)], nell, pays="later").order
    named["sold and paid"] = hand.sell([("pint", 1), ("bar", 1)]).order
    hand.pay(named["gone"], 300, "check", check_number="118")
    hand.pay(named["sold"], 200, given_cents=500, note="the rest on Friday")
    named["payment"] = hand.log[-1]["rows"][0]["id"]
    hand.correct(named["payment"], 250, "read it wrong")
    for what, cents in (("opening", 5000), ("taken", 1000), ("counted", 4000)):
        hand.till(what, cents)
    hand.go_without("comb", 3)
    named["monthly"] = hand.note_standing(person=ruth, wanted=[("bar", 5)], way="post", every="month", interval=1, first_on="2026-07-01")
    named["of the day"] = hand.promise_standing(named["monthly"], "2026-08-01").order
    hand.exchange(callers={"bar": 12, "pint": 6})
    named["waits"] = hand.promise([("bar", 3), ("comb", 5)], bob, "pick_up").order
    hand.count([("pint", "J26-180-2", -1, "broken"), ("box", None, 1, "counted")])
    hand.buy([("big", None, 1, "bought")])
    hand.undo(hand.log[-1])


def _of_the_helper(hand: DeviceClient, named: dict[str, str]) -> None:
    hand.exchange(callers={"pint": 5, "bar": 4})
    named["orla"] = hand.note_person(name="Orla Tennick", phone="+12185550114")
    named["of the helper"] = hand.promise([("pint", 2), ("bar", 1)], named["orla"], "pick_up", leave_on="2026-07-21").order
    hand.give_back({"pint": 1})
    hand.exchange(callers={"pint": 3, "bar": 3})
