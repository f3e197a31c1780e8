"""What is due for which house, and when again; asked of one look at a time, with a clock that stands still."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.app import chores as chores_module
from honeyhold.app.chores import SWEEP_S, Chore, Chores, _again_after, _back_up, _is_due, _new, _say_once, _tell_of_backups
from honeyhold.app.forecasts.refresh import ALONE_S, FIRST_LOOK_S, LOOK_EVERY_S
from honeyhold.errors import HoneyholdError
from honeyhold.house.last_backup import LastBackup
from honeyhold.records.house_register import FROZEN, OPEN
from hosting.processes import PATIENCE_S

NOW_S = 5000.0


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """The time stands still, and what is left to chance is its mean."""
    made = SimpleNamespace(now_s=NOW_S)
    monkeypatch.setattr(chores_module, "time", SimpleNamespace(monotonic=lambda: made.now_s))
    monkeypatch.setattr(chores_module, "random", SimpleNamespace(uniform=lambda least, most: (least + most) / 2))
    return made


class Known:
    """Houses by their states, and which are open here."""

    def __init__(self, **states: str) -> None:
        self.states, self.open_here, self.tidied = states, list[str](), 0

    def tidy(self) -> None:
        """Counted."""
        self.tidied += 1

    def open_now(self) -> list[str]:
        """Those that are open here."""
        return self.open_here

    def known(self) -> dict[str, Any]:
        """All of them."""
        return {name: SimpleNamespace(state=state) for name, state in self.states.items()}


def names(line: Any) -> list[str]:
    """Whose chores are in a queue; they are done by that."""
    found = []
    while not line.empty():
        chore = line.get()
        chore.waits = False
        found.append(chore.name)
    return sorted(found)


def test_a_house_that_is_frozen_or_gone_is_forgotten_and_begins_anew_when_it_is_back(clock: SimpleNamespace) -> None:
    houses = Known(willow=OPEN, maple=OPEN, rowan=FROZEN)
    houses.open_here = ["willow", "maple"]
    chores = Chores(houses)  # type: ignore[arg-type]
    chores.look()
    assert names(chores._backups_due) == ["maple", "willow"] and set(chores._backups) == set(chores._weather) == {"maple", "willow"}
    first = chores._backups["maple"]
    chores.look()
    assert chores._backups["maple"] is first and houses.tidied == 2
    houses.states = {"willow": OPEN, "maple": FROZEN}
    chores.look()
    assert set(chores._backups) == set(chores._weather) == {"willow"}
    houses.states = {"willow": OPEN, "maple": OPEN}
    chores.look()
    assert chores._backups["maple"] is not first and chores._backups["maple"].at_s == NOW_S


def test_a_chore_that_waits_or_is_being_done_is_not_put_into_the_queue_again(clock: SimpleNamespace) -> None:
    houses = Known(willow=OPEN)
    houses.open_here = ["willow"]
    chores = Chores(houses)  # type: ignore[arg-type]
    for _ in range(3):
        chores.look()
    assert names(chores._backups_due) == ["willow"] and names(chores._weather_due) == []
    clock.now_s += FIRST_LOOK_S
    chores.look()
    assert names(chores._weather_due) == ["willow"]


@pytest.mark.parametrize(
    ("is_open", "wished", "at_s", "sweep_at_s", "due"),
    [
        (True, False, NOW_S, NOW_S + 9, True), (True, False, NOW_S + 0.1, NOW_S - 9, False), (True, True, NOW_S + 9, NOW_S + 9, True),
        (False, False, NOW_S - 9, NOW_S + 0.1, False), (False, False, NOW_S + 9, NOW_S, True), (False, True, NOW_S - 9, NOW_S + 9, False),
    ],
)  # fmt: skip
def test_what_is_due(is_open: bool, wished: bool, at_s: float, sweep_at_s: float, due: bool) -> None:
    """A house that is not open is held by nobody here."""
    house: Any = SimpleNamespace(wants_backup=SimpleNamespace(is_set=lambda: wished))
    chore = Chore("willow", at_s, sweep_at_s, house, SimpleNamespace(house=house), SimpleNamespace())  # type: ignore[arg-type]
    assert _is_due(chore, is_open, NOW_S) == due
    held = (chore.house, chore.backup, chore.forecaster)
    assert (None not in held) if is_open else held == (None, None, None)


def test_when_it_is_looked_at_first_and_again() -> None:
    new = _new("willow", NOW_S, FIRST_LOOK_S)
    assert (new.at_s, new.sweep_at_s) == (NOW_S + FIRST_LOOK_S, NOW_S + 0.51 * SWEEP_S) and not new.waits
    _again_after(new, 7)
    assert (new.at_s, new.sweep_at_s) == (NOW_S + 7, NOW_S + SWEEP_S)


@pytest.mark.parametrize(("alone", "mine", "wait_s"), [(True, True, ALONE_S), (False, True, LOOK_EVERY_S), (False, False, LOOK_EVERY_S)])
def test_after_a_look_at_which_nobody_answered_it_rests_longer(alone: bool, mine: bool, wait_s: float) -> None:
    """Which only one process takes."""
    looks: list[None] = []
    made: Any = SimpleNamespace(alone=alone, look=lambda: looks.append(None))
    asked: list[Any] = []
    chores = Chores(Known(), forecasts=lambda house: asked.append(house) or made)  # type: ignore[arg-type,func-returns-value]
    chore, house = Chore("willow"), object()
    for _ in range(2):
        chores._ask(chore, house, mine)  # type: ignore[arg-type]
    assert asked == [house] and len(looks) == 2 * mine and chore.at_s == NOW_S + wait_s and chore.forecaster is made


@pytest.mark.parametrize("mine", [True, False])
def test_a_backup_is_looked_after_every_half_minute_by_one_process(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, mine: bool) -> None:
    """Another one only sees how they stand, and asks again at its next look whether it is alone."""
    made: list[Any] = []
    looks: list[float] = []

    def keeping(house: Any, begun: bool) -> Any:
        made.append((house, begun))
        return SimpleNamespace(house=house, look=lambda: looks.append(chore.at_s))

    monkeypatch.setattr(chores_module, "ScheduledBackup", keeping)
    house: Any = SimpleNamespace(folder=tmp_path, last_backup=None)
    other: Any = SimpleNamespace(folder=tmp_path, last_backup=None)
    chore = Chore("willow", at_s=NOW_S - 1, sweep_at_s=NOW_S - 1)
    for one in (house, house, other):
        _back_up(chore, one, mine)
        assert chore.house is one and chore.backup is not None and chore.backup.house is one
    assert made == [(house, True), (other, True)]  # whatever was entered before a house was let go is due by hours and entries alone
    assert looks == ([NOW_S + 30] * 3 if mine else [])
    assert (chore.at_s, chore.sweep_at_s) == ((NOW_S + 30, NOW_S + SWEEP_S) if mine else (NOW_S - 1, NOW_S - 1))
    assert house.last_backup == other.last_backup == (None if mine else LastBackup(None, False))


class Foreseen(HoneyholdError):
    """What the app says itself."""

    code = "foreseen"


@pytest.mark.parametrize(
    ("trouble", "words", "tells_where"),
    [(Foreseen("The disk is full.", ""), "The disk is full.", False), (KeyError("x"), "'x'", True), (ValueError(), "ValueError", True)],
)
def test_a_chore_that_fails_is_said_once(caplog: pytest.LogCaptureFixture, trouble: Exception, words: str, tells_where: bool) -> None:
    chore = Chore("willow")
    for one in (trouble, trouble, OSError("another"), trouble):
        _say_once(chore, one)
    failed = "What a house wants done by itself failed: "
    assert [one.getMessage() for one in caplog.records] == [failed + words, failed + "another", failed + words]
    assert bool(caplog.records[0].exc_info) == tells_where and {one.levelno for one in caplog.records} == {logging.WARNING}


@pytest.mark.parametrize(
    ("trouble", "said"), [(Foreseen("The database is away.", ""), []), (ValueError("a defect"), ["Looking after the houses failed"])]
)
def test_whatever_a_look_meets_the_next_one_comes(caplog: pytest.LogCaptureFixture, trouble: Exception, said: list[str]) -> None:
    """Of a database that is away whoever asks for a house is told."""
    chores = Chores(Known(), tick_s=0)  # type: ignore[arg-type]
    looks: list[None] = []

    def look() -> None:
        looks.append(None)
        if len(looks) == 1:
            raise trouble
        chores._ending.set()

    chores.look = look  # type: ignore[method-assign]
    chores._look_now_and_then()
    assert len(looks) == 2 and [one.getMessage() for one in caplog.records] == said
    assert all(one.exc_info for one in caplog.records)


def worked(does: Callable[[Chore], None], chore: Chore, ending: bool = False) -> Chores:
    """One thread's work on one chore."""
    chores = Chores(Known())  # type: ignore[arg-type]
    chores.do = does  # type: ignore[method-assign]
    chores._backups_due.put(chore)
    chores._backups_due.put(None)
    if ending:
        chores._ending.set()
    chores._work(chores._backups_due)
    return chores


def test_what_is_done_well_is_forgotten_to_have_failed_and_what_fails_waits(caplog: pytest.LogCaptureFixture) -> None:
    def fails(_chore: Chore) -> None:
        raise OSError("no disk")

    chore = Chore("willow", waits=True)
    worked(fails, chore)
    assert (chore.at_s, chore.sweep_at_s, chore.waits, chore.trouble) == (NOW_S + 30, NOW_S + 30, False, "no disk")
    worked(lambda _: None, chore)
    assert chore.trouble == "" and len(caplog.records) == 1
    worked(fails, chore)
    assert len(caplog.records) == 2


def test_what_is_left_when_all_stop_is_not_begun_and_what_broke_by_that_is_not_said(caplog: pytest.LogCaptureFixture) -> None:
    done: list[str] = []
    worked(lambda chore: done.append(chore.name), Chore("willow"), ending=True)
    assert done == []
    chores = Chores(Known())  # type: ignore[arg-type]

    def closed(_chore: Chore) -> None:
        chores._ending.set()
        raise OSError("it is closed")

    chores.do = closed  # type: ignore[method-assign]
    chores._backups_due.put(Chore("willow"))
    chores._backups_due.put(None)
    chores._work(chores._backups_due)
    assert caplog.records == []


@pytest.mark.parametrize(
    ("before", "after"),
    [(None, False), (LastBackup(None, True), True), (LastBackup(None, False), False)],
)
def test_of_what_another_process_keeps_the_newest_file_tells(tmp_path: Any, before: LastBackup | None, after: bool) -> None:
    house: Any = SimpleNamespace(folder=tmp_path, last_backup=before)
    _tell_of_backups(house)
    assert house.last_backup == LastBackup(None, after)
    (tmp_path / "backups").mkdir()
    for minute in (10, 30, 20):
        (tmp_path / "backups" / f"by-itself-20260720-14{minute}00-000000.db").touch()
    _tell_of_backups(house)
    assert house.last_backup.made_at.minute == 30 and house.last_backup.failing == after


def test_all_its_threads_end_when_it_stops(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.undo()
    chores = Chores(Known(), threads=3, tick_s=PATIENCE_S)  # type: ignore[arg-type]
    assert [one.name for one in chores._threads] == ["chores 0", "chores 1", "chores 2", "chores weather"]
    assert all(one.daemon for one in (*chores._threads, chores._watch))
    chores.start()
    chores.stop(PATIENCE_S)
    left = {one.name for one in threading.enumerate()}
    assert not left & {"chores", "chores 0", "chores 1", "chores 2", "chores weather"}
