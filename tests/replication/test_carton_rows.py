"""A carton's certificate in the one message: old entries lack it, new ones carry it, nonsense is refused with a remedy."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from honeyhold.house.house import House
from honeyhold.operations.errors import Refused
from records.test_store import old_house
from replication.houses import device

CERTIFICATE = {"max_united_mm": 1905, "edge_crush_lb_per_in": 32, "board_um": 3969}


def carton_of(house: House) -> dict[str, Any]:
    """A carton as a new device is told of it."""
    (row,) = device(house, "New").view.rows["carton"].values()
    return dict(row)


def box(**fields: Any) -> list[dict[str, Any]]:
    """Rows of a set_good for the carton."""
    return [{"table": "good", "id": "box"}, {"table": "carton", "id": "box", **fields}]


def test_the_certificate_reaches_every_device_and_can_be_taken_out_again(house: House) -> None:
    assert {name: carton_of(house)[name] for name in CERTIFICATE} == dict.fromkeys(CERTIFICATE)
    house.write("set_good", box(**CERTIFICATE))
    assert {name: carton_of(house)[name] for name in CERTIFICATE} == CERTIFICATE
    house.write("set_good", box(tare_g=95))  # as a device writes that never heard of it
    assert {name: carton_of(house)[name] for name in CERTIFICATE} == CERTIFICATE
    house.write("set_good", box(**dict.fromkeys(CERTIFICATE)))
    assert carton_of(house)["board_um"] is None


@pytest.mark.parametrize("wrong", [{"max_united_mm": 0}, {"max_united_mm": "75 in"}, {"edge_crush_lb_per_in": 32.5}, {"board_um": -1}])
def test_nonsense_is_refused_with_a_remedy(house: House, wrong: dict[str, Any]) -> None:
    with pytest.raises(Refused) as said:
        house.write("set_good", box(**wrong))
    assert said.value.remedy


def test_a_house_of_the_first_schema_gets_it_empty(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        columns = {row[1] for row in house.records.database.execute_sql("PRAGMA table_info(carton)").fetchall()}
    assert columns >= set(CERTIFICATE) and house.check() == []
    house.close()
