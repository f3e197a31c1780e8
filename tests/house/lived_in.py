"""A house in which people have lived for a while, and what must be true of it wherever it is moved."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport

from honeyhold.house.house import House
from honeyhold.records.models import Person
from replication.houses import Watch

SHARE = 5


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


def named(address: str) -> str:
    """The name of a database."""
    return urlsplit(address).path.lstrip("/")


def put_away(folder: Path) -> Path:
    """The old file."""
    (found,) = folder.glob("records-before-move-*.db")
    return found
