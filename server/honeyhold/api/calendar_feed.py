"""The calendar feed: its address for owners, the feed itself for whoever knows the address."""

from __future__ import annotations

from flask import Blueprint, Response, request
from marshmallow import Schema, fields

from honeyhold.api.access import a_keeper, the_house
from honeyhold.api.json_response import told
from honeyhold.house import calendar_feed

door = Blueprint("calendar", __name__)


class CalendarAnswer(Schema):
    """Where a calendar program finds the feed; whoever has the address can read it."""

    address = fields.String(required=True)


@door.get("/api/calendar")
def where() -> Response:
    """The feed's address; owners only."""
    a_keeper()
    return _address(calendar_feed.secret(the_house()))


@door.post("/api/calendar/renew")
def renew() -> Response:
    """Another address; the one before opens nothing any more."""
    a_keeper()
    return _address(calendar_feed.secret(the_house(), renew=True))


@door.get("/calendar/<secret>.ics")
def read(secret: str) -> Response:
    """The feed, for whoever knows its address; kept by nobody on the way."""
    answer = Response(calendar_feed.feed(the_house(), secret), content_type="text/calendar; charset=utf-8")
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _address(secret: str) -> Response:
    return told({"address": f"{request.host_url}calendar/{secret}.ics"})
