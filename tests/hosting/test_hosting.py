"""The server of many houses as a process, and what it does for houses by itself."""

from __future__ import annotations

import signal
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from honeyhold.app import chores as chores_module
from honeyhold.app.backup_ages import own_backups
from honeyhold.app.chores import Chores
from honeyhold.app.forecasts.refresh import Forecaster
from honeyhold.app.hosting import limits_of
from honeyhold.house.clock import machine_time
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.records.shared_database import HostedRecords, SharedDatabase
from hosting.many import furnish, houses
from hosting.processes import running
from replication.houses import Watch, movement


class Quiet(Forecaster):
    """Asks no weather service; counts the looks."""

    looks: list[str] = []

    def look(self) -> int:
        self.looks.append(self.house.folder.name)
        return 0


def quiet(house: House) -> Forecaster:
    return Quiet(house)


def looked(chores: Chores, many: Houses) -> None:
    """One look, and all that came of it is done, in this thread."""
    chores.look()
    for line in (chores._backups_due, chores._weather_due):
        while not line.empty():
            chore = line.get()
            assert chore is not None
            chores.do(chore)


def test_one_server_answers_for_every_house_by_its_name_and_stops_cleanly(address: str, tmp_path: Path) -> None:
    with houses(address, tmp_path, "willow", "maple", now=machine_time) as many:
        codes = {}
        for name in ("willow", "maple"):
            with many.lent(name) as house:
                codes[name] = house.new_code()["code"]
    key = tmp_path / "key"
    key.write_text("whoever-keeps-the-server", "utf-8")
    with running(address, tmp_path, "--watch-key-file", str(key), as_typed=True) as server:
        devices, threads = {}, []
        for name, code in codes.items():
            status, devices[name] = server.ask(name, "/api/enrol", body={"code": code, "name": f"Phone of {name}"})
            assert status == 201
            threads.append(len(list(Path(f"/proc/{server.process.pid}/task").glob("*"))))
        assert threads[0] == threads[1]  # the second house has none of its own
        assert server.ask("willow", "/api/mirror", devices["willow"]["token"])[0] == 200
        assert server.ask("willow", "/api/mirror", devices["maple"]["token"])[0] == 401
        assert server.ask("rowan", "/api/health")[0] == 404
        server.process.send_signal(signal.SIGTERM)
        assert server.process.wait(60) == 0


def test_backups_make_themselves_for_houses_that_are_open_and_for_those_that_were_let_go(address: str, tmp_path: Path) -> None:
    with houses(address, tmp_path, "willow", "maple") as many:
        chores = Chores(many, forecasts=quiet)
        many._idle_s = -1.0
        many.tidy()
        with many.lent("willow"):
            looked(chores, many)
        assert len(own_backups(tmp_path / "willow" / "backups")) == 1 and not own_backups(tmp_path / "maple" / "backups")
        chores._backups["maple"].sweep_at_s = 0.0
        looked(chores, many)
        assert len(own_backups(tmp_path / "maple" / "backups")) == 1
        many.tidy()
        assert many.open_now() == []  # a look by itself keeps no house open


def test_a_lost_device_s_house_has_its_backup_at_the_next_look(address: str, tmp_path: Path) -> None:
    watch = Watch()
    with houses(address, tmp_path, "willow", now=watch) as many, many.lent("willow") as willow:
        chores = Chores(many, forecasts=quiet)
        looked(chores, many)
        watch.later(minutes=1)
        willow.write("buy", [movement("bar", 1)])
        looked(chores, many)
        assert len(own_backups(tmp_path / "willow" / "backups")) == 1  # not due for hours
        willow.wants_backup.set()
        looked(chores, many)
        assert list(own_backups(tmp_path / "willow" / "backups")) == [watch.now]  # of one hour the newest stays
        assert willow.last_backup is not None and not willow.last_backup.failing and not willow.wants_backup.is_set()


def test_what_another_process_is_at_is_left_to_it(address: str, tmp_path: Path) -> None:
    with houses(address, tmp_path, "willow") as many, many.lent("willow") as willow:
        other = SharedDatabase(address)
        beside = HostedRecords(other, many.known()["willow"].owner)
        chores = Chores(many, forecasts=quiet)
        with beside.working_alone() as mine:
            assert mine
            looked(chores, many)
            assert not own_backups(tmp_path / "willow" / "backups") and willow.last_backup is not None
        looked(chores, many)
        assert len(own_backups(tmp_path / "willow" / "backups")) == 1
        beside.close()
        other.close()


def test_a_house_whose_chore_fails_is_tried_again_and_keeps_no_other_waiting(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with houses(address, tmp_path, "willow", "maple") as many:
        done, said = threading.Event(), threading.Event()

        def look(self: Any) -> None:
            if self.house.folder.name == "willow":
                raise OSError("no such disk")
            done.set()

        monkeypatch.setattr(chores_module.ScheduledBackup, "look", look)
        monkeypatch.setattr(chores_module.log, "warning", lambda *words, **_: said.set() if "no such disk" in str(words) else None)
        chores = Chores(many, threads=1, forecasts=quiet, tick_s=0.01)
        chores.start()
        assert done.wait(60) and said.wait(60)
        chores.stop(60)
        assert not chores._backups["willow"].waits


def test_a_forecast_that_fails_is_said_once_and_asked_for_again_no_sooner_than_a_backup(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr(chores_module.log, "warning", lambda *words, **_: said.append(str(words)))
    with houses(address, tmp_path, "willow") as many:
        chores = Chores(many, forecasts=quiet)
        chores.look()
        chore = chores._weather["willow"]
        monkeypatch.setattr(chores, "do", _fails)
        for _ in range(3):
            chore.at_s, before_s = 0.0, time.monotonic()
            chores.look()
            chores._weather_due.put(None)
            chores._work(chores._weather_due)
            assert chore.at_s >= before_s + chores_module.LOOK_S and not chore.waits
            chores.look()
            assert chores._weather_due.empty()
    assert len(said) == 1 and "no weather" in said[0]


def _fails(_chore: Any) -> None:
    raise OSError("no weather")


def test_a_forecast_that_hangs_keeps_no_backup_waiting(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    hangs, ends = threading.Event(), threading.Event()

    class Hanging(Forecaster):
        def look(self) -> int:
            hangs.set()
            ends.wait(60)
            return 0

    with houses(address, tmp_path, "willow", "maple") as many:
        monkeypatch.setattr(chores_module, "FIRST_LOOK_S", 0.0)
        made = {name: threading.Event() for name in ("willow", "maple")}

        def look(self: Any) -> None:
            if hangs.is_set():
                made[self.house.folder.name].set()

        monkeypatch.setattr(chores_module.ScheduledBackup, "look", look)
        monkeypatch.setattr(chores_module, "LOOK_S", 0.0)
        chores = Chores(many, threads=1, forecasts=lambda house: Hanging(house, machine_now=machine_time), tick_s=0.01)
        chores.start()
        try:
            assert hangs.wait(60) and all(one.wait(60) for one in made.values())
        finally:
            ends.set()
            chores.stop(60)


def test_a_furnished_house_needs_no_thread_of_its_own(address: str, tmp_path: Path) -> None:
    with houses(address, tmp_path, "willow", "maple", "rowan") as many:
        chores = Chores(many, threads=2, forecasts=quiet)
        chores.start()
        with many.lent("rowan") as rowan:
            furnish(rowan, "rowan again")
        named = [thread.name for thread in threading.enumerate() if thread.name.startswith(("chores", "scheduled", "forecast"))]
        assert sorted(named) == ["chores", "chores 0", "chores 1", "chores weather"]
        chores.stop(60)


def test_behind_a_proxy_no_address_is_bounded_for_all_houses_have_the_proxy_s() -> None:
    alone, behind = limits_of(False), limits_of(True)
    assert alone.at_work_per_address < alone.threads and behind.at_work_per_address == behind.threads
    assert behind.connections_per_address == behind.connections and behind.farewell_s >= 10
