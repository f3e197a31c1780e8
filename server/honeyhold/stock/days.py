"""Days as the house says them. "Today" is always handed in: the trade has no clock."""

from __future__ import annotations

import re
from datetime import date, timedelta

from honeyhold.stock.errors import UnreadableField

Day = str | date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def parse_day(day: object, field: str = "day") -> date:
    """A day from "2026-07-20", or a date handed through. Raises UnreadableField."""
    if type(day) is date:
        return day
    if isinstance(day, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", day, re.ASCII):
        try:
            return date.fromisoformat(day)
        except ValueError:
            pass
    raise UnreadableField(field, day, 'a day like "2026-07-20"')


def days_later(day: Day, days: int) -> date:
    """The day `days` after `day` (before it if negative). Raises UnreadableField past the calendar's ends."""
    start = parse_day(day)
    try:
        return start + timedelta(days=days)
    except OverflowError:
        raise UnreadableField("days", days, "a number of days that stays inside the calendar") from None


def date_words(day: Day) -> str:
    """A day of the calendar: "Mon, Jul 20"."""
    it = parse_day(day)
    return f"{WEEKDAYS[it.weekday()][:3]}, {MONTHS[it.month - 1]} {it.day}"


def day_words(day: Day, today: Day) -> str:
    """A day as said on the telephone on the day `today`.

    "today", "tomorrow", "yesterday", then the weekday alone up to six days ahead ("Monday"), then with its
    date ("Monday, Aug 3"), and with the year when that differs. Raises UnreadableField.
    """
    it, now = parse_day(day), parse_day(today, "today")
    ahead = (it - now).days
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}
    if ahead in near:
        return near[ahead]
    weekday = WEEKDAYS[it.weekday()]
    if 1 < ahead < 7:
        return weekday
    year = f", {it.year}" if it.year != now.year else ""
    return f"{weekday}, {MONTHS[it.month - 1]} {it.day}{year}"
