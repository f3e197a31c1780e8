"""Many houses in one database: each finds its own records and nothing of any other's, even where a statement is wrong."""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any

import psycopg
import pytest
from peewee import ProgrammingError
from playhouse.pool import MaxConnectionsExceeded

import postgresql_server
from honeyhold.house import many_houses
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.operations.errors import UnknownDevice
from honeyhold.records import lending, shared_database
from honeyhold.records.errors import RecordsMovedOn, RecordsSilent, RecordsTrouble, SecondHouse
from honeyhold.records.house_register import FROZEN, OPEN, BadHouseName, HouseFrozen, HouseRegister, UnknownHouse
from honeyhold.records.lending import Lender
from honeyhold.records.shared_database import HostedRecords, SharedDatabase
from hosting.many import houses
from replication.houses import MONDAY, device


def schema_of(many: Houses, name: str) -> str:
    """Where a house's tables are."""
    return many.known()[name].owner.schema


def one_connection(many: Houses) -> None:
    """From now on all houses have one connection together."""
    many.shared.lender.close()
    many.shared.lender.most = 1


def names_of(house: House) -> str:
    """The house's own name, as its records have it."""
    return str(house.settings().get("name"))


def test_each_house_finds_its_own_records(two: Houses) -> None:
    with two.lent("willow") as willow, two.lent("maple") as maple:
        hand = device(willow, "Shed phone", 5)
        hand.promise([("bar", 2)], person=hand.note_person(name="Somebody"))
        hand.exchange()
        assert (names_of(willow), names_of(maple)) == ("House of willow", "House of maple")
        assert willow.position() > maple.position() and willow.epoch != maple.epoch
        assert willow.check() == maple.check() == []
        with pytest.raises(UnknownDevice):
            maple.device_for(hand.identity["token"])
    assert sorted(path.name for path in two.data.iterdir()) == [".timelines", "maple", "willow"]


def test_one_connection_serves_every_house_and_its_prepared_statements_find_the_right_tables(two: Houses) -> None:
    """Twelve turns about on one connection: the driver prepares a statement at its fifth time."""
    one_connection(two)
    with two.lent("willow") as willow, two.lent("maple") as maple:
        for _ in range(12):
            assert (names_of(willow), names_of(maple)) == ("House of willow", "House of maple")
        assert two.shared.lender.open() == 1


WRONG = {
    "another house's table by its whole name": "SELECT * FROM {other}.person",
    "a row into another house": "INSERT INTO {other}.meta (key, value) VALUES ('epoch', 'x')",
    "a change in another house": "UPDATE {other}.setting SET value = '\"x\"'",
    "another house's table is emptied": "TRUNCATE {other}.operation",
    "another house's table is dropped": "DROP TABLE {other}.operation",
    "another house's schema is dropped": "DROP SCHEMA {other} CASCADE",
    "a table of its own in another house": "CREATE TABLE {other}.mine (id TEXT)",
    "a foreign key into another house": "CREATE TABLE mine (id TEXT REFERENCES {other}.person (id))",
    "a view over another house": "CREATE VIEW mine AS SELECT * FROM {other}.person; SELECT * FROM mine",
    "another house's counter": "SELECT nextval('{other}.operation_rowid_seq')",
    "the list of houses": "SELECT * FROM honeyhold_host.house",
    "a table in everybody's schema": "CREATE TABLE public.mine (id TEXT)",
    "the passwords of the server": "SELECT * FROM pg_authid",
    "a file of the server": "SELECT pg_read_file('/etc/hostname')",
    "a program of the server": "COPY meta FROM PROGRAM 'id'",
    "a role for itself": "CREATE ROLE mine",
}  # fmt: skip


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_statement_is_refused_by_the_database_itself(two_of_the_file: Houses, what: str) -> None:
    with two_of_the_file.lent("willow") as willow, two_of_the_file.lent("maple"):
        statement = WRONG[what].format(other=schema_of(two_of_the_file, "maple"))
        refused = pytest.raises(psycopg.errors.InsufficientPrivilege, match=r"permission denied|must be (owner|superuser)")
        with refused, willow.records.read():
            willow.records.database.connection().execute(statement)
        assert names_of(willow) == "House of willow" and willow.check() == []


def test_a_table_of_another_house_that_the_catalog_names_is_refused(two: Houses) -> None:
    """The catalog tells every role which tables there are; what is in them it tells only the owner."""
    with two.lent("willow") as willow, willow.records.read():
        found = willow.records.sql(
            "SELECT n.nspname, c.relname FROM pg_class AS c JOIN pg_namespace AS n ON n.oid = c.relnamespace "
            "WHERE c.relkind = 'r' AND n.nspname = ? ORDER BY 2", schema_of(two, "maple"),
        ).fetchall()  # fmt: skip
        assert len(found) > 20
        for schema, table in found:
            with pytest.raises(ProgrammingError, match="permission denied"):
                willow.records.sql(f'SELECT * FROM {schema}."{table}"')


def test_a_search_path_left_behind_reads_nothing_of_another_house_and_the_connection_is_not_used_again(two: Houses) -> None:
    with two.lent("willow") as willow, two.lent("maple") as maple:
        with willow.records.read():
            willow.records.sql(f"SET search_path = {schema_of(two, 'maple')}")
            left = willow.records.database.connection()
        with pytest.raises(ProgrammingError, match=r"does not exist|permission denied"):
            names_of(willow)  # it had this connection last, and is lent it again as it is
        assert left.closed and names_of(willow) == "House of willow" and names_of(maple) == "House of maple"
        one_connection(two)
        with maple.records.read():
            maple.records.sql(f"SET search_path = {schema_of(two, 'maple')}, public")
            left = maple.records.database.connection()
        with willow.records.read():
            assert willow.records.database.connection() is left  # it is lent to another house, and told anew whose it is
            assert names_of(willow) == "House of willow"


def test_a_temporary_table_left_behind_hides_no_table_of_another_house(two: Houses) -> None:
    one_connection(two)
    with two.lent("willow") as willow, two.lent("maple") as maple:
        with willow.records.read():
            willow.records.sql("CREATE TEMPORARY TABLE setting (id TEXT, value TEXT)")
        assert names_of(maple) == "House of maple" and names_of(willow) == "House of willow"


def test_a_connection_in_an_open_transaction_is_closed_and_never_lent(two: Houses) -> None:
    lender = two.shared.lender
    owner = two.known()["willow"].owner
    connection = lender.lend(owner)
    connection.execute("BEGIN")
    lender.take_back(connection)
    assert connection.closed
    connection = lender.lend(owner)
    lender.doubt(connection)
    lender.take_back(connection)
    assert connection.closed


def test_a_connection_that_cannot_become_the_house_is_closed_and_its_place_is_free_again(address: str, two: Houses) -> None:
    lender = Lender(address, most=1)
    gone = type(two.known()["willow"].owner)("house_999", "honeyhold_1_999")
    for _ in range(3):
        with pytest.raises(psycopg.errors.InvalidParameterValue, match="does not exist"):
            lender.lend(gone)
    assert lender.open() == 0
    lender.take_back(lender.lend(two.known()["maple"].owner))
    lender.close()


def test_all_houses_together_have_no_more_connections_than_were_allowed(address: str, two: Houses) -> None:
    lender = Lender(address, most=2)
    owners = [one.owner for one in two.known().values()]
    lent = [lender.lend(owner) for owner in owners]
    with pytest.raises(MaxConnectionsExceeded, match="All 2 connections"):
        lender.lend(owners[0])
    begun_s = time.monotonic()
    lender.wait(0.1)
    assert time.monotonic() - begun_s >= 0.1  # whoever waits leaves the processor to the others
    lender.take_back(lent[0])
    begun_s = time.monotonic()
    lender.wait(60)
    assert time.monotonic() - begun_s < 30, "it waited for one that had come back"
    again = lender.lend(owners[0])
    assert again is lent[0] and lender.open() == 2
    for one in (again, lent[1]):
        lender.take_back(one)
    assert lender.lend(owners[1]) is lent[1]  # its own, though another lay idle longer
    lender.take_back(lent[1])
    lender.close()


def test_a_house_waits_for_a_connection_and_says_so_when_none_came_back(two: Houses) -> None:
    lender = two.shared.lender
    lender.most, lender.waits_s = lender.open(), 0.05
    with two.lent("willow") as willow, two.lent("maple"):
        held = [lender.lend(two.known()["maple"].owner) for _ in range(lender.most)]
        with pytest.raises(RecordsSilent) as trouble:
            names_of(willow)
        assert "connections" in str(trouble.value.__cause__)
        lender.waits_s = 60.0
        back = threading.Thread(target=lambda: [lender.take_back(one) for one in held])
        back.start()
        assert names_of(willow) == "House of willow"
        back.join()


def test_a_connection_that_went_from_house_to_house_for_long_is_closed(two: Houses, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lending, "CHANGES_MOST", 3)
    lender = Lender(two.shared.address, most=1)
    owners = [one.owner for one in two.known().values()]
    connection = lender.lend(owners[0])
    for owner in (owners[1], owners[0]):
        lender.take_back(connection)
        assert lender.lend(owner) is connection
    lender.take_back(connection)
    assert connection.closed and lender.open() == 0
    lender.take_back(lender.lend(owners[0]))
    lender.close()


def test_many_threads_in_two_houses_share_four_connections(two: Houses) -> None:
    two.shared.lender.most = 4
    wrong: list[str] = []

    def work(name: str) -> None:
        for turn in range(15):
            with two.lent(name) as house:
                house.write("set_house", [{"table": "setting", "id": "note", "value": f"{name} {turn}"}])
                if names_of(house) != f"House of {name}" or not str(house.settings()["note"]).startswith(name):
                    wrong.append(name)

    threads = [threading.Thread(target=work, args=(name,)) for name in ("willow", "maple") * 4]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(120)
    assert wrong == [] and two.shared.lender.open() <= 4
    with two.lent("willow") as willow, two.lent("maple") as maple:
        assert willow.check() == maple.check() == [] and willow.position() == maple.position() == 3 + 4 * 15


def test_a_house_that_nobody_uses_is_let_go_and_found_again(address: str, tmp_path: Path) -> None:
    with houses(address, tmp_path, "willow", "maple", "rowan", open_most=2) as many:
        assert sorted(many.open_now()) == ["maple", "rowan"]
        with many.lent("maple"), many.lent("willow") as willow:
            assert sorted(many.open_now()) == ["maple", "willow"] and names_of(willow) == "House of willow"
        many._idle_s = -1.0
        lease = many.take("maple")
        many.tidy()
        assert many.open_now() == ["maple"]  # somebody is in it
        lease.leave()
        lease.leave()
        many.tidy()
        assert many.open_now() == []
        with many.lent("maple") as maple:
            assert names_of(maple) == "House of maple"


def test_where_there_is_no_room_for_another_the_house_goes_that_was_asked_for_longest_ago(address: str, tmp_path: Path) -> None:
    """What the server does for a house by itself is no asking."""
    with houses(address, tmp_path, "willow", "maple", "rowan", open_most=2) as many:
        for name, quietly, open_then in (
            ("maple", False, {"rowan", "maple"}), ("willow", False, {"maple", "willow"}), ("maple", True, {"maple", "willow"}),
            ("rowan", False, {"willow", "rowan"}),
        ):  # fmt: skip
            many.take(name, quietly).leave()
            assert set(many.open_now()) == open_then
        assert many.open_here("rowan") is not None and many.open_here("maple") is None
        many._idle_s = 60.0
        many.tidy()
        assert set(many.open_now()) == {"willow", "rowan"}  # asked for a moment ago
        many._opened["willow"].used_at_s -= 61
        many.take("willow", quietly=True).leave()
        many.tidy()
        assert many.open_now() == ["rowan"]


def test_a_house_that_cannot_be_opened_takes_nobody_s_place(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = House.hosted

    def hosted(folder: Path, *given: Any, **more: Any) -> House:
        if folder.name == "rowan":
            raise RecordsSilent
        return opened(folder, *given, **more)

    monkeypatch.setattr(House, "hosted", hosted)
    with houses(address, tmp_path, "willow", "maple", open_most=2) as many:
        many.register.add("rowan", MONDAY)
        many.read_register()
        for _ in range(2):
            with pytest.raises(RecordsSilent):
                many.take("rowan")
            many.take("maple").leave()
            assert set(many.open_now()) == {"willow", "maple"}


def test_a_house_that_is_long_in_opening_keeps_few_waiting(two: Houses) -> None:
    two._idle_s = -1.0
    two.tidy()
    entry = two._entry("willow", quietly=False)
    entry.opening.acquire()
    waiting = [threading.Thread(target=lambda: two.take("willow").leave()) for _ in range(many_houses.OPENING_MOST - 1)]
    for thread in waiting:
        thread.start()
    while entry.users < many_houses.OPENING_MOST:
        time.sleep(0.001)  # a state of another thread, which nobody tells
    with pytest.raises(many_houses.StillOpening):
        two.take("willow")
    with two.lent("maple") as maple:
        assert names_of(maple) == "House of maple"
    entry.opening.release()
    for thread in waiting:
        thread.join()
    two.left(entry, quietly=False)
    assert entry.users == 0 and sorted(two.open_now()) == ["maple", "willow"]


def test_a_frozen_house_lets_nobody_in_and_goes_when_its_last_user_leaves(two: Houses) -> None:
    lease = two.take("willow")
    two.register.set_state("willow", FROZEN)
    two.read_register()
    with pytest.raises(HouseFrozen) as trouble:
        two.take("willow")
    assert trouble.value.status == 503 and trouble.value.remedy
    two.tidy()
    assert "willow" in two.open_now()
    lease.leave()
    two.tidy()
    assert two.open_now() == ["maple"]
    two.register.set_state("willow", OPEN)
    two.read_register()
    with two.lent("willow") as willow:
        assert names_of(willow) == "House of willow"


NO_LABELS = ["", "Willow", "-willow", "willow-", "wil.low", "wil_low", "w" * 64, "willow;drop", "localhost", "ä", "a b"]


@pytest.mark.parametrize("name", NO_LABELS)
def test_a_name_that_is_no_label_is_refused_in_words(two_of_the_file: Houses, name: str) -> None:
    with pytest.raises(BadHouseName) as trouble:
        two_of_the_file.register.add(name, MONDAY)
    assert "small letters" in trouble.value.remedy
    with pytest.raises(UnknownHouse):
        two_of_the_file.take(name)


def test_a_server_writes_nothing_into_a_house_that_a_newer_one_moved_to_its_schema(two: Houses) -> None:
    """The newer one's part is played by a number that this one does not know."""
    with two.lent("willow") as willow, two.lent("maple") as maple:
        with willow.records.write():
            known = willow.records.meta("schema_version")
            willow.records.set_meta("schema_version", str(int(known) + 1))
        position = willow.position()
        with pytest.raises(RecordsMovedOn) as trouble:
            willow.write("set_house", [{"table": "setting", "id": "note", "value": "late"}])
        assert willow.position() == position and trouble.value.status == 503 and trouble.value.wait_s > 0
        for _ in range(2):  # set aside, and not opened again; for reads as for writes
            with pytest.raises(RecordsMovedOn):
                two.take("willow")
        maple.write("set_house", [{"table": "setting", "id": "note", "value": "on"}])
        with willow.records.read():
            willow.records.set_meta("schema_version", known)
    with two.lent("willow") as again:
        assert again is not willow and names_of(again) == "House of willow"


def test_of_all_who_ask_a_database_that_is_away_one_waits_for_it(two: Houses, monkeypatch: pytest.MonkeyPatch) -> None:
    tries: list[str] = []

    def connect(**asked: object) -> None:
        tries.append(str(asked["dbname"]))
        raise psycopg.OperationalError("no answer in five seconds")

    for name in ("FAILED_S", "FAILED_S_LEAST"):
        monkeypatch.setattr(shared_database, name, 3600.0)
    with monkeypatch.context() as away:
        away.setattr(shared_database.psycopg, "connect", connect)
        assert two.shared._anchor is not None
        two.shared._anchor.close()
        two._known_at_s = float("-inf")
        for _ in range(5):
            assert two.kept("willow").name == "willow"  # what every house has alike needs no database
            with pytest.raises(RecordsSilent):
                two.take("willow")
        assert len(tries) == 1
    monkeypatch.setattr(shared_database, "FAILED_S", 0.0)
    with two.lent("willow") as willow:
        assert names_of(willow) == "House of willow"


def test_while_one_reads_the_register_the_others_go_by_what_is_known(two: Houses) -> None:
    two._known_at_s = float("-inf")
    with two._reading:
        assert two.kept("willow").name == "willow"


def test_a_house_is_not_made_twice(two: Houses) -> None:
    with pytest.raises(RecordsTrouble, match="already"):
        two.register.add("willow", MONDAY)


def test_a_role_that_may_not_make_houses_is_told_what_to_grant(address: str, two: Houses) -> None:
    granted = "GRANT USAGE ON SCHEMA honeyhold_host TO poor_keeper; GRANT ALL ON ALL TABLES IN SCHEMA honeyhold_host TO poor_keeper"
    postgresql_server.cluster().run(f"CREATE ROLE poor_keeper LOGIN; {granted}", postgresql_server.cluster().made[-1])
    poor = SharedDatabase(address.replace("keeper_of_houses@", "poor_keeper@"))
    try:
        with pytest.raises(RecordsTrouble) as trouble:
            HouseRegister(poor).add("rowan", MONDAY)
        assert "CREATEROLE" in trouble.value.remedy and "rowan" not in two.register.all()
    finally:
        poor.close()
        postgresql_server.cluster().run("DROP OWNED BY poor_keeper; DROP ROLE poor_keeper", postgresql_server.cluster().made[-1])


def test_two_processes_serve_a_house_but_whoever_needs_it_alone_waits_for_both(address: str, two: Houses) -> None:
    """A second process's part is played by a second anchor: locks belong to connections."""
    other = SharedDatabase(address)
    owner = two.known()["willow"].owner
    beside = HostedRecords(other, owner)
    with beside.read():
        assert beside.meta("epoch")
    with pytest.raises(SecondHouse):
        HostedRecords(other, owner, alone=True)
    beside.close()
    with two.lent("willow"), pytest.raises(SecondHouse):
        HostedRecords(other, owner, alone=True)
    two._idle_s = -1.0
    two.tidy()
    alone = HostedRecords(other, owner, alone=True)
    with pytest.raises(SecondHouse):
        two.take("willow")
    alone.close()
    with two.lent("willow") as willow:
        assert names_of(willow) == "House of willow"
    other.close()


def test_a_house_that_is_let_go_twice_does_not_let_go_what_has_it_since(address: str, two: Houses) -> None:
    """All of a process's houses are held by one connection, whose locks are counted: a second letting go would be another's."""
    two._idle_s = -1.0
    two.tidy()  # nobody else has it
    shared, elsewhere, owner = SharedDatabase(address), SharedDatabase(address), two.known()["willow"].owner
    before = HostedRecords(shared, owner)
    before.close()
    since = HostedRecords(shared, owner)
    before.close()
    with pytest.raises(SecondHouse):
        HostedRecords(elsewhere, owner, alone=True)
    since.close()
    HostedRecords(elsewhere, owner, alone=True).close()
    shared.close()
    elsewhere.close()


def test_after_the_server_was_started_anew_every_house_goes_on_and_is_held_again(address: str, two: Houses) -> None:
    with two.lent("willow") as willow, two.lent("maple") as maple:
        epochs = (willow.epoch, maple.epoch)
        postgresql_server.cluster().restart()
        willow.write("set_house", [{"table": "setting", "id": "name", "value": "Still here"}])
        assert names_of(willow) == "Still here" and names_of(maple) == "House of maple"
    with two.lent("willow") as willow, two.lent("maple") as maple:
        assert (willow.epoch, maple.epoch) == epochs
        other = SharedDatabase(address)
        for name in ("willow", "maple"):
            with pytest.raises(SecondHouse):
                HostedRecords(other, two.known()[name].owner, alone=True)
        other.close()


def test_a_house_whose_tables_were_put_back_behind_its_back_begins_a_new_epoch_and_its_neighbour_does_not(two: Houses) -> None:
    server = postgresql_server.cluster()
    name, schema = server.made[-1], schema_of(two, "willow")
    with two.lent("willow") as willow, two.lent("maple") as maple:
        epochs = (willow.epoch, maple.epoch)
    server.run(f"ALTER TABLE {schema}.operation RENAME TO gone", name)
    server.run(f"CREATE TABLE {schema}.operation (LIKE {schema}.gone INCLUDING ALL)", name)
    server.run(f"ALTER TABLE {schema}.operation OWNER TO {two.known()['willow'].owner.role}", name)
    server.run(f"INSERT INTO {schema}.operation OVERRIDING SYSTEM VALUE SELECT * FROM {schema}.gone", name)
    ended = "pg_terminate_backend(pid, 30000)"  # waits until they are gone
    server.run(f"SELECT {ended} FROM pg_stat_activity WHERE datname = '{name}' AND pid <> pg_backend_pid()")
    with pytest.raises((RecordsTrouble, RecordsSilent)):
        willow.write("set_house", [{"table": "setting", "id": "name", "value": "Nowhere"}])
    with two.lent("willow") as again, two.lent("maple") as beside:
        assert again is not willow and again.epoch != epochs[0] and beside is maple and beside.epoch == epochs[1]
        again.write("set_house", [{"table": "setting", "id": "name", "value": "Here"}])
