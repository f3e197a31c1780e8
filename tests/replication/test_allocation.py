"""What devices in reach hold settles: a caller on the line gets all that is free, and nothing goes round in circles.

Method: devices that speak as the browser does (they ask for as much as is wise, keep what their open sentence holds, give
back what they are asked for) hear the bell in turn until nothing moves; every entry they write meanwhile is counted.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from tests.stock.week_of_calls import HOUSES

from honeyhold.house.house import House
from honeyhold.replication.sessions import Sessions
from honeyhold.stock.allocation import divide
from replication.houses import Watch, device, movement, pool
from replication.weeks_as_shipped import as_shipped

WISH = 10_000
"""What the browser asks for of every good that is sold: as much as the main computer thinks wise."""


@dataclass
class Screen:
    """One open app: its device, the sentence on it, and what it wrote."""

    hand: DeviceClient
    callers: dict[str, int] = field(default_factory=dict)
    given_back: int = 0

    def speak(self) -> None:
        """One exchange as `web/store` makes it: then what was asked for is given back, but what the sentence holds."""
        answer = self.hand.exchange(wants={"bar": WISH, "block": WISH}, callers=self.callers)
        back = {good: min(units, self.hand.share(good) - self.callers.get(good, 0)) for good, units in answer["ask_back"].items()}
        back = {good: units for good, units in back.items() if units > 0}
        if back:
            self.hand.give_back(back)
            self.given_back += 1


def listen(house: House, screens: list[Screen], times: int = 12) -> int:
    """Every bell makes everyone speak, in turn, until it is quiet; how often they had to. Fails when it never is."""
    for round_ in range(times):
        before = house.news.rings
        for screen in screens:
            screen.speak()
        if house.news.rings == before:
            return round_
    pytest.fail(f"still ringing after {times} rounds")


@pytest.fixture
def four(house: House) -> list[Screen]:
    house.write("set_good", [{"table": "good", "id": "block", "name": "block", "kind": "wax", "price_cents": 2200, "row": 1}])
    house.write("buy", [movement("bar", 28), movement("block", 4)])
    screens = [Screen(device(house, name)) for name in ("Shed", "Tablet", "Van", "Kitchen")]
    listen(house, screens)
    return screens


def test_a_caller_gets_every_free_bar_in_reach_while_the_others_wish_for_more(house: House, four: list[Screen]) -> None:
    assert sum(screen.hand.share("bar") for screen in four) + pool(house) == 68
    four[2].callers = {"bar": 60}
    four[2].speak()
    listen(house, four)
    assert four[2].hand.share("bar") >= 60


def test_a_sentence_left_open_causes_a_few_entries_and_no_more(house: House, watch: Watch, four: list[Screen]) -> None:
    before = house.position()
    four[2].callers = {"bar": 60}
    for _ in range(40):  # ten minutes with a sentence open, everybody in reach
        watch.later(seconds=15)
        listen(house, four)
    assert four[2].hand.share("bar") >= 60
    assert sum(screen.given_back for screen in four) <= 2 * (len(four) - 1)
    assert house.position() - before == sum(screen.given_back for screen in four)


def test_who_gave_back_is_not_given_the_same_bars_again_for_a_wish(house: House, watch: Watch, four: list[Screen]) -> None:
    four[2].callers = {"bar": 60}
    four[2].speak()
    listen(house, four)
    givers = [screen for screen in four if screen.given_back]
    held = [screen.hand.share("bar") for screen in givers]
    four[2].callers = {}  # the caller rang off, nothing was promised
    for _ in range(8):
        watch.later(seconds=30)
        listen(house, four)
    assert givers and [screen.hand.share("bar") for screen in givers] == held


def test_a_device_asleep_when_it_was_asked_is_asked_when_it_speaks(house: House, watch: Watch) -> None:
    """Also after the house was started anew: an ask is worked out from what devices say, not kept."""
    idle, asking = Screen(device(house, "Idle", bars=40)), Screen(device(house, "Asking"))
    watch.later(seconds=95)
    asking.callers = {"bar": 5}
    asking.speak()
    assert asking.hand.share("bar") == 0
    idle.speak()
    assert idle.given_back == 1
    listen(house, [idle, asking])
    assert asking.hand.share("bar") == 5


def test_a_pending_ask_rings_once_and_not_at_every_exchange(house: House) -> None:
    """A phone that sleeps with bars in its share must not keep every listener exchanging."""
    asleep, asking = Screen(device(house, "Asleep", bars=40)), Screen(device(house, "Asking"))
    asking.callers = {"bar": 5}
    asking.speak()
    rings = house.news.rings
    for _ in range(20):
        asking.speak()
    assert house.news.rings == rings and asleep.given_back == 0


TIMER_S = 50
"""With a stream open a browser speaks by itself once in so many seconds (`web/store/signal.js`)."""
EXCHANGES_A_MINUTE_MOST = 4
"""By one listener: twice by its timer, once for a bell, once for what landed."""


def a_minute(house: House, watch: Watch, screens: list[Screen]) -> int:
    """Every screen listens for a minute: it speaks when the bell has rung, and by its timer. How many exchanges that were."""
    spoke_s, heard = dict.fromkeys(range(len(screens)), -TIMER_S), dict.fromkeys(range(len(screens)), -1)
    exchanges = 0
    for second in range(60):
        for number, screen in enumerate(screens):
            if house.news.rings != heard[number] or second - spoke_s[number] >= TIMER_S:
                heard[number], spoke_s[number] = house.news.rings, second
                screen.speak()
                exchanges += 1
        watch.later(seconds=1)
    return exchanges


def test_three_listeners_and_a_phone_that_sleeps_with_bars_come_to_rest(house: House, watch: Watch) -> None:
    """A caller waits for what only the sleeping phone has: a few exchanges, none of which writes, and none more once it is lost."""
    asleep, screens = Screen(device(house, "Asleep", bars=40)), [Screen(device(house, name)) for name in ("Asking", "Tablet", "Van")]
    screens[0].callers = {"bar": 5}
    written = house.position()
    for _ in range(3):
        assert a_minute(house, watch, screens) <= EXCHANGES_A_MINUTE_MOST * len(screens)
    assert house.position() == written and screens[0].hand.share("bar") == 0
    house.declare_lost(asleep.hand.identity["device"])
    assert a_minute(house, watch, screens) <= EXCHANGES_A_MINUTE_MOST * len(screens) and screens[0].hand.share("bar") >= 5
    assert a_minute(house, watch, screens) <= EXCHANGES_A_MINUTE_MOST * len(screens)


def test_a_start_anew_forgets_no_ask(house: House, watch: Watch) -> None:
    """An order waits and another phone holds idle bars: after the main computer was started anew that phone is asked as it speaks."""
    idle, asking = Screen(device(house, "Idle", bars=40)), Screen(device(house, "Asking"))
    taken = asking.hand.promise([("bar", 5)], person=asking.hand.note_person(name="Orla"))
    asking.speak()
    house.sessions = Sessions()  # all that is in memory
    idle.speak()
    assert idle.given_back == 1
    listen(house, [idle, asking])
    assert asking.hand.view.sure[taken.lines["bar"]] == 5


def test_an_order_that_waits_is_given_what_lies_idle(house: House) -> None:
    idle, asking = Screen(device(house, "Idle", bars=40)), Screen(device(house, "Asking"))
    taken = asking.hand.promise([("bar", 5)], person=asking.hand.note_person(name="Orla"))
    assert taken.waiting == {"bar": 5}
    asking.speak()
    idle.speak()
    listen(house, [idle, asking])
    assert asking.hand.view.sure[taken.lines["bar"]] == 5


def test_a_scarce_good_is_kept_where_the_telephone_is(house: House, four: list[Screen]) -> None:
    """Four blocks, four devices: before anybody called, the first device; later the one that takes the calls."""
    assert [screen.hand.share("block") for screen in four] == [4, 0, 0, 0]


@pytest.mark.of_a_file
def test_an_exchange_that_says_nothing_new_writes_nothing(house: House, watch: Watch, four: list[Screen]) -> None:
    before = house.records.database.connection().total_changes
    for screen in four:
        watch.later(seconds=10)
        screen.speak()
    assert house.records.database.connection().total_changes == before


def test_weeks_of_calls_on_a_real_house_come_near_one_shared_counter() -> None:
    """Two short weeks; `scripts/bench_shares` plays many and prints what is lost."""
    sums = as_shipped(HOUSES[3], stock=45, weeks=2, seed=30_000)
    assert 0.8 * sums["counter"] <= sums["shipped"] <= sums["counter"]
    assert sums["given_back"] <= 20


def test_what_a_device_was_asked_for_counts_by_the_day_for_a_fortnight(house: House, watch: Watch, monkeypatch: pytest.MonkeyPatch) -> None:
    """Fourteen bars in fourteen days are one a day; of whom nobody asked anything yet, one every other day is expected."""
    shed, van = device(house, "Shed", bars=20), device(house, "Van")
    seen: list[dict[str, float]] = []

    def noted(request: dict[str, Any]) -> dict[str, dict[str, int]]:
        seen.append({row["id"]: row["demand_units_per_day"] for row in request["devices"]})
        return divide(request)

    monkeypatch.setattr("honeyhold.replication.allocation.divide", noted)
    shed.promise([("bar", 14)], person=shed.note_person(name="Orla"))
    for days, a_day in ((0, 1.0), (14, 1.0), (1, 0.5)):
        watch.later(days=days)
        shed.exchange(wants={"bar": WISH})
        assert seen[-1] == {shed.identity["device"]: a_day, van.identity["device"]: 0.5}


def test_the_telephone_is_where_one_caller_was_taken_before_it_is_where_none_was(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of equals the first that joined; one call makes the second more than its equal."""
    shed, van = device(house, "Shed"), device(house, "Van", bars=2)
    there: list[str] = []

    def noted(request: dict[str, Any]) -> dict[str, dict[str, int]]:
        there.append(request["answering_device"])
        return divide(request)

    monkeypatch.setattr("honeyhold.replication.allocation.divide", noted)
    shed.exchange(wants={"bar": WISH})
    assert there[-1] == shed.identity["device"]
    van.promise([("bar", 1)], person=van.note_person(name="Orla"))
    van.exchange(wants={"bar": WISH})
    shed.exchange(wants={"bar": WISH})
    assert there[-1] == van.identity["device"]
