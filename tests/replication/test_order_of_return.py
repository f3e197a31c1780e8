"""After a restore devices come back in any order; what they wrote together stands again, and nothing is refused for coming early.

Method: stories in which every device goes on from what another wrote; the house is put back to before all of it, and the devices return
in every order. In the end the books are what they were.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from itertools import permutations
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.replica import Mirror
from demo_seed.client.transport import DirectTransport

from honeyhold.house.house import House
from honeyhold.operations import pending
from honeyhold.operations.apply import Who, take
from quick_disk import QUICK_DISK
from replication.houses import DAY, Watch, copied, device, entry, movement, pool, small_house

Story = Callable[[House, dict[str, DeviceClient]], None]


def _a_pour_an_order_and_its_way_out(house: House, hands: dict[str, DeviceClient]) -> None:
    """The owner knows the person and pours; A takes the order, C packs it, B hands it over from that lot and takes the money."""
    owner, a, b, c = hands.values()
    person = owner.note_person(name="Orla")
    owner.make([{"id": "W26-201-1", "good": "bar", "made_on": DAY}], [("bar", "W26-201-1", 10, "poured")])
    owner.exchange()
    a.exchange(callers={"bar": 6})
    taken = a.promise([("bar", 3)], person=person)
    a.exchange()
    c.exchange()
    c.amend(taken.order, note="ring twice")
    c.pack(taken.order, [{"carton": "box", "gross_g": 900}])
    c.exchange()
    b.exchange()
    b.hand_over(taken.order, lots={"bar": [("W26-201-1", 3)]}, payment=(900, "cash"))
    b.exchange()


def _changed_by_everybody(house: House, hands: dict[str, DeviceClient]) -> None:
    """Four devices change one order in turn, each from what the one before left; then it is let go, taken again and paid."""
    owner, a, b, c = hands.values()
    b.exchange(callers={"bar": 9})
    taken = a.promise([("jar", 2)], person=a.note_person(name="Nils"))
    for hand, units in ((a, 0), (b, 4), (c, 2), (owner, 1)):
        hand.exchange()
        if units:
            hand.amend(taken.order, lines=[("bar", units)], note=f"{units} by {hand.identity['name']}")
            hand.exchange()
    b.exchange()
    b.let_go(taken.order)
    b.exchange()
    c.exchange()
    undone = next(one for one in b.log if one["kind"] == "let_go")
    c.undo(undone)
    c.exchange()
    a.exchange()
    a.pay(taken.order, 300)
    a.exchange()


def _melted_further(house: House, hands: dict[str, DeviceClient]) -> None:
    """Stage by stage: what one device made another goes on with; a mistake in between is undone by a third."""
    owner, a, b, c = hands.values()
    owner.set_good([{"id": good, "name": good, "kind": "bulk", "unit": "g"} for good in ("cappings", "wax")])
    owner.buy([("cappings", None, 5000, "bought")])
    owner.exchange()
    a.exchange()
    a.make(
        [{"id": "M1", "good": "wax", "made_on": DAY}], [("cappings", None, -3000, "passed"), ("wax", "M1", 3000, "came")]
    )
    a.exchange()
    b.exchange()
    b.make([{"id": "W1", "good": "bar", "made_on": DAY, "sources": ["M1"]}], [("wax", "M1", -500, "used"), ("bar", "W1", 15, "poured")])
    b.sell([("bar", 2)], lots={"bar": [("W1", 2)]})
    b.exchange()
    c.exchange()
    c.sell([("bar", 1)], lots={"bar": [("W1", 1)]})
    c.exchange()
    a.exchange()
    a.count([("bar", "W1", -1, "specked")])
    a.exchange()


def _waited_in_turn(house: House, hands: dict[str, DeviceClient]) -> None:
    """Nothing is left, three callers wait, one wants more behind them; then some is poured, and the first of them are served."""
    owner, a, b, c = hands.values()
    owner.count([("bar", None, -40, "counted")])
    owner.exchange()
    taken = {}
    for hand in (c, a, b):
        taken[hand.identity["name"]] = hand.promise([("bar", 5)], person=hand.note_person(name=hand.identity["name"])).order
        hand.exchange()
    c.amend(taken["c"], lines=[("bar", 8)])
    c.exchange()
    owner.make([{"id": "W26-202-1", "good": "bar", "made_on": DAY}], [("bar", "W26-202-1", 12, "poured")])
    owner.exchange()
    a.exchange()
    a.pack(taken["a"], [{"carton": "box"}])
    a.exchange()


STORIES: tuple[Story, ...] = (_a_pour_an_order_and_its_way_out, _changed_by_everybody, _melted_further, _waited_in_turn)
NAMES = ("owner", "a", "b", "c")


def _books(house: House, hand: DeviceClient) -> dict[str, object]:
    """All that a device starts from, as far as it is not a matter of when it was heard."""
    mirror = Mirror.from_answer(house.mirror(hand.identity["token"]))
    sums = {name: {key: units for key, units in getattr(mirror, name).items() if units} for name in SUMS}
    return {**sums, "rows": {table: rows for table, rows in mirror.rows.items() if table != "forecast"}}


SUMS = ("lots", "sure", "handed", "promised", "paid", "moved", "took")


@dataclass(frozen=True)
class Told:
    """A story that was played: the house put back to before it, who played it, and how the books stood."""

    folder: Path
    hands: dict[str, DeviceClient]
    before: dict[str, object]
    free: int


@pytest.fixture(scope="module", params=STORIES, ids=lambda story: story.__name__.strip("_"))
def told(request: pytest.FixtureRequest) -> Iterator[Told]:
    """Played once for all orders of return: each of them goes on from a copy."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        house = small_house(Path(folder))
        hands = {name: device(house, name) for name in NAMES}
        backup = house.backup()
        request.param(house, hands)
        before, free = _books(house, hands["owner"]), pool(house)
        assert all(hand.needs_you == [] and hand.in_hand == [] for hand in hands.values()), "the story itself is sound"
        house.restore(backup)
        house.close()
        yield Told(Path(folder) / "data", hands, before, free)


@pytest.fixture
def returned(told: Told) -> Iterator[tuple[House, dict[str, DeviceClient]]]:
    """The house that was put back, and its devices as they were when the story was over; this test's own."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        house = House.open(copied(told.folder, Path(folder) / "data"), now=Watch())
        yield house, {name: _at(house, hand) for name, hand in told.hands.items()}
        house.close()


def _at(house: House, hand: DeviceClient) -> DeviceClient:
    """A device with all it knows and has written, that speaks with this house."""
    return deepcopy(hand, {id(hand.transport): DirectTransport(house), id(hand.clock): house.clock.now})


@pytest.mark.parametrize("order", list(permutations(NAMES)), ids="-".join)
def test_whoever_returns_first_the_books_stand_as_they_stood(
    told: Told, returned: tuple[House, dict[str, DeviceClient]], order: tuple[str, ...]
) -> None:
    house, hands = returned
    assert house.recovering() and all(hand.log for hand in hands.values()), "something is to come back"
    for name in order:
        hands[name].exchange()
        assert hands[name].needs_you == []
    assert not house.recovering() and house.check() == []
    assert _books(house, hands["owner"]) == told.before and pool(house) == told.free
    for hand in hands.values():
        hand.exchange()
        assert hand.needs_you == [] and hand.in_hand == []


def test_what_waits_for_what_waits_stands_as_soon_as_the_first_of_it_is_back(tmp_path: Path) -> None:
    """Each of them came before what it hangs on; one more device is silent yet, so that no last word is spoken."""
    house = small_house(tmp_path)
    hands = {name: device(house, name) for name in (*NAMES, "silent")}
    backup = house.backup()
    _a_pour_an_order_and_its_way_out(house, {name: hands[name] for name in NAMES})
    before = _books(house, hands["owner"])
    house.restore(backup)
    for name in ("b", "c", "a"):
        hands[name].exchange()
        assert _books(house, hands[name])["handed"] == {}
    hands["owner"].exchange()
    assert before["handed"] and house.recovering()
    assert _books(house, hands["owner"]) == before
    house.close()


def test_packed_by_one_and_let_go_by_another_its_cartons_lie_on_the_shelf_whoever_returns_first(tmp_path: Path) -> None:
    """As it stood before the house was put back: let go, and no carton in use."""
    for order in permutations(("a", "b", "c")):
        house = small_house(tmp_path / "-".join(order))
        hands = {name: device(house, name) for name in ("a", "b", "c")}
        a, b, c = hands.values()
        a.exchange(callers={"bar": 3})
        backup = house.backup()
        taken = a.promise([("bar", 3)], person=a.note_person(name="Orla"))
        a.exchange()
        c.exchange()
        c.pack(taken.order, [{"carton": "box"}])
        c.exchange()
        b.exchange()
        b.let_go(taken.order)
        b.exchange()
        before = _books(house, a)
        house.restore(backup)
        for name in order:
            hands[name].exchange()
            assert hands[name].needs_you == []
        assert not house.recovering() and house.check() == [] and _books(house, a) == before
        house.close()


def test_what_waits_is_said_to_wait_whether_it_came_before_its_cause_or_hangs_on_what_did(house: House) -> None:
    """Neither landed nor refused; what hangs on neither lands meanwhile."""
    hand = device(house)
    left = {**movement("bar", -1, "gone"), "order": "o9", "line": "l9"}
    gone = entry(hand, "hand_over", [{"table": "order", "id": "o9", "state": "gone", "gone_on": "2026-07-20"}, left])
    hand.log.append(gone)
    paid = entry(hand, "pay", [{"table": "payment", "id": "p9", "order": "o9", "cents": 500, "how": "cash", "on": "2026-07-20"}])
    hand.log.append(paid)
    bought = entry(hand, "buy", [movement("bar", 1, "bought")])
    who = Who(hand.identity["device"], "keeper", "2026-07-20T12:00:00Z", "2026-07-20", recovering=True, may_wait=True)
    with house.records.write():
        answers = [take(house.records, who, one) for one in (gone, paid, bought)]
        waiting = [one["id"] for one in pending.all_kept(house.records)]
    assert [(answer.waits, answer.position is not None, answer.why) for answer in answers] == [(True, False, "")] * 2 + [(False, True, "")]
    assert waiting == [gone["id"], paid["id"]]
