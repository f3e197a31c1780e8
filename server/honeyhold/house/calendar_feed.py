"""The calendar that other programs read (RFC 5545), at an address that nobody guesses and that can be renewed."""

from __future__ import annotations

import secrets
from datetime import date
from typing import Final

from honeyhold.house.house import House
from honeyhold.operations.errors import NoSuchThing
from honeyhold.queries.calendar_days import CalendarDay, calendar_days
from honeyhold.replication.mirror import identity_of

SECRET: Final = "calendar_secret"
SECRET_BYTES: Final = 24


def secret(house: House, renew: bool = False) -> str:
    """The secret part of the feed's address, made when first asked for; the one before opens nothing any more."""
    with house.records.write():
        known = house.records.meta(SECRET)
        if renew or not known:
            known = secrets.token_urlsafe(SECRET_BYTES)
            house.records.set_meta(SECRET, known)
    return known


def feed(house: House, said: str) -> bytes:
    """The feed for whoever knows its address. Raises `NoSuchThing` for everybody else."""
    settings = house.settings()
    today = house.clock.today()
    with house.records.view():
        known = house.records.meta(SECRET)
        if not known or not secrets.compare_digest(known.encode(), said.encode()):
            raise NoSuchThing("There is no such calendar.", "Look up its address under Settings, calendar, on an owner's device.")
        days = calendar_days(house.records, today, settings)
        records_id = identity_of(house.records)[:16]
    return _written(house, days, records_id, str(settings.get("name") or "Honey house"))


def _written(house: House, days: list[CalendarDay], records_id: str, name: str) -> bytes:
    from icalendar import Calendar, Event  # most houses have no such calendar, and their start does not wait for it

    calendar = Calendar()
    calendar.add("prodid", "-//Honeyhold//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", name)
    for day in days:
        event = Event()
        event.add("uid", f"{day.key}@{records_id}")
        event.add("dtstamp", house.clock.now())
        event.add("dtstart", date.fromisoformat(day.on))
        event.add("summary", day.words)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
