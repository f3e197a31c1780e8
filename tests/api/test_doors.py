"""Every door: what it answers, and what it says when it is knocked at wrongly."""

from __future__ import annotations

import gzip
import json
import re
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport
from flask import Flask
from flask.testing import FlaskClient

from api.conftest import assert_problem, bearing
from honeyhold.api import stream
from honeyhold.api.app import BODY_BYTES_MAX, make_app
from honeyhold.api.rate_limit import FREE_TRIES
from honeyhold.house.house import House
from honeyhold.house.last_backup import LastBackup
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.rows import TABLES
from honeyhold.operations.schemas import ExchangeAnswer, MirrorAnswer
from honeyhold.records.errors import DiskFull
from replication.houses import Watch, ask, device

Json = dict[str, Any]
README = Path(stream.__file__).parents[1] / "operations" / "README.md"


def an_ask(identity: Json, **other: Any) -> Json:
    return ask(DeviceClient(identity, None), **other)  # type: ignore[arg-type]


def test_a_device_enrols_with_a_fresh_code_once(client: FlaskClient, house: House) -> None:
    code = house.new_code("keeper")["code"]
    answer = client.post("/api/enrol", json={"code": code.lower().replace("-", " "), "name": "Shed phone"})
    identity = answer.get_json()
    assert answer.status_code == 201 and identity["mark"] == "A" and identity["role"] == "keeper"
    assert len(identity["token"]) >= 43  # 256 bits in base64url
    assert client.get("/api/mirror", headers=bearing(identity)).status_code == 200
    assert_problem(client.post("/api/enrol", json={"code": code, "name": "Again"}), 403, "wrong-code")


def test_a_code_is_good_for_ten_minutes(client: FlaskClient, house: House, watch: Watch) -> None:
    code = house.new_code("keeper")["code"]
    watch.later(minutes=10, seconds=1)
    assert_problem(client.post("/api/enrol", json={"code": code, "name": "Late"}), 403, "wrong-code")


@pytest.mark.of_a_file
def test_neither_codes_nor_tokens_are_kept(house: House, keeper: Json) -> None:
    code = house.new_code("keeper")["code"].replace("-", "")
    with house.records.read():
        house.records.database.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    kept = house.records.path.read_bytes()
    assert keeper["token"].encode() not in kept and code.encode() not in kept


def test_guessing_is_slowed_down(client: FlaskClient, house: House, watch: Watch) -> None:
    for _ in range(5):
        assert client.post("/api/enrol", json={"code": "GUESS", "name": "x"}).status_code == 403
    answer = client.post("/api/enrol", json={"code": house.new_code()["code"], "name": "x"})
    assert_problem(answer, 429, "too-often")
    assert int(answer.headers["Retry-After"]) >= 1
    watch.later(minutes=6)
    assert client.post("/api/enrol", json={"code": house.new_code()["code"], "name": "x"}).status_code == 201


def test_who_guesses_slows_down_nobody_at_another_address(client: FlaskClient, house: House) -> None:
    guesses = [
        client.post("/api/enrol", json={"code": "GUESS", "name": "x"}, environ_overrides={"REMOTE_ADDR": address}).status_code
        for address in (*["192.168.1.20"] * (FREE_TRIES + 1), "192.168.1.21")
    ]
    assert guesses == [*[403] * FREE_TRIES, 429, 403]
    good = {"code": house.new_code()["code"], "name": "x"}
    assert client.post("/api/enrol", json=good, environ_overrides={"REMOTE_ADDR": "192.168.1.22"}).status_code == 201


def test_a_keeper_makes_a_code_with_its_picture(client: FlaskClient, keeper: Json, helper: Json) -> None:
    answer = client.post("/api/codes", json={"role": "helper"}, headers=bearing(keeper))
    made = answer.get_json()
    assert answer.status_code == 201 and re.fullmatch(r"[2-9A-Z]{4}-[2-9A-Z]{4}", made["code"])
    assert made["address"].endswith(f"#enrol={made['code']}") and made["qr_svg"].startswith("<svg")
    assert_problem(client.post("/api/codes", json={"role": "helper"}, headers=bearing(helper)), 403, "keeper-only")
    assert_problem(client.post("/api/codes", json={"role": "queen"}, headers=bearing(keeper)), 422, "bad-shape")


def test_a_lost_device_is_turned_away_and_forgets_only_what_a_backup_holds(
    house: House, client: FlaskClient, keeper: Json, helper: Json
) -> None:
    address = f"/api/devices/{helper['device']}/lost"
    assert_problem(client.post(address, headers=bearing(helper)), 403, "keeper-only")
    assert client.post(address, headers=bearing(keeper)).get_json() == {"device": helper["device"], "lost": True}
    assert_problem(client.get("/api/mirror", headers=bearing(helper)), 403, "device-lost")
    hand = DeviceClient(helper, DirectTransport(house))
    hand.note_person(name="Orla Tennick")

    def said(*entries: Json) -> Json:
        asked = an_ask(helper, operations=list(entries))
        return assert_problem(client.post("/api/exchange", json=asked, headers=bearing(helper)), 403, "device-lost")

    told = said(*hand.in_hand)
    assert told["epoch"] == house.epoch and len(told["kept"]) == 1 and "forget" not in told and "forget" not in said()
    house.backup()
    assert said()["forget"] is True
    assert_problem(client.post("/api/devices/nobody/lost", headers=bearing(keeper)), 404, "not-found")


def test_an_exchange_answers_as_its_schema_says(client: FlaskClient, keeper: Json) -> None:
    asked = an_ask(keeper, wants={"bar": 10})
    answer = client.post("/api/exchange", json=asked, headers=bearing(keeper))
    told = answer.get_json()
    assert answer.content_type == "application/json" and told["request"] == asked["request"] and told["protocol"] == 1
    assert ExchangeAnswer().validate(told) == {} and set(told) == set(ExchangeAnswer().fields)
    mirror = client.get("/api/mirror", headers=bearing(keeper)).get_json()
    assert MirrorAnswer().validate(mirror) == {} and set(mirror) == set(MirrorAnswer().fields)


def test_answers_are_pressed_where_the_asker_takes_it(client: FlaskClient, keeper: Json) -> None:
    plain = client.get("/api/mirror", headers=bearing(keeper))
    pressed = client.get("/api/mirror", headers={**bearing(keeper), "Accept-Encoding": "gzip"})
    assert pressed.headers["Content-Encoding"] == "gzip" and len(pressed.data) < len(plain.data)
    assert json.loads(gzip.decompress(pressed.data))["rows"] == plain.get_json()["rows"]


@pytest.mark.parametrize("wrong", [
    {"protocol": 2}, {"protocol": "1"}, {"request": "x"}, {"request": None}, {"device": 5}, {"cursor": -1}, {"cursor": 1.5},
    {"operations": {}}, {"operations": [1] * 201}, {"spent": {"bar": -1}}, {"spent": {"bar": 1.5}}, {"wants": []},
    {"clock": "noon"}, {"epoch": 4}, {"mood": "good"},
])  # fmt: skip
def test_an_exchange_of_the_wrong_shape_names_the_field(client: FlaskClient, keeper: Json, wrong: Json) -> None:
    answer = client.post("/api/exchange", json=an_ask(keeper, **wrong), headers=bearing(keeper))
    told = assert_problem(answer, 422, "bad-shape")
    assert set(told["errors"]) == set(wrong)


def test_another_devices_name_on_a_token(client: FlaskClient, keeper: Json, helper: Json) -> None:
    answer = client.post("/api/exchange", json=an_ask(helper), headers=bearing(keeper))
    assert_problem(answer, 400, "bad-request")


@pytest.mark.parametrize("headers", [{}, {"Authorization": "Bearer "}, {"Authorization": "Basic abc"}, {"Authorization": "Bearer x"}])
@pytest.mark.parametrize("door", ["get /api/mirror", "post /api/exchange", "post /api/codes", "get /api/stream",
                                  "post /api/work/packing.plan", "get /api/papers/slip/x.pdf"])  # fmt: skip
def test_without_a_good_token_every_door_is_shut(client: FlaskClient, headers: Json, door: str) -> None:
    method, address = door.split()
    sent = {"json": {}} if method == "post" else {}
    answer = client.open(address, method=method.upper(), headers=headers, **sent)  # type: ignore[arg-type]
    assert_problem(answer, 401, "unknown-device")
    assert answer.headers["WWW-Authenticate"] == "Bearer"


@pytest.mark.parametrize(("body", "media", "status", "code"), [
    (b"{", "application/json", 400, "http-400"),
    (b"\xff\xfe", "application/json", 400, "http-400"),
    (b"[" * 100_000, "application/json", 400, "bad-request"),
    (b"[]", "application/json", 400, "bad-request"),
    (b"null", "application/json", 400, "bad-request"),
    (b'{"cursor": ' + b"9" * 5000 + b"}", "application/json", 400, "http-400"),
    (b"protocol=1", "application/x-www-form-urlencoded", 415, "http-415"),
    (b'{"a": "' + b"x" * BODY_BYTES_MAX + b'"}', "application/json", 413, "http-413"),
])  # fmt: skip
def test_a_body_that_cannot_be_read(client: FlaskClient, keeper: Json, body: bytes, media: str, status: int, code: str) -> None:
    answer = client.post("/api/exchange", data=body, content_type=media, headers=bearing(keeper))
    assert_problem(answer, status, code)


def test_a_wrong_address_and_a_wrong_method(client: FlaskClient) -> None:
    assert_problem(client.get("/api/nowhere"), 404, "http-404")
    answer = client.get("/api/exchange")
    assert_problem(answer, 405, "http-405")
    assert "POST" in answer.headers["Allow"]


def test_a_full_disk_acknowledges_nothing(client: FlaskClient, house: House, keeper: Json, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_all: object) -> None:
        raise DiskFull

    monkeypatch.setattr(house, "exchange", full)
    assert_problem(client.post("/api/exchange", json=an_ask(keeper), headers=bearing(keeper)), 507, "disk-full")


def test_a_mistake_of_the_house_tells_nothing_of_its_inside(
    client: FlaskClient, house: House, keeper: Json, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_all: object) -> None:
        raise KeyError("the inside")

    monkeypatch.setattr(house, "exchange", broken)
    told = assert_problem(client.post("/api/exchange", json=an_ask(keeper), headers=bearing(keeper)), 500, "mistake")
    assert "inside" not in json.dumps(told)


def test_work_answers_or_says_why_not(client: FlaskClient, keeper: Json) -> None:
    request = {"good": {"name": "bar", "plural": "bars"}, "on_hand": 20, "promised": 5, "share": 3}
    answer = client.post("/api/work/stock.shelf_picture", json=request, headers=bearing(keeper))
    assert answer.status_code == 200 and "<svg" in answer.get_json()["svg"]
    assert_problem(client.post("/api/work/no.such", json={}, headers=bearing(keeper)), 404, "unknown-work")
    answer = client.post("/api/work/stock.shelf_picture", json={"on_hand": "many"}, headers=bearing(keeper))
    assert answer.status_code in (400, 422) and answer.get_json(force=True)["remedy"]


def test_a_slip_that_cannot_be_printed_says_why(client: FlaskClient, house: House) -> None:
    hand = device(house, bars=5)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Orla Tennick"))
    hand.exchange()
    assert_problem(client.get("/api/papers/slip/nowhere.pdf", headers=bearing(hand.identity)), 404, "not-found")
    answer = client.get(f"/api/papers/slip/{taken.order}.pdf?size=poster", headers=bearing(hand.identity))
    assert_problem(answer, 400, "bad-request")


def test_the_stream_says_only_that_there_is_something(client: FlaskClient, house: House, keeper: Json) -> None:
    answer = client.get("/api/stream", headers=bearing(keeper), buffered=False)
    events = answer.iter_encoded()
    first = next(events).decode()
    house.write("set_house", [{"table": "setting", "id": "name", "value": "x"}])
    assert answer.content_type.startswith("text/event-stream") and f'data: {{"position": {house.position() - 1}}}' in first
    answer.close()


def test_a_stream_ends_by_itself(client: FlaskClient, keeper: Json, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stream, "LASTS_S", 0.05)
    answer = client.get("/api/stream", headers=bearing(keeper))
    assert answer.data.decode().endswith("\n\n")


def test_streams_never_take_all_places(house: House, keeper: Json, helper: Json) -> None:
    client = make_app(house, streams_max=1).test_client()
    first = client.get("/api/stream", headers=bearing(keeper), buffered=False)
    next(first.iter_encoded())
    answer = client.get("/api/stream", headers=bearing(helper))
    assert_problem(answer, 503, "no-place")
    assert answer.headers["Retry-After"] == "30"
    first.close()
    assert client.get("/api/stream", headers=bearing(helper), buffered=False).status_code == 200


def test_one_device_never_takes_the_places_of_the_others(house: House, keeper: Json, helper: Json) -> None:
    """A phone that comes and goes leaves streams behind that nobody hears: its newest counts, its oldest ends."""
    app = make_app(house, streams_max=3)
    client = app.test_client()
    streams = [client.get("/api/stream", headers=bearing(keeper), buffered=False) for _ in range(4)]
    assert [answer.status_code for answer in streams] == [200] * len(streams) and app.extensions[stream.EXTENSION].open() == 2
    assert [len(list(answer.iter_encoded())) for answer in streams[:2]] == [1, 1], "the oldest did not end"
    assert client.get("/api/stream", headers=bearing(helper), buffered=False).status_code == 200


def test_asking_whether_there_is_a_stream_takes_no_place(house: House, keeper: Json) -> None:
    client = make_app(house, streams_max=1).test_client()
    for _ in range(3):
        assert client.head("/api/stream", headers=bearing(keeper)).status_code == 200
    assert client.get("/api/stream", headers=bearing(keeper), buffered=False).status_code == 200


def test_health_needs_no_token(client: FlaskClient, house: House) -> None:
    told = client.get("/api/health").get_json()
    assert told["ok"] is True and told["epoch"] == house.epoch and told["version"] and told["backup"] is None
    house.last_backup = LastBackup(datetime(2026, 7, 23, 6, tzinfo=UTC), failing=True)
    assert client.get("/api/health").get_json()["backup"] == {"made_at": "2026-07-23T06:00:00+00:00", "failing": True}


def test_every_route_table_and_kind_is_described(app: Flask, client: FlaskClient) -> None:
    document = client.get("/api/openapi.json").get_json()
    described = {(path, method.upper()) for path, doors in document["paths"].items() for method in doors}
    routes = {
        (re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule), method)
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
    assert described == routes and document["openapi"] == "3.1.0"
    assert {f"Row_{table}" for table in TABLES} <= set(document["components"]["schemas"])
    assert all(kind in document["info"]["description"] for kind in KINDS)


def test_the_page_of_the_one_message_names_every_kind_table_and_field() -> None:
    page = README.read_text("utf-8")
    missing = [kind for kind in KINDS if f"| `{kind}` |" not in page]
    for table, schema in TABLES.items():
        missing += [] if f"| `{table}` |" in page else [table]
        missing += [f"{table}.{name}" for name in schema().fields if name not in ("table", "id") and f"`{name}`" not in page]
    for schema in (ExchangeAnswer, MirrorAnswer):
        missing += [name for name in schema().fields if f'"{name}"' not in page]
    assert missing == []


def test_late_entries_are_settled_by_keepers_only(client: FlaskClient, house: House, keeper: Json, helper: Json) -> None:
    gone = house.enrol(house.new_code()["code"], "Old phone")
    hand = DeviceClient(gone, DirectTransport(house))
    hand.buy([("bar", None, 3, "bought")])
    house.declare_lost(gone["device"])
    refusal = client.post("/api/exchange", json=ask(hand, *hand.in_hand), headers=bearing(gone))
    assert refusal.status_code == 403 and refusal.get_json()["kept"] == [hand.log[0]["id"]]
    assert client.get("/api/late", headers=bearing(helper)).status_code == 403
    (shown,) = client.get("/api/late", headers=bearing(keeper)).get_json()["entries"]
    wish = {"device": shown["device"], "seq": shown["seq"], "hash": shown["hash"], "how": "take_in"}
    assert client.post("/api/late/settle", json=wish, headers=bearing(helper)).status_code == 403
    assert client.post("/api/late/settle", json={**wish, "how": "forget"}, headers=bearing(keeper)).status_code == 422
    assert client.post("/api/late/settle", json=wish, headers=bearing(keeper)).get_json()["position"] == house.position()
    assert client.post("/api/late/settle", json=wish, headers=bearing(keeper)).status_code == 404
    handed = client.post("/api/late", json={"operations": hand.log}, headers=bearing(helper))
    assert handed.status_code == 201 and client.get("/api/late", headers=bearing(keeper)).get_json()["waiting"] == handed.get_json()["kept"]


def test_guesses_at_once_are_counted_one_by_one(app: Flask) -> None:
    """None of them knows of the others yet when it begins: still only the free ones are tried."""
    began = threading.Barrier(20)

    def guess(_number: int) -> int:
        began.wait(30)
        return app.test_client().post("/api/enrol", json={"code": "2222-2222", "name": "Thief"}).status_code

    with ThreadPoolExecutor(20) as guessers:
        statuses = list(guessers.map(guess, range(20)))
    assert statuses.count(403) == FREE_TRIES and statuses.count(429) == 20 - FREE_TRIES
