"""Goal: whatever is sent to any door, one shape of answer with a remedy, and nothing of it lands. RFC 9457 for the shape."""

from __future__ import annotations

import errno
import json
import os
import re
from base64 import b64encode
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from api.conftest import assert_problem, bearing
from honeyhold.api.problems import _of_the_system, _silent
from honeyhold.api.rate_limit import FORGET_AFTER, FREE_TRIES, KEPT_MAX, RateLimit, TooOften
from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House
from honeyhold.operations.schemas import Problem
from honeyhold.records.errors import RecordsSilent
from replication.houses import device, entry, movement
from test_errors import every_error

Json = dict[str, Any]
HALF = "\ud83d"
LONG = "x" * 100_000

WRONG: dict[str, tuple[str, str, Any, set[int]]] = {
    # name: method, address ({order} and {device} are filled in), body (bytes as they are), the statuses that are right
    "enrolling with nothing": ("POST", "/api/enrol", {}, {422}),
    "enrolling without a name": ("POST", "/api/enrol", {"code": "ABCD-EFGH"}, {422}),
    "enrolling with an empty name": ("POST", "/api/enrol", {"code": "ABCD-EFGH", "name": ""}, {422}),
    "enrolling with a list as the name": ("POST", "/api/enrol", {"code": "ABCD-EFGH", "name": ["x"]}, {422}),
    "enrolling with a very long name": ("POST", "/api/enrol", {"code": "ABCD-EFGH", "name": LONG}, {422}),
    "enrolling with NUL in the name": ("POST", "/api/enrol", {"code": "ABCD-EFGH", "name": "half\0name"}, {422}),
    "enrolling with half a character": ("POST", "/api/enrol", {"code": HALF, "name": "x"}, {403, 422}),
    "enrolling with a code of no letters": ("POST", "/api/enrol", {"code": "--- ---", "name": "x"}, {403}),
    "enrolling with a wish too many": ("POST", "/api/enrol", {"code": "ABCD-EFGH", "name": "x", "role": "keeper"}, {422}),
    "a code for no role": ("POST", "/api/codes", {}, {422}),
    "a code for a role that is none": ("POST", "/api/codes", {"role": HALF}, {422}),
    "a code for a list of roles": ("POST", "/api/codes", {"role": ["keeper"]}, {422}),
    "losing a device that is none": ("POST", "/api/devices/%F0%9F%90%9D/lost", {}, {404}),
    "losing a device with a name of bytes": ("POST", "/api/devices/%FF%FE/lost", {}, {404}),
    "losing by another method": ("DELETE", "/api/devices/{device}/lost", None, {405}),
    "work that is none": ("POST", "/api/work/trade.nothing", {}, {404}),
    "work with the inside's name": ("POST", "/api/work/__import__", {}, {404}),
    "work on nothing": ("POST", "/api/work/stock.shelf_picture", {}, {400, 422}),
    "work on text": ("POST", "/api/work/stock.shelf_picture", "text", {400}),
    "work on half a character": ("POST", "/api/work/stock.shelf_picture", {"good": HALF}, {400, 422}),
    "work on infinite numbers": ("POST", "/api/work/stock.shelf_picture", b'{"on_hand": Infinity, "promised": NaN}', {400, 422}),
    "work by reading": ("GET", "/api/work/stock.shelf_picture", None, {405}),
    "a parcel of nothing": ("POST", "/api/work/packing.plan", {}, {400, 422}),
    "a parcel of fractions": ("POST", "/api/work/packing.plan", {"lines": [{"units": 0.5}]}, {400, 422}),
    "heat of nowhere": ("POST", "/api/work/heat.trip", {"to": None}, {400, 404, 422}),
    "a slip of no order": ("GET", "/api/papers/slip/nowhere.pdf", None, {404}),
    "a slip of half a character": ("GET", "/api/papers/slip/%ED%A0%BD.pdf", None, {404}),
    "a slip of an order with a quote": ("GET", "/api/papers/slip/' OR 1=1 --.pdf", None, {404}),
    "a slip that climbs": ("GET", "/api/papers/slip/..%2F..%2Fdata.pdf", None, {404}),
    "a slip as a picture": ("GET", "/api/papers/slip/{order}.png", None, {404}),
    "a slip as large as a wall": ("GET", "/api/papers/slip/{order}.pdf?size=A0", None, {400}),
    "a lot that is none": ("GET", "/api/lots/W99-1-1/trace", None, {404}),
    "a lot with a quote": ("GET", "/api/lots/'; DROP TABLE lot; --/trace", None, {404}),
    "an exchange with nothing": ("POST", "/api/exchange", {}, {422}),
    "an exchange of NaN": ("POST", "/api/exchange", b'{"protocol": NaN}', {400, 422}),
    "an exchange in two": ("POST", "/api/exchange", b'{"protocol": 1}{"protocol": 1}', {400}),
    "an exchange of null bytes": ("POST", "/api/exchange", b"\x00" * 64, {400}),
    "an exchange in UTF-16": ("POST", "/api/exchange", json.dumps({"protocol": 1}).encode("utf-16"), {400, 422}),
    "an exchange cut in half": ("POST", "/api/exchange", b'{"protocol": 1, "request": "0d', {400}),
    "an exchange that is pressed but says not so": ("POST", "/api/exchange", b"\x1f\x8b\x08\x00\x00", {400}),
    "a mirror by writing": ("POST", "/api/mirror", {}, {405}),
    "a door that is none": ("GET", "/api/till", None, {404}),
    "a door with a bar at its end": ("GET", "/api/mirror/", None, {404}),
    "no page without a web folder": ("GET", "/", None, {404}),
}  # fmt: skip


def assert_told_well(answer: TestResponse, statuses: set[int]) -> Json:
    """The one shape of everything that goes wrong, whatever it was."""
    assert answer.status_code in statuses, (answer.status_code, answer.get_data(as_text=True)[:300])
    assert answer.content_type == "application/problem+json" and answer.headers["Cache-Control"] == "no-store"
    told: Json = json.loads(answer.data)
    assert told["type"].startswith("urn:honeyhold:") and told["status"] == answer.status_code
    assert all(isinstance(told[name], str) and told[name].strip() for name in ("title", "detail", "remedy")), told
    assert set(told) <= {"type", "title", "status", "detail", "remedy", "errors"}
    assert "Traceback" not in told["detail"] and ".py" not in told["detail"]
    return told


def everything(house: House) -> list[Any]:
    """All that a request could have changed: every row of every table but when a device was last in reach."""
    with house.records.read():
        names = [name for name in house.records.database.get_tables() if name != "device_state"]
        return [(name, sorted(house.records.sql(f'SELECT * FROM "{name}"').fetchall(), key=repr)) for name in names]


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_request_is_told_and_changes_nothing(client: FlaskClient, house: House, keeper: Json, name: str) -> None:
    method, address, body, statuses = WRONG[name]
    hand = device(house, "Other")
    taken = hand.promise([("bar", 2)], person=hand.note_person(name="Orla"))
    hand.exchange()
    before = everything(house)
    raw = body if isinstance(body, bytes) else None if body is None else json.dumps(body).encode()
    address = address.replace("{order}", taken.order).replace("{device}", keeper["device"])
    media = None if raw is None else "application/json"
    answer = client.open(address, method=method, data=raw, content_type=media, headers=bearing(keeper))
    assert_told_well(answer, statuses)
    assert everything(house) == before


BROKEN_ENTRIES: dict[str, Callable[[Json], Any]] = {
    "of nothing": lambda _: None,
    "that is a number": lambda _: 5,
    "without a place": lambda entry: {key: value for key, value in entry.items() if key != "seq"},
    "of another device": lambda entry: {**entry, "device": "2d83a823-3fb6-4d2c-8186-2fc9634f806f"},
    "after a hole": lambda entry: {**entry, "seq": 9},
    "with a place of half a character": lambda entry: {**entry, "id": HALF},
    "with a place far away": lambda entry: {**entry, "seq": 2**60},
}


@pytest.mark.parametrize("name", BROKEN_ENTRIES)
def test_an_entry_that_cannot_be_placed_leaves_no_trace(client: FlaskClient, house: House, keeper: Json, name: str) -> None:
    good = an_entry(keeper)
    before = everything(house)
    asked = {
        "protocol": 1, "request": "0d9d1a2e-5f0e-4b52-9d5b-1f6f6f0f1c11", "device": keeper["device"], "epoch": None, "cursor": 0,
        "operations": [BROKEN_ENTRIES[name](good)],
    }  # fmt: skip
    answer = client.post("/api/exchange", json=asked, headers=bearing(keeper))
    told = json.loads(answer.data)
    assert answer.status_code == 200 and told["expects"]["seq"] == 1 and told["expects"]["why"]
    assert told["landed"] == told["refused"] == [] and everything(house) == before


@pytest.mark.parametrize("change", [
    {"kind": HALF}, {"made_at": HALF}, {"spent": {HALF: 1}}, {"rows": [{**movement("bar", 1, "bought"), "note": HALF}]},
    {"rows": [movement("bar", 1, "bought"), {"table": "person", "id": "p", "name": "in the wrong entry"}]},
    {"rows": [movement("bar", 1, "bought"), movement("bar", 1, "bought", "W99-1-1")]}, {"version": 2}, {"before": "0" * 64, "x": 1},
])  # fmt: skip
def test_a_refusal_over_the_wire_has_its_remedy_and_lands_nothing(
    client: FlaskClient, house: House, keeper: Json, change: Json
) -> None:
    asked = {
        "protocol": 1, "request": "0d9d1a2e-5f0e-4b52-9d5b-1f6f6f0f1c11", "device": keeper["device"], "epoch": None, "cursor": 0,
        "operations": [an_entry(keeper, **change)],
    }  # fmt: skip
    ledgers = [table for table in everything(house) if table[0] not in ("operation", "late_entry")]
    answer = client.post("/api/exchange", json=asked, headers=bearing(keeper))
    told = json.loads(answer.data)
    assert answer.status_code == 200 and told["landed"] == []
    assert [bool(one["why"] and one["remedy"]) for one in told["refused"]] == [True]
    assert [table for table in everything(house) if table[0] not in ("operation", "late_entry")] == ledgers
    again = json.loads(client.post("/api/exchange", json=asked, headers=bearing(keeper)).data)
    assert again["refused"] == told["refused"]


def test_a_helper_is_told_who_may(client: FlaskClient, house: House, helper: Json) -> None:
    before = everything(house)
    for address, body in (("/api/codes", {"role": "keeper"}), (f"/api/devices/{helper['device']}/lost", {})):
        told = assert_told_well(client.post(address, json=body, headers=bearing(helper)), {403})
        assert told["type"] == "urn:honeyhold:keeper-only" and "owner" in told["remedy"]
    assert everything(house) == before


def an_entry(identity: Json, **change: Any) -> Json:
    """A right entry of buying one bar, changed before it is hashed."""
    hand = DeviceClient(identity, None)  # type: ignore[arg-type]
    return entry(hand, **{"kind": "buy", "rows": [movement("bar", 1, "bought")], **change})


def test_whatever_is_wrong_is_said_within_the_bounds_described(client: FlaskClient, keeper: dict[str, Any]) -> None:
    """Two hundred broken entries, each wrong in every field: the answer tells of the first, and fits its description."""
    asked = {"protocol": 1, "refused": [[] for _ in range(200)], "clock": None, "operations": []}
    told = assert_problem(client.post("/api/exchange", json=asked, headers=bearing(keeper)), 422, "bad-shape")
    assert Problem().validate(told) == {} and told["detail"].endswith("…") and "clock" in told["detail"]


OF_A_BROWSER = "text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8"
"""As browsers ask for what is typed into their line of addresses (fetch.spec.whatwg.org, "document")."""


def test_whoever_opens_an_address_in_a_browser_reads_a_page(client: FlaskClient) -> None:
    answer = client.get("/nowhere", headers={"Accept": OF_A_BROWSER})
    page = answer.get_data(as_text=True)
    assert (answer.status_code, answer.mimetype) == (404, "text/html") and "Check the address" in page and "urn:" not in page
    style = page[page.index("<style>") + len("<style>") : page.index("</style>")]
    assert b64encode(sha256(style.encode()).digest()).decode() in answer.headers["Content-Security-Policy"], "or it would not be drawn"
    assert "Accept" in answer.headers["Vary"]


def test_what_a_page_says_of_a_wrong_address_is_only_text(client: FlaskClient) -> None:
    asked = {"Accept": OF_A_BROWSER, "Host": "<img src=x>.example.org"}
    page = client.get("/", headers=asked).get_data(as_text=True)
    assert "&lt;img src=x&gt;" in page and "<img" not in page


@pytest.mark.parametrize("accept", ["*/*", "application/json", "", "application/problem+json, text/html"])
def test_a_program_gets_the_problem_as_it_is(client: FlaskClient, accept: str) -> None:
    assert_problem(client.get("/nowhere", headers={"Accept": accept}), 404, "http-404")


NEVER_ANSWERED = {"newer-records", "older-server", "moved-away", "move-failed", "move-unfinished", "wrong-passphrase"}
"""They keep a house from beginning, or stand on the command line."""


def test_each_code_comes_with_the_status_that_the_interface_tells() -> None:
    """By it a client knows whether to send again: the table in `operations/README.md`, against the errors themselves."""
    interface = (Path(__file__).parents[2] / "server/honeyhold/operations/README.md").read_text("utf-8")
    rows = re.findall(r"^\| (\d{3}) \| (.*?) \|", interface, re.M)
    told = {code: int(status) for status, codes in rows for code in re.findall(r"`([a-z-]+)`", codes)}
    found = {kind.code: kind for kind in every_error()}
    assert {code: found[code].status for code in told} == told
    others = {code for code, kind in found.items() if kind.status != HoneyholdError.status}  # its own, or one that it inherits
    assert others <= set(told) | NEVER_ANSWERED and not NEVER_ANSWERED & set(told)


def test_guesses_are_forgotten_after_a_while_and_of_very_many_guessers_the_longest_silent() -> None:
    """A quarter of an hour, to the second; a thousand guessers."""
    clock = [datetime(2026, 7, 20, 12, tzinfo=UTC)]
    limit = RateLimit(lambda: clock[0])

    def refused(who: str) -> bool:
        try:
            limit.begin_try(who)
        except TooOften:
            return True
        return False

    assert [refused("a") for _ in range(FREE_TRIES + 1)] == [False] * FREE_TRIES + [True]
    clock[0] += FORGET_AFTER
    assert [refused("a") for _ in range(2)] == [False, True], "waited long enough for one more"
    clock[0] += FORGET_AFTER + timedelta(seconds=1)
    assert [refused("a") for _ in range(FREE_TRIES + 1)] == [False] * FREE_TRIES + [True], "forgotten"
    for number in range(KEPT_MAX - 1):
        assert not refused(f"guesser {number}")
    assert refused("a"), "a thousand are remembered"
    for number in range(KEPT_MAX):
        limit.begin_try(f"one more {number}")
    assert not refused("a")


def test_a_full_disk_is_told_wherever_it_is_met_and_other_trouble_is_not_taken_for_it(app: Flask) -> None:
    told = []
    for number in (errno.ENOSPC, errno.EDQUOT, errno.EIO):
        with app.test_request_context():
            answer = _of_the_system(OSError(number, os.strerror(number)))
        told.append((answer.status_code, answer.get_json()["type"] == "urn:honeyhold:disk-full"))
    assert told == [(507, True), (507, True), (500, False)]


def test_why_the_records_are_silent_is_told_to_the_log_and_to_nobody_else(app: Flask, caplog: pytest.LogCaptureFixture) -> None:
    """Whoever asked is told what to do; whoever keeps the server reads which database did not answer."""
    trouble = RecordsSilent()
    trouble.__cause__ = OSError("nobody at 10.0.0.5")
    with app.test_request_context():
        answer = _silent(trouble)
    assert answer.status_code == 503 and "10.0.0.5" not in answer.get_data(as_text=True)
    assert [record.getMessage() for record in caplog.records] == ["The records do not answer: nobody at 10.0.0.5"]
