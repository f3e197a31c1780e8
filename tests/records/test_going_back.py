"""A database taken back to the moment before a wrong act.

As PostgreSQL's documentation has it under *Continuous Archiving and Point-in-Time Recovery*: an archive, a base backup, a moment.
"""

from __future__ import annotations

import sys
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport

import postgresql_server
from honeyhold.house.house import House
from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.models import Person
from postgresql_pair import Archived, archived
from replication.houses import Watch, device, made_anew

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells which processes are a server's")


def moment(server: Archived) -> str:
    """The server's time, to the microsecond: what was committed before is in it, what is begun later is not."""
    return str(server.server.run("SELECT clock_timestamp()")[0][0])


def there(house: House, person: str) -> bool:
    """Whether somebody is in the records."""
    with house.records.read():
        return house.records.there(Person, person)


def entered(hand: DeviceClient, name: str) -> str:
    """A person whom a device wrote down, and the house answered for."""
    person = hand.note_person(name=name)
    hand.exchange()
    assert hand.in_hand == []
    return person


def test_before_a_wrong_act_the_house_goes_on_in_a_new_epoch_and_devices_bring_back_the_rest(tmp_path: Path) -> None:
    postgresql_server.must_be_installed()
    with archived() as server:
        server.server.run("CREATE DATABASE house")
        address = server.server.address("house")
        House.open(tmp_path / "data", now=Watch(), database=address).close()
        house = made_anew(tmp_path, Watch())
        hands = [device(house, name, 5) for name in ("Shed phone", "Kitchen")]
        server.back_up()
        before = entered(hands[0], "Before it")
        epoch, position, right = house.epoch, house.position(), moment(server)
        server.server.run("DELETE FROM reservation; UPDATE balance SET on_hand = 0; DELETE FROM share", urlsplit(address).path.lstrip("/"))
        assert house.check() != [], "the wrong act did nothing"
        after = entered(hands[1], "After it")
        hands[1].note_person(name="In hand")
        backup = house.backup()
        house.close()
        server.go_back(right)
        with pytest.raises(RecordsTrouble, match=f"went back to entry {position}. Every backup reaches further, to entry {position + 1} "):
            House.open(tmp_path / "data", now=Watch())
        backup.rename(tmp_path / backup.name)
        (tmp_path / "data" / "backups" / f"{backup.name}.json").rename(tmp_path / f"{backup.name}.json")
        house = House.open(tmp_path / "data", now=Watch())
        try:
            assert house.position() == position and house.epoch != epoch and house.recovering() and house.check() == []
            assert there(house, before) and not there(house, after)
            for hand in [*hands, *hands]:
                hand.transport = DirectTransport(house)
                hand.exchange()
                assert hand.in_hand == [] and hand.needs_you == []
            assert there(house, after) and not house.recovering() and house.check() == [] and hands[0].share("bar") == 5
            begun = house.epoch
        finally:
            house.close()
        again = House.open(tmp_path / "data", now=Watch())
        assert again.epoch == begun, "it went back once"
        again.close()
