"""A house in which people have lived for a while, and what must be true of it wherever it is moved."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport

from honeyhold.house.house import House
from honeyhold.records.models import Person
from quick_disk import QUICK_DISK
from replication.houses import Watch, device, made_anew

SHARE = 5
NOBODY: Any = None


@dataclass
class Lived:
    """A closed house in a file, with two devices of which one has an entry in hand that nobody has heard of."""

    folder: Path
    hands: list[DeviceClient]
    in_hand: str
    epoch: str
    position: int

    def opened(self, **more: Any) -> House:
        """The house, with its devices speaking to it."""
        house = House.open(self.folder, now=Watch(), **more)
        for hand in self.hands:
            hand.transport = DirectTransport(house)
        return house

    def everything_is_there(self) -> None:
        """Whatever was answered, under the same epoch; what was in hand lands, and each device may promise what it could before."""
        shares = [hand.share("bar") for hand in self.hands]
        house = self.opened()
        assert house.position() >= self.position and house.epoch == self.epoch and not house.recovering()
        for hand in [*self.hands, *self.hands]:
            hand.exchange()
            assert hand.in_hand == [] and hand.needs_you == []
        assert [hand.share("bar") for hand in self.hands] == shares
        with house.records.read():
            assert house.records.there(Person, self.in_hand)
        assert house.check() == []
        house.close()


def lived_in(folder: Path) -> Lived:
    """Something in most tables: people, an order that was let go, one that waits, text of every script. A copy of one that is made once."""
    once = _once()
    shutil.copytree(once.folder, folder / "data")
    return replace(once, folder=folder / "data", hands=deepcopy(once.hands))


@cache
def _once() -> Lived:
    folder = Path(tempfile.mkdtemp(dir=QUICK_DISK))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    house = made_anew(folder, Watch())
    hands = [device(house, "Shed phone", SHARE), device(house, "Kitchen", SHARE)]
    hand = hands[0]
    person = hand.note_person(name="Zoë 🐝 'x' \"y\" \t\\N", note="two\nlines")
    hand.let_go(hand.promise([("bar", 1)], person=person).order)
    hand.promise([("bar", 2)], person=person)
    hand.promise([("bar", 90)], person=person)
    hand.exchange(callers={"bar": SHARE})
    hands[1].note_person(name="Ruth")
    hands[1].exchange()
    found = Lived(house.folder, hands, hand.note_person(name="In hand"), house.epoch, house.position())
    house.close()
    for one in hands:  # nothing of that house goes along; `opened` gives them another
        one.transport, one.clock = NOBODY, Watch()
    return found


def named(address: str) -> str:
    """The name of a database."""
    return urlsplit(address).path.lstrip("/")


def put_away(folder: Path) -> Path:
    """The old file."""
    (found,) = folder.glob("records-before-move-*.db")
    return found
