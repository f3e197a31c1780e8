"""A device that is the browser's own store: the same calls as `phone.Phone`, each carried out by web/store in the player's process.

An act that the store will not do (an order that is gone by now, a device that is frozen) raises `ActRefused`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from demo_seed.client.device import Taken
from demo_seed.client.replica import Mirror, Share

from honeyhold.operations.errors import DeviceLost
from storm.checkers import Violation
from storm.phone import OLD_NAME, PhoneDied
from storm.player import EXPECTED, ActRefused, DiskFull, Player

if TYPE_CHECKING:
    from storm.world import World

Json = dict[str, Any]

REACH_CHANCE = 0.25
"""How often the main computer is in reach while something is written down: then the device speaks by itself afterwards."""


class WebPhone:
    """One device. What it keeps is read from its disk when somebody asks, once after each command."""

    def __init__(self, world: World, key: str, clock: Callable[[], datetime]) -> None:
        self.world, self.key, self.clock = world, key, clock
        self.player: Player = world.player  # type: ignore[assignment]
        self.player.phones[key] = self
        self.dies: tuple[int, str] | None = None
        self.asked_back: dict[str, int] = {}  # the store answers the asking by itself
        self.old_app = False
        self.identity: Json = {}
        self._log: list[Json] = []
        self._acknowledged: set[str] = set()
        self._counters: dict[str, Json] = {}
        self._kept: Json | None = None
        self._view: Mirror | None = None

    # The pipe --------------------------------------------------------------------------------------------------------

    def do(self, act: str, *, reach: bool | None = None, windows: int = 1, twin_of: str = "", **said: Any) -> Any:
        """One command; a list of answers when several windows do it at once. Raises `ActRefused`, `PhoneDied` or `Violation`."""
        rng = self.world.rng
        looks = act in ("kept", "view", "mirror")
        if reach is None:
            reach = not looks and rng.random() < REACH_CHANCE
        fate = {"left": self.dies[0], "how": self.dies[1]} if self.dies and not looks else None
        time_ms = _ms(self.world.time)
        heard = self.player.ask({
            "act": act, "device": self.key, "said": said, "reach": reach, "fate": fate, "windows": list(range(windows)), "twin_of": twin_of,
            "seed": "look" if looks else str(rng.getrandbits(48)), "time_ms": time_ms, "skew_ms": _ms(self.clock()) - time_ms,
        })  # fmt: skip
        if not looks:
            self._kept = self._view = None
            self._note(heard["kept"])
        if fate and self.dies:
            self.dies = (heard["left"], self.dies[1]) if heard["left"] else None
        if windows > 1:
            return heard["told"]
        return self._judged(heard["told"], fate)

    def _judged(self, told: Json, fate: Json | None) -> Any:
        if told.get("died"):
            raise PhoneDied(fate["how"] if fate else "loaded again")
        error = told.get("error")
        if error is None:
            value = told["value"]
            self._acknowledged |= _entries_of(value)
            return value
        if error["kind"] in EXPECTED:
            raise ActRefused(error["message"])
        if error["kind"] == "storage" and fate and fate["how"] == "full":
            raise DiskFull(error["message"])
        raise Violation("client", f"{error['message']} {error['stack']}")

    def kept(self) -> Json:
        """What lies on the disk."""
        if self._kept is None:
            self._note(self.do("kept", reach=False))
        assert self._kept is not None
        nowhere = self._acknowledged - {entry["id"] for entry in self._log}
        if nowhere:
            raise Violation("durable", f"{self.identity['name']} said that it was written down, and it is nowhere: {nowhere}")
        self._acknowledged.clear()
        return self._kept

    def _note(self, kept: Json | None) -> None:
        if kept and self.identity and not kept["marks"]["removed_at"]:
            device, counters = kept["identity"]["device"], kept["share"]
            fallen = [
                f"{name} {good}: {counters[name].get(good, 0)} after {units}"
                for name, before in self._counters.get(device, {}).items() for good, units in before.items()
                if counters[name].get(good, 0) < units
            ]  # fmt: skip
            if fallen:
                raise Violation("counters", f"counters of {self.identity['name']} went back: {fallen}")
            self._counters = {device: counters}
        self._kept = kept
        self._log += kept["fresh"] if kept else []

    # What the checkers and the acts look at --------------------------------------------------------------------------

    @property
    def log(self) -> list[Json]:
        """Every entry that ever lay on the disk."""
        self.kept()
        return self._log

    @property
    def in_hand(self) -> list[Json]:
        """Entries that the house has not yet answered."""
        in_hand = set(self.kept()["in_hand"])
        return [entry for entry in self._log if entry["id"] in in_hand]

    @property
    def places(self) -> set[str]:
        """Entries that landed once, before the house was put back from a backup."""
        return set(self.kept()["places"])

    @property
    def share_held(self) -> Share:
        """Both counters, as the disk has them."""
        return Share(**self.kept()["share"])

    @property
    def view(self) -> Mirror:
        """What its window shows."""
        if self._view is None:
            self._view = _board(self.do("view", reach=False))
        return self._view

    @property
    def mirror(self) -> Mirror:
        """The mirror on the disk. Raises `Violation` when its window believes something else."""
        told = self.do("mirror", reach=False)
        if told["differs"]:
            raise Violation("memory", f"the window of {self.identity['name']} believes other {told['differs']} than its disk")
        mirror = _board(told)
        for row in told["took_before"]:
            mirror.took[row["order"], row["lot"], row["good"]] += row["units"]
        return mirror

    def share(self, good: str) -> int:
        """Units this device may promise alone."""
        return max(0, self.share_held.left(good))

    def sure(self, line: str) -> int:
        """Units set aside for a line."""
        return self.view.sure[line]

    def waiting(self, line: str) -> int:
        """Units of a line that wait."""
        return int(self.view.rows["line"][line]["units"]) - self.view.sure[line] - self.view.handed[line]

    # Its life --------------------------------------------------------------------------------------------------------

    def enrol(self, code: str, name: str) -> None:
        """Becomes one of the house's."""
        self.do("enrol", reach=True, code=code, name=name)
        self.identity = self.kept()["identity"]

    def again(self) -> WebPhone:
        """The same device, switched on again: it knows what was on its disk and nothing else."""
        self.dies = None
        self.do("die", reach=False)
        return self

    def twin(self) -> WebPhone:
        """Another phone with the same disk."""
        made = WebPhone(self.world, f"{len(self.player.phones)}", self.clock)
        made.identity, made.old_app, made._log = self.identity, self.old_app, list(self.log)
        made.do("start", reach=False, twin_of=self.key)
        self._kept = self._view = None
        return made

    def exchange(self, wants: dict[str, int] | None = None, callers: dict[str, int] | None = None) -> None:
        """Speaks to the house. Raises OSError when it was not heard, DeviceLost when this device is no longer one of the house's."""
        self.kept()  # a device that was declared lost forgets: what it had written is noted before
        try:
            heard = self.do("exchange", reach=True)
            for good, units in (callers or {}).items():
                self.do("ask", reach=True, good=good, units=self.share(good) + units, wait_s=1.5)
        except PhoneDied as died:
            if self.dies or str(died) != "loaded again":
                raise
            heard = False  # the page was loaded anew, since the device was removed
        if self.kept()["marks"]["removed_at"]:
            raise DeviceLost("This device was declared lost.", "Enrol it again.")
        if not heard:
            raise OSError("not heard")

    # What happens on it ----------------------------------------------------------------------------------------------

    def _raw(self, kind: str, rows: list[Json], spent: dict[str, int] | None = None) -> None:
        self.do("raw", kind=kind, rows=rows, spent=spent or {})

    def note_person(self, id: str | None = None, **fields: Any) -> str:
        """A person, new or changed; the id."""
        if self.old_app:
            person = id or self.world.new_id()
            self._raw("note_person", [{"table": "person", "id": person, OLD_NAME: fields["name"]}])
            return person
        told = self.do("note_person", person={**({"id": id} if id else {}), **fields})
        return str(told["person"])

    def promise(self, lines: Any, person: str, way: str = "post", payment: tuple[int, str] | None = None, **order: Any) -> Taken:
        """An order: what the share holds is sure, the rest waits."""
        wanted = [{"good": good, "units": units} for good, units in lines]
        if person not in self.view.rows["person"]:
            return self._promise_for_nobody(person, wanted)
        cents, how = payment or (0, "cash")
        draft = {"person": {"id": person}, "lines": wanted, "way": way, "paid_cents": cents, "paid_how": how, **order}
        told = self.do("promise", draft=draft, wait_s=0)
        return Taken(told["order"], told["number"], {}, told["sure"], told["waiting"])

    def _promise_for_nobody(self, person: str, wanted: list[Json]) -> Taken:
        order = self.world.new_id()
        way = {"way": "post", "state": "promised", "taken_on": self.world.day}
        rows: list[Json] = [{"table": "order", "id": order, "number": "X-1", "person": person, **way}]
        for one in wanted:
            line = {"table": "line", "id": self.world.new_id(), "order": order, **one}
            rows += [line, {"table": "reservation", "id": self.world.new_id(), "order": order, "line": line["id"], **one}]
        self._raw("promise", rows, {one["good"]: one["units"] for one in wanted})
        return Taken(order, "X-1", {})

    def amend(self, order: str, lines: Any = (), person: str | None = None, **fields: Any) -> None:
        """New wanted units of the goods named, other fields of the order."""
        fields.update({"person": {"id": person}} if person else {})
        told = self.do("amend", order=order, lines=[list(line) for line in lines] or None, change=fields)
        if told["op"] is None:
            raise ActRefused("Nothing differs.")

    def let_go(self, order: str) -> None:
        """The order is given up."""
        self.do("let_go", order=order)

    def sell(self, lines: Any, person: str | None = None, pays: str = "cash", posting_cents: int = 0) -> None:
        """A walk-in."""
        wanted = [{"good": good, "units": units} for good, units in lines]
        draft = {"person": person and {"id": person}, "lines": wanted, "pays": pays, "posting_cents": posting_cents}
        self.do("sell", draft=draft)

    def pack(self, order: str, parcels: list[Json]) -> list[str]:
        """The order stands packed; the parcels' ids."""
        told = self.do("pack", order=order, parcels=parcels)
        return list(told["parcels"])

    def weigh(self, parcel: str, scale_g: int) -> None:
        """What the scale says."""
        self.do("weigh", parcel=parcel, scale_g=scale_g)

    def track(self, parcel: str, tracking: str) -> None:
        """The number under which a carrier follows it."""
        self.do("track", parcel=parcel, tracking=tracking)

    def arrive(self, parcels: dict[str, str]) -> None:
        """How parcels came."""
        for parcel, how in parcels.items():
            self.do("arrive", parcel=parcel, arrived=how)

    def hand_over(self, order: str, payment: tuple[int, str] | None = None) -> None:
        """The goods leave."""
        cents, how = payment or (0, "cash")
        self.do("hand_over", order=order, cents=cents, how=how)

    def pay(self, order: str, cents: int, how: str = "cash", note: str = "", **more: Any) -> None:
        """Money in, or back."""
        self.do("pay", order=order, cents=cents, how=how, note=note, more=more)

    def correct(self, payment: str, cents: int, note: str = "") -> None:
        """A payment put right by another entry."""
        self.do("correct", payment=payment, cents=cents, note=note)

    def adjust(self, order: str, cents: int, why: str) -> None:
        """Something taken off."""
        self.do("adjust", order=order, cents=cents, why=why)

    def till(self, what: str, cents: int, note: str = "") -> None:
        """Cash put in, taken out or counted."""
        self.do("till", what=what, cents=cents, note=note)

    def go_without(self, good: str, units: int, way: str = "pick_up") -> None:
        """A caller who does not wait."""
        self.do("go_without", good=good, units=units, way=way)

    def send_again(self, order: str, free_for: str) -> None:
        """At no charge."""
        self.do("send_again", order=order, free_for=free_for)

    def join_people(self, person: str, same_as: str | None) -> None:
        """Two of the book are one, or two after all."""
        self.do("join_people", person=person, same_as=same_as)

    def note_standing(self, id: str | None = None, **fields: Any) -> str:
        """What a person wants again and again, new or changed; the id."""
        if "wanted" in fields:
            fields["wanted"] = [{"good": good, "units": units} for good, units in fields["wanted"]]
        told = self.do("note_standing", standing={**({"id": id} if id else {}), **fields})
        return str(told["standing"])

    def promise_standing(self, standing: str, on: str) -> Taken:
        """The order of a day of a standing order."""
        told = self.do("promise_standing", standing=standing, on=on)
        return Taken(told["order"], told["number"], {}, told["sure"], told["waiting"])

    def make(self, lots: list[Json], movements: Any) -> None:
        """What came out gets lots whose codes the store chooses; what went in leaves the oldest lots."""
        outs = [{"good": good, "units": units, "reason": reason} for good, lot, units, reason in movements if lot]
        ins = [{"good": good, "units": -units, "reason": reason} for good, lot, units, reason in movements if not lot]
        self.do("make", outs=outs, ins=ins, made_on=lots[0]["made_on"])

    def count(self, movements: Any) -> None:
        """Differences found by counting; two at once is what no screen writes."""
        found = list(movements)
        if len(found) > 1:
            row = {"table": "movement", "on": self.world.day}
            rows = [
                {**row, "id": self.world.new_id(), "good": good, "lot": lot, "units": units, "reason": reason}
                for good, lot, units, reason in found
            ]
            self._raw("count", rows)
            return
        ((good, lot, units, reason),) = found
        self.do("count", good=good, lot=lot, units=units, reason=reason)

    def buy(self, movements: Any) -> None:
        """Goods or cartons bought in."""
        for good, lot, units, _reason in movements:
            self.do("buy", good=good, units=units, lot=lot)

    def undo(self, operation: Json) -> Json:
        """An entry of this device undone, whole; the entry that says so."""
        self.do("undo", op=operation["id"])
        return self.log[-1]

    take_back = unpack = undo

    def set_good(self, goods: list[Json]) -> None:
        """Goods as they are from now on."""
        for good in goods:
            self.do("set_good", good=good)

    def set_house(self, values: Json) -> None:
        """Settings of the house."""
        self.do("set_house", values=values)

    def give_back(self, units_by_good: dict[str, int]) -> None:
        """Part of the share returns to the pool."""
        self.do("give_back", units=units_by_good)


def _entries_of(value: Any) -> set[str]:
    """Ids of entries that an act said it wrote."""
    return {op for op in (value.get("op"), *value.get("ops", ())) if op} if isinstance(value, dict) else set()


def _ms(moment: datetime) -> int:
    return round(moment.timestamp() * 1000)


def _board(told: Json) -> Mirror:
    mirror = Mirror()
    for table, rows in told["rows"].items():
        mirror.rows[table] = {row["id"]: row for row in rows}
    for name in ("sure", "handed", "promised", "paid"):
        setattr(mirror, name, defaultdict(int, dict(told[name])))
    mirror.lots = defaultdict(int, {(good, lot or None): units for good, lot, units in told["balances"]})
    mirror.money = defaultdict(int, {(day, how): cents for day, how, cents in told["money"]})
    for good, key, units in told["moved"]:
        reason, year = key.split(" ")
        mirror.moved[good, reason, int(year)] += units
    for lot, key, units in told["took"]:
        order, good = key.split(" ")
        mirror.took[order, lot, good] += units
    return mirror
