"""The exchange under repeats, lost answers, holes, copies, lost devices and restored houses."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.replica import Mirror

from honeyhold.house.house import House
from honeyhold.operations.canonical import canonical_json, entry_hash
from honeyhold.operations.errors import DeviceLost, NotCanonical, UnknownDevice
from honeyhold.replication.changes import changes_after
from replication.houses import ask, device, entry, late, movement, on_hand, pool, said, small_house


def buying(hand: DeviceClient, units: int = 1) -> dict[str, object]:
    """An entry that is right."""
    return entry(hand, "buy", [movement("bar", units, "bought")])


def test_said_twice_lands_once_with_the_same_answer(house: House) -> None:
    hand = device(house)
    hand.buy([("bar", None, 5, "bought")])
    (operation,) = hand.in_hand
    first, again = (said(house, hand, operation) for _ in range(2))
    assert first["landed"] == again["landed"] and len(first["landed"]) == 1 and on_hand(house) == 45


def test_the_mirror_tells_of_every_lot_that_has_a_piece_left(house: House) -> None:
    """A single one too; one that is used up lies nowhere, and one below zero is told as such."""
    codes = {"W26-201-1": 1, "W26-201-2": 2, "W26-201-3": -1}
    for code, left in codes.items():
        house.write("make", [{"table": "lot", "id": code, "good": "bar", "made_on": "2026-07-20"}, movement("bar", 2, "poured", code)])
        house.write("count", [movement("bar", left - 2, "lost", code)] if left != 2 else [movement("bar", -40, "lost")])
    balances = house.mirror(device(house).identity["token"])["balances"]
    assert {row["lot"]: row["units"] for row in balances if row["good"] == "bar"} == codes


def test_what_was_heard_is_not_told_again(house: House) -> None:
    """Each entry comes once, in its place; then there is nothing new."""
    hand = device(house)
    house.write("buy", [movement("bar", 1, "bought")])
    answer = hand.exchange()
    assert [row["position"] for row in answer["changes"]] == [house.position()] and answer["cursor"] == house.position()
    assert hand.exchange()["changes"] == []


def test_a_refusal_is_the_same_for_ever(house: House) -> None:
    hand = device(house)
    operation = entry(hand, "buy", [movement("unheard_of", 5, "bought")])
    first = said(house, hand, operation)["refused"]
    house.write("set_good", [{"table": "good", "id": "unheard_of", "name": "now there", "kind": "wax"}])
    assert said(house, hand, operation)["refused"] == first != []


def test_a_refused_entry_does_not_stop_the_ones_behind_it(house: House) -> None:
    hand = device(house)
    hand.buy([("unheard_of", None, 5, "bought")])
    hand.buy([("bar", None, 5, "bought")])
    answer = hand.exchange()
    assert answer["last_seq"] == 2 and len(hand.needs_you) == 1 and on_hand(house) == 45


def test_after_a_hole_nothing_is_read(house: House) -> None:
    hand = device(house)
    for _ in range(3):
        hand.buy([("bar", None, 1, "bought")])
    one, two, three = hand.in_hand
    answer = said(house, hand, two, three)
    assert answer["expects"]["seq"] == 1 and answer["landed"] == [] and on_hand(house) == 40
    assert len(said(house, hand, one, two, three)["landed"]) == 3


def test_overlapping_batches_land_each_once(house: House) -> None:
    hand = device(house)
    for _ in range(4):
        hand.buy([("bar", None, 1, "bought")])
    entries = hand.in_hand
    said(house, hand, *entries[:3])
    said(house, hand, *entries[1:])
    assert on_hand(house) == 44


def test_an_operation_lands_whole_or_not_at_all(house: House) -> None:
    hand = device(house)
    answer = said(house, hand, entry(hand, "buy", [movement("bar", 5, "bought"), movement("unheard_of", 5, "bought")]))
    assert "unheard_of" in answer["refused"][0]["why"] and on_hand(house) == 40


def test_a_copied_store_is_noticed_frozen_and_both_tails_are_kept(house: House) -> None:
    hand = device(house, bars=10)
    kept = buying(hand)
    said(house, hand, kept)
    other, further = buying(hand, 2), None
    answer = said(house, hand, other)
    assert "copied" in answer["expects"]["why"] and answer["refused"][0]["id"] == other["id"]
    hand.log.append(other)
    further = buying(hand, 3)
    again = said(house, hand, other, further)
    assert [told["id"] for told in again["refused"]] == [other["id"], further["id"]]
    assert {row["hash"] for row in late(house)} == {other["hash"], further["hash"]} and on_hand(house) == 41
    assert said(house, hand, kept)["landed"] != []  # what landed stays landed
    assert said(house, hand, callers={"bar": 5})["granted"] == {"bar": 10}  # and its share is left as it is


def test_a_lost_device_returns_its_share_and_what_it_sends_is_kept_apart(house: House) -> None:
    keeper, lost = device(house, "A"), device(house, "B", bars=10)
    lost.promise([("bar", 4)], person=lost.note_person(name="Orla"))
    house.declare_lost(lost.identity["device"])
    house.declare_lost(lost.identity["device"])
    assert pool(house) == 40
    for _ in range(2):
        with pytest.raises(DeviceLost, match="2 entries") as trouble:
            lost.exchange()
    assert "new name" in trouble.value.remedy
    assert sorted(row["seq"] for row in late(house)) == [1, 2] and pool(house) == 40
    keeper.exchange()
    assert keeper.view.rows["device"][lost.identity["device"]]["lost"] is True


def test_a_token_that_is_none_of_ours(house: House) -> None:
    hand = device(house)
    with pytest.raises(UnknownDevice):
        house.exchange("x" * 43, ask(hand))


def test_long_history_comes_in_pages(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("honeyhold.replication.changes.CHANGES_MAX", 5)
    hand = device(house)
    for _ in range(23):
        house.write("buy", [movement("jar", 1, "bought")])
    hand.exchange()
    assert hand.on_hand("jar") == 43


def test_a_page_takes_as_many_rows_as_it_may_and_an_entry_of_more_comes_by_itself(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    begun = house.position()
    for rows in (2, 3, 1, 7, 1):
        house.write("buy", [movement("jar", 1, "bought") for _ in range(rows)])
    monkeypatch.setattr("honeyhold.replication.changes.ROWS_MAX", 5)
    pages, cursor, more = [], begun, True
    while more:
        with house.records.read():
            page, cursor, more = changes_after(house.records, cursor)
        pages.append([len(entry["rows"]) for entry in page])
    assert pages == [[2, 3], [1], [7], [1]] and cursor == house.position()


def test_a_mirror_and_the_changes_give_the_same_view(house: House) -> None:
    old = device(house, "A", bars=20)
    taken = old.promise([("bar", 5), ("jar", 2)], person=old.note_person(name="Orla"), payment=(500, "check"))
    old.amend(taken.order, lines=[("bar", 8)])
    gone = old.promise([("bar", 3)], person=old.note_person(name="Pell"))
    old.hand_over(gone.order)
    old.sell([("bar", 1)])
    old.exchange()
    fresh = Mirror.from_answer(house.mirror(old.identity["token"]))
    for name in ("lots", "sure", "handed", "promised", "paid"):
        ours, theirs = ({key: units for key, units in getattr(one, name).items() if units} for one in (old.mirror, fresh))
        assert ours == theirs, name


def test_a_restored_house_gets_back_what_its_devices_still_have(house: House) -> None:
    first, second = device(house, "A", bars=10), device(house, "B")
    backup = house.backup()
    first.promise([("bar", 6)], person=first.note_person(name="Orla"))
    first.exchange(callers={"bar": 8})
    assert first.share("bar") == 8
    epoch = house.epoch
    house.restore(backup)
    assert house.epoch != epoch and house.recovering() and pool(house) == 30
    second.exchange(callers={"bar": 5})
    assert second.share("bar") == 0  # nothing is granted while a device has not said what it holds
    first.exchange()
    assert first.needs_you == [] and first.in_hand == [] and not house.recovering()
    assert pool(house) == 40 - 6 - 8
    second.exchange(callers={"bar": 5})
    assert second.share("bar") == 5


def test_a_lost_device_does_not_hold_up_a_restored_house(house: House) -> None:
    first, second = device(house, "A"), device(house, "B", bars=10)
    house.restore(house.backup())
    first.exchange(callers={"bar": 5})
    assert first.share("bar") == 0
    house.declare_lost(second.identity["device"])
    first.exchange(callers={"bar": 5})
    assert first.share("bar") == 5


def test_covered_to_follows_a_verified_backup(house: House) -> None:
    hand = device(house)
    assert said(house, hand)["covered_to"] == 0
    house.backup()
    assert said(house, hand)["covered_to"] == house.position()


def test_a_restart_keeps_everything(tmp_path: Path) -> None:
    house = small_house(tmp_path / "again")
    hand = device(house, bars=10)
    hand.promise([("bar", 5)], person=hand.note_person(name="Orla"))
    hand.exchange()
    before = house.mirror(hand.identity["token"])
    house.close()
    house = House.open(tmp_path / "again" / "data")
    after = house.mirror(hand.identity["token"])
    the_clock_says = {"house_time": "", "took_since": "", "keep_since": ""}
    assert {**before, **the_clock_says} == {**after, **the_clock_says} and house.check() == []
    house.close()


def test_many_devices_at_once_each_land_once(house: House) -> None:
    hands = [device(house, f"D{number}", bars=2) for number in range(6)]
    troubles: list[BaseException] = []

    def busy(hand: DeviceClient) -> None:
        try:
            for _ in range(5):
                hand.buy([("jar", None, 1, "bought")])
                hand.exchange(callers={"bar": 1})
        except BaseException as trouble:
            troubles.append(trouble)

    threads = [threading.Thread(target=busy, args=(hand,)) for hand in hands]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert troubles == [] and on_hand(house, "jar") == 20 + 30


def test_news_wakes_whoever_waits(house: House) -> None:
    heard: list[int] = []
    before = house.position()
    waiter = threading.Thread(target=lambda: heard.append(house.wait_for_news(before, 10)))
    waiter.start()
    house.write("buy", [movement("jar", 1, "bought")])
    waiter.join(5)
    assert heard == [before + 1]


def test_the_cost_of_an_exchange_does_not_grow_with_history(house: House) -> None:
    hand = device(house)

    def statements() -> int:
        count = [0]
        whole = house.records.database.execute_sql

        def counted(*args: object, **more: object) -> object:
            count[0] += 1
            return whole(*args, **more)  # type: ignore[arg-type]

        house.records.database.execute_sql = counted  # type: ignore[method-assign,assignment]
        hand.buy([("jar", None, 1, "bought")])
        hand.exchange()
        house.records.database.execute_sql = whole  # type: ignore[method-assign]
        return count[0]

    early = statements()
    for _ in range(60):
        hand.buy([("jar", None, 1, "bought")])
    hand.exchange()
    assert statements() == early


def test_canonical_json_is_as_javascript_writes_it() -> None:
    """RFC 8259 section 7 for what must be escaped; keys in order of their UTF-16 units, as `JSON.stringify` after a sort."""
    value = {"b": [1, True, None], "a": "é\u2028\"\\\n\u0001\u007f", "Z": -5}
    assert canonical_json(value) == '{"Z":-5,"a":"é\u2028\\"\\\\\\n\\u0001\u007f","b":[1,true,null]}'


@pytest.mark.parametrize("value", [0.5, 1.0, float("nan"), 2**53, "\ud800", {"\U0001f41d": 1}, b"x", {1: 2}])
def test_what_has_no_canonical_form_is_told(value: object) -> None:
    with pytest.raises(NotCanonical) as trouble:
        canonical_json({"here": value})
    assert "here" in str(trouble.value) and trouble.value.remedy


def test_a_known_hash() -> None:
    """SHA-256 of `{"a":1}` by the coreutils program sha256sum."""
    assert entry_hash({"a": 1, "hash": "left out"}) == "015abd7f5cc57a2dd94b7590f04ad8084273905ee33ec5cebeae62276a97f862"
