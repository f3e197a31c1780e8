"""Goal: who is in reach, what rests and when an epoch began are told to the second; method: clocks set by hand, no house."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from honeyhold.replication.devices import next_mark
from honeyhold.replication.mirror import keep_since
from honeyhold.replication.recovery import PLACES_IN_AN_EPOCH, all_was_said, epoch_begins, new_epoch
from honeyhold.replication.sessions import Session, Sessions

NOON = datetime(2026, 7, 20, 12, tzinfo=UTC)


def after(seconds: float) -> datetime:
    """So long after noon."""
    return NOON + timedelta(seconds=seconds)


def test_a_device_is_in_reach_for_a_minute_and_a_half() -> None:
    """Who was heard longer ago is asked for nothing, and its caller has hung up."""
    sessions = Sessions()
    sessions.hear("Shed phone", {"bar": 3}, {"bar": 2}, NOON)
    assert list(sessions.heard_in_reach(after(89.9))) == ["Shed phone"] and sessions.heard_in_reach(after(90)) == {}
    assert sessions.seen_at("Shed phone") == NOON and sessions.seen_at("Tablet") is None


def test_a_caller_who_wants_nothing_is_no_caller() -> None:
    """And what is said next takes the place of what was said before."""
    sessions = Sessions()
    sessions.hear("Shed phone", {}, {"bar": 0, "jar": 1}, NOON)
    assert sessions.heard_in_reach(NOON)["Shed phone"].callers == {"jar": 1}
    sessions.hear("Shed phone", {}, {}, NOON)
    assert sessions.heard_in_reach(NOON)["Shed phone"].callers == {}
    sessions.forget("Shed phone")
    assert sessions.heard_in_reach(NOON) == {}


def test_what_was_given_back_rests_for_ten_minutes() -> None:
    """That good at that device, no other good and no other device."""
    sessions = Sessions()
    sessions.returned("Shed phone", {"bar": 1}, NOON)
    assert sessions.resting("bar", after(599.9)) == {"Shed phone"} and sessions.resting("jar", after(1)) == set()
    assert sessions.resting("bar", after(600)) == set()


def test_other_processes_are_told_what_a_device_said_and_what_it_gave_back() -> None:
    """As it was said, and when."""
    sessions, told = Sessions(), []
    sessions.tell = lambda *what: told.append(what)  # type: ignore[method-assign]
    sessions.hear("Shed phone", {"bar": 3}, {"bar": 2, "jar": 0}, NOON)
    sessions.returned("Tablet", {"bar": 1}, after(1))
    assert told == [("Shed phone", Session(NOON, {"bar": 3}, {"bar": 2}), NOON), ("Tablet", {"bar": 1}, after(1))]


def test_the_bell_is_rung_for_more_than_before_only() -> None:
    """The same ask again is no news; less is none; one more is."""
    sessions = Sessions()
    rung = [sessions.must_ring("bar", asked) for asked in ({"a": 2}, {"a": 2}, {"a": 1}, {"a": 2}, {"b": 1}, {})]
    assert rung == [True, False, False, True, True, False]


def test_sizes_are_believed_for_an_hour_and_a_division_while_nothing_changes() -> None:
    """Both are worked out anew afterwards."""
    sessions = Sessions()
    sessions.keep_order_sizes("bar", {"5": 2}, NOON)
    assert sessions.order_sizes("bar", after(3599)) == {"5": 2} and sessions.order_sizes("bar", after(3600)) is None
    assert sessions.order_sizes("jar", NOON) is None
    sessions.keep_division("bar", "asked", {"give": 1})
    assert sessions.division("bar", "asked") == {"give": 1} and sessions.division("bar", "else") is None


@pytest.mark.parametrize(("epoch", "seconds"), [
    ("10-abcd", 16), ("fffffff-0", 0xFFFFFFF), ("10000000-0", 0x10000000), ("ffffffff-0", 0xFFFFFFFF),
    ("100000000-0", 0), ("", 0), ("first", 0), ("-abcd", 0), ("xyz-1", 0), ("12", 0),
])  # fmt: skip
def test_an_epochs_places_begin_where_its_name_says(epoch: str, seconds: int) -> None:
    """Eight figures of seconds reach past the year 2150; a name that says no moment begins at nothing."""
    assert epoch_begins(epoch) == seconds * PLACES_IN_AN_EPOCH


def test_a_later_epoch_begins_later_whatever_the_clock_says() -> None:
    """A machine whose clock was set back still puts new places behind old ones; all of them are exact in JSON."""
    first = new_epoch(NOON, "first")
    assert epoch_begins(first) == int((NOON - datetime(2026, 1, 1, tzinfo=UTC)).total_seconds()) * PLACES_IN_AN_EPOCH
    assert epoch_begins(new_epoch(NOON - timedelta(days=400), first)) == epoch_begins(first) + PLACES_IN_AN_EPOCH
    assert epoch_begins(new_epoch(datetime(2085, 1, 1, tzinfo=UTC), first)) + PLACES_IN_AN_EPOCH < 2**53


class Marked:
    """Records of which one thing is known: the marks that were given."""

    def __init__(self, *marks: str) -> None:
        self.marks = marks

    def dicts(self, _query: Any) -> list[dict[str, str]]:
        """A row for each."""
        return [{"mark": mark} for mark in self.marks]


@pytest.mark.parametrize(("given", "following"), [
    ((), "A"), (("A",), "B"), (("A", "C"), "D"), (("Y",), "Z"), (("Z",), "AA"), (("AA",), "AB"), (("AZ",), "BA"), (("ZY",), "ZZ"),
    (("ZZ",), "AAA"), (("B", "AA", "Z"), "AB"),
])  # fmt: skip
def test_no_mark_is_given_twice_and_after_the_last_letter_comes_another_place(given: tuple[str, ...], following: str) -> None:
    """As columns of a sheet are named."""
    assert next_mark(Marked(*given)) == following  # type: ignore[arg-type]


@pytest.mark.parametrize(("said", "all_of_it"), [
    ({}, True), ({"spent": {}}, True), ({"spent": {"bar": 3}}, True), ({"spent": {"bar": 4}}, False), ({"spent": {"jar": 0}}, True),
    ({"spent": {"bar": 2, "jar": 1}}, False),
])  # fmt: skip
def test_an_app_of_before_has_said_all_when_what_it_spent_is_counted(said: dict[str, Any], all_of_it: bool) -> None:
    """It does not tell how many entries it wrote."""
    assert all_was_said(Marked(), "Shed phone", said, {"bar": 3}) is all_of_it  # type: ignore[arg-type]


def test_devices_keep_closed_orders_for_thirty_days() -> None:
    """The day from which on they keep them, told with every exchange."""
    assert keep_since(date(2026, 7, 20)) == "2026-06-20"


def test_what_other_processes_heard_is_kept_once_for_each_device_until_it_is_taken_in() -> None:
    """A house that nobody writes into here may hear others for days."""
    sessions = Sessions()
    for second in range(500):
        sessions.hear_elsewhere("Shed phone", Session(after(second), {"bar": second}), after(second))
        sessions.hear_elsewhere("Tablet", {"bar": 1, "jar": 1}, after(second))
    sessions.hear_elsewhere("Shed phone", Session(after(3), {"bar": 3}), after(3))  # late by another road
    assert len(sessions._elsewhere) == 1 and len(sessions._returned_elsewhere) == 2
    assert sessions.heard_in_reach(after(500))["Shed phone"].wants == {"bar": 499} and not sessions._elsewhere
    assert sessions.resting("jar", after(500)) == {"Tablet"}
