"""One rule per kind, seen from the devices that use them."""

from __future__ import annotations

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.operations.errors import Refused
from replication.houses import DAY, Watch, device, entry, movement, on_hand, pool, said


def test_a_promise_from_the_share_leaves_the_pool_alone(house: House) -> None:
    hand = device(house, bars=10)
    before = pool(house)
    taken = hand.promise([("bar", 10)], person=hand.note_person(name="Orla"))
    hand.exchange()
    assert taken.sure == {"bar": 10} and hand.needs_you == [] and pool(house) == before == 30
    assert hand.free("bar") == 30 and hand.share("bar") == 0


def test_more_than_the_share_waits_and_is_filled_first_come_first_served(house: House) -> None:
    first, second = device(house, "A"), device(house, "B")
    house.write("count", [movement("bar", -40, "counted")])
    for hand, units in ((first, 5), (second, 10)):
        taken = hand.promise([("bar", units)], person=hand.note_person(name="Waits"))
        hand.exchange()
        assert taken.sure == {} and hand.waiting(taken.lines["bar"]) == units
    house.write("buy", [movement("bar", 8, "bought")])
    first.exchange()
    lines = sorted(first.view.rows["line"].values(), key=lambda line: line["units"])
    assert [first.sure(line["id"]) for line in lines] == [5, 3] and pool(house) == 0


def test_a_refused_promise_returns_its_bars_to_the_pool_not_to_the_device(house: House) -> None:
    hand = device(house, bars=10)
    hand.promise([("bar", 10)], person="nobody-known")
    hand.exchange()
    (refusal,) = hand.needs_you
    assert "nobody-known" in refusal["why"] and refusal["remedy"]
    assert hand.share("bar") == 0 and pool(house) == 40


def test_an_amendment_falls_freely_and_rises_from_the_share(house: House) -> None:
    hand = device(house, bars=15)
    taken = hand.promise([("bar", 10)], person=hand.note_person(name="Orla"))
    hand.amend(taken.order, lines=[("bar", 4)])
    hand.exchange()
    assert hand.sure(taken.lines["bar"]) == 4 and pool(house) == 31
    hand.amend(taken.order, lines=[("bar", 9), ("jar", 2)], note="by noon")
    hand.exchange()
    assert hand.sure(taken.lines["bar"]) == 9 and hand.needs_you == []
    assert hand.order(taken.order)["note"] == "by noon"


def test_two_keepers_amending_one_line_the_second_is_told_both_values(house: House) -> None:
    first = device(house, "A", bars=10)
    taken = first.promise([("bar", 10)], person=first.note_person(name="Orla"))
    first.exchange()
    second = device(house, "B")
    first.amend(taken.order, lines=[("bar", 7)])
    second.amend(taken.order, lines=[("bar", 3)])
    first.exchange()
    second.exchange()
    (refusal,) = second.needs_you
    assert "was 10" in refusal["why"] and "is 7" in refusal["why"] and "wanted 3" in refusal["why"]


def test_letting_go_twice_frees_once(house: House) -> None:
    first = device(house, "A", bars=10)
    taken = first.promise([("bar", 10)], person=first.note_person(name="Dez"))
    first.exchange()
    second = device(house, "B")
    for hand in (first, second):
        hand.let_go(taken.order)
    for hand in (first, second):
        hand.exchange()
        assert hand.needs_you == []
    assert pool(house) == 40


def test_letting_go_frees_also_what_was_filled_meanwhile(house: House) -> None:
    hand = device(house)
    house.write("count", [movement("bar", -40, "counted")])
    taken = hand.promise([("bar", 10)], person=hand.note_person(name="Wren"))
    hand.exchange()
    house.write("buy", [movement("bar", 10, "bought")])
    hand.let_go(taken.order)  # it does not know yet that the ten were given
    hand.exchange()
    assert pool(house) == 10 and hand.sure(taken.lines["bar"]) == 0


def test_goods_gone_win_over_letting_go(house: House) -> None:
    first = device(house, "A", bars=10)
    taken = first.promise([("bar", 10)], person=first.note_person(name="Pell"))
    first.exchange()
    second = device(house, "B")
    first.let_go(taken.order)
    second.hand_over(taken.order)
    for hand in (first, second, first):
        hand.exchange()
        assert hand.needs_you == []
    assert first.order(taken.order)["state"] == "gone" and on_hand(house) == 30 and pool(house) == 30


def test_an_order_that_has_gone_is_not_let_go_nor_handed_over_again(house: House) -> None:
    hand = device(house, bars=5)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Pell"))
    hand.hand_over(taken.order, payment=(1500, "cash"))
    hand.let_go(taken.order)
    hand.exchange()
    (refusal,) = hand.needs_you
    assert "has left already" in refusal["why"] and on_hand(house) == 35
    assert hand.mirror.paid[taken.order] == 1500


def test_a_sale_beyond_the_share_lands_and_names_the_short(house: House) -> None:
    first, second = device(house, "A", bars=38), device(house, "B")
    first.promise([("bar", 38)], person=first.note_person(name="Orla"))
    first.exchange()
    second.sell([("bar", 5)])
    answer = second.exchange()
    assert second.needs_you == [] and on_hand(house) == 35
    assert answer["short"] == {"bar": 3} and answer["pool"]["bar"] == -3


def test_a_count_below_the_promised_lands_and_stops_grants(house: House) -> None:
    first, second = device(house, "A", bars=20), device(house, "B")
    second.count([("bar", None, -30, "counted")])
    answer = second.exchange(callers={"bar": 5})
    assert answer["short"] == {} and answer["pool"]["bar"] == -10 and second.share("bar") == 0
    assert first.exchange()["ask_back"] == {"bar": 10}
    first.give_back({"bar": 10})
    answer = first.exchange()  # what was owed is back; the caller of the second is still on the line
    assert answer["ask_back"] == {"bar": 5} and answer["pool"]["bar"] == 0
    second.exchange()
    assert first.exchange()["ask_back"] == {}


def test_packing_takes_cartons_and_only_cartons(house: House) -> None:
    hand = device(house, bars=5)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Orla"))
    (parcel,) = hand.pack(taken.order, [{"carton": "box", "dressing": "plain", "plan": {"layers": 1}, "gross_g": 400}])
    hand.weigh(parcel, 412)
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house, "box") == 9
    assert hand.order(taken.order)["state"] == "packed" and hand.view.rows["parcel"][parcel]["scale_g"] == 412
    hand.pack(taken.order, [{"carton": "box"}])
    hand.exchange()
    assert "is packed already" in hand.needs_you[0]["why"] and on_hand(house, "box") == 9


def test_bars_are_not_packed_as_cartons(house: House) -> None:
    hand = device(house, bars=5)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Orla"))
    hand.pack(taken.order, [{"carton": "box"}], cartons={"bar": 1})
    hand.exchange()
    assert "cartons only" in hand.needs_you[0]["why"] and on_hand(house) == 40


def test_two_lots_do_not_carry_one_code(house: House) -> None:
    first, second = device(house, "A"), device(house, "B")
    lot = {"id": "W26-204-1", "good": "bar", "made_on": DAY}
    for hand in (first, second):
        hand.make([lot], [("bar", "W26-204-1", 10, "poured")])
        hand.exchange()
    assert first.needs_you == second.needs_you == [] and on_hand(house) == 60
    assert second.on_hand("bar", "W26-204-1") == second.on_hand("bar", f"W26-204-1-{second.identity['mark']}1") == 10


def test_a_helper_may_not_set_the_house(house: House) -> None:
    helper = device(house, "Jonah", role="helper")
    helper.set_house({"name": "Mine"})
    helper.set_good([{"id": "bar", "price_cents": 1}])
    helper.exchange()
    assert ["owner" in refusal["why"] for refusal in helper.needs_you] == [True, True]
    assert "name" not in house.settings()


def test_only_the_house_enrols_and_fills(house: House) -> None:
    hand = device(house)
    row = {"table": "device", "id": hand.identity["device"], "role": "keeper", "lost": False}
    answer = said(house, hand, entry(hand, "enrol", [row]))
    assert "Only the main computer" in answer["refused"][0]["why"]


def test_a_time_zone_must_be_one(house: House) -> None:
    with pytest.raises(Refused, match="time zone"):
        house.write("set_house", [{"table": "setting", "id": "time_zone", "value": "Nowhere/At all"}])
    house.write("set_house", [{"table": "setting", "id": "time_zone", "value": "Pacific/Kiritimati"}])
    assert house.clock.today().isoformat() == "2026-07-21"  # fourteen hours ahead of 14:10 UTC


def test_wishes_are_granted_from_the_pool_and_never_beyond(house: House, watch: Watch) -> None:
    hands = [device(house, name) for name in "ABC"]
    for hand in hands * 3:
        watch.later(seconds=30)
        hand.exchange(wants={"bar": 30})
    held = sum(hand.share("bar") for hand in hands)
    assert 0 < held <= 40 and pool(house) == 40 - held


def test_a_caller_on_the_line_makes_the_house_ask_others(house: House, watch: Watch) -> None:
    holder, caller = device(house, "A", bars=40), device(house, "B")
    watch.later(seconds=5)
    holder.exchange()
    caller.exchange(callers={"bar": 5})
    asked = holder.exchange()["ask_back"]
    assert asked == {"bar": 5}
    holder.give_back(asked)
    holder.exchange()
    caller.exchange(callers={"bar": 5})
    assert caller.share("bar") == 5


def test_the_settings_survive_a_device_that_never_heard_them(house: House) -> None:
    hand: DeviceClient = device(house)
    hand.set_house({"closing_words": "Thank you.", "posting_days": ["Mon", "Tue"]})
    hand.exchange()
    assert house.settings()["posting_days"] == ["Mon", "Tue"]
