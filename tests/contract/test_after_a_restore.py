"""Goal: after a restore both clients say again what the house lacks, and where it stood. Method: one story with each, on a real house."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import cast

import pytest

from honeyhold.house.quarantine import late_entries
from quick_disk import QUICK_DISK
from storm.line import Line
from storm.phone import Phone
from storm.world import World


class _Calm(Line):
    """Nothing goes wrong."""

    calm = property(lambda _line: True, lambda _line, _value: None)  # type: ignore[assignment]


@pytest.fixture(params=["python", "web"])
def world(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[World]:
    monkeypatch.setattr("storm.world.Line", _Calm)
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        made = World(1, Path(folder), devices=3, mistakes=[] if request.param == "web" else None)
        for phone in made.phones:
            phone.old_app = False
            made.set_clock(phone, 0)
        yield made
        made.close()


def _orders(world: World) -> list[str]:
    """People whose orders are kept apart."""
    return [one["person"] for one in late_entries(world.house)["entries"] if one["kind"] == "promise"]


def test_what_a_lost_device_had_kept_apart_is_offered_again(world: World) -> None:
    lost, other, third = world.phones
    world.exchange(other)
    backup = world.house.backup()
    lost.promise([("bar", 2)], person=lost.note_person(name="Orla"))
    world.exchange(lost)
    lost.promise([("bar", 3)], person=lost.note_person(name="Nils"))
    world.lost = [lost]
    world.phones = [other, third]
    world.house.declare_lost(lost.identity["device"])
    world.exchange(lost)
    assert _orders(world)[-1] == "Nils"
    world.house.restore(backup)
    assert _orders(world) == []
    for _ in range(3):
        world.exchange(lost)
    assert _orders(world) == ["Orla", "Nils"]


def test_what_waits_for_its_cause_lands_when_it_has_come_and_who_waited_first_is_first(world: World) -> None:
    first, second, third = world.phones
    first.count([("bar", None, -40, "counted")])
    person = first.note_person(name="Orla")
    world.exchange(first)
    backup = world.house.backup()
    later = first.note_person(name="Known since")
    world.exchange(first)
    for hand in (second, third):
        world.exchange(hand)
    orders = []
    for hand, who in ((second, later), (third, person)):
        orders.append(hand.promise([("bar", 5)], person=who).order)
        world.exchange(hand)
    world.house.restore(backup)
    for hand in (third, second):
        world.exchange(hand)
    assert len(second.in_hand) == 1 and third.in_hand == [], "it names a person whom nobody has said again"
    world.exchange(first)
    first.count([("bar", None, 5, "counted")])
    for hand in (first, second, third):
        world.exchange(hand)
    world.exchange_plain()  # it wrote nothing, and says so: now every device was heard
    for hand in (first, second, third):
        world.exchange(hand)
    assert not world.house.recovering() and second.in_hand == []
    view = cast("Phone", second).view
    sure = {row["order"]: view.sure[row["id"]] for row in view.rows["line"].values()}
    assert [sure[order] for order in orders] == [5, 0], "who asked first is served first, though it returned last"
