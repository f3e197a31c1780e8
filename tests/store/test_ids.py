"""Ids of new rows: a later one sorts after an earlier one, within a millisecond and by a clock that was put back."""

from __future__ import annotations

import re
from uuid import UUID

from goods.in_node import in_node

NOON_MS = 1_790_000_000_000


def made(clock_ms: list[int]) -> list[str]:
    """An id for each reading of the clock, by one device."""
    return list(in_node("store/ids.js", "asked.map((now_ms) => here.newId(now_ms))", clock_ms))


def test_the_later_sorts_after_the_earlier() -> None:
    ids = made([NOON_MS, NOON_MS, NOON_MS, NOON_MS + 1, NOON_MS + 1, NOON_MS - 3_600_000, NOON_MS + 2])
    assert ids == sorted(ids) and len(set(ids)) == len(ids)


def test_more_than_the_counter_holds_within_a_millisecond() -> None:
    ids = made([NOON_MS] * 9000)
    assert ids == sorted(ids) and len(set(ids)) == len(ids)


def test_it_is_a_uuid_of_that_moment() -> None:
    """As RFC 9562 lays it out: the milliseconds in its first 48 bits, version 7, its variant."""
    [said] = made([NOON_MS])
    one = UUID(said)
    assert one.int >> 80 == NOON_MS and (one.version, one.variant) == (7, "specified in RFC 4122")
    assert re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", said)
