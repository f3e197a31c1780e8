"""Requests and checks drawn from the house's own description (OpenAPI): what a stranger who has read it might send."""

from __future__ import annotations

import json
from typing import Any

from flask.testing import FlaskClient
from hypothesis import strategies
from hypothesis.strategies import SearchStrategy
from werkzeug.test import TestResponse

from honeyhold.api.openapi import SCHEMAS, description
from honeyhold.operations.kinds import KINDS

Json = dict[str, Any]
LEFT_OUT = {"/api/own/backup", "/api/own/export", "/api/own/codes", "/api/own/check", "/api/own/forecast"}
"""The command line's doors: shut without the running server's own key."""
MAY_SAY_LATER = {503, 507}
"""Places and room may be taken; any other of the five hundreds is a mistake."""

ANYTHING: SearchStrategy[Any] = strategies.recursive(
    strategies.none() | strategies.booleans() | strategies.integers() | strategies.floats(allow_nan=False, allow_infinity=False)
    | strategies.text(max_size=12) | strategies.sampled_from(["bar", "o1", "2026-07-20", "-1", "\ud800", "a\n", 10**12, 2**60]),
    lambda inner: strategies.lists(inner, max_size=3) | strategies.dictionaries(strategies.text(max_size=8), inner, max_size=3),
    max_leaves=10,
)  # fmt: skip


def doors() -> list[tuple[str, str, Json]]:
    """(address, method, what the description says of it), without the command line's."""
    paths: dict[str, Json] = description()["paths"]
    return [(path, method, told) for path, methods in sorted(paths.items()) if path not in LEFT_OUT for method, told in methods.items()]


def fitting(schema: Json) -> SearchStrategy[Any]:
    """Values as a schema describes them."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[1]
        return fitting(description()["components"]["schemas"][name])
    if "enum" in schema:
        return strategies.sampled_from(schema["enum"])
    kinds = schema.get("type", "any")
    return strategies.one_of([_of_kind(kind, schema) for kind in (kinds if isinstance(kinds, list) else [kinds])])


def _of_kind(kind: str, schema: Json) -> SearchStrategy[Any]:
    if kind == "object":
        fields = {name: fitting(inner) for name, inner in schema.get("properties", {}).items()}
        needed = {name: fields.pop(name) for name in schema.get("required", [])}
        if not needed and not fields:
            return strategies.dictionaries(IDS, ANYTHING, max_size=4)
        return strategies.fixed_dictionaries(needed, optional=fields)
    if kind == "array":
        return strategies.lists(fitting(schema.get("items", {})), max_size=min(3, schema.get("maxItems", 3)))
    if kind == "string":
        return _texts(schema)
    if kind == "integer":
        return strategies.integers(schema.get("minimum"), schema.get("maximum"))
    return {"boolean": strategies.booleans(), "null": strategies.none()}.get(kind, ANYTHING)


def _texts(schema: Json) -> SearchStrategy[str]:
    if "pattern" in schema:
        return strategies.from_regex(schema["pattern"])
    least = schema.get("minLength", 0)
    return strategies.text(min_size=least, max_size=max(least, min(40, schema.get("maxLength", 40))))


IDS = strategies.sampled_from(["bar", "jar", "o1", "name", "p1"]) | strategies.text(min_size=1, max_size=8)


@strategies.composite
def bent(draw: Any, value: SearchStrategy[Any]) -> Any:
    """The value, perhaps with one place in it made into anything, left out or put twice."""
    made = draw(value)
    if draw(strategies.booleans()):
        return made
    return _bend(draw, made)


def _bend(draw: Any, value: Any) -> Any:
    if isinstance(value, dict) and value and draw(strategies.integers(0, 4)):
        key = draw(strategies.sampled_from(sorted(value)))
        if draw(strategies.integers(0, 5)) == 0:
            return {name: inner for name, inner in value.items() if name != key}
        return {**value, key: _bend(draw, value[key])}
    if isinstance(value, list) and value and draw(strategies.integers(0, 4)):
        at = draw(strategies.integers(0, len(value) - 1))
        return [*value[:at], _bend(draw, value[at]), *value[at + draw(strategies.integers(0, 1)) :]]
    return draw(ANYTHING)


def entries(device: str) -> SearchStrategy[Any]:
    """Operations that look like the device's next, with rows of all tables: their hash fits."""
    schemas = description()["components"]["schemas"]
    rows = strategies.one_of([fitting(schema).map(lambda row, name=name: {**row, "table": name[4:]})
                              for name, schema in sorted(schemas.items()) if name.startswith("Row_")])  # fmt: skip
    return strategies.fixed_dictionaries({
        "kind": strategies.sampled_from(sorted(KINDS)), "rows": strategies.lists(bent(rows), max_size=5),
        "made_at": strategies.just("2026-07-20T14:10:03Z"), "spent": strategies.dictionaries(IDS, strategies.integers(1, 50), max_size=2),
        "device": strategies.just(device), "version": strategies.integers(1, 3), "seq": strategies.just(1), "before": strategies.just(""),
    })  # fmt: skip


def knock(client: FlaskClient, path: str, method: str, body: Any, key: str) -> TestResponse:
    """One request as the description has it."""
    data = None if method == "get" else json.dumps(body)
    headers = {"Authorization": f"Bearer {key}"}
    return client.open(path, method=method.upper(), data=data, content_type="application/json", headers=headers, buffered=False)


def check(told: Json, answer: TestResponse, what: str) -> None:
    """The answer is one that the description names, of the media type and the shape it names."""
    responses: Json = told["responses"]
    status = str(answer.status_code)
    assert answer.status_code < 500 or answer.status_code in MAY_SAY_LATER, f"{what}: {status} {answer.get_data(as_text=True)}"
    said = responses.get(status, responses["default"])
    (media, described), = said["content"].items()
    assert answer.mimetype == media, f"{what}: {status} is {answer.mimetype}, described as {media}"
    name = described["schema"].get("$ref", "").rsplit("/", 1)[-1]
    if name:
        wrong = SCHEMAS[name]().validate(answer.get_json(force=True))
        assert not wrong, f"{what}: {status} {wrong}"
