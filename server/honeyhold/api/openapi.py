"""OpenAPI 3.1, made from the same schemas that guard the doors."""

from __future__ import annotations

from functools import cache
from typing import Any

from flask import Blueprint, Response
from marshmallow import fields

from honeyhold.api.answers import ANSWERS
from honeyhold.api.calendar_feed import CalendarAnswer
from honeyhold.api.health import own_version
from honeyhold.api.json_response import told
from honeyhold.api.orders import OrdersAnswer, OrdersAsk, SeasonAsk
from honeyhold.api.people import PeopleAsk
from honeyhold.api.problems import MEDIA_TYPE
from honeyhold.api.trust import TrustAnswer
from honeyhold.operations import schemas
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.rows import TABLES

door = Blueprint("describe", __name__)

Json = dict[str, Any]

SCHEMAS = {
    "Operation": schemas.OperationSchema, "ExchangeAsk": schemas.ExchangeAsk, "ExchangeAnswer": schemas.ExchangeAnswer,
    "MirrorAnswer": schemas.MirrorAnswer, "EnrolAsk": schemas.EnrolAsk, "EnrolAnswer": schemas.EnrolAnswer,
    "LateAsk": schemas.LateAsk, "SettleAsk": schemas.SettleAsk,
    "BackupAsk": schemas.BackupAsk, "CodeAsk": schemas.CodeAsk, "CodeAnswer": schemas.CodeAnswer, "WorkAsk": schemas.WorkAsk,
    "Problem": schemas.Problem, "OrdersAnswer": OrdersAnswer, "PeopleAsk": PeopleAsk,
    "TrustAnswer": TrustAnswer, "CalendarAnswer": CalendarAnswer, **ANSWERS,
}  # fmt: skip

QUESTIONS = {"/api/orders": OrdersAsk(), "/api/looking-back": SeasonAsk()}
"""What stands behind the question mark of an address."""

DOORS: list[tuple[str, str, str, str | None, str | None, bool]] = [
    # address, method, what it does, schema asked, schema answered, whether a device's token is needed
    ("/api/enrol", "post", "A fresh code adds a device", "EnrolAsk", "EnrolAnswer", False),
    ("/api/codes", "post", "A one-time code for another device (owners)", "CodeAsk", "CodeAnswer", True),
    ("/api/own/codes", "post", "A one-time code, asked for by the main computer's own command line", "CodeAsk", None, True),
    ("/api/own/backup", "post", "A verified copy, asked for by the main computer's own command line", "BackupAsk", "OwnBackupAnswer", True),
    ("/api/own/forecast", "post", "What going back to a backup would mean, for the command line", "BackupAsk", "OwnForecastAnswer", True),
    ("/api/own/check", "post", "Every sum added up again, asked for by the main computer's own command line", None, "OwnCheckAnswer", True),
    ("/api/own/export", "post", "Everything out, asked for by the main computer's own command line", None, None, True),
    ("/api/export.zip", "get", "Everything out: CSV files and one JSON (owners)", None, None, True),
    ("/api/people/{person}/export.zip", "get", "All that is kept of one person (owners)", None, None, True),
    ("/api/people/{person}/forget", "post", "A person forgotten on request (owners)", None, "ForgottenAnswer", True),
    ("/api/devices/{device}/lost", "post", "Declares a device lost (owners)", None, "LostAnswer", True),
    ("/api/late", "get", "What lost, copied and renamed devices sent, to be settled (owners)", None, "LateAnswer", True),
    ("/api/late", "post", "Entries written under an earlier name, kept apart for the owner", "LateAsk", "HandedInAnswer", True),
    ("/api/late/settle", "post", "One late entry taken in or put aside (owners)", "SettleAsk", "SettledAnswer", True),
    ("/api/exchange", "post", "Entries up; answers, changes and grants down", "ExchangeAsk", "ExchangeAnswer", True),
    ("/api/mirror", "get", "Where a new or emptied device starts from", None, "MirrorAnswer", True),
    ("/api/stream", "get", "Server-sent events: only that there is something", None, None, True),
    ("/api/trust", "get", "What devices trust, and what they will have to trust next", None, "TrustAnswer", True),
    ("/api/work/{name}", "post", "The pure work by name", "WorkAsk", None, True),
    ("/api/orders", "get", "A person's closed orders, a page at a time", None, "OrdersAnswer", True),
    ("/api/looking-back", "get", "A season beside the one before", None, "LookingBackAnswer", True),
    ("/api/calendar", "get", "Where a calendar program finds mailing days and pick-ups (owners)", None, "CalendarAnswer", True),
    ("/api/calendar/renew", "post", "Another address for it; the one before opens nothing any more (owners)", None, "CalendarAnswer", True),
    ("/calendar/{secret}.ics", "get", "That calendar (RFC 5545), for whoever knows its address", None, None, False),
    ("/api/people/read", "post", "What each line of a list of people would become; nothing is written (owners)", "PeopleAsk", None, True),
    ("/api/lots/{lot}/trace", "get", "Who has a lot, and what it was made from", None, None, True),
    ("/api/years/{year}", "get", "A year in sums: what left and came in by month, what was put right", None, "YearAnswer", True),
    ("/api/papers/slip/{order}.pdf", "get", "The packing slip of one order", None, None, True),
    ("/api/health", "get", "Whether the main computer answers", None, "HealthAnswer", False),
    ("/api/health/deep", "get", "Each thing the house stands on, and whether it holds (owners, or with the key for watching)",
     None, "DeepHealthAnswer", True),
    ("/api/metrics", "get", "Figures of the running server as OpenMetrics (owners, or with the key for watching)", None, None, True),
    ("/api/openapi.json", "get", "This description", None, None, False),
]


MADE_SOMETHING = {
    (address, "post") for address in ("/api/enrol", "/api/codes", "/api/own/codes", "/api/own/backup", "/api/late")
}
"""Doors that answer 201."""

MEDIA = {"/calendar/{secret}.ics": "text/calendar",
         "/api/stream": "text/event-stream", "/api/metrics": "application/openmetrics-text",
         "/api/export.zip": "application/zip", "/api/own/export": "application/zip",
         "/api/people/{person}/export.zip": "application/zip", "/api/papers/slip/{order}.pdf": "application/pdf"}  # fmt: skip
"""Doors that answer no JSON."""


TOLD_TOO = {"/api/health/deep": ("503", "Something does not hold")}
"""Doors that answer the same shape under another status, too."""


@door.get("/api/openapi.json")
def openapi() -> Response:
    """All doors, all tables, all kinds."""
    return told(description())


@cache
def description() -> Json:
    """The OpenAPI document as a dictionary."""
    from apispec import APISpec  # once, for whoever asks: no house that starts waits for it
    from apispec.ext.marshmallow import MarshmallowPlugin

    spec = APISpec(
        title="Honeyhold", version=own_version(), openapi_version="3.1.0", plugins=[MarshmallowPlugin()],
        info={"description": f"Kinds of operation: {', '.join(sorted(KINDS))}."},
    )  # fmt: skip
    spec.components.security_scheme("device", {"type": "http", "scheme": "bearer"})
    for name, schema in SCHEMAS.items():
        spec.components.schema(name, schema=schema)
    for name, schema in TABLES.items():
        spec.components.schema(f"Row_{name}", schema=schema)
    for address, method, what, asked, answered, guarded in DOORS:
        told = _door(address, what, asked, answered, "201" if (address, method) in MADE_SOMETHING else "200")
        spec.path(path=address, operations={method: {**told, "security": [{"device": []}]} if guarded else told})
    return dict(spec.to_dict())


def _door(address: str, what: str, asked: str | None, answered: str | None, status: str) -> Json:
    media = MEDIA.get(address, "application/json")
    made: Json = {
        "summary": what,
        "responses": {
            status: {"description": "As asked", "content": {media: {"schema": _named(answered)}}},
            "default": {"description": "A problem", "content": {MEDIA_TYPE: {"schema": _named("Problem")}}},
        },
        "parameters": [
            {"in": "path", "name": part[1:-1].split("}")[0], "required": True, "schema": {"type": "string"}}
            for part in address.replace(".pdf", "").split("/")
            if part.startswith("{")
        ] + [
            {"in": "query", "name": name, "required": field.required, "schema": {"type": _kind_of(field)}}
            for name, field in (QUESTIONS[address].fields.items() if address in QUESTIONS else ())
        ],
    }
    if address in TOLD_TOO:
        status, why = TOLD_TOO[address]
        made["responses"][status] = {"description": why, "content": {media: {"schema": _named(answered)}}}
    if asked:
        made["requestBody"] = {"required": True, "content": {"application/json": {"schema": _named(asked)}}}
    return made


def _kind_of(field: fields.Field[Any]) -> str:
    return "integer" if isinstance(field, fields.Integer) else "string"


def _named(schema: str | None) -> Json:
    return {"$ref": f"#/components/schemas/{schema}"} if schema else {"type": "object"}
