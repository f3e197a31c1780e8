"""Goal: whatever bytes an entry holds, its device's queue moves on and what a lost device says is kept.

Found by trying: half a character outside the rows, a number no column takes and an entry of nothing each stopped the house's
answer for ever, and with it every entry behind.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.operations.errors import DeviceLost
from replication.houses import device, entry, late, movement, on_hand, said, small_house

HALF = "\ud83d"
DEEP: Any = 1
for _ in range(900):
    DEEP = [DEEP]


@pytest.mark.parametrize("rest", [
    {"kind": HALF}, {"made_at": HALF}, {"spent": {HALF: 4}}, {"version": HALF}, {HALF: 1}, {"rows": HALF}, {"spent": HALF},
    {"spent": {"bar": 10**30}}, {"version": 10**30}, {"rows": [{"table": HALF, "id": "x"}]}, {"rows": DEEP}, {"kind": None},
])  # fmt: skip
def test_what_no_file_takes_is_refused_once_and_the_next_lands(house: House, rest: dict[str, Any]) -> None:
    hand = device(house)
    broken = entry(hand, **{"kind": "buy", "rows": [], **rest})
    hand.log.append(broken)
    good = entry(hand, "buy", [movement("bar", 1, "bought")])
    answer, again = (said(house, hand, broken, good) for _ in range(2))
    assert answer["refused"] == again["refused"] and answer["refused"][0]["remedy"]
    assert answer["landed"] == again["landed"] and len(answer["landed"]) == 1
    assert answer["last_seq"] == 2 and on_hand(house) == 41


LATE: list[Any] = [
    {"seq": 1, "hash": "a", "note": HALF}, {"seq": 1, "hash": HALF}, {"seq": 2**70, "hash": "a"}, {"seq": True}, {"seq": 1, "x": DEEP},
    None, 7, [], "text", {"seq": 1, "hash": "a", "x": 0.5}, {},
]  # fmt: skip


def test_whatever_a_lost_device_still_says_is_kept_once_each(house: House) -> None:
    hand = device(house)
    house.declare_lost(hand.identity["device"])
    before = house.position()
    for _ in range(2):
        with pytest.raises(DeviceLost, match=f"{len(LATE)} entries"):
            said(house, hand, *LATE)
    assert len(late(house)) == len(LATE) and house.position() == before


def test_a_copys_entry_with_half_a_character_is_kept_apart(house: House) -> None:
    hand = device(house)
    said(house, hand, entry(hand, "buy", [movement("bar", 1, "bought")]))
    other = entry(hand, "note_person", [{"table": "person", "id": "p", "name": HALF}])
    answer = said(house, hand, other)
    assert "copied" in answer["expects"]["why"]
    (kept,) = late(house)
    assert kept["hash"] == other["hash"] and "note_person" in kept["body"]["unreadable"]


def test_two_restores_in_one_second_keep_both_of_what_was_there(house: House) -> None:
    hand = device(house, bars=10)
    backup = house.backup()
    epochs = {house.epoch}
    for _ in range(3):
        house.restore(backup)
        epochs.add(house.epoch)
    assert len(epochs) == 4 and len(list(house.folder.glob("before-restore-*/honeyhold.db"))) == 3
    hand.exchange()
    assert hand.share("bar") == 10


class Cut(Exception):
    """The power goes."""


@pytest.mark.parametrize("at", ["copying", "swapping"])
def test_a_restore_cut_short_goes_on_as_one_house_or_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: str
) -> None:
    house = small_house(tmp_path)
    hand: DeviceClient = device(house, bars=10)
    backup = house.backup()
    hand.promise([("bar", 4)], person=hand.note_person(name="Orla"))
    hand.exchange()
    before = (house.epoch, house.position())

    def cut(*_all: object, **_more: object) -> None:
        raise Cut

    with monkeypatch.context() as broken:
        broken.setattr("shutil.copyfile" if at == "copying" else "honeyhold.house.house.House._open_records", cut)
        with pytest.raises(Cut):
            house.restore(backup)
    house.close()
    house = House.open(tmp_path / "data")
    assert (house.epoch == before[0]) == (house.position() == before[1]) == (at == "copying")
    hand.transport._house = house  # type: ignore[attr-defined]
    hand.exchange()
    assert hand.in_hand == [] and house.position() >= before[1] and house.check() == []
    house.close()
