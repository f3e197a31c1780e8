"""What the tests of a move begin with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import postgresql_server
from house.lived_in import SHARE, Lived
from postgresql_server import Cluster
from replication.houses import Watch, device, made_anew


@pytest.fixture
def server() -> Iterator[Cluster]:
    """The run's server; what is made in it goes."""
    made = postgresql_server.needed()
    with postgresql_server.swept():
        yield made


@pytest.fixture
def lived(tmp_path: Path) -> Lived:
    """Something in most tables: people, an order that was let go, one that waits, text of every script."""
    house = made_anew(tmp_path, Watch())
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
    return found
