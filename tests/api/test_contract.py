"""What the doors take and give is changed only knowingly: apps of before go on asking by it, and read what they are given."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient

KEPT = Path(__file__).with_name("contract.txt")
HEAD = "# What the doors take and give, a line a field. Where a change is meant, what tests/api/test_contract.py shows comes in here."


def lines_of(description: dict[str, Any]) -> list[str]:
    """The description, a line for each parameter, body, answer and field."""
    lines = []
    for address, ways in description["paths"].items():
        for way, door in ways.items():
            parts = [*_parts(door), *(f"{status} {_told(answer.get('content', {}))}" for status, answer in door["responses"].items())]
            lines += [f"{way.upper()} {address} {part}" for part in parts]
    for name, schema in description["components"]["schemas"].items():
        rest = {key: value for key, value in schema.items() if key not in ("properties", "required")}
        lines += [f"{name} {_told(rest)}"]
        for field, what in schema.get("properties", {}).items():
            lines += [f"{name}.{field} {_told(what)}" + (" required" if field in schema.get("required", []) else "")]
    return sorted(lines)


def _parts(door: dict[str, Any]) -> list[str]:
    parts = [f"takes {_told(part)}" for part in door.get("parameters", [])]
    body = [f"takes {_told(door['requestBody'])}"] if "requestBody" in door else []
    return [*parts, *body, f"security {_told(door.get('security'))}"]


def _told(value: Any) -> str:
    """Without descriptions: they are for people, and may be said better."""
    return json.dumps(_bare(value), sort_keys=True, ensure_ascii=False)


def _bare(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _bare(inner) for key, inner in value.items() if key != "description" or not isinstance(inner, str)}
    return [_bare(inner) for inner in value] if isinstance(value, list) else value


def test_the_doors_take_and_give_what_apps_of_before_know(client: FlaskClient) -> None:
    """Every door, field, bound and what is required, as the house describes itself."""
    now, kept = lines_of(client.get("/api/openapi.json").get_json()), KEPT.read_text("utf-8").splitlines()[1:]
    assert len(kept) > 500
    assert [line for line in kept if line not in now] == [] == [line for line in now if line not in kept]
