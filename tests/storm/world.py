"""A house, its devices, and the script that plays upon them. What may happen is in `acts.py` and `troubles.py`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any, cast
from unittest.mock import patch
from uuid import UUID

from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House
from honeyhold.operations import upgrade
from honeyhold.operations.errors import DeviceLost
from storm.checkers import AFTER_EACH_STEP, AT_REST, Violation, check_once
from storm.line import Crash, Line
from storm.phone import OLD_NAME, Phone
from storm.plain_client import PlainClient
from storm.player import ActRefused, Player
from storm.web_phone import WebPhone

START = datetime(2026, 7, 20, 13, tzinfo=UTC)
GOODS = ("bar", "jar", "carton")
BULK = ("cappings", "wax")
ROUNDS_TO_REST = 6
"""After the faults are healed, every device has this many exchanges to come to rest; more would be a stall."""
CHECK_ONCE_EVERY = 4
BRISK_CHANCE = 0.9

Json = dict[str, Any]


@dataclass
class Told:
    """What a device told a caller to be sure."""

    device: str
    operation: str
    sure: dict[str, int]


class World:
    """One run. `play(script)` lets it happen, then heals all faults; checkers look after each step and at the end."""

    def __init__(self, seed: int, folder: Path, devices: int = 3, mistakes: list[Json] | None = None) -> None:
        """`mistakes`: the devices are the browser's own store, with these put into it; None: they are in this process."""
        self.folder = folder
        self.rng = Random(f"world {seed}")
        self.ids_made = 0
        self.time = START
        self.open_patches = ExitStack()
        self.open_patches.enter_context(patch.dict(upgrade.NEWEST, {"note_person": upgrade.newest("note_person") + 1}))
        self.open_patches.enter_context(patch.dict(upgrade.STEPS, {("note_person", upgrade.newest("note_person") - 1): _names_again}))
        self.house = self._open()
        self.line = Line(self)
        self.player = Player(self, mistakes) if mistakes is not None else None
        self.phones: list[Phone] = []
        self.lost: list[Phone] = []
        self.emptied: list[Phone] = []
        self.copied: set[str] = set()
        self.told: list[Told] = []
        self.excused: set[str] = set()
        self.happened: Counter[str] = Counter()
        self.fired: Counter[str] = Counter()
        self.restored = False
        self.healed = False
        self.backups: list[Path] = []
        self.memory: dict[str, Any] = {}
        self.meanwhile: Callable[[WebPhone], None] | None = None
        self._furnish(devices)
        self.plain = self._plain()

    @property
    def day(self) -> str:
        """The house's day."""
        return self.time.date().isoformat()

    def new_id(self) -> str:
        """A UUID that the step's seed and its place in the run decide: two steps of one seed are still two orders."""
        self.ids_made += 1
        return str(UUID(int=self.rng.getrandbits(128) ^ self.ids_made, version=4))

    def close(self) -> None:
        """Lets the records go."""
        if self.player:
            self.player.close()
        self.house.close()
        self.open_patches.close()

    def play(self, steps: list[Any], acts: dict[str, Callable[[World, Phone], None]]) -> None:
        """The storm, then the calm. Raises `Violation`."""
        for step in steps:
            self.rng = Random(step.seed)
            self._time_passes()
            self.happened[step.name] += 1
            try:
                acts[step.name](self, self.rng.choice(self.phones))
            except ActRefused:
                self.happened["refused by the device"] += 1
            self.look()
        self.heal()

    def _time_passes(self) -> None:
        brisk = self.player and self.rng.random() < BRISK_CHANCE  # the browser's store undoes within ten minutes
        self.time += timedelta(seconds=self.rng.randrange(1, 20 if brisk else 4000))

    def while_on_the_line(self, phone: WebPhone, path: str) -> None:
        """A request of the browser's store is on the line: something may happen on the device meanwhile."""
        meanwhile, self.meanwhile = self.meanwhile, None
        if meanwhile and path == "/api/exchange":
            meanwhile(phone)

    def look(self) -> None:
        """Every checker that must hold at any moment; the one that plays the whole log again looks now and then."""
        for check in AFTER_EACH_STEP:
            if check is not check_once or sum(self.happened.values()) % CHECK_ONCE_EVERY == 0:
                check(self)

    def heal(self) -> None:
        """No more faults: within a few rounds everything must be heard, then all checkers look."""
        self.line.calm = self.healed = True
        for phone in self.phones:
            phone.old_app = False
        while self.line.late:
            self.line.deliver_late()
        for phone in self.emptied:
            self.house.declare_lost(phone.identity["device"])
        for _ in range(ROUNDS_TO_REST):
            for phone in [*self.phones, *self.lost]:
                self.exchange(phone)
            self.exchange_plain()
        for check in [*AFTER_EACH_STEP, *AT_REST]:
            check(self)

    # For acts and troubles -----------------------------------------------------------------------------------------

    def exchange(self, phone: Phone, wants: dict[str, int] | None = None, callers: dict[str, int] | None = None) -> None:
        """The device speaks to the house, if the line lets it."""
        try:
            phone.exchange(wants=wants, callers=callers)
        except DeviceLost:
            if phone not in self.lost:
                raise Violation("world", "a device was taken for lost that nobody declared lost") from None
        except OSError as trouble:
            if self.healed:
                raise Violation("world", f"nothing goes wrong any more, and yet: {trouble}") from None
            self.happened["unknown"] += 1

    def exchange_plain(self, wants: dict[str, int] | None = None) -> None:
        """The plain one speaks, and gives back what it is asked for."""
        try:
            back = {good: min(units, self.plain.share(good)) for good, units in self.plain.exchange(wants).items()}
        except OSError as trouble:
            if self.healed:
                raise Violation("world", f"nothing goes wrong any more, and yet: {trouble}") from None
            self.happened["unknown"] += 1
            return
        if any(units > 0 for units in back.values()):
            self.plain.write("give_back", [], back)

    def tell(self, phone: Phone, sure: dict[str, int]) -> None:
        """The last entry's units were told to a caller to be sure."""
        self.tell_of(phone, phone.log[-1]["id"], sure)

    def tell_of(self, phone: Phone, operation: str, sure: dict[str, int]) -> None:
        """The units of one entry were told to a caller to be sure."""
        self.tell_of_device(phone.identity["device"], operation, sure)

    def tell_of_device(self, device: str, operation: str, sure: dict[str, int]) -> None:
        """The same, of a device by its id."""
        if sure:  # nothing of it was sure: then the last entry may be about something else
            self.told.append(Told(device, operation, sure))

    def may_be_short(self, *goods: str) -> None:
        """From now on these goods may be promised beyond the shelf: something happened that the guarantee leaves out."""
        self.excused |= set(goods)

    def an_order(self, phone: Phone, states: tuple[str, ...] = ("promised", "packed", "let_go")) -> str | None:
        """An order that the device knows in one of these states."""
        known = [row["id"] for row in phone.view.rows["order"].values() if row.get("state") in states]
        return self.rng.choice(sorted(known)) if known else None

    def another(self, phone: Phone) -> Phone | None:
        """A device that is not this one nor a copy of it."""
        others = [one for one in self.phones if one.identity["device"] != phone.identity["device"]]
        return self.rng.choice(others) if others else None

    def enrol(self, name: str) -> Phone:
        """One more device; some have an app of long ago, some a clock of another year."""
        code = self.house.new_code("keeper")["code"]
        if self.player:
            return self._enrol_browser(code, name)
        phone = Phone(self.house.enrol(code, name), self.line, self.new_id, lambda: self.time)
        self.set_clock(phone, self.rng.choice((0, 0, -365, 400)))
        phone.old_app = self.rng.random() < 0.5
        self.phones.append(phone)
        self.line.forced = "none"
        phone.exchange()
        return phone

    def _enrol_browser(self, code: str, name: str) -> Phone:
        phone = cast("Phone", WebPhone(self, f"{len(self.player.phones)}", lambda: self.time))  # type: ignore[union-attr]
        self.set_clock(phone, self.rng.choice((0, 0, -365, 400)))
        phone.old_app = self.rng.random() < 0.5
        self.phones.append(phone)
        self.line.forced = "none"
        cast("WebPhone", phone).enrol(code, name)
        return phone

    def set_clock(self, phone: Phone, days: int) -> None:
        """The device's clock is off by so many days from now on."""
        phone.clock = lambda: self.time + timedelta(days=days)

    def restart(self) -> None:
        """The house is closed and opened."""
        self.house.close()
        self.house = self._open()

    def crash_while(self, work: Callable[[], Any], statements: int) -> None:
        """The house stops after so many statements of some work, and is opened again."""
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
            work()
        except Crash:
            self.fired["house stopped in a write"] += 1
        finally:
            database.execute_sql = whole
        self.restart()

    def unheard(self, token: str, ask: dict[str, Any]) -> None:
        """An exchange whose answer nobody hears."""
        try:
            self.house.exchange(token, ask)
        except HoneyholdError:
            self.happened["unheard refusal"] += 1

    # ---------------------------------------------------------------------------------------------------------------

    def _plain(self) -> PlainClient:
        identity = self.house.enrol(self.house.new_code("keeper")["code"], "Plain one")
        return PlainClient(identity, self.line, self.new_id, lambda: f"{self.time:%Y-%m-%dT%H:%M:%SZ}")

    def _open(self) -> House:
        return House.open(self.folder / "data", new_id=self.new_id, now=lambda: self.time)

    def _furnish(self, devices: int) -> None:
        rows = [
            {"table": "good", "id": good, "name": good, "kind": "carton" if good == "carton" else "wax", "price_cents": 300}
            for good in GOODS
        ]
        rows += [{"table": "good", "id": good, "name": good, "kind": "bulk", "unit": "g", "sold": False} for good in BULK]
        measures = ["12 in", "12 in", "12 in"]
        carton = {"table": "carton", "id": "carton", "name": "carton", "inner": measures, "outer": measures, "tare_g": 300}
        self.house.write("set_good", [*rows, carton])
        opening = [
            {"table": "movement", "id": self.new_id(), "good": good, "lot": None, "units": 40, "reason": "opening", "on": self.day}
            for good in GOODS
        ]
        self.house.write("buy", opening)
        for number in range(devices):
            self.enrol(f"Device {number}")


def _names_again(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """From the older app's persons to today's: the step that the upgrade is tested with."""
    return [{"name" if key == OLD_NAME else key: value for key, value in row.items()} for row in rows]
