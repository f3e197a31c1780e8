"""One request of any sort at one door, held to the description: shared by the tests and `scripts/knock`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from urllib.parse import quote

from flask.testing import FlaskClient
from hypothesis import strategies

from api.described import ANYTHING, IDS, bent, check, doors, entries, fitting, knock
from honeyhold.house.house import House
from honeyhold.operations.canonical import entry_hash
from honeyhold.operations.errors import NotCanonical
from honeyhold.records.models import DeviceState
from replication.houses import ask as exchange_ask

WORK: dict[str, Any] = json.loads(Path(__file__).with_name("work_requests.json").read_text("utf-8"))
"""A small request of each work, as our own tests put it: what is sent is one of them, bent in one place."""
Json = dict[str, Any]


def request_at(client: FlaskClient, key: str, door: tuple[str, str, Json], data: Any) -> None:
    """Draws and sends one request. Raises AssertionError where the answer is none that the description names."""
    path, method, told = door
    address = path
    for parameter in told.get("parameters", []):
        if parameter["in"] == "path":
            address = address.replace(f"{{{parameter['name']}}}", quote(data.draw(IDS).encode("utf-8", "replace"), safe=""))
        elif data.draw(strategies.booleans()):
            value = quote(str(data.draw(IDS | strategies.integers())).encode("utf-8", "replace"))
            address += f"{'&' if '?' in address else '?'}{parameter['name']}={value}"
    body = None
    if "requestBody" in told:
        described = told["requestBody"]["content"]["application/json"]["schema"]
        body = data.draw(bent(fitting(described)) | ANYTHING)
    answer = knock(client, address, method, body, key)
    check(told, answer, f"{method} {address} {body!r:.600}")
    answer.close()


def entry_of_any_sort(client: FlaskClient, house: House, identity: Json, data: Any) -> None:
    """Draws and sends one entry; afterwards every sum agrees and the mirror is there."""
    told = {(path, method): told for path, method, told in doors()}
    with house.records.read():
        state = house.records.row(DeviceState, identity["device"])
    assert state is not None
    entry = {**data.draw(entries(identity["device"])), "seq": state["last_seq"] + 1, "before": state["last_hash"]}
    entry["id"] = str(data.draw(strategies.uuids()))
    try:
        entry["hash"] = entry_hash(entry)
    except (NotCanonical, RecursionError):
        entry["hash"] = "0" * 64
    asked = {**exchange_ask(Hand(identity)), "operations": [entry]}  # type: ignore[arg-type]
    answer = knock(client, "/api/exchange", "post", asked, identity["token"])
    check(told["/api/exchange", "post"], answer, f"{entry!r:.1500}")
    mirror = knock(client, "/api/mirror", "get", None, identity["token"])
    check(told["/api/mirror", "get"], mirror, f"the mirror after {entry!r:.1500}")
    assert mirror.status_code == 200 and house.check() == [], f"after {entry!r:.1500}"


def work_of_any_sort(client: FlaskClient, key: str, data: Any) -> None:
    """Draws one work and a request for it that is bent in one place, and sends it."""
    name = data.draw(strategies.sampled_from(sorted(WORK)))
    request = data.draw(bent(strategies.just(WORK[name])))
    (told,) = (told for path, _, told in doors() if path == "/api/work/{name}")
    check(told, knock(client, f"/api/work/{name}", "post", request, key), f"{name} {request!r:.1500}")


class Hand:
    """A device by its identity alone."""

    def __init__(self, identity: Json) -> None:
        self.identity = identity
