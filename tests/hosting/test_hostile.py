"""Sixty-eight tries by a device of one house, and by strangers, to read or write another; after each its records are exactly as before."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psycopg
import pytest

import postgresql_server
from honeyhold.api.host_app import Serving, make_host_app
from honeyhold.app.hosting import limits_of
from honeyhold.house import calendar_feed
from honeyhold.house.clock import machine_time
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.records.house_register import HouseRegister
from honeyhold.records.shared_database import SharedDatabase
from hosting.many import database, furnish
from replication.busy_house import Writer
from replication.houses import device
from web_server.serving import line_to, one_answer, serving

KEY = "a-key-of-whoever-keeps-the-server"
SECRETS = ("Marigold Underhive", "555-0199", "House of maple", "Phone of maple", "14 Hidden Skep Lane")
"""What stands in the other house's records alone; no answer to any try may hold it."""


@dataclass(frozen=True)
class Try:
    """One try: what is asked, of whom, with whose token, and the answer that is due: a status, and the problem's code where it is one."""

    what: str
    line: str
    at: str
    token: str
    gets: str
    body: str = ""
    headers: tuple[str, ...] = ()


A, B = "willow.example.org", "maple.example.org"
TRIES = [
    # a token of the one at the other's address
    Try("its token reads the other's mirror", "GET /api/mirror", B, "A", "401 unknown-device"),
    Try("its token exchanges as itself", "POST /api/exchange", B, "A", "401 unknown-device", "{ask}"),
    Try("its token exchanges as the other's device", "POST /api/exchange", B, "A", "401 unknown-device", "{ask_as_b}"),
    Try("its token listens", "GET /api/stream", B, "A", "401 unknown-device"),
    Try("its token takes everything out", "GET /api/export.zip", B, "A", "401 unknown-device"),
    Try("its token takes one person out", "GET /api/people/{person}/export.zip", B, "A", "401 unknown-device"),
    Try("its token has a person forgotten", "POST /api/people/{person}/forget", B, "A", "401 unknown-device"),
    Try("its token makes a code", "POST /api/codes", B, "A", "401 unknown-device", '{"role": "keeper"}'),
    Try("its token declares a device lost", "POST /api/devices/{device}/lost", B, "A", "401 unknown-device"),
    Try("its token reads closed orders", "GET /api/orders?person={person}", B, "A", "401 unknown-device"),
    Try("its token reads a slip", "GET /api/papers/slip/{order}.pdf", B, "A", "401 unknown-device"),
    Try("its token traces a lot", "GET /api/lots/W24-1/trace", B, "A", "401 unknown-device"),
    Try("its token reads a year", "GET /api/years/2026", B, "A", "401 unknown-device"),
    Try("its token reads late entries", "GET /api/late", B, "A", "401 unknown-device"),
    Try("its token hands late entries in", "POST /api/late", B, "A", "401 unknown-device", '{"operations": []}'),
    Try("its token asks for the calendar", "GET /api/calendar", B, "A", "401 unknown-device"),
    Try("its token renews the calendar's address", "POST /api/calendar/renew", B, "A", "401 unknown-device"),
    Try("its token looks deeper", "GET /api/health/deep", B, "A", "401 unknown-device"),
    Try("its token has the house work", "POST /api/work/price", B, "A", "401 unknown-device", "{}"),
    Try("no token", "GET /api/mirror", B, "", "401 unknown-device"),
    Try("an empty token", "GET /api/mirror", B, "empty", "401 unknown-device"),
    Try("both tokens at once", "GET /api/mirror", B, "both", "401 unknown-device"),
    Try("the hash of the other's token", "GET /api/mirror", B, "hash", "401 unknown-device"),
    Try("the other's device id for a token", "GET /api/mirror", B, "id", "401 unknown-device"),
    Try("SQL for a token", "GET /api/mirror", B, "sql", "401 unknown-device"),
    # names in the address
    Try("capitals", "GET /api/mirror", "MAPLE.Example.ORG", "A", "401 unknown-device"),
    Try("a port", "GET /api/mirror", f"{B}:8490", "A", "401 unknown-device"),
    Try("a dot behind", "GET /api/mirror", f"{B}.", "A", "401 unknown-device"),
    Try("two labels, its own first", "GET /api/mirror", f"willow.{B}", "A", "421 not-our-name"),
    Try("two labels, its own last", "GET /api/mirror", f"maple.{A}", "A", "421 not-our-name"),
    Try("two names in one header", "GET /api/mirror", f"{A}, {B}", "A", "421 not-our-name"),
    Try("a user before the name", "GET /api/mirror", f"maple@{A}", "A", "421 not-our-name"),
    Try("a name of nobody's domain", "GET /api/mirror", "maple.example.net", "A", "421 not-our-name"),
    Try("no name", "GET /api/mirror", "", "A", "421 not-our-name"),
    Try("an address for a name", "GET /api/mirror", "127.0.0.1", "A", "421 not-our-name"),
    Try("two Host headers", "GET /api/mirror", A, "A", "400 bad-request", headers=(f"Host: {B}",)),
    Try("the server's own name", "GET /api/mirror", "example.org", "A", "404 no-house-named"),
    Try("X-Forwarded-Host", "GET /api/orders?person={person}", A, "A", "404 not-found",
        headers=(f"X-Forwarded-Host: {B}", f"Forwarded: host={B}")),
    Try("X-Host and its like", "GET /api/orders?person={person}", A, "A", "404 not-found",
        headers=(f"X-Host: {B}", f"X-Original-Host: {B}")),
    Try("a whole address over its own header", "GET http://maple.example.org/api/mirror", A, "A", "401 unknown-device"),
    Try("its own whole address over the other's header", "GET http://willow.example.org/api/papers/slip/{order}.pdf", B, "A",
        "404 not-found"),
    Try("a whole address with a user in it", "GET http://willow.example.org@maple.example.org/api/mirror", A, "A", "421 not-our-name"),
    Try("X-Original-URL", "GET /api/orders?person={person}", A, "A", "404 not-found",
        headers=("X-Original-URL: /api/mirror", f"X-Rewrite-URL: http://{B}/api/mirror")),
    # ids and secrets of the other at its own address
    Try("the other's person at home", "GET /api/people/{person}/export.zip", A, "A", "404 not-found"),
    Try("the other's person forgotten at home", "POST /api/people/{person}/forget", A, "A", "404 not-found"),
    Try("the other's order on a slip at home", "GET /api/papers/slip/{order}.pdf", A, "A", "404 not-found"),
    Try("the other's device lost at home", "POST /api/devices/{device}/lost", A, "A", "404 not-found"),
    Try("the other's device named in an exchange at home", "POST /api/exchange", A, "A", "400 bad-request", "{ask_as_b}"),
    Try("the other's epoch and position at home", "POST /api/exchange", A, "A", "200", "{ask_epoch_b}"),
    Try("an entry that names the other's person", "POST /api/exchange", A, "A", "200", "{ask_row_b}"),
    Try("the other's calendar at its own address", "GET /calendar/{calendar}.ics", A, "", "404 not-found"),
    Try("a calendar without its secret", "GET /calendar/.ics", B, "", "404 http-404"),
    Try("a code of the other at home", "POST /api/enrol", A, "", "403 wrong-code", '{"code": "{code}", "name": "Thief"}'),
    Try("its own code at the other", "POST /api/enrol", B, "", "403 wrong-code", '{"code": "{own_code}", "name": "Thief"}'),
    Try("a settled late entry of the other", "POST /api/late/settle", A, "A", "404 not-found",
        '{"device": "{device}", "seq": 1, "hash": "{zeros}", "how": "take_in"}'),
    # the server's own doors, paths, SQL
    Try("the figures of the server by a device", "GET /api/host/metrics", A, "A", "404 no-house-named"),
    Try("the figures of the server without its key", "GET /api/host/metrics", "example.org", "A", "401 unknown-device"),
    Try("the figures that a shed has", "GET /api/metrics", B, "key", "404 http-404"),
    Try("the key of the server at a house", "GET /api/mirror", B, "key", "401 unknown-device"),
    Try("the door of the command line", "POST /api/own/backup", B, "key", "405 http-405", '{"to": "/tmp"}'),
    Try("a path out of the app", "GET /../../maple/devices.jsonl", A, "A", "404 http-404"),
    Try("a path out of the app, written otherwise", "GET /%2e%2e/%2e%2e/maple/devices.jsonl", A, "A", "404 http-404"),
    Try("a path out of the kernel's folder", "GET /kernel/built/..%2f..%2f..%2fmaple/devices.jsonl", A, "A", "404 http-404"),
    Try("a house in the path", "GET /maple/api/mirror", A, "A", "404 http-404"),
    Try("SQL for a lot", "GET /api/lots/x%27;DROP%20SCHEMA%20{schema}%20CASCADE;--/trace", A, "A", "404 not-found"),
    Try("SQL for a person", "GET /api/orders?person=x%27%20UNION%20SELECT%20*%20FROM%20{schema}.person--", A, "A", "422 bad-shape"),
    Try("SQL for a name", "POST /api/enrol", A, "", "201", '{"code": "{own_code}", "name": "x\'); DELETE FROM {schema}.person; --"}'),
    Try("a NUL in a name", "POST /api/enrol", A, "", "422 bad-shape", '{"code": "AAAA-AAAA", "name": "x\\u0000{schema}"}'),
]  # fmt: skip


@dataclass
class Stage:
    """Both houses, the line to the server, and all that a try may know of the other."""

    houses: Houses
    port: int
    known: dict[str, str]
    tokens: dict[str, str]

    def _filled(self, text: str) -> str:
        for name, value in self.known.items():
            text = text.replace("{" + name + "}", value)
        return text

    def answer(self, one: Try) -> tuple[int, bytes]:
        """Status and body of one try, byte by byte as it was meant."""
        method, _, target = one.line.partition(" ")
        body = self._filled(one.body).encode()
        heads = [f"{method} {self._filled(target)} HTTP/1.1", f"Host: {one.at}", "Connection: close", *one.headers]
        if one.token:
            heads.append(f"Authorization: Bearer {self.tokens[one.token]}")
        if one.body:
            heads += ["Content-Type: application/json", f"Content-Length: {len(body)}"]
        with line_to(self.port) as line:
            line.sendall("\r\n".join([*heads, "", ""]).encode() + body)
            status, _, said = one_answer(line)
        return status, said


def dump(houses: Houses, name: str) -> dict[str, list[str]]:
    """Every row of every table of a house, by the rights of the server's own administrator, over one connection."""
    server, schema = postgresql_server.cluster(), houses.known()[name].owner.schema
    with psycopg.connect(server.address(server.made[-1])) as line:
        tables = line.execute("SELECT tablename FROM pg_tables WHERE schemaname = %s ORDER BY 1", (schema,)).fetchall()
        return {table: sorted(map(str, line.execute(f'SELECT * FROM {schema}."{table}"').fetchall())) for (table,) in tables}


def asks(house: House, identity: dict[str, Any], other: House, other_identity: dict[str, Any], person: str) -> dict[str, str]:
    """The exchanges of the tries."""
    writer = Writer(identity, random.Random(5))
    plain = writer.ask([])
    entry = writer.write("note_person", [{**writer.person(), "id": person, "name": "Thief"}])
    found = {
        "ask": plain, "ask_as_b": {**plain, "device": other_identity["device"]},
        "ask_epoch_b": {**plain, "epoch": other.epoch, "cursor": other.position()}, "ask_row_b": writer.ask([entry]),
    }  # fmt: skip
    assert house.epoch != other.epoch
    return {name: json.dumps(ask) for name, ask in found.items()}


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stage]:
    with ExitStack() as stack:
        address = stack.enter_context(database())
        shared, all_served = SharedDatabase(address), Serving()
        stack.callback(shared.close)
        for name in ("willow", "maple"):
            HouseRegister(shared).add(name, machine_time())
        begun = machine_time()  # the houses' clock stands: a code lives ten minutes, and the tries may take longer
        houses = Houses(shared, tmp_path_factory.mktemp("houses"), now=lambda: begun, beside=all_served)
        stack.callback(houses.close)
        willow, maple = (stack.enter_context(houses.lent(name)) for name in ("willow", "maple"))
        for name, house in (("willow", willow), ("maple", maple)):
            furnish(house, name)
        hand = device(maple, "Phone of maple", 5)
        person = hand.note_person(name=SECRETS[0], phone=f"+1 414 {SECRETS[1]}", street=SECRETS[4])
        order = hand.promise([("bar", 2)], person=person).order
        hand.exchange()
        mine = willow.enrol(willow.new_code()["code"], "Phone of willow")
        known = {
            **asks(willow, mine, maple, hand.identity, person), "person": person, "order": order, "device": hand.identity["device"],
            "calendar": calendar_feed.secret(maple), "code": maple.new_code()["code"], "own_code": willow.new_code()["code"],
            "schema": houses.known()["maple"].owner.schema, "zeros": "0" * 64,
        }  # fmt: skip
        with maple.records.read():
            hashed = maple.records.sql("SELECT token_hash FROM device_state WHERE id = ?", known["device"]).fetchone()[0]
        tokens = {
            "A": mine["token"], "B": hand.identity["token"], "empty": "", "both": f"{mine['token']} {hand.identity['token']}x",
            "hash": hashed, "id": known["device"], "sql": "' OR '1'='1", "key": KEY,
        }  # fmt: skip
        app = make_host_app(houses, all_served, "example.org", Path(__file__).resolve().parents[2] / "web", KEY)
        _, port, _ = stack.enter_context(serving(app, limits_of(behind_proxy=False)))
        yield Stage(houses, port, known, tokens)


def test_there_are_sixty_and_more_and_none_twice() -> None:
    assert len(TRIES) >= 60 and len({one.what for one in TRIES}) == len(TRIES)


@pytest.mark.parametrize("one", TRIES, ids=[one.what for one in TRIES])
def test_a_try_reads_and_writes_nothing_of_another_house(stage: Stage, one: Try) -> None:
    before = dump(stage.houses, "maple")
    assert sum(map(len, before.values())) > 15 and SECRETS[0] in str(before)
    status, said = stage.answer(one)
    told = said.decode("utf-8", "replace")
    code = json.loads(told)["type"].removeprefix("urn:honeyhold:") if status >= 400 else ""
    assert f"{status} {code}".strip() == one.gets, told
    assert not [secret for secret in (*SECRETS, stage.tokens["B"], stage.tokens["hash"]) if secret in told]
    assert dump(stage.houses, "maple") == before


def test_the_same_doors_do_answer_the_house_s_own_device(stage: Stage) -> None:
    """So that the tries above were not refused for another reason."""
    own = {"GET /api/mirror": SECRETS[2], "GET /api/export.zip": "", "GET /api/calendar": "calendar/"}
    for line, holds in own.items():
        status, said = stage.answer(Try("", line, B, "B", "200"))
        assert status == 200 and holds.encode() in said
    assert stage.answer(Try("", "GET /calendar/{calendar}.ics", B, "", "200"))[0] == 200
    assert stage.answer(Try("", "GET http://maple.example.org/api/mirror", A, "B", "200"))[0] == 200
