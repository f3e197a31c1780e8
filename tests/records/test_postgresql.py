"""What is PostgreSQL's own: one server at a time, a server that went away and came back, and a house that finds its database again."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from urllib.parse import urlsplit

import psycopg
import pytest
from peewee import DataError, IntegrityError

import postgresql_server
from honeyhold.api.app import make_app
from honeyhold.app.command_line import main
from honeyhold.house import device_registry
from honeyhold.house import house as house_module
from honeyhold.house.house import House
from honeyhold.house.where_kept import NoSuchStore, database_of, note
from honeyhold.operations import apply
from honeyhold.operations.errors import Refused
from honeyhold.records import postgresql_records
from honeyhold.records.errors import RecordsSilent, RecordsTrouble, SecondHouse
from honeyhold.records.models import Device, Good, Person
from honeyhold.records.shared_database import SharedDatabase
from honeyhold.records.timelines import Place
from hosting.processes import until
from postgresql_server import Cluster
from replication.houses import Watch, device, made_anew, movement
from storm.runs import run_seed

STORMY_SEED = 5
SERVER = Path(__file__).resolve().parents[2] / "server"


def in_database(folder: Path, address: str) -> House:
    """A small house of which the folder notes the address first."""
    House.open(folder / "data", now=Watch(), database=address).close()
    return made_anew(folder, Watch())


def test_a_house_lives_in_a_database_and_is_found_again_by_its_folder(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    house = in_database(tmp_path, address.replace("honeyhold@", "honeyhold:not-a-secret@"))
    hand = device(house, "Shed phone", 5)
    taken = hand.promise([("bar", 2)], person=hand.note_person(name="Somebody"))
    hand.exchange()
    position = house.position()
    house.close()
    assert database_of(tmp_path / "data") == address and not (tmp_path / "data" / "honeyhold.db").exists()
    again = House.open(tmp_path / "data", now=Watch())
    assert again.position() == position and again.check() == [] and taken.order
    assert again.records.size_bytes() > 100_000
    again.close()


def test_a_second_server_is_turned_away_from_another_folder_too(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    first = House.open(tmp_path / "one", database=address)
    with pytest.raises(SecondHouse) as trouble:
        House.open(tmp_path / "two", database=address)
    assert "database of its own" in trouble.value.remedy and database_of(tmp_path / "two") == ""
    first.close()
    House.open(tmp_path / "two", database=address).close()


def test_who_is_just_ending_is_waited_for(server: Cluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As the server has it: another connection holds the house, and ends while the next already waits for it."""
    address = server.database()
    name = urlsplit(address).path.lstrip("/")
    first = House.open(tmp_path / "one", database=address)
    monkeypatch.setattr(postgresql_records, "ENDS_MS", 30_000)
    waits = "SELECT 1 FROM pg_locks JOIN pg_database d ON d.oid = database WHERE locktype = 'advisory' AND NOT granted AND datname = "
    with ThreadPoolExecutor(1) as pool:
        second = pool.submit(House.open, tmp_path / "two", database=address)
        until(lambda: server.run(f"{waits} '{name}'"), "the second waits")
        assert not second.done()
        first.close()
        second.result(timeout=30).close()


def test_houses_in_two_schemas_of_one_database_do_not_meet(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    name = urlsplit(address).path.lstrip("/")
    for schema in ("lindens", "maples"):
        server.run(f"CREATE SCHEMA {schema}", name)
    houses = [House.open(tmp_path / one, database=f"{address}&options=-csearch_path%3D{one}") for one in ("lindens", "maples")]
    houses[0].write("set_house", [{"table": "setting", "id": "name", "value": "Nine Lindens"}])
    assert [house.settings().get("name") for house in houses] == ["Nine Lindens", None]
    for house in houses:
        house.close()


def test_after_the_server_was_started_anew_the_house_goes_on(server: Cluster, tmp_path: Path) -> None:
    """Connections that lay idle are noticed before they are used; the house is still this server's."""
    address = server.database()
    house = in_database(tmp_path, address)
    server.restart()
    house.write("set_house", [{"table": "setting", "id": "name", "value": "Still here"}])
    assert house.settings()["name"] == "Still here" and house.check() == []
    with pytest.raises(SecondHouse):
        House.open(tmp_path / "two", database=address)
    house.close()


def test_while_the_server_is_away_it_is_said_and_afterwards_the_house_goes_on(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    house = in_database(tmp_path, address)
    app = make_app(house)
    name = urlsplit(address).path.lstrip("/")
    token = house.enrol(house.new_code()["code"], "Shed phone")["token"]
    asked = {"headers": {"Authorization": f"Bearer {token}"}}
    server.run(f"ALTER DATABASE {name} ALLOW_CONNECTIONS false")
    server.run(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")
    answer = app.test_client().get("/api/mirror", **asked)
    assert answer.status_code == 503 and "may or may not have been kept" in answer.get_json()["detail"]
    with pytest.raises(RecordsSilent):
        house.write("set_house", [{"table": "setting", "id": "name", "value": "Nobody there"}])
    server.run(f"ALTER DATABASE {name} ALLOW_CONNECTIONS true")
    assert app.test_client().get("/api/mirror", **asked).status_code == 200
    house.write("set_house", [{"table": "setting", "id": "name", "value": "Back"}])
    assert house.settings()["name"] == "Back"
    house.close()


def test_no_write_lands_in_an_older_copy_that_came_in_its_place(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    house = in_database(tmp_path, address)
    name = urlsplit(address).path.lstrip("/")
    position = house.position()
    server.run("ALTER TABLE operation RENAME TO gone", name)
    server.run("CREATE TABLE operation (LIKE gone INCLUDING ALL)", name)
    server.run("INSERT INTO operation OVERRIDING SYSTEM VALUE SELECT * FROM gone", name)
    server.run(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}' AND pid <> pg_backend_pid()")
    for _ in range(2):
        with pytest.raises(RecordsTrouble, match="put back") as trouble:
            house.write("set_house", [{"table": "setting", "id": "name", "value": "Nowhere"}])
        assert "Start Honeyhold again" in trouble.value.remedy
    epoch = house.epoch
    house.close()
    again = House.open(house.folder, now=Watch())
    assert again.position() == position and again.epoch != epoch
    again.write("set_house", [{"table": "setting", "id": "name", "value": "Here"}])
    again.close()


def test_a_database_that_was_put_back_begins_a_new_epoch(server: Cluster, tmp_path: Path) -> None:
    """Devices send again what the older state lacks, as after a restore."""
    address = server.database()
    house = in_database(tmp_path, address)
    hand = device(house, "Shed phone", 5)
    house.close()
    older = urlsplit(address).path.lstrip("/")
    server.run("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND datname LIKE 'house%'")
    kept = urlsplit(server.database(older)).path.lstrip("/")
    house = House.open(tmp_path / "data", now=Watch())
    epoch = house.epoch
    hand.transport = house  # type: ignore[assignment]
    person = hand.note_person(name="Ruth")
    hand.exchange()
    house.close()
    # What pg_restore leaves: the same rows in tables that were made anew.
    server.run("ALTER TABLE operation RENAME TO gone", kept)
    server.run("CREATE TABLE operation (LIKE gone INCLUDING ALL)", kept)
    server.run("INSERT INTO operation OVERRIDING SYSTEM VALUE SELECT * FROM gone", kept)
    server.run("DROP TABLE gone", kept)
    note(tmp_path / "data", server.address(kept))
    house = House.open(tmp_path / "data", now=Watch())
    assert house.epoch != epoch and house.recovering()
    with house.records.read():
        assert not house.records.there(Person, person)
    hand.transport = house  # type: ignore[assignment]
    for _ in range(3):
        hand.exchange()
    with house.records.read():
        assert house.records.there(Person, person)
    assert not house.recovering() and house.check() == []
    epoch = house.epoch
    house.close()
    again = House.open(tmp_path / "data", now=Watch())
    assert again.epoch == epoch
    again.close()


def test_an_emptied_database_beside_a_list_of_devices_is_a_loss(server: Cluster, tmp_path: Path) -> None:
    house = in_database(tmp_path, server.database())
    device(house, "Shed phone")
    house.close()
    note(tmp_path / "data", server.database())
    with pytest.raises(RecordsTrouble, match="the database is missing or empty"):
        House.open(tmp_path / "data")


def test_a_mistyped_address_leaves_the_note_of_the_right_one(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    house = in_database(tmp_path, address)
    device(house, "Shed phone")
    house.close()
    with pytest.raises(NoSuchStore, match="another database") as trouble:
        House.open(house.folder, database=server.database())
    assert "restore FILE --database" in trouble.value.remedy and database_of(house.folder) == address
    House.open(house.folder, database=address + "&application_name=honey").close()
    assert database_of(house.folder) == address + "&application_name=honey"
    assert main(["restore", "--data", str(house.folder), "--database", server.address("nowhere"), str(tmp_path / "none.db")]) == 1
    assert database_of(house.folder) == address + "&application_name=honey"


@pytest.mark.parametrize(
    ("address", "noted"),
    [
        ("postgresql://u:s3cret@h:5/x?sslpassword=s3cret&host=/tmp&password=s3cret", "postgresql://u@h:5/x?host=/tmp"),
        ("postgresql://u:s3%40cret@h/x?password=s3cret", "postgresql://u@h/x"),
        ("postgresql://u@h/x?pass%77ord=s3cret", ""),
        ("postgresql://u:x@s3cret@h/x", ""),
        ("postgresql://u:x/s3cret@h/x", ""),
        ("postgresql://u:s3cret@h/x?nothing=", ""),
    ],
)
def test_no_password_is_noted_or_told(address: str, noted: str) -> None:
    pytest.importorskip("psycopg")
    from honeyhold.records.postgresql_records import without_secrets

    if noted:
        assert without_secrets(address) == noted
        return
    with pytest.raises(RecordsTrouble) as trouble:
        without_secrets(address)
    assert "s3cret" not in str(trouble.value) + trouble.value.remedy


def test_what_is_no_database_or_does_not_answer_is_said_and_not_noted(server: Cluster, tmp_path: Path) -> None:
    with pytest.raises(NoSuchStore, match="no address") as trouble:
        House.open(tmp_path / "data", database="mysql://here/house")
    assert "postgresql://" in trouble.value.remedy
    with pytest.raises(RecordsTrouble, match="does not answer.*does not exist"):
        House.open(tmp_path / "data", database=server.address("nowhere"))
    assert database_of(tmp_path / "data") == ""


@pytest.mark.of_a_file
def test_a_house_with_a_file_is_told_how_it_goes_into_a_database(server: Cluster, tmp_path: Path) -> None:
    House.open(tmp_path / "data").close()
    with pytest.raises(NoSuchStore, match=r"in its file honeyhold\.db") as trouble:
        House.open(tmp_path / "data", database=server.database())
    assert "honeyhold move --to" in trouble.value.remedy and database_of(tmp_path / "data") == ""


def test_a_server_that_forgets_commits_is_refused(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    server.run(f"ALTER DATABASE {urlsplit(address).path.lstrip('/')} SET synchronous_commit = off")
    for begin in (lambda: House.open(tmp_path / "data", database=address), lambda: SharedDatabase(address)):  # of one house, and of many
        with pytest.raises(RecordsTrouble, match="synchronous_commit = off"):
            begin()


def test_a_storm_ends_alike_on_both(server: Cluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The fault simulator, with a house stopped in the middle of a write and put back twice: no rule broken, and the same lands."""
    found = []
    for store in ("file", "database"):
        if store == "database":
            monkeypatch.setattr(house_module, "opened", postgresql_server.opened_in_it)
        (tmp_path / store).mkdir()
        found.append(run_seed(STORMY_SEED, 40, tmp_path / store))
    assert found[0] == found[1] and found[0]["violation"] is None
    assert found[1]["fired"]["house restored"] and found[1]["fired"]["house stopped in a write"]


def test_a_text_with_nul_is_refused_with_words_and_the_device_goes_on(server: Cluster, tmp_path: Path) -> None:
    house = in_database(tmp_path, server.database())
    hand = device(house, "Shed phone")
    hand.note_person(name="half\0name")
    good = hand.note_person(name="Ruth")
    hand.exchange()
    assert [told["why"] for told in hand.needs_you] and "cannot keep" in hand.needs_you[0]["why"]
    with house.records.read():
        assert house.records.there(Person, good)
    house.write("buy", [movement("bar", 1)])
    assert house.check() == []
    house.close()


def test_a_name_that_the_database_refuses_adds_no_device(server: Cluster, tmp_path: Path) -> None:
    """Its code stays good, nothing is noted, and the house opens again; one noted by an earlier version is told in letters it takes."""
    house = in_database(tmp_path, server.database())
    code = house.new_code()["code"]
    before = device_registry.known(house.folder)
    with pytest.raises(Refused, match="cannot keep"):
        house.enrol(code, "half\0name")
    assert device_registry.known(house.folder) == before
    device = house.enrol(code, "whole name")["device"]
    house.close()
    other = "0" * 8 + device[8:]
    noted = device_registry.known(house.folder)[device]
    device_registry.note(house.folder, {**noted, "id": other, "name": "half\0name", "mark": "Z", "token_hash": "f" * 64})
    again = House.open(house.folder, now=Watch())
    with again.records.read():
        found = again.records.row(Device, other)
    assert found is not None and found["name"] == "half\\x00name" and again.check() == []
    again.close()


def test_a_silent_server_is_given_up_in_seconds_unless_the_address_says_otherwise(server: Cluster, tmp_path: Path) -> None:
    for number, (more, waits) in enumerate((("", "5"), ("&connect_timeout=9", "9"))):
        house = House.open(tmp_path / str(number), database=server.database() + more)
        with house.records.read():
            found = house.records.database.connection().info.get_parameters()
        assert found["connect_timeout"] == waits and found["keepalives_idle"] == "30" and found["tcp_user_timeout"] == "15000"
        house.close()


def test_a_refusal_does_not_tell_whose_row_it_was(server: Cluster, tmp_path: Path) -> None:
    house = in_database(tmp_path, server.database())
    for kind in (IntegrityError, DataError):
        assert "Ruth" not in apply._refusal("x", kind("no such good\nDETAIL:  Failing row contains (Ruth).")).why
    with house.records.write(), pytest.raises(IntegrityError) as trouble, house.records.savepoint():
        house.records.set_meta("noted", "x")
        house.records.sql("INSERT INTO meta (key, value) VALUES (?, ?)", "noted", "y")
    assert "DETAIL" in str(trouble.value), "what the first line is taken of"
    house.close()


def test_a_schema_of_somebody_elses_is_refused_untouched(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    name = urlsplit(address).path.lstrip("/")
    server.run("CREATE TABLE somebodys (id bigint)", name)
    with pytest.raises(RecordsTrouble, match="not Honeyhold's: somebodys"):
        House.open(tmp_path / "data", database=address)
    assert server.run("SELECT tablename FROM pg_tables WHERE schemaname = 'public'", name) == [("somebodys",)]
    with pytest.raises(RecordsTrouble, match="names no schema that is there"):
        House.open(tmp_path / "data", database=f"{address}&options=-csearch_path%3Dnowhere")


def test_commands_find_the_database_by_the_folder(server: Cluster, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    house = in_database(tmp_path, server.database())
    house.close()
    data = ["--data", str(tmp_path / "data")]
    assert main(["check", *data]) == 0 and main(["code", *data]) == 0
    assert main(["export", *data, str(tmp_path / "all.zip")]) == 0
    assert main(["import", "--data", str(tmp_path / "new"), "--database", server.database(), str(tmp_path / "all.zip")]) == 0
    capsys.readouterr()
    assert main(["check", "--data", str(tmp_path / "new")]) == 0
    assert "Every sum agrees" in capsys.readouterr().out


SHED = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
sys.modules["psycopg"] = sys.modules["psycopg2"] = None  # as where neither is installed
from honeyhold.api.app import make_app
from honeyhold.app.command_line import main
from honeyhold.house.house import House
House.open(Path(sys.argv[2]) / "data").close()
print([name for name in sys.modules if name.startswith("playhouse") or name.endswith("postgresql_records")])
try:
    House.open(Path(sys.argv[2]) / "other", database="postgresql://here/house")
except Exception as trouble:
    print(trouble, trouble.remedy)
"""


def test_a_shed_needs_nothing_of_it(tmp_path: Path) -> None:
    """A house with a file runs where no driver is installed, and imports nothing that speaks with one; who asks is told what to do."""
    done = subprocess.run([sys.executable, "-c", SHED, str(SERVER), str(tmp_path)], check=True, capture_output=True, text=True)
    imported, told = done.stdout.splitlines()
    assert imported == "[]" and "not installed" in told and "honeyhold[postgresql]" in told


def test_what_hinders_a_look_is_told_by_whoever_looks_from_furthest_out(server: Cluster, tmp_path: Path) -> None:
    """Inside another look a trouble stays what it is; a full disk stays one everywhere."""
    house = in_database(tmp_path, server.database())
    records, gone, full = house.records, psycopg.OperationalError("gone"), psycopg.errors.DiskFull("no room")
    with pytest.raises(RecordsSilent) as silent, records.read():
        with pytest.raises(psycopg.OperationalError) as inner, records.read():
            raise gone
        assert inner.value is gone
        raise gone
    assert silent.value.__cause__ is gone
    with pytest.raises(psycopg.errors.DiskFull), records.read():
        raise full
    with records.read():
        assert records.has(Good, Good.id == "bar")
    house.close()


def test_a_server_is_known_by_what_it_is_and_not_by_when_it_was_started() -> None:
    assert Place("7012", "00000003", "10:00") == Place("7012", "00000003", "11:00") != Place("7012", "00000004", "10:00")
