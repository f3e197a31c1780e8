"""A disk that takes nothing: what was kept can be read, nothing is half written, and it heals by itself when there is room.

The disk is stood in for by the system's own bound on the size of files (setrlimit, RLIMIT_FSIZE), set on the running server from outside:
every write beyond it fails, as on a full disk, and without any privilege.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

from honeyhold.app.scheduled_backup import ScheduledBackup
from honeyhold.house.house import House
from honeyhold.operations.errors import DeviceLost
from honeyhold.records.errors import DiskFull
from house.test_serving import ask, call, started
from replication.houses import Watch, device, small_house

on_linux = pytest.mark.skipif(sys.platform != "linux", reason="only Linux sets another process's bounds (prlimit)")


@contextmanager
def full(process: int) -> Iterator[None]:
    """No file of the process grows any more."""
    import resource

    before = resource.prlimit(process, resource.RLIMIT_FSIZE)
    resource.prlimit(process, resource.RLIMIT_FSIZE, (0, before[1]))
    try:
        yield
    finally:
        resource.prlimit(process, resource.RLIMIT_FSIZE, before)


def refused(address: str, path: str, token: str = "", body: Any = None) -> tuple[int, dict[str, Any]]:
    """(status, problem)."""
    with pytest.raises(urllib.error.HTTPError) as caught:
        call(address, path, token, body)
    with caught.value as answer:
        return answer.code, json.load(answer)


def an_entry(identity: Any, number: int, before: str = "") -> dict[str, Any]:
    """An exchange with a person to write down."""
    from honeyhold.operations.canonical import entry_hash

    rows = [{"table": "person", "id": f"p{number}", "name": f"Orla Tennick {number}"}]
    said = ask(identity)
    entry: dict[str, Any] = {
        "id": said["request"], "device": identity["device"], "seq": number, "kind": "note_person", "version": 1,
        "made_at": "2026-07-20T12:00:00Z", "before": before, "spent": {}, "rows": rows,
    }  # fmt: skip
    entry["hash"] = entry_hash(entry)
    return {**said, "operations": [entry]}


@on_linux
def test_on_a_full_disk_reads_go_on_writes_say_507_and_it_heals_by_itself(tmp_path: Path) -> None:
    with started(tmp_path / "data") as (process, address, code):
        identity = call(address, "api/enrol", body={"code": code, "name": "Shed phone"})
        token = identity["token"]
        first = an_entry(identity, 1)
        assert call(address, "api/exchange", token, first)["landed"]
        second = an_entry(identity, 2, first["operations"][0]["hash"])
        with full(process.pid):
            for _ in range(3):
                status, told = refused(address, "api/exchange", token, second)
                assert status == 507 and told["type"] == "urn:honeyhold:disk-full" and "room" in told["remedy"]
            assert refused(address, "api/codes", token, {"role": "helper"})[0] == 507
            assert any(row["id"] == "p1" for row in call(address, "api/mirror", token)["rows"])
            heard = call(address, "api/exchange", token, ask(identity))
            assert [change["kind"] for change in heard["changes"]] == ["enrol", "note_person"]
            assert heard["last_seq"] == 1 and call(address, "api/orders?person=p1", token)["orders"] == []
            assert call(address, "api/health")["ok"]
            with urllib.request.urlopen(address, timeout=20) as page:
                assert page.status == 200
        assert call(address, "api/exchange", token, second)["landed"]
        process.terminate()
        assert process.wait(15) == 0
    with closing(House.open(tmp_path / "data")) as house:
        assert house.check() == []
        assert {row["id"] for row in _people(house)} == {"p1", "p2"}


def _people(house: House) -> list[dict[str, Any]]:
    from honeyhold.records.models import Person

    with house.records.read():
        return house.records.shared_rows("person", Person)


@on_linux
def test_a_house_starts_on_a_full_disk_and_is_read(tmp_path: Path) -> None:
    with started(tmp_path / "data") as (process, address, code):
        identity = call(address, "api/enrol", body={"code": code, "name": "Shed phone"})
        process.kill()
        process.wait(10)
    with started(tmp_path / "data", full_from_the_start=True) as (process, address, _):
        assert call(address, "api/mirror", identity["token"])["rows"]
        assert call(address, "api/exchange", identity["token"], ask(identity))["changes"]
        assert process.poll() is None


def test_who_has_nothing_to_say_hears_what_is_new_and_who_has_keeps_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with closing(small_house(tmp_path, Watch())) as house:
        hand, other = device(house, "Shed phone"), device(house, "Kitchen")
        other.note_person("p1", name="Orla Tennick")
        other.exchange()
        with monkeypatch.context() as full_disk:
            full_disk.setattr(house, "_exchange_written", lambda *_: _no_room(tmp_path))
            before = house.position()
            hand.exchange()
            assert hand.view.rows["person"]["p1"]["name"] == "Orla Tennick"
            hand.note_person("p2", name="Nils")
            with pytest.raises(DiskFull):
                hand.exchange()
            assert len(hand.in_hand) == 1 and house.position() == before
            house.declare_lost(other.identity["device"])
            with pytest.raises(DeviceLost):
                other.exchange()
        hand.exchange()
        assert not hand.in_hand and house.check() == []


@pytest.mark.of_a_file
def test_no_file_of_the_records_is_mapped_into_memory(tmp_path: Path) -> None:
    """A page of a mapped file that a full disk cannot give ends the process (SIGBUS)."""
    with closing(House.open(tmp_path)) as house:
        house.write("set_house", [{"table": "setting", "id": "name", "value": "Nine Lindens"}])
        assert house.settings()["name"] == "Nine Lindens"
        assert (tmp_path / "honeyhold.db-wal").exists() and not (tmp_path / "honeyhold.db-shm").exists()
        maps = Path("/proc/self/maps")
        assert not maps.exists() or str(tmp_path) not in maps.read_text("utf-8")


def test_a_backup_that_finds_no_room_is_said_and_made_later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with closing(small_house(tmp_path / "data", Watch())) as house:
        backups = ScheduledBackup(house, tmp_path / "backups")
        monkeypatch.setattr(house.records, "copy_to", _no_room)
        assert backups.look() is None and "full" in backups.trouble
        assert not list((tmp_path / "backups").glob("by-itself*"))
        monkeypatch.undo()
        assert backups.look() is not None and backups.trouble == ""


def _no_room(_target: Path) -> None:
    raise DiskFull from sqlite3.OperationalError("database or disk is full")


def test_a_device_that_the_list_of_devices_could_not_take_is_noted_later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list lies beside the records; the device belongs to the house all the same."""
    from honeyhold.house import device_registry

    with closing(small_house(tmp_path, Watch())) as house:
        monkeypatch.setattr(device_registry, "note", _no_line)
        identity = house.enrol(house.new_code("helper")["code"], "Tablet")
        assert house.device_for(identity["token"])["name"] == "Tablet" and identity["device"] not in device_registry.known(house.folder)
        monkeypatch.undo()
        house.backup()
        assert identity["device"] in device_registry.known(house.folder)


def _no_line(_folder: Path, _row: dict[str, Any]) -> None:
    raise OSError(28, "No space left on device")
