"""The doors through the production server: a listener that goes away leaves its place, and the demo's slip is a real paper."""

from __future__ import annotations

import http.client
import io
import json
import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from api.conftest import bearing
from demo_seed import play
from honeyhold.api import stream
from honeyhold.api.app import make_app
from honeyhold.app.web_server import Server
from honeyhold.house.house import House

Json = dict[str, Any]


@pytest.fixture
def port(house: House, monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """A house behind the production server, with a single place for listening and a quick heartbeat."""
    monkeypatch.setattr(stream, "HEARTBEAT_S", 0.05)
    server = Server()
    door = server.open(("127.0.0.1", 0), make_app(house, streams_max=1))
    thread = threading.Thread(target=server.serve)
    thread.start()
    yield door.port
    server.stop()
    thread.join(10)


def listening(port: int, identity: Json) -> tuple[http.client.HTTPConnection, http.client.HTTPResponse]:
    """An open stream, or a refusal."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    line.request("GET", "/api/stream", headers=bearing(identity))
    return line, line.getresponse()


def next_data(answer: http.client.HTTPResponse) -> Json:
    """The next event that says something; heartbeats are passed over."""
    while True:
        line = answer.readline().decode()
        assert line, "the stream ended without news"
        if line.startswith("data: "):
            told: Json = json.loads(line.removeprefix("data: "))
            return told


def test_a_stream_tells_news_and_leaves_its_place_when_the_listener_goes(port: int, house: House, keeper: Json) -> None:
    line, answer = listening(port, keeper)
    assert answer.status == 200 and next_data(answer) == {"position": house.position()}
    house.write("set_house", [{"table": "setting", "id": "name", "value": "Nine Lindens"}])
    assert next_data(answer) == {"position": house.position()}
    other, refused = listening(port, keeper)
    assert refused.status == 503 and json.load(refused)["type"] == "urn:honeyhold:no-place"
    other.close()
    answer.close()
    line.close()
    until = time.monotonic() + 60
    while True:
        line, answer = listening(port, keeper)
        status = answer.status
        answer.close()
        line.close()
        if status == 200 or time.monotonic() > until:
            break
        time.sleep(0.05)
    assert status == 200, "the place was never left"


def test_an_answer_through_the_server_is_pressed_and_whole(port: int, keeper: Json) -> None:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    line.request("GET", "/api/mirror", headers={**bearing(keeper), "Accept-Encoding": "gzip"})
    answer = line.getresponse()
    body = answer.read()
    assert answer.headers["Content-Encoding"] == "gzip" and len(body) == int(answer.headers["Content-Length"])
    line.close()
    assert answer.headers["Vary"].split(", ") == ["Accept-Encoding", "Origin"]  # which page asks counts too (api/elsewhere.py)


@pytest.mark.parametrize("size", ["letter", "a4", "a5"])
def test_the_slip_of_a_demo_order_opens_and_names_person_and_lot(tmp_path: Path, size: str) -> None:
    """Read back by pypdf, another's reader of PDF. Paper sizes: ANSI Y14.1 letter, ISO 216 A4 and A5; a point is 1/72 in."""
    house = House.open(tmp_path / "data")
    house.make_demo()
    house.clock.set(datetime(2026, 7, 27, 18, tzinfo=UTC))
    story = play(house, until="8")
    identity = house.enrol(house.new_code("helper")["code"], "Tablet")
    client = make_app(house).test_client()
    answer = client.get(f"/api/papers/slip/{story.taken['pell'].order}.pdf?size={size}", headers=bearing(identity))
    house.close()
    read = PdfReader(io.BytesIO(answer.data))
    text = " ".join(page.extract_text() for page in read.pages)
    assert "Pell Quarrington" in text and "W26-170-1" in text and "W26-197-1" in text
    width, height = (float(side) for side in read.pages[0].mediabox[2:])
    assert (width, height) == pytest.approx({"letter": (612, 792), "a4": (595.3, 841.9), "a5": (419.5, 595.3)}[size], abs=1)
