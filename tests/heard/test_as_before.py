"""While other tests run every function of the server gives, refuses and leaves what it did (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import AbstractContextManager, suppress
from pathlib import Path

import pytest
from tests.heard.as_before import FILES, OF_THE_BROWSER, Ears, function_of, heard, kept, told
from tests.steps import as_before as steps
from tests.steps.once_more import OnceMore

import postgresql_server
from honeyhold.api.rate_limit import RateLimit
from honeyhold.records.house_register import BadHouseName, checked_name
from replication.houses import MONDAY

BEFORE = kept()


@pytest.mark.skipif(postgresql_server.chosen(), reason="the functions of the other store are others")
@pytest.mark.parametrize("file", BEFORE)
def test_every_function_does_what_it_did(file: str) -> None:
    """In each of its own surroundings some of what is said is another; that is not held."""
    if file in FILES:
        postgresql_server.needed()
    before, now = BEFORE[file], told(file)
    assert before
    assert {what: said for what, said in before.items() if now.get(what) != said} == {}


def test_most_of_both_sides_is_listened_to() -> None:
    """Were nothing heard any more, nothing would be held; a new file of tests is listened to once it was written down."""
    assert {*FILES} <= {*BEFORE} <= {*FILES, *OF_THE_BROWSER}
    names = {function_of(what) for held in BEFORE.values() for what in held}
    assert len([name for name in names if ".py " in name]) > 600 and len([name for name in names if ".js " in name]) > 600


def _told(*names: str) -> dict[str, str]:
    with heard("(nowhere)") as ears:
        for name in names:
            with suppress(BadHouseName):
                checked_name(name)
    return ears.digests()


CHECKED = "records/house_register.py checked_name"


def test_what_a_function_gives_is_heard_whatever_the_order_and_however_often() -> None:
    assert _told("willow", "maple") == _told("maple", "willow", "willow") != _told("willow", "willow")


def test_what_it_is_given_and_refuses_is_heard_besides() -> None:
    assert [*_told("willow")] == [CHECKED, f"{CHECKED} is given", f"{CHECKED} leaves"]
    refused, other = _told("Willow"), _told("Maple")
    assert f"{CHECKED} refuses" in refused and refused[f"{CHECKED} refuses"] != other[f"{CHECKED} refuses"]
    assert refused[f"{CHECKED} is given"] != other[f"{CHECKED} is given"]


def test_what_its_own_thing_and_what_it_was_handed_hold_afterwards_is_heard() -> None:
    said = []
    for who in ("phone", "tablet"):
        limit = RateLimit(lambda: MONDAY)
        with heard("(nowhere)") as ears:
            limit.begin_try(who)
        said.append(ears.digests())
    left = "api/rate_limit.py RateLimit.begin_try leaves"
    assert said[0][left] != said[1][left]


@pytest.mark.parametrize("listening", [lambda: heard("(nowhere)"), lambda: steps.heard(OnceMore({}))], ids=["functions", "steps"])
def test_whoever_looked_on_before_looks_on_afterwards(listening: Callable[[], AbstractContextManager[object]]) -> None:
    """Coverage, or a debugger: it went blind for all the tests that came after."""

    def looking_on(*_: object) -> None:
        return None

    before = sys.gettrace()
    sys.settrace(looking_on)
    try:
        with listening():
            assert sys.gettrace() is not looking_on
        assert sys.gettrace() is looking_on
    finally:
        sys.settrace(before)


def test_where_the_tests_write_is_not_held() -> None:
    one, other = Ears("/one/place"), Ears("/other/place")
    one._hold("a.py b", "'/one/place/x'")
    other._hold("a.py b", "'/other/place/x'")
    assert one.digests() == other.digests() != {}


def test_what_other_processes_heard_counts_too(tmp_path: Path) -> None:
    here, there = Ears("(nowhere)"), Ears("(nowhere)")
    here._hold("a.py b", "1")
    there._hold("a.py b", "2")
    there.put_into(tmp_path)
    both = Ears("(nowhere)")
    both._hold("a.py b", "2")
    both._hold("a.py b", "1")
    here.add_from(tmp_path)
    assert here.digests() == both.digests() != there.digests()
