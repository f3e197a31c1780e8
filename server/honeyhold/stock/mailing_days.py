"""On which days parcels leave the house."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from honeyhold.stock.days import Day, days_later, parse_day
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, whole

SEARCH_DAYS = 400  # further than a year ahead nobody plans a parcel


def posting_days(
    first: Day, weekdays: Iterable[int], holidays: Iterable[Day] = (), count: int = 3
) -> list[date]:
    """The next `count` posting days, `first` included if it is one.

    `weekdays` are the house's own (Monday is 0); `holidays` are days on which the post takes nothing.
    Fewer than `count` come back when the next 400 days hold no more. Raises UnreadableField.
    """
    allowed = set(weekdays)
    if not allowed or not all(type(day) is int and 0 <= day <= 6 for day in allowed):
        raise UnreadableField(
            "weekdays", sorted(map(str, allowed)), "at least one day from 0 (Monday) to 6 (Sunday)"
        )
    closed = {parse_day(day, "holidays") for day in holidays}
    found: list[date] = []
    for ahead in range(SEARCH_DAYS):
        day = days_later(first, ahead)
        if len(found) < count and day.weekday() in allowed and day not in closed:
            found.append(day)
    return found


def next_posting_days(request: Request) -> dict[str, Any]:
    """The same as plain JSON. Shapes: README.md. Raises UnreadableField."""
    weekdays, holidays = request.get("weekdays"), request.get("holidays") or []
    for field, value in (("weekdays", weekdays), ("holidays", holidays)):
        if not isinstance(value, list | tuple):
            raise UnreadableField(field, value, "a list")
    count = whole(request, "count", least=1, most=60, default=3)
    days = posting_days(parse_day(request.get("from"), "from"), weekdays or [], holidays, count)
    return {"days": [day.isoformat() for day in days]}
