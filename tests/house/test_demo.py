"""The demo and a house of one's own never mix: other folder, other address, other clock; and each says what it is."""

from __future__ import annotations

import re
import signal
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from begun import Begun
from honeyhold.api.app import make_app
from honeyhold.app.command_line import main
from honeyhold.house.clock import OFFSET_KEY
from honeyhold.house.demo import RealClock, WrongRecords, file_is_demo
from honeyhold.house.house import FILE_NAME, House
from honeyhold.operations.errors import Refused
from house.test_serving import started

DAY = ["--today", "2027-07-23"]


def real_house(folder: Path) -> None:
    house = House.open(folder)
    house.write("set_house", [{"table": "setting", "id": "name", "value": "Hazel's"}])
    house.close()


def demo_house(folder: Path) -> None:
    house = House.open(folder)
    house.make_demo()
    house.close()


def test_the_clock_of_a_real_house_is_not_moved(tmp_path: Path) -> None:
    real_house(tmp_path)
    house = House.open(tmp_path)
    with pytest.raises(RealClock, match="never moved"):
        house.clock.set(datetime(2027, 7, 23, tzinfo=UTC))
    assert abs(house.clock.now() - house.machine_now()) < timedelta(hours=1)
    house.close()


def test_a_clock_that_an_older_start_moved_is_the_machines_again(tmp_path: Path) -> None:
    real_house(tmp_path)
    house = House.open(tmp_path)
    with house.records.write():
        house.records.set_meta(OFFSET_KEY, str(200 * 86400))
    house.close()
    again = House.open(tmp_path)
    assert again.clock.left_out == timedelta(days=200)
    assert abs(again.clock.now() - again.machine_now()) < timedelta(hours=1)
    again.close()


def test_a_day_for_a_real_house_is_refused_with_the_reason_and_nothing_is_made(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "data"
    assert main(["serve", "--data", str(data), *DAY]) == 1
    told = capsys.readouterr().err
    assert "only the demo's clock" in told and "--demo --today" in told
    assert not data.exists()


def test_the_demo_is_not_played_into_real_records(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    real_house(tmp_path)
    assert main(["serve", "--demo", "--data", str(tmp_path)]) == 1
    assert "real house's" in capsys.readouterr().err
    house = House.open(tmp_path)  # the lock was let go, and nothing was added
    assert house.position() == 1 and not house.is_demo()
    house.close()


def test_a_demo_is_not_started_as_a_house_of_ones_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    demo_house(tmp_path)
    assert main(["serve", "--data", str(tmp_path)]) == 1
    told = capsys.readouterr().err
    assert "invented" in told and "rename" in told and f"--demo --data {tmp_path}" in told


def test_records_do_not_change_sides(tmp_path: Path) -> None:
    real_house(tmp_path)
    house = House.open(tmp_path)
    with pytest.raises(WrongRecords):
        house.make_demo()
    with pytest.raises(Refused, match="from their first entry on"):
        house.write("set_house", [{"table": "setting", "id": "demo", "value": True}])
    house.close()


def test_a_backup_of_the_demo_does_not_go_into_a_real_house(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    demo_house(tmp_path / "demo")
    real_house(tmp_path / "real")
    house = House.open(tmp_path / "demo")
    backup = house.backup()
    house.close()
    assert file_is_demo(backup) and not file_is_demo(tmp_path / "real" / FILE_NAME)
    assert main(["restore", str(backup), "--data", str(tmp_path / "real")]) == 1
    assert "not of one sort" in capsys.readouterr().err
    house = House.open(tmp_path / "real")
    assert house.settings()["name"] == "Hazel's"
    house.close()


@pytest.mark.of_a_file
def test_the_demo_plays_in_a_folder_of_its_own_and_tells_of_an_older_one(tmp_path: Path) -> None:
    demo_house(tmp_path / "data")
    process = Begun(["serve", "--demo", *DAY, "--port", "0", "--no-browser"], folder=tmp_path)
    said = ""
    for line in process.stdout:
        said += line
        if "#enrol=" in line:
            break
    process.send_signal(signal.SIGTERM)
    assert process.wait(20) == 0
    process.stdout.close()
    assert "An older demo lies in data" in said
    house = House.open(tmp_path / "data-demo")
    assert house.is_demo() and house.position() > 20
    assert house.clock.today() == date(2027, 7, 23)
    assert make_app(house).test_client().get("/api/health").get_json()["demo"] is True
    house.close()


def test_a_real_house_says_so_at_its_door(tmp_path: Path) -> None:
    with started(tmp_path / "data") as (_process, address, code):
        assert re.match("http://localhost", address) and code
    house = House.open(tmp_path / "data")
    assert make_app(house).test_client().get("/api/health").get_json()["demo"] is False
    house.close()


def test_a_file_that_is_not_there_is_no_demos(tmp_path: Path) -> None:
    """Nor one that holds no records: both are told apart from a demo's alike."""
    (tmp_path / "letter.txt").write_text("Dear Ruth", "utf-8")
    assert [file_is_demo(tmp_path / name) for name in ("nothing.db", "letter.txt")] == [False, False]


def test_a_demo_goes_on_at_the_day_that_it_was_moved_to_also_after_it_was_closed(tmp_path: Path) -> None:
    house = House.open(tmp_path / "data")
    house.make_demo()
    house.clock.set(datetime(2027, 7, 24, 15, tzinfo=UTC))
    assert house.clock.now().date() == date(2027, 7, 24)
    house.close()
    again = House.open(tmp_path / "data")
    assert again.clock.now().date() == date(2027, 7, 24) and not again.clock.left_out
    again.close()
