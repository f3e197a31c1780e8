"""nginx in front of two servers of many houses, by the example in server/nginx.conf."""

from __future__ import annotations

import http.client
import json
import random
import socket
import ssl
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from honeyhold.house.clock import machine_time
from hosting.many import database, houses
from hosting.nginx_server import PATIENCE_S, in_front_of, program
from hosting.processes import Process, kept_ids, running
from replication.busy_house import Writer


class Line(http.client.HTTPSConnection):
    """A line to nginx under a house's name, wherever that name leads."""

    def __init__(self, name: str, port: int, trusts: ssl.SSLContext) -> None:
        super().__init__(name, port, timeout=PATIENCE_S, context=trusts)
        self._name, self._trusts = name, trusts

    def connect(self) -> None:
        self.sock = self._trusts.wrap_socket(socket.create_connection(("127.0.0.1", self.port), PATIENCE_S), server_hostname=self._name)


@dataclass
class Front:
    """The proxy, what is behind it, and two devices of one house."""

    port: int
    trusts: ssl.SSLContext
    servers: list[Process]
    devices: list[dict[str, Any]]
    address: str
    data: Path

    def ask(self, path: str, body: Any = None, name: str = "willow.example.org", **headers: str) -> tuple[int, Any]:
        """Status and JSON by the first device."""
        line = Line(name, self.port, self.trusts)
        said = {"Authorization": f"Bearer {self.devices[0]['token']}", "Content-Type": "application/json", **headers}
        line.request("GET" if body is None else "POST", path, None if body is None else json.dumps(body), said)
        answer = line.getresponse()
        told = answer.read()
        line.close()
        return answer.status, json.loads(told or b"null")


@pytest.fixture
def front(tmp_path: Path) -> Iterator[Front]:
    with ExitStack() as stack:
        if not program():
            stack.enter_context(in_front_of([0, 0], tmp_path / "nginx"))  # it says so
        address = stack.enter_context(database())
        with houses(address, tmp_path / "data", "willow", now=machine_time) as many, many.lent("willow") as willow:
            devices = [willow.enrol(willow.new_code()["code"], f"Phone {number}") for number in range(2)]
        options = ("--behind-proxy", "--under", "example.org")
        servers = [stack.enter_context(running(address, tmp_path / "data", *options)) for _ in range(2)]
        port, trusts = stack.enter_context(in_front_of([one.port for one in servers], tmp_path / "nginx"))
        yield Front(port, trusts, servers, devices, address, tmp_path / "data")


def test_a_house_is_reached_by_its_name_over_tls_and_its_addresses_are_secure_ones(front: Front) -> None:
    assert front.ask("/api/mirror")[0] == 200
    status, made = front.ask("/api/codes", {"role": "helper"})
    assert status == 201 and made["address"].startswith(f"https://willow.example.org:{front.port}/#enrol=")
    assert front.ask("/api/mirror", name="rowan.example.org")[0] == 404
    for other in ("willow.example.net", "localhost"):
        with pytest.raises(ssl.SSLError):
            front.ask("/api/mirror", name=other)


def test_news_come_through_as_they_happen(front: Front) -> None:
    line = Line("willow.example.org", front.port, front.trusts)
    line.request("GET", "/api/stream", headers={"Authorization": f"Bearer {front.devices[1]['token']}"})
    stream = line.getresponse()
    before = _position(stream)
    assert front.ask("/api/exchange", _entry(_writer(front)))[0] == 200
    assert _position(stream) > before  # while the stream is still open: 55 s had not gone by, or this would be a heartbeat
    line.close()


def _position(stream: http.client.HTTPResponse) -> int:
    for line in iter(stream.readline, b""):
        if line.startswith(b"data: "):
            return int(json.loads(line[6:])["position"])
    raise AssertionError("the stream ended")


def _writer(front: Front) -> Writer:
    return Writer(front.devices[0], random.Random(1))


def _entry(writer: Writer) -> dict[str, Any]:
    writer.write("note_person", [writer.person()])
    return writer.ask(writer.entries[-1:])


def test_when_a_server_is_gone_the_other_answers_and_nobody_notices(front: Front) -> None:
    """kill -9 in the middle: what was under way is sent to the other one, for an entry lands once however often it is sent."""
    writer, answered = _writer(front), set()
    for turn in range(60):
        if turn == 20:
            front.servers[0].process.kill()
        status, told = front.ask("/api/exchange", _entry(writer))
        assert status == 200 and len(told["landed"]) == 1, told
        answered |= {one["id"] for one in told["landed"]}
        assert front.ask("/api/health")[0] == 200
    assert front.ask("/api/codes", {"role": "helper"})[0] == 201
    with houses(front.address, front.data) as many, many.lent("willow") as willow:
        assert len(answered) == 60 and answered <= kept_ids(willow) and willow.check() == []


def test_whoever_guesses_codes_is_slowed_down_whatever_address_he_claims(front: Front) -> None:
    front.servers[1].process.kill()
    answers = [
        front.ask("/api/enrol", {"code": "AAAA-AAAA", "name": "Thief"}, **{"X-Forwarded-For": f"203.0.113.{turn}"})[0] for turn in range(8)
    ]
    assert answers[0] == 403 and answers[-1] == 429
