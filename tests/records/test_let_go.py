"""What was opened is let go of, and what is noted lies on the disk before anybody relies on it: both as the system sees it."""

from __future__ import annotations

import json
import os
import select
import socket
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.errors import HoneyholdError
from honeyhold.house import device_registry
from honeyhold.records.backup import Page, page_of, write_page
from honeyhold.records.postgresql_records import hung_up
from honeyhold.records.sqlite_records import SqliteRecords
from records.conftest import OPEN, Look

pytestmark = pytest.mark.skipif(not OPEN.exists(), reason="what a process holds open is read from /proc")
PAGE = Page(7, 0, "2026-07-20T12:00:00+00:00", "", "amber")
ROW = {"id": "d1", "name": "shed", "mark": "A", "role": "keeper", "token_hash": "f" * 64}


def _held(folder: Path) -> set[str]:
    """The files of a folder that this process has open."""
    found = set()
    for place in OPEN.iterdir():
        file = Path(os.path.realpath(place))
        if file.parent == folder.resolve():
            found.add(file.name)
    return found


def test_a_closed_house_holds_no_file(tmp_path: Path) -> None:
    """The connection that whoever closes it has himself, the one that lies ready, and the one that keeps the log."""
    records = SqliteRecords(tmp_path / "house.db")
    with records.read():
        assert "house.db" in _held(tmp_path)
    records.sql("SELECT 1")
    records.close()
    assert _held(tmp_path) == set()
    assert [file.name for file in tmp_path.iterdir()] == ["house.db"], "with the last connection SQLite puts the log away"


def test_a_file_that_is_no_house_is_let_go_of_and_kept_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "house.db").write_bytes(b"honey " * 4000)
    with pytest.raises(HoneyholdError) as told:
        SqliteRecords(tmp_path / "house.db")
    assert told.tb, "as long as it is told Python keeps what was opened: it was closed by name"
    assert _held(tmp_path) == set()
    assert (tmp_path / "house.db").read_bytes() == b"honey " * 4000


def _name_and_content(file: Path) -> tuple[str, bytes]:
    return file.name, file.read_bytes()


def test_the_page_of_a_backup_is_on_the_disk_whole(tmp_path: Path, forced: Callable[[Look], list[Any]]) -> None:
    seen = forced(_name_and_content)
    write_page(tmp_path / "honeyhold-1.db", PAGE)
    page = page_of(tmp_path / "honeyhold-1.db")
    assert [(name, json.loads(content)["position"]) for name, content in seen] == [(page.name, 7)]
    assert seen[0][1] == page.read_bytes()


def test_a_device_is_on_the_disk_before_it_is_let_in(tmp_path: Path, forced: Callable[[Look], list[Any]]) -> None:
    seen = forced(_name_and_content)
    device_registry.note(tmp_path, ROW)
    device_registry.note(tmp_path, {**ROW, "lost": True})
    assert [(name, len(content.splitlines())) for name, content in seen] == [("devices.jsonl", 1), ("devices.jsonl", 2)]
    assert [json.loads(line).get("lost") for line in seen[1][1].splitlines()] == [None, True]


@pytest.mark.parametrize("has_poll", [True, False])
def test_a_line_that_the_other_side_let_go_of_is_seen_without_waiting(has_poll: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows has no `poll`; one that still stands holds nobody up."""
    waited: list[float] = []
    look = select.select

    def noted(reading: list[int], writing: list[int], failing: list[int], seconds: float) -> tuple[list[int], list[int], list[int]]:
        waited.append(seconds)
        return look(reading, writing, failing, 0)

    monkeypatch.setattr(select, "select", noted)
    if not has_poll:
        monkeypatch.delattr(select, "poll")
    here, there = socket.socketpair()
    with here, there:
        connection = SimpleNamespace(closed=False, fileno=here.fileno)
        assert hung_up(connection) is False
        there.close()
        assert hung_up(connection) is True
        assert hung_up(SimpleNamespace(closed=True)) is True
    assert waited == ([] if has_poll else [0, 0])
