"""Orders of long ago, which no device carries any more, and a season looked back on."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, request
from marshmallow import Schema, fields, validate

from honeyhold.api.access import the_device, the_house
from honeyhold.api.json_response import told
from honeyhold.operations.fields import identity
from honeyhold.operations.schemas import LineUnits, read
from honeyhold.queries.looking_back import of_season
from honeyhold.queries.past_orders import FIRST, PAGE, PAGE_MAX, past_orders

door = Blueprint("orders", __name__)


class OrdersAsk(Schema):
    """`GET /api/orders`: as it stands in the address."""

    person = identity(required=True)
    before = fields.Integer(validate=validate.Range(1, FIRST), load_default=FIRST)
    limit = fields.Integer(validate=validate.Range(1, PAGE_MAX), load_default=PAGE)


class OrdersAnswer(Schema):
    """One page; `before` asks for the next one, null when there is none."""

    orders = fields.List(fields.Dict(), required=True)
    lines = fields.List(fields.Dict(), required=True)
    parcels = fields.List(fields.Dict(), required=True)
    payments = fields.List(fields.Dict(), required=True)
    handed = fields.List(fields.Nested(LineUnits), required=True)
    before = fields.Integer(required=True, allow_none=True)


@door.get("/api/orders")
def orders() -> Response:
    """A person's closed orders, the latest first, with lines, parcels, payments and what was handed over."""
    the_device()
    asked: dict[str, Any] = read(OrdersAsk(), request.args.to_dict(), "question for orders")
    return told(past_orders(the_house().records, asked["person"], asked["before"], asked["limit"]))


class SeasonAsk(Schema):
    """`GET /api/looking-back`: as it stands in the address."""

    season = fields.Integer(required=True, validate=validate.Range(1901, 9998))


@door.get("/api/looking-back")
def season() -> Response:
    """A season beside the one before: sold by week and good, what came in and is owed, who waited, what was put right."""
    the_device()
    asked: dict[str, Any] = read(SeasonAsk(), request.args.to_dict(), "question for a season")
    return told(of_season(the_house().records, asked["season"]))
