"""What only the browser's own store can be asked: two windows of one device, an act while an answer is on the line, a sentence that becomes
an order, a full disk, a new name for a device that was stopped. Same shape as `acts.py`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from storm.acts import ACTS, SOLD, USUAL_UNITS, Act
from storm.checkers import Violation
from storm.phone import Phone, PhoneDied
from storm.player import EXPECTED, ActRefused, DiskFull
from storm.troubles import MORTAL

if TYPE_CHECKING:
    from storm.web_phone import WebPhone
    from storm.world import World

MEANWHILE = ("promise", "sell", "amend", "let go", "pack", "hand over", "pay", "pour", "undo", "note person", "set things", "refused")
"""What a person does while an answer is awaited; none of it speaks to the house by itself."""


def act_while_it_speaks(world: World, phone: Phone) -> None:
    """Somebody goes on writing while an exchange is on the line."""
    name = world.rng.choice(MEANWHILE)

    def meanwhile(speaking: WebPhone) -> None:
        world.fired["written while it speaks"] += 1
        try:
            ACTS[name][0](world, cast("Phone", speaking))
        except ActRefused:
            world.happened["refused by the device"] += 1

    world.meanwhile = meanwhile
    world.exchange(phone)
    world.meanwhile = None


def undo_in_two_windows(world: World, given: Phone) -> None:
    """The same act undone in two windows in one breath: one of them is told so."""
    phone = cast("WebPhone", given)
    if world.rng.random() < 0.5:
        phone.promise([(world.rng.choice(SOLD), 5)], person=phone.note_person(name="Undone twice"))
    else:
        world.may_be_short("carton")
        phone.buy([("carton", None, 5, "bought")])
    act = next(entry for entry in reversed(phone.log) if entry["kind"] in ("promise", "buy"))
    _at_most_one(world, phone.do("undo", windows=2, reach=False, op=act["id"]), "an act was undone in two windows")


def promise_in_two_windows(world: World, given: Phone) -> None:
    """Two windows promise from one share at the same moment."""
    phone = cast("WebPhone", given)
    person, good = phone.note_person(name="Two at once"), world.rng.choice(SOLD)
    draft = {"person": {"id": person}, "lines": [{"good": good, "units": world.rng.choice(USUAL_UNITS)}]}
    for told in phone.do("promise", windows=2, reach=False, draft=draft, wait_s=0):
        if "value" in told:
            world.tell_of(given, told["value"]["op"], told["value"]["sure"])
        elif told.get("error", {}).get("kind") not in ("frozen", "not enrolled"):
            raise Violation("client", f"a window could not promise: {told}")
    world.fired["two windows"] += 1


def sentence_becomes_an_order(world: World, given: Phone) -> None:
    """An order half made: the page is perhaps loaded anew, taken up again, and ended in two windows at once; one order comes of it."""
    phone, rng = cast("WebPhone", given), world.rng
    person = phone.note_person(name="Thinking it over")
    lines = [{"good": rng.choice(SOLD), "units": rng.choice(USUAL_UNITS)}]
    told = phone.do("compose", reach=False, draft={"amends": None, "person": person, "lines": lines})
    if rng.random() < 0.5:
        world.exchange(given)
    if rng.random() < 0.4:
        phone.again()
        taken_up = phone.do("take_up", reach=False)
        if taken_up is None:
            raise Violation("client", "a sentence that was kept is there no more")
        told = taken_up
    draft = {"person": {"id": person}, "lines": lines, "sentence": told["sentence"]}
    answers = phone.do("promise", windows=2, reach=False, draft=draft, wait_s=0)
    for answer in answers:
        if "value" in answer:
            world.tell_of(given, answer["value"]["op"], answer["value"]["sure"])
    _at_most_one(world, answers, "a sentence became two orders")


def _at_most_one(world: World, answers: list[dict[str, Any]], words: str) -> None:
    world.fired["two windows"] += 1
    if sum("value" in told for told in answers) > 1:
        raise Violation("windows", words)
    for told in answers:
        if told.get("error", {}).get("kind", "draft") not in EXPECTED:
            raise Violation("client", f"the other window was told: {told['error']['message']}")


def disk_full(world: World, phone: Phone) -> None:
    """The device cannot write one thing down: it says so, and nothing of it is there."""
    phone.dies = (world.rng.randrange(1, 4), "full")
    try:
        ACTS[world.rng.choice(MORTAL)][0](world, phone)
    except DiskFull:
        world.fired["disk full"] += 1
    except ActRefused:
        world.happened["refused by the device"] += 1
    except PhoneDied:
        pass  # it was removed, and its page loaded anew
    phone.dies = None


def enrolled_again(world: World, given: Phone) -> None:
    """A device that was stopped as a copy gets a new name; what it wrote under the old one is handed in."""
    phone = cast("WebPhone", given)
    if not phone.kept()["marks"]["frozen"]:
        return
    world.fired["enrolled again"] += 1
    world.line.forced = "none"
    phone.enrol(world.house.new_code("keeper")["code"], f"{phone.identity['name']} anew")


WEB_ACTS: dict[str, tuple[Act, int]] = {
    "act while it speaks": (act_while_it_speaks, 4), "undo by two windows": (undo_in_two_windows, 1),
    "promise by two windows": (promise_in_two_windows, 1), "sentence becomes an order": (sentence_becomes_an_order, 2),
    "disk full": (disk_full, 2), "enrolled again": (enrolled_again, 1),
}  # fmt: skip
FIRED_BY_WEB = ("written while it speaks", "two windows", "disk full", "enrolled again")
