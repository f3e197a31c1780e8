"""Two servers that both take writes, for one was promoted and the other came back: whoever was served from the later one stays there."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

import postgresql_server
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.records.errors import RecordsSilent, RecordsTrouble
from honeyhold.records.one_server import LOOK_S, each_alone
from honeyhold.records.shared_database import SharedDatabase
from honeyhold.records.timelines import FOLDER, OlderServer, Place, Timelines
from hosting.many import KEEPER, furnish
from hosting.processes import until
from postgresql_pair import Pair, pair
from replication.houses import MONDAY, Watch, movement

NAME = "willow"
pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells which processes are a server's")


@pytest.fixture
def servers() -> Iterator[Pair]:
    """A primary and its standby, with a database that a keeper has."""
    postgresql_server.must_be_installed()
    with pair(synchronous=False) as found:
        found.primary.run(f"CREATE ROLE {KEEPER} LOGIN CREATEROLE")
        found.primary.run(f"CREATE DATABASE houses OWNER {KEEPER}")
        yield found


def address_of(servers: Pair) -> str:
    """Both of them, as a keeper names them."""
    return servers.address("houses").replace("honeyhold@", f"{KEEPER}@")


@contextmanager
def served(address: str, data: Path) -> Iterator[Houses]:
    """The houses as a worker has them."""
    with closing(SharedDatabase(address, folder=data)) as shared, closing(Houses(shared, data, now=Watch())) as many:
        yield many


def furnished(many: Houses) -> str:
    """One house; its epoch."""
    many.register.add(NAME, MONDAY)
    many.read_register()
    with many.lent(NAME) as house:
        furnish(house, NAME)
        return house.epoch


def taken_over(servers: Pair) -> None:
    """The standby is promoted, and the primary, which nobody ended, takes no new writers for a while."""
    caught_up = f"SELECT 1 FROM pg_stat_replication WHERE replay_lsn >= '{servers.primary.run('SELECT pg_current_wal_lsn()')[0][0]}'"
    until(lambda: servers.primary.run(caught_up), "the standby has all")
    servers.promote()
    servers.primary.run("ALTER DATABASE houses SET default_transaction_read_only = on")


def come_back(servers: Pair) -> None:
    """The one that was left takes writers again, and stands first in the address."""
    servers.primary.run("ALTER DATABASE houses SET default_transaction_read_only = off")


def timeline(many: Houses) -> int:
    """On which a process is."""
    return int(many.shared.rows("SELECT substr(pg_walfile_name(pg_current_wal_lsn()), 1, 8)")[0][0], 16)


def told(house: House) -> str:
    """On which a house writes, by the connection that its next write has."""
    with house.records.read():
        return str(house.records.sql("SELECT substr(pg_walfile_name(pg_current_wal_lsn()), 1, 8)").fetchone()[0])


def test_a_connection_to_a_server_that_took_over_is_not_lent_and_the_house_begins_a_new_epoch(servers: Pair, tmp_path: Path) -> None:
    """The anchor still lives, on the server that was left: without the looking the house would go on in the other one's records."""
    with served(address_of(servers), tmp_path) as many:
        epoch = furnished(many)
        taken_over(servers)
        with many.lent(NAME) as house:
            many.shared.lender.close()  # the next connection is a new one, and comes to the other server
            with pytest.raises(RecordsSilent):
                house.write("buy", [movement("bar", 1)])
        with many.lent(NAME) as anew:
            assert anew is not house and anew.epoch != epoch
            anew.write("buy", [movement("bar", 1)])
        assert timeline(many) == 2


def test_who_was_served_from_the_later_server_never_goes_back_to_the_one_that_was_left(servers: Pair, tmp_path: Path) -> None:
    with served(address_of(servers), tmp_path) as many, served(address_of(servers), tmp_path) as other:
        furnished(many)
        with other.lent(NAME) as before:
            before_epoch = before.epoch
        taken_over(servers)
        with served(address_of(servers), tmp_path) as later, later.lent(NAME) as house:
            assert (told(house), house.epoch == before_epoch) == ("00000002", False)
            come_back(servers)
            later.shared.lender.close()
            assert told(house) == "00000002"
            time.sleep(LOOK_S)  # the others see by the note that a later server was found, though theirs goes on
            for one in (many, other):
                with one.lent(NAME) as again:
                    assert (told(again), again.epoch) == ("00000002", house.epoch)
        with served(address_of(servers), tmp_path) as anew:
            assert timeline(anew) == 2  # the address leads to the other one first
        left = servers.primary.address("houses").replace("honeyhold@", f"{KEEPER}@")
        with pytest.raises(OlderServer, match="Another server took over from this PostgreSQL"):
            SharedDatabase(left, folder=tmp_path)
        assert sorted(one.name[-1] for one in (tmp_path / FOLDER).iterdir()) == ["1", "2"]


def test_while_only_the_server_that_was_left_answers_nobody_is_served(servers: Pair, tmp_path: Path) -> None:
    with served(address_of(servers), tmp_path) as many:
        furnished(many)
        taken_over(servers)
        many.shared.lender.close()
        with pytest.raises(RecordsSilent), many.lent(NAME) as house:
            house.position()
        with many.lent(NAME) as house:
            assert told(house) == "00000002"
        come_back(servers)
        servers.standby.halt()
        for _ in range(2):
            with pytest.raises(RecordsSilent), many.lent(NAME) as house:
                house.write("buy", [movement("bar", 1)])


def test_a_house_of_its_own_does_not_begin_on_a_server_that_was_left(servers: Pair, tmp_path: Path) -> None:
    address = address_of(servers)
    with closing(House.open(tmp_path, database=address)) as house:
        epoch = house.epoch
        taken_over(servers)
        house.records.database.close_all()  # type: ignore[attr-defined]
        with pytest.raises((RecordsSilent, RecordsTrouble)):
            house.write("buy", [movement("bar", 1)])
    with closing(House.open(tmp_path)) as again:
        assert again.epoch != epoch
    come_back(servers)
    with pytest.raises(OlderServer) as found:
        House.open(tmp_path)
    assert f"remove {tmp_path / FOLDER}" in found.value.remedy


def test_a_note_is_of_one_system_and_read_by_all(tmp_path: Path) -> None:
    notes, others = Timelines(tmp_path), Timelines(tmp_path)
    notes.note(Place("7000000000000000001", "0000000A"))
    assert others.is_left(Place("7000000000000000001", "00000009"))
    assert not others.is_left(Place("7000000000000000001", "0000000A")) and not others.is_left(Place("7000000000000000002", "00000001"))
    nowhere = Timelines(None)
    nowhere.must_be_the_newest(Place("1", "00000002"))
    with pytest.raises(OlderServer) as found:
        nowhere.must_be_the_newest(Place("1", "00000001"))
    assert "timeline 1, and timeline 2" in str(found.value)


@pytest.mark.parametrize(
    ("parts", "alone"),
    [
        ({"host": "first,second", "dbname": "honey"}, [{"host": "first", "dbname": "honey"}, {"host": "second", "dbname": "honey"}]),
        ({"host": "first,second", "port": "1,2"}, [{"host": "first", "port": "1"}, {"host": "second", "port": "2"}]),
        ({"host": "first,second", "port": "1"}, [{"host": "first", "port": "1"}, {"host": "second", "port": "1"}]),
        ({"host": "first", "port": "1"}, []),
        ({"dbname": "honey"}, []),
    ],
)
def test_an_address_of_several_servers_is_also_one_of_each(parts: dict[str, Any], alone: list[dict[str, Any]]) -> None:
    assert list(each_alone(parts)) == alone
