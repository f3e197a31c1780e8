"""Two servers that both take writes, for one was promoted and the other came back: whoever was served from the later one stays there."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from shutil import rmtree
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport

import postgresql_server
from honeyhold.app.command_line import main
from honeyhold.house.between_processes import BetweenProcesses
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.records.errors import HistoryWentBack, RecordsSilent, RecordsTrouble
from honeyhold.records.models import Person
from honeyhold.records.one_server import LOOK_S, TIMELINE, OneServer, OtherServer, each_alone
from honeyhold.records.postgresql_records import parts_of
from honeyhold.records.shared_database import WARNED_EACH_S, SharedDatabase
from honeyhold.records.timelines import FOLDER, OlderServer, Place, Timelines
from honeyhold.replication.recovery import epoch_begins
from hosting.many import KEEPER, furnish
from hosting.processes import until
from postgresql_pair import Pair, pair
from postgresql_server import Server
from replication.houses import MONDAY, Watch, device, movement

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
    return int(many.shared.rows(f"SELECT {TIMELINE}")[0][0], 16)


def told(house: House) -> str:
    """On which a house writes, by the connection that its next write has."""
    with house.records.read():
        return str(house.records.sql(f"SELECT {TIMELINE}").fetchone()[0])


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
        for _ in range(2):  # who asks hears each time that it must be started again, not that the database is away
            with pytest.raises(HistoryWentBack):
                house.write("buy", [movement("bar", 1)])
            with pytest.raises(HistoryWentBack):
                house.position()
    with closing(House.open(tmp_path)) as again:
        assert again.epoch != epoch
    come_back(servers)
    with pytest.raises(OlderServer) as found:
        House.open(tmp_path)
    assert f"remove {tmp_path / FOLDER}, and start Honeyhold again" in found.value.remedy


def parts_with_the_later_one(servers: Pair, data: Path) -> None:
    """What `OlderServer` says for a keeper who goes back on purpose: the other server stops, the notes are removed."""
    come_back(servers)
    servers.standby.halt()
    rmtree(data / FOLDER)


def goes_on_without_what_was_said_elsewhere(house: House, phone: DeviceClient, kitchen: DeviceClient, person: str) -> None:
    """Nothing is granted before both have said what they have; then all of it is there."""
    assert house.recovering() and not there(house, person)
    for hand in (phone, kitchen):
        hand.transport = DirectTransport(house)
    kitchen.exchange(callers={"bar": 3})
    assert kitchen.share("bar") == 0
    phone.exchange()
    assert there(house, person) and not house.recovering() and phone.in_hand == phone.needs_you == []
    kitchen.exchange(callers={"bar": 3})
    assert kitchen.share("bar") == 3 and house.check() == []


def at_the_later_one(house: House, phone: DeviceClient, kitchen: DeviceClient) -> str:
    """What is said while the other server serves: a promise, and the person it is for."""
    for hand in (phone, kitchen, phone):
        hand.transport = DirectTransport(house)
        hand.exchange()
    assert not house.recovering()
    person = phone.note_person(name="Ruth")
    phone.promise([("bar", 4)], person=person)
    phone.exchange()
    assert phone.in_hand == []
    return person


def there(house: House, person: str) -> bool:
    """Whether somebody is in the records."""
    with house.records.read():
        return house.records.there(Person, person)


def test_a_house_that_goes_back_on_purpose_begins_a_new_epoch_and_grants_nothing_before_all_was_said(servers: Pair, tmp_path: Path) -> None:
    with closing(House.open(tmp_path, now=Watch(), database=address_of(servers))) as house:
        furnish(house, NAME)
        phone, kitchen = device(house, "Phone", 5), device(house, "Kitchen")
        first = house.epoch
        taken_over(servers)
    with closing(House.open(tmp_path, now=Watch())) as house:
        person, second = at_the_later_one(house, phone, kitchen), house.epoch
    parts_with_the_later_one(servers, tmp_path)
    with closing(House.open(tmp_path, now=Watch())) as house:
        third = house.epoch
        assert epoch_begins(third) > epoch_begins(second) > epoch_begins(first)
        goes_on_without_what_was_said_elsewhere(house, phone, kitchen, person)
    with closing(House.open(tmp_path, now=Watch())) as house:
        assert house.epoch == third, "it went back once"


def test_a_house_with_a_backup_of_the_later_server_does_not_go_back_but_by_it(servers: Pair, tmp_path: Path) -> None:
    """What that backup holds devices have forgotten."""
    with closing(House.open(tmp_path, now=Watch(), database=address_of(servers))) as house:
        furnish(house, NAME)
        phone, kitchen = device(house, "Phone", 5), device(house, "Kitchen")
        taken_over(servers)
    with closing(House.open(tmp_path, now=Watch())) as house:
        person, second = at_the_later_one(house, phone, kitchen), house.epoch
        backup = house.backup()
    parts_with_the_later_one(servers, tmp_path)
    with pytest.raises(RecordsTrouble, match="there are backups of a later time") as found:
        House.open(tmp_path, now=Watch())
    assert f"honeyhold restore FILE --data {tmp_path}" in found.value.remedy
    assert main(["restore", str(backup), "--data", str(tmp_path)]) == 0
    with closing(House.open(tmp_path, now=Watch())) as house:
        assert epoch_begins(house.epoch) > epoch_begins(second) and house.recovering() and there(house, person)


def test_a_house_of_many_that_goes_back_on_purpose_begins_a_new_epoch(servers: Pair, tmp_path: Path) -> None:
    with served(address_of(servers), tmp_path) as many:
        furnished(many)
        with many.lent(NAME) as house:
            phone, kitchen = device(house, "Phone", 5), device(house, "Kitchen")
        taken_over(servers)
    with served(address_of(servers), tmp_path) as many, many.lent(NAME) as house:
        person, second = at_the_later_one(house, phone, kitchen), house.epoch
    parts_with_the_later_one(servers, tmp_path)
    with served(address_of(servers), tmp_path) as many, served(address_of(servers), tmp_path) as other, many.lent(NAME) as house:
        assert epoch_begins(house.epoch) > epoch_begins(second)
        with other.lent(NAME) as beside:
            assert beside.epoch == house.epoch
        goes_on_without_what_was_said_elsewhere(house, phone, kitchen, person)


def test_a_command_that_only_looks_at_a_copy_stops_nobody(servers: Pair, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The rehearsal: a copy is promoted, and its houses are listed; those who are served go on where they are."""
    here = servers.primary.address("houses").replace("honeyhold@", f"{KEEPER}@")
    with served(here, tmp_path) as many:
        epoch = furnished(many)
        taken_over(servers)
        come_back(servers)
        copy = servers.standby.address("houses").replace("honeyhold@", f"{KEEPER}@")
        assert main(["houses", "list", "--database", copy, "--data", str(tmp_path)]) == 0 and NAME in capsys.readouterr().out
        time.sleep(LOOK_S)
        with many.lent(NAME) as house:
            house.write("buy", [movement("bar", 1)])
            assert house.epoch == epoch
        assert [one.name[-1] for one in (tmp_path / FOLDER).iterdir()] == ["1"]
        assert main(["houses", "code", NAME, "--database", copy, "--data", str(tmp_path)]) == 0  # a house begins there
        assert sorted(one.name[-1] for one in (tmp_path / FOLDER).iterdir()) == ["1", "2"]


def test_what_processes_tell_each_other_goes_over_to_the_later_server(servers: Pair, tmp_path: Path) -> None:
    with served(address_of(servers), tmp_path) as many:
        between = BetweenProcesses(many.shared, many)
        many.when_opened = between.join
        between.start()
        try:
            furnished(many)
            until(lambda: len(talking(servers.primary)) == 2, "one connection tells, one hears")
            taken_over(servers)
            many.shared.lender.close()
            with pytest.raises(RecordsSilent), many.lent(NAME) as house:
                house.position()
            with many.lent(NAME) as house:
                house.write("buy", [movement("bar", 1)])
            until(lambda: len(talking(servers.standby)) == 2, "both are at the server that took over")
            until(lambda: not talking(servers.primary), "nothing is told at the one that was left")
        finally:
            between.stop()


def talking(server: Server) -> list[str]:
    """The connections over which processes tell each other, by their last statement."""
    return [query for (query,) in server.run("SELECT query FROM pg_stat_activity WHERE query ~ '^(LISTEN|SELECT pg_notify)'")]


def test_two_servers_promoted_from_one_are_told_apart_while_both_run() -> None:
    server = OneServer(parts_of(postgresql_server.needed().address("postgres")))
    server.anchored().close()
    server.joined().close()
    assert server.place is not None and not server.doubted()
    server.place = replace(server.place, started="0.5")
    with pytest.raises(OtherServer):
        server.joined()
    assert server.doubted()


def test_notes_that_cannot_be_read_are_told_once_and_kept_in_memory(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    (tmp_path / FOLDER).write_text("no folder")
    notes = Timelines(tmp_path)
    for _ in range(2):
        notes.must_be_the_newest(Place("1", "00000002"))
    with pytest.raises(OlderServer):
        notes.must_be_the_newest(Place("1", "00000001"))
    assert [one.message.split(";")[0] for one in caplog.records] == ["Which database servers were served from cannot be noted or read"]


def test_what_stands_in_the_way_is_told_when_it_changes_and_once_a_minute(caplog: pytest.LogCaptureFixture) -> None:
    with closing(SharedDatabase(postgresql_server.needed().address("postgres"))) as shared:
        for words in ("one", "one", "other", "other", "one"):
            shared._warn(words)
        assert [one.message for one in caplog.records] == ["one", "other", "one"]
        shared._said = "one", time.monotonic() - WARNED_EACH_S - 1
        shared._warn("one")
        shared._warn("one")
        assert [one.message for one in caplog.records] == ["one", "other", "one", "one"]


def test_notes_that_were_removed_are_forgotten_by_whoever_runs(tmp_path: Path) -> None:
    notes = Timelines(tmp_path)
    notes.note(Place("1", "00000002"))
    rmtree(tmp_path / FOLDER)
    assert not notes.is_left(Place("1", "00000001"))


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
