"""The command line beside a house that runs: a code for a lost owner's phone, by a key that only the machine's user can read."""

from __future__ import annotations

import json
import re
import stat
from pathlib import Path

import pytest

from honeyhold.api.app import make_app
from honeyhold.api.own import KEY
from honeyhold.app import control
from honeyhold.app.command_line import main
from honeyhold.house.house import House
from house.test_serving import call, started

CODE = re.compile(r"^([2-9A-Z]{4}-[2-9A-Z]{4})  good once, until \d\d:\d\d, for (.*) device$", re.MULTILINE)


@pytest.mark.parametrize(("role", "kept", "said"), [("owner", "keeper", "an owner's"), ("helper", "helper", "a helper's")])
def test_a_code_while_the_house_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str], role: str, kept: str, said: str) -> None:
    data = tmp_path / "data"
    with started(data) as (_process, address, _code):
        assert main(["code", "--data", str(data), "--role", role]) == 0
        told = capsys.readouterr().out
        found = CODE.search(told)
        assert found and found[2] == said and f"{address}#enrol={found[1]}" in told
        device = call(address, "api/enrol", body={"code": found[1], "name": "New phone"})
        assert device["role"] == kept


def test_what_going_back_would_mean_while_the_house_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = tmp_path / "data"
    with started(data) as (_process, address, code):
        call(address, "api/enrol", body={"code": code, "name": "Shed phone"})
        assert main(["backup", "--data", str(data)]) == 0
        backup = capsys.readouterr().out.split()[-1]
        assert main(["restore", backup, "--data", str(data), "--dry-run"]) == 0
        assert "The records here hold 0 more." in capsys.readouterr().out


def test_the_key_is_for_the_machines_user_alone_and_goes_with_the_house(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with started(data) as (process, _address, _code):
        file = data / control.FILE_NAME
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        key = json.loads(file.read_text("utf-8"))["key"]
        assert len(key) >= 43  # 256 bits
        process.terminate()
        assert process.wait(15) == 0
        assert not file.exists()


def test_a_key_left_by_a_killed_house_does_no_harm(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = tmp_path / "data"
    with started(data) as (process, _address, _code):
        process.kill()
        process.wait(10)
    assert (data / control.FILE_NAME).exists()
    assert main(["code", "--data", str(data)]) == 0  # nobody holds the records: they are opened here
    assert CODE.search(capsys.readouterr().out)


def test_nobody_else_comes_in_by_that_door(tmp_path: Path) -> None:
    house = House.open(tmp_path / "data")
    app = make_app(house)
    ask = app.test_client().post
    owner = house.enrol(house.new_code("keeper")["code"], "Shed phone")["token"]
    for token in ("", "guess", owner):
        assert ask("/api/own/codes", json={"role": "keeper"}, headers={"Authorization": f"Bearer {token}"}).status_code == 401
    app.extensions[KEY] = "right"
    for token in ("", "guess", owner, "right "[:-2]):
        assert ask("/api/own/codes", json={"role": "keeper"}, headers={"Authorization": f"Bearer {token}"}).status_code == 401
    assert ask("/api/own/codes", json={"role": "keeper"}, headers={"Authorization": "Bearer right"}).status_code == 201
    house.close()


def test_a_house_that_cannot_be_asked_says_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    house = House.open(tmp_path)  # holds the records, but serves nobody
    assert main(["code", "--data", str(tmp_path)]) == 1
    assert "could not be asked" in capsys.readouterr().err
    house.close()
