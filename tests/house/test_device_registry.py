"""A backup of yesterday does not forget a device of today: not its token, its mark, what it holds, nor that it was lost."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport

from honeyhold.house import device_registry, last_epoch
from honeyhold.house.house import House
from honeyhold.operations.errors import DeviceLost


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = House.open(tmp_path / "data")
    good = {"table": "good", "id": "bar", "name": "wax bar", "kind": "wax", "price_cents": 300}
    house.write("set_good", [good])
    bars = {"table": "movement", "id": "m1", "good": "bar", "lot": None, "units": 40, "reason": "opening", "on": "2026-07-20"}
    house.write("buy", [bars])
    yield house
    house.close()


def test_a_device_enrolled_after_the_backup_is_known_again(house: House) -> None:
    backup = house.backup()
    shed = DeviceClient.enrol(house, "Shed phone")
    shed.exchange(wants={"bar": 20})
    held = shed.share("bar")
    taken = shed.promise([("bar", 5)], person=shed.note_person(name="Ruth Amsel"))
    shed.exchange()
    house.restore(backup)
    tablet = DeviceClient.enrol(house, "Wall tablet")
    tablet.exchange(wants={"bar": 40})
    assert held > 5 and tablet.share("bar") == 0, "nothing is granted before the shed phone has reported"
    shed.exchange()
    assert house.check() == [] and shed.order(taken.order)["state"] == "promised"
    tablet.exchange(wants={"bar": 40})
    assert tablet.share("bar") <= 40 - held, "what the shed phone holds is still its own"
    assert {shed.identity["mark"], tablet.identity["mark"]} == {"A", "B"}


def test_a_lost_device_stays_lost(house: House) -> None:
    shed = DeviceClient.enrol(house, "Shed phone")
    backup = house.backup()
    house.declare_lost(shed.identity["device"])
    house.restore(backup)
    with pytest.raises(DeviceLost):
        shed.exchange()
    assert not house.recovering()


def test_records_older_than_the_roster_fill_it_at_the_next_start(house: House, tmp_path: Path) -> None:
    shed = DeviceClient.enrol(house, "Shed phone")
    (house.folder / device_registry.FILE_NAME).unlink()
    house.close()
    again = House.open(tmp_path / "data")
    assert device_registry.known(again.folder)[shed.identity["device"]]["name"] == "Shed phone"
    DeviceClient(shed.identity, DirectTransport(again)).exchange()
    again.close()


def test_a_line_cut_off_by_a_power_cut_is_left_out(tmp_path: Path) -> None:
    row = {"id": "d1", "name": "Shed", "mark": "A", "role": "keeper", "token_hash": "00", "lost": False}
    device_registry.note(tmp_path, row)
    with (tmp_path / device_registry.FILE_NAME).open("ab") as file:
        file.write(b'{"id": "d2", "name": "Tab')
    assert device_registry.known(tmp_path) == {"d1": row}
    device_registry.note(tmp_path, {**row, "id": "d3"})
    assert set(device_registry.known(tmp_path)) == {"d1", "d3"}, "and does not spoil the next"


def test_an_epoch_that_cannot_be_noted_or_read_is_said_and_hinders_nothing(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """A folder stands where its file would; then it is gone."""
    (tmp_path / last_epoch.FILE_NAME).mkdir()
    assert last_epoch.noted(tmp_path) == ""
    last_epoch.note(tmp_path, "10-abcd")
    assert ["cannot be read" in caplog.messages[0], any("could not be noted" in said for said in caplog.messages)] == [True, True]
    assert not last_epoch.is_before_the_noted(tmp_path, "10-abcd")
    (tmp_path / last_epoch.FILE_NAME).rmdir()
    caplog.clear()
    assert last_epoch.noted(tmp_path) == ""
    last_epoch.note(tmp_path, "10-abcd")
    assert last_epoch.noted(tmp_path) == "10-abcd" and caplog.messages == []
    assert last_epoch.is_before_the_noted(tmp_path, "f-abcd") and not last_epoch.is_before_the_noted(tmp_path, "11-abcd")
