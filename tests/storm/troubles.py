"""What goes wrong beside the line: devices die, are copied, lost, emptied, not updated; the house stops, is restored, counts less.

`TROUBLES` are told apart as *usual* (in every run) and *rare* (each run draws which it has: they end the guarantee for what they touch,
so that runs without them hold the others to more).
"""

from __future__ import annotations

from honeyhold.errors import HoneyholdError
from honeyhold.house.quarantine import put_aside_late, take_in_late
from storm.acts import ACTS, SOLD, Act, count_down
from storm.phone import Phone, PhoneDied
from storm.player import ActRefused
from storm.world import World

RARE_TIMES_MAX = 3
"""How often one rare trouble comes in a run at most."""
SLEEP_MAX = 25
"""For so many exchanges of anybody a device may sleep."""
MORTAL = ("exchange", "ask for share", "promise", "amend", "sell", "hand over", "pack", "melt", "undo a promise")


def dies(world: World, phone: Phone, moment: str) -> None:
    """The device stops in the middle of an act, before or after one of its writes, and is switched on again."""
    phone.dies = (world.rng.randrange(1, 4), moment)
    name = world.rng.choice(MORTAL)
    try:
        ACTS[name][0](world, phone)
    except PhoneDied:
        world.fired[f"device dies {moment} its write"] += 1
    except ActRefused:
        world.happened["refused by the device"] += 1
    phone.dies = None
    if phone in world.phones:
        world.phones[world.phones.index(phone)] = phone.again()


def dies_before(world: World, phone: Phone) -> None:
    """What it was about to write was never told to anyone."""
    dies(world, phone, "before")


def dies_after(world: World, phone: Phone) -> None:
    """What it wrote counts, although nobody read it on the screen."""
    dies(world, phone, "after")


def clock_moved(world: World, phone: Phone) -> None:
    """Somebody sets the device's clock, by months."""
    world.set_clock(phone, world.rng.choice((-400, -31, 0, 31, 400)))
    world.fired["clock moved"] += 1


def app_updated(world: World, phone: Phone) -> None:
    """An old app becomes a new one, with entries of the old kind in hand."""
    if phone.old_app:
        if any(entry["kind"] == "note_person" for entry in phone.in_hand):
            world.fired["updated with old entries in hand"] += 1
        phone.old_app = False


def settle_late(world: World, _phone: Phone) -> None:
    """The keeper looks at one late entry and takes it in, or puts it aside; what the house will not take in stays where it was."""
    with world.house.records.read():
        rows = world.house.records.database.execute_sql("SELECT device, seq, hash FROM late_entry ORDER BY device, seq, hash").fetchall()
    if not rows:
        return
    device, seq, entry_hash = world.rng.choice(rows)
    world.may_be_short("bar", "jar")
    try:
        if world.rng.random() < 0.7:
            take_in_late(world.house, device, seq, entry_hash)
        else:
            put_aside_late(world.house, device, seq, entry_hash, "settled by telephone")
        world.happened["late entry settled"] += 1
    except HoneyholdError:
        world.happened["late entry not to be settled"] += 1


def restart(world: World, _phone: Phone) -> None:
    """The house is closed and opened."""
    world.restart()


def back_up(world: World, _phone: Phone) -> None:
    """A verified copy."""
    world.backups.append(world.house.backup())


def late(world: World, _phone: Phone) -> None:
    """An ask of long ago arrives after all."""
    world.line.deliver_late()


def copy(world: World, phone: Phone) -> None:
    """The device's store is copied to another phone; both go on."""
    twin = phone.twin()
    world.copied.add(phone.identity["device"])
    world.phones.append(twin)
    world.may_be_short("bar", "jar")
    world.fired["device copied"] += 1
    for one in (phone, twin):
        one.note_person(name="Known to one of them")


def lose(world: World, phone: Phone) -> None:
    """A person declares a device lost; it may still send."""
    device = phone.identity["device"]
    if len({one.identity["device"] for one in world.phones}) < 2:
        return
    world.lost += [one for one in world.phones if one.identity["device"] == device]
    world.phones = [one for one in world.phones if one.identity["device"] != device]
    world.may_be_short("bar", "jar")
    world.fired["device lost"] += 1
    if world.rng.random() < 0.3:
        world.crash_while(lambda: world.house.declare_lost(device), world.rng.randrange(1, 30))
    world.house.declare_lost(device)


def empty(world: World, phone: Phone) -> None:
    """The browser threw the device's storage away; it becomes a new device, the old one is declared lost by and by."""
    device = phone.identity["device"]
    if device in world.copied:
        return
    world.emptied.append(phone)
    world.phones.remove(phone)
    world.enrol(f"{phone.identity['name']} again")
    world.fired["storage emptied"] += 1
    if world.rng.random() < 0.5:
        world.house.declare_lost(device)


def restore(world: World, _phone: Phone) -> None:
    """The disk died: back to the last copy, or to an older one that was kept; some devices are out of reach for a while."""
    if not world.backups:
        back_up(world, _phone)
        return
    if world.rng.random() < 0.6:
        _work_together(world)
    backup = world.rng.choice(world.backups) if world.rng.random() < 0.5 else world.backups[-1]
    world.restored = True
    world.fired["house restored"] += 1
    if backup != world.backups[-1]:
        world.fired["an older backup put back"] += 1
    world.may_be_short("bar", "jar", "carton")
    world.house.restore(backup)
    for phone in [*world.lost, *world.emptied]:
        world.house.declare_lost(phone.identity["device"])
    for phone in world.phones:
        if world.rng.random() < 0.5:
            world.line.sleeps(phone.identity["token"], world.rng.randrange(1, SLEEP_MAX))


def _work_together(world: World) -> None:
    """What one device writes the next goes on from: a person, a pour and an order; its money, and a sale out of that pour; a note."""
    one, *others = world.rng.sample(world.phones, len(world.phones))
    code = f"T26-{len(one.log)}-{world.rng.randrange(10**6)}"
    try:
        one.make([{"id": code, "good": "bar", "made_on": world.day}], [("bar", code, 10, "poured")])
        lot = next(row["id"] for row in one.log[-1]["rows"] if row["table"] == "lot")  # the browser's store chooses the code itself
        taken = one.promise([(world.rng.choice(SOLD), 1)], person=one.note_person(name="Known to all"))
        _heard(world, one, *others)
        for other in others:
            if taken.order in other.view.rows["order"]:
                other.pay(taken.order, 300)
                other.count([("bar", lot, -1, "specked")])
                _heard(world, other)
    except ActRefused:
        world.happened["refused by the device"] += 1


def _heard(world: World, *phones: Phone) -> None:
    for phone in phones:
        world.line.forced = "none"
        world.exchange(phone)


def falls_asleep(world: World, phone: Phone) -> None:
    """A device asks for much and then is not heard for a while, with all it may promise."""
    world.exchange(phone, wants={good: world.rng.randrange(10, 40) for good in SOLD})
    world.line.sleeps(phone.identity["token"], world.rng.randrange(1, SLEEP_MAX))
    world.fired["device asleep"] += 1


def lost_one_goes_on(world: World, _phone: Phone) -> None:
    """Who found the lost device takes an order on it, or it hands in what it had: kept apart, for somebody to settle."""
    if not world.lost:
        return
    phone = world.rng.choice(world.lost)
    if world.rng.random() < 0.5:
        phone.promise([(world.rng.choice(SOLD), 2)], person=phone.note_person(name="Rang the lost phone"))
    world.exchange(phone)
    world.fired["lost device heard"] += 1


def fewer_counted(world: World, phone: Phone) -> None:
    """A count below what is promised."""
    world.fired["counted down"] += 1
    count_down(world, phone)


USUAL: dict[str, tuple[Act, int]] = {
    "dies before": (dies_before, 1), "dies after": (dies_after, 1), "clock moved": (clock_moved, 1), "app updated": (app_updated, 1),
    "restart": (restart, 1), "back up": (back_up, 1), "late": (late, 1),
    "settle late": (settle_late, 1), "falls asleep": (falls_asleep, 1), "lost one goes on": (lost_one_goes_on, 1),
}  # fmt: skip
RARE: dict[str, Act] = {"copy": copy, "lose": lose, "empty": empty, "restore": restore, "count down": fewer_counted}
FIRED_BY_TROUBLES = (
    "device dies before its write", "device dies after its write", "clock moved", "updated with old entries in hand", "device copied",
    "device lost", "storage emptied", "house restored", "counted down", "house stopped in a write",
    "an older backup put back", "device asleep", "lost device heard",
)  # fmt: skip
