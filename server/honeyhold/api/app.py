"""The factory: one house, its doors, and what the browser is given."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from flask import Flask

from honeyhold.api import (
    calendar_feed,
    codes,
    documents,
    elsewhere,
    exchange,
    export,
    health,
    lots,
    metrics,
    openapi,
    orders,
    own,
    people,
    problems,
    quarantine,
    site,
    stream,
    trust,
    work,
    years,
)
from honeyhold.api.access import EXTENSION
from honeyhold.api.effort import EXTENSION as EFFORT
from honeyhold.api.effort import Effort
from honeyhold.api.own_names import OwnNames, only_under
from honeyhold.api.rate_limit import EXTENSION as RATE_LIMIT
from honeyhold.api.rate_limit import RateLimit
from honeyhold.house.house import House

BODY_BYTES_MAX = 4 * 1024 * 1024
"""Two hundred entries of a few kilobytes each, with room to spare."""


def make_app(house: House, web: Path | None = None, streams_max: int = 12, known_as: Iterable[str] = (), sources: bool = False) -> Flask:
    """The application for one open house. `web` is the folder of the browser's files; without it only the doors are there.

    `known_as`: names under which it answers besides those of the machine. `sources`: the browser's files as they stand, not as built.
    """
    app = bare()
    begin_anew(app, house, streams_max)
    metrics.measure(app)
    only_under(app, OwnNames(known_as))
    open_doors(app, web, sources)
    for door in (own, metrics):
        app.register_blueprint(door.door)
    return app


def begin_anew(app: Flask, house: House, streams_max: int = 12) -> None:
    """From now on it answers for this house, and remembers nothing of earlier requests."""
    app.extensions[EXTENSION] = house
    app.extensions[RATE_LIMIT] = RateLimit(house.clock.now)
    app.extensions[EFFORT] = Effort()
    app.extensions[stream.EXTENSION] = streams = stream.Places(streams_max)
    metrics.count_anew(app, metrics.Standing(house, streams))


def bare() -> Flask:
    """An application that answers with problems, and has no door yet."""
    app = Flask("honeyhold", static_folder=None)
    app.url_map.merge_slashes = False  # an address with a slash too many is none of ours, and no redirect
    app.config["MAX_CONTENT_LENGTH"] = BODY_BYTES_MAX
    problems.answer_with_problems(app)
    return app


def open_doors(app: Flask, web: Path | None, sources: bool = False) -> None:
    """The doors of a house, whichever the request is to."""
    elsewhere.let_in(app)
    parts = (codes, exchange, health, quarantine, lots, orders, export, documents, people,
             stream, trust, work, years, calendar_feed, openapi)  # fmt: skip
    for door in parts:
        app.register_blueprint(door.door)
    if web is not None:
        site.serve(app, web, sources)
