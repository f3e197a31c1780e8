"""What records say of a move: who may move into them, what a place that was left keeps, and what a start does about a move cut short."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from honeyhold.house import moving
from honeyhold.house.moving import ARRIVING, ENDINGS, GONE, LEFT, NOTHING, MovedAway, MoveUnfinished, settle
from honeyhold.house.where_kept import FILE_NAME, NOTE_NAME, NoSuchStore
from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.models import Operation
from honeyhold.records.sqlite_records import SqliteRecords
from house.meta_rows import said, say

NOW = datetime(2026, 7, 20, 14, 10, 3, tzinfo=UTC)
WENT = json.dumps({"for": "the new place", "history": "as before"})


@pytest.fixture
def records(tmp_path: Path) -> Iterator[SqliteRecords]:
    """Those of a house without anything in it, in a folder of their own."""
    (tmp_path / "old").mkdir()
    made = SqliteRecords(tmp_path / "old" / FILE_NAME)
    yield made
    made.close()


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, None), ({ARRIVING: "mine"}, None), ({ARRIVING: "mine", "epoch": "e"}, None), ({"history": "h"}, None),
        ({ARRIVING: "another's"}, "Another house's move into this database was cut short."),
        ({ARRIVING: "another's", LEFT: WENT}, "Another house's move into this database was cut short."),
        ({LEFT: WENT, "epoch": "e"}, "A house was in this database and moved away; what it was is kept."),
        ({LEFT: WENT}, "A house was in this database and moved away; what it was is kept."),
        ({"epoch": "e"}, "There is a house in this database already."),
    ],
)  # fmt: skip
def test_a_house_moves_only_into_what_is_nobodys(records: SqliteRecords, values: dict[str, str], words: str | None) -> None:
    say(records, **values)
    if words is None:
        moving._must_be_free(records, "mine")
        return
    with pytest.raises(NoSuchStore) as trouble:
        moving._must_be_free(records, "mine")
    assert str(trouble.value) == words
    assert trouble.value.remedy == "Make an empty one, or a schema of its own, and name that. Nothing was changed."


def test_a_copy_is_known_by_the_first_entry_of_its_house(records: SqliteRecords) -> None:
    assert moving._name_of(records) == NOTHING
    with records.write():
        for seq in (2, 1):
            records.add(Operation, {
                "device": "d", "seq": seq, "id": f"op{seq}", "hash": f"hash {seq}", "kind": "note", "made_at": "", "received_at": "",
                "body": {}, "position": seq, "rows": [], "why": None, "remedy": None,
            })  # fmt: skip
    assert moving._name_of(records) == "hash 1"


def test_a_place_that_was_left_keeps_its_history_until_a_house_is_in_it_again(records: SqliteRecords) -> None:
    """Left twice it says where the house went at first: the second try of a move that was cut short changes nothing."""
    say(records, history="as before", epoch="e", arriving="mine")
    moving._leave(records, "the new place", NOW)
    went = json.dumps({"for": "the new place, 2026-07-20 14:10 UTC", "history": "as before"})
    left = {"history": GONE, "epoch": "e", ARRIVING: "mine", LEFT: went}
    assert said(records) == left
    moving._leave(records, "elsewhere", NOW)
    assert said(records) == left
    moving._arrived(records)
    assert said(records) == {"history": "as before", "epoch": "e"}
    moving._arrived(records)
    assert said(records) == {"history": "as before", "epoch": "e"}


@pytest.mark.parametrize("others", [0, 1, 2])
def test_the_old_file_goes_under_a_name_that_nothing_had(records: SqliteRecords, others: int) -> None:
    folder = records.path.parent
    say(records, history="as before")
    records.close()
    (folder / NOTE_NAME).write_text("postgresql://db/houses\n")
    names = [f"records-before-move-20260720-141003{more}.db" for more in ("", "-2", "-3")]
    for name in names[:others]:
        (folder / name).write_bytes(b"another")
    kept = moving._put_file_away(folder, NOW)
    assert kept == folder / names[others] and not (folder / FILE_NAME).exists()
    assert sorted(one.name for one in folder.glob("records-*")) == sorted(names[: others + 1]), "all in one file"
    with closing(sqlite3.connect(kept)) as file:
        found = dict(file.execute("SELECT key, value FROM meta"))
        assert file.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert json.loads(found[LEFT])["for"] == "postgresql://db/houses, 2026-07-20 14:10 UTC" and found["history"] == GONE


def nothing(folder: Path) -> None:
    """No file."""


def whole(folder: Path) -> None:
    SqliteRecords(folder / FILE_NAME).close()


def a_copy(folder: Path) -> None:
    whole(folder)
    moving._mark_copy(folder / FILE_NAME, "mine")


def damaged(folder: Path) -> None:
    (folder / FILE_NAME).write_bytes(b"no records" * 100)


@pytest.mark.parametrize(("lies", "is_a_copy"), [(nothing, False), (whole, False), (a_copy, True), (damaged, False)])
def test_whether_a_file_is_a_copy_that_nobody_moved_into(tmp_path: Path, lies: Callable[[Path], None], is_a_copy: bool) -> None:
    lies(tmp_path)
    assert moving._is_a_copy(tmp_path) is is_a_copy


@pytest.mark.parametrize(
    ("noted", "lies", "values", "kept", "file_stays"),
    [
        (False, nothing, {"epoch": "e"}, {"epoch": "e"}, False), (False, nothing, {ARRIVING: "mine"}, {}, False),
        (False, nothing, {LEFT: WENT}, None, False), (True, nothing, {LEFT: WENT}, None, False), (True, whole, {LEFT: WENT}, None, True),
        (True, a_copy, {LEFT: WENT, "epoch": "e"}, {"history": "as before", "epoch": "e"}, False),
        (True, a_copy, {"epoch": "e"}, {"epoch": "e"}, False),
        (True, nothing, {ARRIVING: "mine"}, {}, False), (True, whole, {ARRIVING: "mine"}, {}, False),
        (True, whole, {"epoch": "e"}, {"epoch": "e"}, True), (True, damaged, {ARRIVING: "mine"}, {ARRIVING: "mine"}, True),
        (True, damaged, {"epoch": "e"}, {"epoch": "e"}, True),
    ],
)  # fmt: skip
def test_what_a_start_does_about_a_move_that_was_cut_short(
    tmp_path: Path, records: SqliteRecords, noted: bool, lies: Callable[[Path], None], values: dict[str, str],
    kept: dict[str, str] | None, file_stays: bool,
) -> None:  # fmt: skip
    """The records that the note leads to, beside what lies in the folder; a file that cannot be put away waits for the next start."""
    if noted:
        (tmp_path / NOTE_NAME).write_text("postgresql://db/houses")
    lies(tmp_path)
    say(records, **values)
    if kept is None:
        with pytest.raises(MovedAway, match=r"^The house has moved away from these records, into the new place\. They are kept"):
            settle(tmp_path, records, NOW)
        kept = values
    else:
        settle(tmp_path, records, NOW)
    assert said(records) == kept and (tmp_path / FILE_NAME).exists() is file_stays


def test_what_is_cleared_goes_with_all_that_belongs_to_it_the_file_itself_last(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for ending in (*ENDINGS, ".other"):
        (tmp_path / f"one{ending}").touch()
    gone: list[str] = []
    unlink = Path.unlink
    monkeypatch.setattr(Path, "unlink", lambda file, missing_ok=False: (gone.append(file.name), unlink(file, missing_ok)))
    for _ in range(2):
        moving._clear(tmp_path / "one")
    assert gone[:4] == ["one-journal", "one-shm", "one-wal", "one"] and [one.name for one in tmp_path.iterdir()] == ["one.other"]


@pytest.mark.parametrize("trouble", [OSError("the disk"), sqlite3.OperationalError("the disk"), RecordsTrouble("the disk", "Mend it.")])
def test_what_goes_wrong_after_the_house_has_moved_is_told_as_left_to_do(trouble: Exception) -> None:
    with pytest.raises(MoveUnfinished) as told, moving._rest_at_the_next_start("the new place"):
        raise trouble
    words = "The house has moved: its records are now in the new place. What is left to do could not be done: the disk"
    assert str(told.value) == words and "what is left is done at the next start" in told.value.remedy


def test_what_goes_wrong_before_leaves_the_house_where_it_was() -> None:
    with pytest.raises(RecordsTrouble, match=r"^The records were not moved: the disk\.$") as told, moving._in_words():
        raise sqlite3.OperationalError("the disk")
    assert told.value.remedy.startswith("The house stays where it was")
    with pytest.raises(MovedAway, match="as it is"), moving._in_words():
        raise MovedAway("as it is", "Do this.")


@pytest.mark.parametrize(("wrong", "said_of"), [(["a"], "a"), (["a", "b", "c"], "a; b; c"), (["a", "b", "c", "d"], "a; b; c")])
def test_records_that_are_wrong_are_not_moved_and_three_troubles_are_told(
    records: SqliteRecords, monkeypatch: pytest.MonkeyPatch, wrong: list[str], said_of: str
) -> None:
    moving._must_be_whole(records)
    monkeypatch.setattr(records, "faults", lambda: wrong)
    with pytest.raises(RecordsTrouble) as trouble:
        moving._must_be_whole(records)
    assert str(trouble.value) == f"The records are not as they should be, so they are not moved: {said_of}."
