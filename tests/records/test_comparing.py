"""What two places of the same records are compared by: how much each device wrote, and in which order, told of one place by itself."""

from __future__ import annotations

import hashlib
from pathlib import Path

from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.records.backup import OF_ONE_PLACE
from honeyhold.records.comparing import Held, columns_of, differences, held
from honeyhold.records.models import Operation
from replication.houses import device, small_house


def three_noted(folder: Path) -> tuple[House, DeviceClient]:
    """A house, and a device of it that noted three people."""
    house = small_house(folder)
    hand = device(house)
    for name in ("Orla", "Pell", "Ruth"):
        hand.note_person(name=name)
    hand.exchange()
    return house, hand


def held_by(house: House) -> Held:
    return held(house.records, columns_of(house.records, house.records))


def test_of_each_device_it_is_told_how_many_entries_it_wrote_and_their_hashes_one_after_the_other(tmp_path: Path) -> None:
    house, hand = three_noted(tmp_path)
    with house.records.read():
        hashes = [row["hash"] for row in house.records.dicts(Operation.select().where(Operation.device == hand.identity["device"]))]
    found = held_by(house)
    assert found.chains[hand.identity["device"]] == (len(hashes), hashlib.sha256("".join(hashes).encode()).hexdigest())
    assert len(hashes) >= 3 and found.wrong == [] and found.position == house.position()
    house.close()


def test_a_chain_that_does_not_hold_together_is_told_in_words(tmp_path: Path) -> None:
    """One entry between two others is gone; then the last of them."""
    house, hand = three_noted(tmp_path)
    own = f"of device {hand.identity['device']}"
    last = hand.log[-1]["seq"]
    for gone, words in ((last - 1, f"the chain {own}: its entry {last} does not follow"), (last, f"the chain {own} does not end where")):
        with house.records.write():
            house.records.sql("DELETE FROM operation WHERE device = ? AND seq = ?", hand.identity["device"], gone)
        assert any(one.startswith(words) for one in held_by(house).wrong), (words, held_by(house).wrong)
    house.close()


def test_what_sqlite_keeps_for_itself_is_no_table_of_the_house(tmp_path: Path) -> None:
    """A database has no such table; the other tables are compared all the same."""
    house, _ = three_noted(tmp_path)
    with house.records.write():
        house.records.sql("ANALYZE")
    with house.records.read():
        there = set(house.records.database.get_tables())
    compared = columns_of(house.records, house.records)
    assert "sqlite_stat1" in there and compared.keys() == {name for name in there if not name.startswith("sqlite_")} >= {"person", "meta"}
    assert compared["meta"] == ["key", "value"] and "same_as" in compared["person"]
    house.close()


def test_what_a_place_says_of_itself_alone_is_not_compared(tmp_path: Path) -> None:
    house, _ = three_noted(tmp_path)
    before = held_by(house)
    for key, same in (*((key, True) for key in OF_ONE_PLACE), ("another", False)):
        with house.records.write():
            house.records.set_meta(key, "said")
        assert (differences(before, held_by(house)) == []) is same, key
    house.close()
