"""Which houses of a server are open: who opens one, when it is let go, and what is known of the register; without a database."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.house import many_houses
from honeyhold.house.house import House
from honeyhold.house.many_houses import IDLE_S, LOOK_AGAIN_S, OPENING_MOST, Houses, StillOpening
from honeyhold.records.errors import NewerRecords, RecordsMovedOn, RecordsSilent
from honeyhold.records.house_register import ARRIVING, FROZEN, OPEN, HouseArriving, HouseFrozen, Kept, UnknownHouse
from honeyhold.records.lending import Owner

NAMES = ("willow", "maple", "rowan", "hazel")


class Register:
    """What is kept, and how often it was read."""

    def __init__(self, _shared: Any = None) -> None:
        self.states = dict.fromkeys(NAMES, OPEN)
        self.read, self.is_away = 0, False

    def all(self) -> dict[str, Kept]:
        self.read += 1
        if self.is_away:
            raise RecordsSilent
        return {name: Kept(name, Owner(name, name), state, "") for name, state in self.states.items()}


class Made:
    """A house that was opened, and what goes with it while it is: when each ended, `told` has it."""

    def __init__(self, name: str, told: list[str]) -> None:
        self.name, self.told, self.same = name, told, True
        self.records = SimpleNamespace(still_the_same=lambda: self.same)

    def close(self) -> None:
        self.told.append(f"{self.name} closed")

    def end(self) -> None:
        self.told.append(f"{self.name} ends")


class World:
    """The houses, the register, the time, and what happened, in order."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now_s, self.told, self.fails = 4096.0, list[str](), dict[str, Exception]()
        monkeypatch.setattr(many_houses, "HouseRegister", Register)
        monkeypatch.setattr(many_houses, "time", SimpleNamespace(monotonic=lambda: self.now_s))
        monkeypatch.setattr(many_houses, "_records_of", lambda opened: opened.house.records)
        monkeypatch.setattr(House, "hosted", self.hosted)

    def hosted(self, folder: Path, records: Any, now: Any = None) -> Made:
        if folder.name in self.fails:
            raise self.fails[folder.name]
        self.told.append(f"{folder.name} opened")
        return Made(folder.name, self.told)

    def houses(self, **more: Any) -> Houses:
        beside: Callable[[Any], Any] = lambda house: house  # noqa: E731
        return Houses(SimpleNamespace(), Path("/houses"), beside=beside, **more)  # type: ignore[arg-type]

    def happened(self) -> list[str]:
        found = self.told.copy()
        self.told.clear()
        return found


@pytest.fixture
def world(monkeypatch: pytest.MonkeyPatch) -> World:
    return World(monkeypatch)


def use(many: Houses, *names: str) -> None:
    for name in names:
        many.take(name).leave()


def register_of(many: Houses) -> Register:
    assert isinstance(many.register, Register)
    return many.register


def test_a_house_is_opened_once_and_held_by_whoever_has_it(world: World) -> None:
    many = world.houses()
    lease = many.take("willow")
    again, more = many.take("willow"), lease.again()
    assert lease.house is again.house is more.house and many.open_now() == ["willow"] and lease.opened.users == 3
    assert many.open_here("willow") is lease.house and many.open_here("maple") is None
    for one in (lease, lease, again):
        one.leave()
    assert lease.opened.users == 1, "once more does nothing"
    more.leave()
    assert world.happened() == ["willow opened"]
    many.close()
    assert world.happened() == ["willow ends", "willow closed"] and many.open_now() == []


@pytest.mark.parametrize(("state", "error"), [(FROZEN, HouseFrozen), (ARRIVING, HouseArriving), (None, UnknownHouse)])
def test_a_house_that_is_not_open_to_anybody_is_not_opened(world: World, state: str | None, error: type[Exception]) -> None:
    many = world.houses()
    if state is None:
        del register_of(many).states["willow"]
    else:
        register_of(many).states["willow"] = state
    with pytest.raises(error):
        many.take("willow")
    assert world.happened() == [] and many._opened == {}


@pytest.mark.parametrize(("fails", "told"), [(NewerRecords("newer", "x"), RecordsMovedOn), (ValueError("no"), ValueError)])
def test_a_house_that_cannot_be_opened_is_held_by_nobody(world: World, fails: Exception, told: type[Exception]) -> None:
    many = world.houses()
    world.fails["willow"] = fails
    with pytest.raises(told):
        many.take("willow")
    assert many._opened["willow"].users == 0 and many.open_now() == []
    world.fails.clear()
    with many.lent("willow") as house:
        assert many.open_here("willow") is house


@pytest.mark.parametrize(("waiting", "opened"), [(0, True), (OPENING_MOST - 1, True), (OPENING_MOST, False)])
def test_few_wait_for_a_house_that_is_being_opened(world: World, waiting: int, opened: bool) -> None:
    """Whoever comes when it is open waits for nothing, however many have it."""
    many = world.houses()
    many._entry("willow", False).users = waiting
    if not opened:
        with pytest.raises(StillOpening, match=r"^The house willow is just being opened\.$"):
            many.take("willow")
        assert many._opened["willow"].users == waiting
        many._opened["willow"].users = 0
    use(many, "willow")
    many._opened["willow"].users = OPENING_MOST + 9
    many.take("willow")


def test_a_house_that_is_no_longer_the_same_is_opened_anew(world: World) -> None:
    """Who still has the first keeps it until he leaves; what goes with it ends at once."""
    many = world.houses()
    first = many.take("willow")
    first.house.same = False  # type: ignore[attr-defined]
    second = many.take("willow")
    assert second.house is not first.house and world.happened() == ["willow opened", "willow ends", "willow opened"]
    assert (first.opened.users, second.opened.users) == (1, 1)
    first.leave()
    assert world.happened() == ["willow ends", "willow closed"] and many.open_here("willow") is second.house
    second.leave()
    assert world.happened() == []


@pytest.mark.parametrize(("most", "gone"), [(4, []), (3, ["willow"]), (2, ["willow", "maple"]), (1, ["willow", "maple", "rowan"])])
def test_there_is_room_for_so_many_and_the_one_asked_for_longest_ago_goes(world: World, most: int, gone: list[str]) -> None:
    many = world.houses(open_most=most)
    use(many, *NAMES)
    assert [one.removesuffix(" closed") for one in world.happened() if one.endswith("closed")] == gone
    assert many.open_now() == [name for name in NAMES if name not in gone]


def test_who_was_asked_for_again_stays_and_who_is_in_use_too(world: World) -> None:
    many = world.houses(open_most=2)
    lease = many.take("willow")
    use(many, "maple", "rowan")
    assert many.open_now() == ["willow", "rowan"], "more would have to go, and one is in use"
    many.take("rowan", quietly=True).leave()
    lease.leave()
    use(many, "willow", "hazel")
    assert many.open_now() == ["willow", "hazel"]
    many.take("willow", quietly=True).leave()
    use(many, "maple")
    assert many.open_now() == ["hazel", "maple"], "who only looks asks for nothing"


@pytest.mark.parametrize(("quietly", "idle_s", "stays"), [(False, IDLE_S, True), (False, IDLE_S + 0.25, False), (True, IDLE_S, False)])
def test_a_house_that_nobody_asked_for_is_let_go_after_a_while(world: World, quietly: bool, idle_s: float, stays: bool) -> None:
    many = world.houses()
    many.take("willow", quietly).leave()
    world.now_s += idle_s
    many.tidy()
    assert (many.open_now() == ["willow"]) is stays and world.happened()[1:] == ([] if stays else ["willow ends", "willow closed"])


def test_the_while_begins_when_the_last_one_leaves(world: World) -> None:
    many = world.houses()
    lease = many.take("willow")
    world.now_s += IDLE_S + 1
    many.tidy()
    lease.leave()
    many.tidy()
    assert many.open_now() == ["willow"]
    quiet = many.take("willow", quietly=True)
    world.now_s += IDLE_S + 1
    quiet.leave()
    many.tidy()
    assert many.open_now() == []


@pytest.mark.parametrize("state", [FROZEN, ARRIVING, None])
def test_a_house_that_was_frozen_or_removed_goes_when_its_last_user_leaves(world: World, state: str | None) -> None:
    """What goes with it ends at once, so that nobody goes on listening."""
    many = world.houses()
    use(many, "maple")
    lease = many.take("willow")
    world.happened()
    if state is None:
        del register_of(many).states["willow"]
    else:
        register_of(many).states["willow"] = state
    many.read_register()
    many.tidy()
    assert world.happened() == ["willow ends"] and many.open_now() == ["maple", "willow"]
    lease.leave()
    many.tidy()
    assert world.happened() == ["willow ends"] * 2 + ["willow closed"] and many.open_now() == ["maple"]


@pytest.mark.parametrize(("later_s", "read"), [(0.0, 1), (LOOK_AGAIN_S, 1), (LOOK_AGAIN_S + 0.25, 2)])
def test_the_register_is_read_again_after_a_while(world: World, later_s: float, read: int) -> None:
    many = world.houses()
    assert many.known().keys() == set(NAMES)
    world.now_s += later_s
    many.known()
    assert register_of(many).read == read


def test_while_the_register_cannot_be_read_what_was_known_holds_and_it_is_not_asked_each_time(world: World) -> None:
    many = world.houses()
    register_of(many).is_away = True
    for _ in range(2):
        with pytest.raises(RecordsSilent):
            many.known()
    assert register_of(many).read == 2, "where nothing is known each one asks"
    register_of(many).is_away = False
    assert many.kept("willow").state == OPEN
    register_of(many).is_away = True
    world.now_s += LOOK_AGAIN_S + 1
    for _ in range(3):
        assert many.kept("willow").name == "willow"
    assert register_of(many).read == 4
    with pytest.raises(UnknownHouse):
        many.kept("oak")
