"""A small file is the old one or the new one whenever the power goes: its content is on the disk before its name, and the name after."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from honeyhold.records.backup import page_of, remove
from honeyhold.records.whole_file import onto_the_disk, write_whole
from records.conftest import Look


def _kind_and_name(where: Path) -> tuple[str, bool]:
    """Whether it is a "file" or a "folder", and whether `key.txt` has its name by then."""
    folder = where if where.is_dir() else where.parent
    return "folder" if where.is_dir() else "file", (folder / "key.txt").exists()


def test_the_content_is_on_the_disk_before_the_name_and_the_name_after(tmp_path: Path, forced: Callable[[Look], list[Any]]) -> None:
    seen = forced(_kind_and_name)
    write_whole(tmp_path / "key.txt", b"amber")
    assert seen == [("file", False), ("folder", True)]
    onto_the_disk(tmp_path)
    assert seen[2:] == [("folder", True)]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such rights")
def test_nobody_else_may_read_it_and_nothing_half_stays(tmp_path: Path) -> None:
    """Neither the new file nor one that took the place of another; what an earlier try left is no hindrance."""
    (tmp_path / "key.txt.part").write_bytes(b"half")
    for content in (b"amber", b"dark amber"):
        write_whole(tmp_path / "key.txt", content)
        assert stat.S_IMODE((tmp_path / "key.txt").stat().st_mode) == 0o600
        assert [(file.name, file.read_bytes()) for file in tmp_path.iterdir()] == [("key.txt", content)]


def test_a_backup_goes_with_all_that_lies_beside_it(tmp_path: Path) -> None:
    """Its page and what SQLite leaves; a second time there is nothing to do."""
    backup = tmp_path / "honeyhold-2026-07-20.db"
    for name in (backup.name, page_of(backup).name, f"{backup.name}-wal", f"{backup.name}-shm"):
        (tmp_path / name).write_bytes(b"x")
    for _ in range(2):
        remove(backup)
        assert list(tmp_path.iterdir()) == []
