"""All that a house tells of what it holds: to a device that begins, on papers, in the Book, in a calendar, to whoever adds it up again."""

from __future__ import annotations

from typing import Any

from entries.house import LivedIn
from honeyhold.errors import HoneyholdError
from honeyhold.house import calendar_feed
from honeyhold.operations.errors import NoSuchThing
from honeyhold.queries.calendar_days import calendar_days
from honeyhold.queries.looking_back import of_season
from honeyhold.queries.past_orders import past_orders
from honeyhold.queries.tracing import trace_lot
from honeyhold.queries.year import year_sums
from honeyhold.records.models import Lot, Order, Person

Json = dict[str, Any]


def all_told(here: LivedIn) -> Json:
    """By question."""
    house, records = here.house, here.house.records
    orders, people, lots = (
        [row["id"] for row in records.dicts(model.select(model.id).order_by(model.id))] for model in (Order, Person, Lot)
    )
    return {
        "mirrors": [_as_a_set(house.mirror(hand.identity["token"])) for hand in (here.keeper, here.helper)],
        "slips": [house.slip_request(order) for order in orders],
        "traces": [_traced(here, lot) for lot in lots],
        "past orders": [past_orders(records, person, limit=2) for person in people],
        "years": [_as_a_set(year_sums(records, year)) for year in (2025, 2026)],
        "seasons": [of_season(records, season) for season in (2026, 2027)],
        "calendar": [vars(day) for day in calendar_days(records, house.clock.today(), house.settings())],
        "feed": _nobodys_feed(here),
        "wrong": house.check(),
    }  # fmt: skip


def _as_a_set(told: Json) -> Json:
    """Lists of which nobody asks the order are sorted: the databases give them as they come."""
    return {name: sorted(map(repr, value)) if isinstance(value, list) else value for name, value in told.items()}


def _traced(here: LivedIn, lot: str) -> Any:
    try:
        return trace_lot(here.house.records, lot)
    except HoneyholdError as trouble:
        return str(trouble)


def _nobodys_feed(here: LivedIn) -> str:
    try:
        return calendar_feed.feed(here.house, "guessed").decode()
    except NoSuchThing as trouble:
        return str(trouble)
