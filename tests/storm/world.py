"""A house, its devices, and what may happen to them; everything is chosen by one seed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from uuid import UUID

from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House
from honeyhold.records.models import Device
from honeyhold.sync.errors import DeviceLost
from honeyhold.sync.hand import Hand
from storm.checkers import AFTER_EACH_STEP, AT_REST, Violation, check_once
from storm.line import Crash, Line

START = datetime(2026, 7, 20, 13, tzinfo=UTC)
GOODS = ("bar", "jar", "carton")
BULK = ("cappings", "wax")


@dataclass
class Told:
    """What a device told a caller, and whether it may still be broken: only by what the guarantee leaves out."""

    hand: Hand
    operation: str
    sure: dict[str, int] = field(default_factory=dict)


class World:
    """One run. `steps` random things happen, then all faults heal. `rough`: stores are copied, devices lost, in every run."""

    def __init__(self, seed: int, folder: Path, devices: int = 3, rough: bool = False) -> None:
        self.seed = seed
        self.rng = Random(seed)
        self.folder = folder
        self.time = START
        self.house = self._open()
        self.line = Line(self, Random(seed + 1))
        self.hands: list[Hand] = []
        self.lost: list[Hand] = []
        self.copied: set[str] = set()
        self.told: list[Told] = []
        self.happened: Counter[str] = Counter()
        self.restored = False
        self.backup_file: Path | None = None
        self.memory: dict[str, Any] = {}
        chances = {name: self.rng.random() for name in ("copy", "lose", "restore", "count down")}
        self.big = {name for name, chance in chances.items() if chance < 0.3 or (rough and name in ("copy", "lose"))}
        self._furnish(devices)

    def new_id(self) -> str:
        """A UUID that the seed decides."""
        return str(UUID(int=self.rng.getrandbits(128), version=4))

    def close(self) -> None:
        """Lets the records go."""
        self.house.close()

    def run(self, steps: int) -> None:
        """The storm, then the calm. Raises `Violation`."""
        for _ in range(steps):
            self.step()
        self.heal()

    def step(self) -> None:
        """One thing happens, then every checker looks."""
        self.time += timedelta(seconds=self.rng.randrange(1, 4000))
        name, action = self.rng.choice(self._actions())
        self.happened[name] += 1
        action(self.rng.choice(self.hands))
        self.look()

    def look(self) -> None:
        """Every checker that must hold at any moment."""
        for check in AFTER_EACH_STEP:
            if check is not check_once or sum(self.happened.values()) % 4 == 0:  # it plays the whole log again
                check(self)

    def heal(self) -> None:
        """No more faults: everything must be heard, then all checkers look."""
        self.line.calm = True
        while self.line.late:
            self.line.deliver_late()
        for _ in range(4):
            for hand in [*self.hands, *self.lost]:
                self.exchange(hand)
        for check in [*AFTER_EACH_STEP, *AT_REST]:
            check(self)

    # What may happen -------------------------------------------------------------------------------------------

    def exchange(self, hand: Hand, wants: bool = False) -> None:
        """The device speaks to the house, if the line lets it."""
        wished = {good: self.rng.randrange(4, 25) for good in GOODS[:2]} if wants else None
        try:
            hand.exchange(wants=wished)
        except OSError:
            self.happened["unknown"] += 1
        except DeviceLost:
            if hand not in self.lost:
                raise Violation("world", "a device was taken for lost that nobody declared lost") from None

    def promise(self, hand: Hand, units: int | None = None) -> None:
        """A caller wants some; what the share holds is told to be sure."""
        person = hand.note_person(name="Somebody")
        taken = hand.promise([(self.rng.choice(GOODS[:2]), units or self.rng.choice((1, 5, 10)))], person=person)
        self.told.append(Told(hand, hand.log[-1]["id"], dict(taken.sure)))

    def amend(self, hand: Hand) -> None:
        """Another number of the same, or the other good too."""
        order = self._an_order(hand)
        if order:
            hand.amend(order, lines=[(self.rng.choice(GOODS[:2]), self.rng.choice((1, 5, 10)))])

    def let_go(self, hand: Hand) -> None:
        """The caller does not want it any more."""
        order = self._an_order(hand)
        if order:
            hand.let_go(order)

    def hand_over(self, hand: Hand) -> None:
        """What is sure leaves the house, whatever has become of the order meanwhile."""
        order = self._an_order(hand)
        if order and any(hand.sure(line["id"]) > 0 for line in hand.view.lines_of(order)):
            hand.hand_over(order)

    def sell(self, hand: Hand) -> None:
        """A walk-in, perhaps of more than the share holds."""
        hand.sell([(self.rng.choice(GOODS[:2]), self.rng.choice((1, 2, 5)))])

    def pour(self, hand: Hand) -> None:
        """Ten more bars, of a lot of their own."""
        lot = f"W26-{200 + len(hand.log)}-{hand.identity['mark']}{self.rng.randrange(10**6)}"
        made = {"id": lot, "good": "bar", "made_on": self.time.date().isoformat()}
        hand.make([made], [("bar", lot, 10, "poured")])

    def melt(self, hand: Hand) -> None:
        """Cappings are melted: some becomes wax, some is lost; the next stage gets what left the first, to the gram."""
        lot, grams, lost = f"M26-{len(hand.log)}-{self.rng.randrange(10**6)}", self.rng.randrange(1, 3000), self.rng.randrange(1, 200)
        made = {"id": lot, "good": "wax", "made_on": self.time.date().isoformat()}
        hand.make([made], [("cappings", None, -grams, "passed"), ("cappings", None, -lost, "lost"), ("wax", lot, grams, "came")])

    def take_back(self, hand: Hand) -> None:
        """The last thing made or counted was a mistake; perhaps it was taken back before, or never landed."""
        made = [operation for operation in hand.log[-12:] if operation["kind"] in ("make", "count")]
        if made:
            hand.take_back(made[-1])

    def count_down(self, hand: Hand) -> None:
        """The shelf holds less than the book says."""
        hand.count([(self.rng.choice(GOODS[:2]), None, -self.rng.randrange(1, 9), "counted")])

    def mistake(self, hand: Hand) -> None:
        """An entry whose last row cannot land: none of it may."""
        hand.count([("bar", None, 3, "counted"), ("not_a_good", None, 1, "counted")])

    def promise_refused(self, hand: Hand) -> None:
        """A promise the house will not take: its bars return to the pool, not to the device."""
        if hand.share("bar"):
            hand.promise([("bar", 1)], person="nobody_known")

    def give_back(self, hand: Hand) -> None:
        """Half of the share returns."""
        units = {good: hand.share(good) // 2 for good in GOODS[:2] if hand.share(good) > 1}
        if units:
            hand.give_back(units)

    def restart(self, _hand: Hand) -> None:
        """The house is closed and opened."""
        self.house.close()
        self.house = self._open()

    def back_up(self, _hand: Hand) -> None:
        """A verified copy."""
        self.backup_file = self.house.backup()

    def restore(self, _hand: Hand) -> None:
        """The disk died: back to the last copy."""
        if self.backup_file is None:
            return
        self.restored = True
        self.house.restore(self.backup_file)
        for hand in self.lost:
            self.house.declare_lost(hand.identity["device"])

    def copy(self, hand: Hand) -> None:
        """The device's store is copied to another phone; both go on."""
        twin = Hand(hand.identity, hand.transport, self.new_id, hand.clock)
        for name in ("cursor", "epoch", "expects", "orders_counted"):
            setattr(twin, name, getattr(hand, name))
        twin.mirror = hand.mirror.with_entries([])
        twin.log, twin.answered = list(hand.log), dict(hand.answered)
        twin.share_held.granted, twin.share_held.spent = dict(hand.share_held.granted), dict(hand.share_held.spent)
        self.copied.add(hand.identity["device"])
        self.hands.append(twin)
        for one in (hand, twin):
            one.note_person(name="Known to one of them")

    def lose(self, hand: Hand) -> None:
        """A person declares a device lost; it may still send."""
        if len({one.identity["device"] for one in self.hands}) < 2:
            return
        device = hand.identity["device"]
        self.lost += [one for one in self.hands if one.identity["device"] == device]
        self.hands = [one for one in self.hands if one.identity["device"] != device]
        self.house.declare_lost(device)

    # What the line asks for --------------------------------------------------------------------------------------

    def crash_during(self, token: str, ask: dict[str, Any], statements: int) -> None:
        """The house stops after so many statements, and is opened again."""
        database = self.house.records.database
        whole = database.execute_sql
        left = [statements]

        def counted(*args: Any, **more: Any) -> Any:
            left[0] -= 1
            if left[0] == 0:
                raise Crash
            return whole(*args, **more)

        database.execute_sql = counted
        try:
            self.unheard(token, ask)
        except Crash:
            self.happened["crashed in a write"] += 1
        finally:
            database.execute_sql = whole
        self.restart(self.hands[0])

    def unheard(self, token: str, ask: dict[str, Any]) -> None:
        """An exchange whose answer nobody hears."""
        try:
            self.house.exchange(token, ask)
        except HoneyholdError:
            self.happened["unheard refusal"] += 1

    # ---------------------------------------------------------------------------------------------------------------

    def _open(self) -> House:
        return House.open(self.folder / "data", new_id=self.new_id, now=lambda: self.time)

    def _furnish(self, devices: int) -> None:
        rows = [
            {"table": "good", "id": good, "name": good, "kind": "carton" if good == "carton" else "wax", "price_cents": 300}
            for good in GOODS
        ]
        rows += [{"table": "good", "id": good, "name": good, "kind": "bulk", "unit": "g", "sold": False} for good in BULK]
        self.house.write("set_good", rows)
        day = START.date().isoformat()
        opening = [
            {"table": "movement", "id": self.new_id(), "good": good, "lot": None, "units": 40, "reason": "opening", "on": day}
            for good in GOODS
        ]
        self.house.write("buy", opening)
        for number in range(devices):
            identity = self.house.enrol(self.house.new_code("keeper")["code"], f"Device {number}")
            off = timedelta(days=self.rng.choice((0, 0, -365, 400)))
            hand = Hand(identity, self.line, self.new_id, lambda off=off: self.time + off)  # type: ignore[misc]
            self.hands.append(hand)
            self.line.forced = "none"
            hand.exchange()

    def _an_order(self, hand: Hand) -> str | None:
        known = [row["id"] for row in hand.view.rows["order"].values() if row.get("state") in ("promised", "packed", "let_go")]
        return self.rng.choice(sorted(known)) if known else None

    def _actions(self) -> list[tuple[str, Callable[[Hand], None]]]:
        usual: list[tuple[str, Callable[[Hand], None]]] = [
            *[("exchange", self.exchange)] * 5, ("wants", lambda hand: self.exchange(hand, True)),
            ("wants", lambda hand: self.exchange(hand, True)), ("wants", lambda hand: self.exchange(hand, True)),
            ("promise", self.promise), ("promise", self.promise), ("promise", self.promise), ("amend", self.amend),
            ("let go", self.let_go), ("hand over", self.hand_over), ("sell", self.sell), ("pour", self.pour),
            ("melt", self.melt), ("take back", self.take_back), ("mistake", self.mistake),
            ("refused", self.promise_refused), ("give back", self.give_back),
            ("restart", self.restart), ("back up", self.back_up),
            ("late", lambda _hand: self.line.deliver_late()),
        ]  # fmt: skip
        rare: dict[str, Callable[[Hand], None]] = {
            "copy": self.copy, "lose": self.lose, "restore": self.restore, "count down": self.count_down,
        }  # fmt: skip
        return usual + [(name, rare[name]) for name in sorted(self.big) if self.happened[name] < 3]


def device_row(world: World, device: str) -> dict[str, Any]:
    """A device as the records know it."""
    with world.house.records.read():
        return world.house.records.row(Device, device) or {}
