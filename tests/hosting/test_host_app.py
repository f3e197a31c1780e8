"""One application for many houses: the name in the address says which one a request is to, and none keeps the others waiting."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import EnvironBuilder

from api.conftest import assert_problem, bearing
from honeyhold.api import host_app
from honeyhold.api.effort import Busy, Part
from honeyhold.api.host_app import Served, Serving, label_in, make_host_app
from honeyhold.api.own_names import NotOurName
from honeyhold.api.stream import NoPlace, Stream
from honeyhold.house.many_houses import Houses
from honeyhold.records.house_register import FROZEN, HouseRegister
from honeyhold.records.shared_database import SharedDatabase
from hosting.many import database, furnish
from replication.houses import MONDAY, Watch, movement

KEY = "a-key-of-whoever-keeps-the-server"


@dataclass
class Host:
    """Two houses behind one application, and an owner's device of each."""

    houses: Houses
    serving: Serving
    client: FlaskClient
    devices: dict[str, dict[str, Any]]

    def ask(self, house: str, path: str, device: str = "", **more: Any) -> Any:
        """A request to a house, by a device of `device` (that house's own where nothing is said)."""
        headers = {**bearing(self.devices[device or house]), "Host": f"{house}.example.org"}
        return self.client.open(path, headers=headers, **more)


@pytest.fixture
def host(tmp_path: Path) -> Iterator[Host]:
    with database() as address:
        shared, serving = SharedDatabase(address), Serving()
        register = HouseRegister(shared)
        for name in ("willow", "maple"):
            register.add(name, MONDAY)
        houses = Houses(shared, tmp_path, now=Watch(), beside=serving)
        devices = {}
        for name in ("willow", "maple"):
            with houses.lent(name) as house:
                furnish(house, name)
                devices[name] = house.enrol(house.new_code()["code"], f"Phone of {name}")
        app = make_host_app(houses, serving, "Example.org", watch_key=KEY)
        yield Host(houses, serving, app.test_client(), devices)
        houses.close()
        shared.close()


NAMED = {
    "willow.example.org": "willow", "WILLOW.Example.ORG": "willow", "willow.example.org:8443": "willow", "willow.example.org.": "willow",
    "willow.localhost": "willow", "willow.localhost:8490": "willow", "example.org": "", "localhost:8490": "", "example.org.:80": "",
}  # fmt: skip
STRANGE = [
    "", "willow", "willow.example.net", "willow.example.org.evil.example.net", "a.willow.example.org", "willow..example.org",
    ".example.org", "-willow.example.org", "willow_.example.org", "willowexample.org", "xexample.org", "127.0.0.1", "[::1]:8490",
    "willow.example.org:abc", "willow.example.org, maple.example.org", "willow.example.org@maple.example.org", "willow.example.org..",
    "w\u0131llow.example.org", "willow.example.org/maple", "willow%2eexample.org",
]  # fmt: skip


@pytest.mark.parametrize("said", NAMED)
def test_the_first_label_names_the_house(said: str) -> None:
    assert label_in(said, "example.org") == NAMED[said]


@pytest.mark.parametrize("said", STRANGE)
def test_any_other_name_is_none_of_ours(said: str) -> None:
    with pytest.raises(NotOurName):
        label_in(said, "example.org")


def test_each_address_answers_for_its_own_house(host: Host) -> None:
    told = {name: host.ask(name, "/api/health").get_json() for name in ("willow", "maple")}
    assert told["willow"]["house"] != told["maple"]["house"] and told["willow"]["epoch"] != told["maple"]["epoch"]
    mirror = host.ask("willow", "/api/mirror").get_json()
    assert "House of willow" in str(mirror) and "maple" not in str(mirror)
    assert_problem(host.ask("willow", "/api/mirror", device="maple"), 401, "unknown-device")


def test_an_unknown_house_and_a_frozen_one_are_said_so(host: Host) -> None:
    headers = bearing(host.devices["willow"])
    told = assert_problem(host.client.get("/api/mirror", headers={**headers, "Host": "rowan.example.org"}), 404, "unknown-house")
    assert "maple" not in str(told) and "willow" not in str(told)
    for page in ("/", "/shell/first.js"):  # nobody's app is given out, either
        assert_problem(host.client.get(page, headers={"Host": "rowan.example.org"}), 404, "unknown-house")
    host.houses.register.set_state("maple", FROZEN)
    host.houses.read_register()
    answer = host.ask("maple", "/api/mirror")
    told = assert_problem(answer, 503, "house-frozen")
    assert int(answer.headers["Retry-After"]) > 0 and "stay on the device" in told["remedy"]
    assert host.ask("willow", "/api/mirror").status_code == 200


def test_under_its_own_name_the_server_has_its_own_doors_alone(host: Host) -> None:
    key = {"Authorization": f"Bearer {KEY}", "Host": "example.org"}
    told = host.client.get("/api/host/health", headers=key).get_json()
    assert told["ok"] and told["checks"][0]["houses"] == 2
    figures = host.client.get("/api/host/metrics", headers=key).get_data(as_text=True)
    assert "honeyhold_houses 2.0" in figures and "willow" not in figures and "maple" not in figures
    for path in ("/", "/api/health", "/api/mirror", "/api/metrics", "/api/nothing"):
        assert_problem(host.client.get(path, headers=key), 404, "no-house-named")
    for path in ("/api/host/health", "/api/host/metrics"):
        assert_problem(host.client.get(path, headers={"Host": "example.org"}), 401, "unknown-device")
        assert_problem(host.client.get(path, headers={**bearing(host.devices["willow"]), "Host": "example.org"}), 401, "unknown-device")
        assert_problem(host.ask("willow", path), 404, "no-house-named")
        assert_problem(host.client.get(path, headers={**key, "Host": "willow.example.org"}), 404, "no-house-named")


def test_the_figures_have_no_label_that_a_stranger_could_multiply(host: Host) -> None:
    key = {"Authorization": f"Bearer {KEY}", "Host": "example.org"}

    def lines() -> int:
        return len(host.client.get("/api/host/metrics", headers=key).get_data(as_text=True).splitlines())

    for number in range(3):
        host.client.get(f"/api/elsewhere/{number}", headers={"Host": f"stranger-{number}.example.org"})
    lines()  # the door of the figures is among them from now on
    before = lines()
    for number in range(3, 60):
        host.client.get(f"/api/elsewhere/{number}", headers={"Host": f"stranger-{number}.example.org"})
    assert lines() == before > 20


def test_a_request_that_is_one_too_many_for_its_house_is_told_to_come_again_and_the_neighbour_is_not(host: Host) -> None:
    lease = host.houses.take("willow")
    served = lease.opened.beside
    assert isinstance(served, Served)
    for _ in range(host_app.UNDER_WAY_MOST):
        served.begin()
    answer = host.ask("willow", "/api/mirror")
    assert_problem(answer, 503, "many-at-once")
    assert answer.headers["Retry-After"] == "1" and host.ask("maple", "/api/mirror").status_code == 200
    served.done()
    assert host.ask("willow", "/api/mirror").status_code == 200
    for _ in range(host_app.UNDER_WAY_MOST - 1):
        served.done()
    assert host.ask("willow", "/api/mirror", method="PUT").status_code == 405 and lease.opened.users == 1
    lease.leave()


def test_a_stream_holds_its_house_open_and_ends_when_it_is_frozen(host: Host) -> None:
    asked = EnvironBuilder("/api/stream", headers={**bearing(host.devices["willow"]), "Host": "willow.example.org"})
    body: Any = host.client.application(asked.get_environ(), lambda _status, _headers, _trouble=None: lambda _data: None)
    assert isinstance(body, Stream) and body.wait_s() > 0
    host.houses._idle_s = -1.0
    host.houses.tidy()
    assert host.houses.open_now() == ["willow"] and host.serving.streams.open() == 1
    host.houses.register.set_state("willow", FROZEN)
    host.houses.read_register()
    host.houses.tidy()
    assert body.wait_s() == 0.0
    body.close()
    body.close()
    host.houses.tidy()
    assert host.houses.open_now() == [] and host.serving.streams.open() == 0


def test_a_stream_tells_news_when_it_was_rung_or_when_something_landed_before_it_listened(host: Host) -> None:
    """And a sign of life when neither: what was told once is no news the next time."""
    with host.houses.lent("willow") as willow:
        stream = Stream(willow, "device", Served(willow, Part(host.serving.effort), host.serving.streams)["streams"])
        silent = b": still here\n\n"
        assert stream.next(False) == silent and stream.next(True).startswith(b"data:")
        willow.write("buy", [movement("bar", 1)])
        landed, after = stream.next(False), stream.next(False)
        assert landed.startswith(b"data:") and str(willow.position()).encode() in landed and after == silent


def test_streams_are_bounded_for_a_house_and_for_all(host: Host, monkeypatch: pytest.MonkeyPatch) -> None:
    with host.houses.lent("willow") as willow, host.houses.lent("maple") as maple:
        served = [Served(house, Part(host.serving.effort), host.serving.streams) for house in (willow, maple)]
        monkeypatch.setattr(host.serving.streams, "_most", 3)
        open_now = []
        for number in range(3):
            open_now.append(Stream(willow, f"device {number}", served[0]["streams"]))
            served[0]["streams"].take(open_now[-1])
        with pytest.raises(NoPlace):
            served[1]["streams"].take(Stream(maple, "device", served[1]["streams"]))
        open_now[0].close()
        served[1]["streams"].take(Stream(maple, "device", served[1]["streams"]))


def test_one_house_that_works_hard_leaves_the_other_a_place(host: Host) -> None:
    served = {name: host.houses.take(name) for name in ("willow", "maple")}
    effort = {name: lease.opened.beside[host_app.EFFORT] for name, lease in served.items()}
    host.serving.effort.wait_s = 0.05
    working, may_end = threading.Event(), threading.Event()

    def work() -> None:
        working.set()
        may_end.wait(60)

    thread = threading.Thread(target=lambda: effort["willow"].spend(work))
    thread.start()
    assert working.wait(60)
    with pytest.raises(Busy):
        effort["willow"].spend(lambda: None)
    assert effort["maple"].spend(lambda: "done") == "done"
    may_end.set()
    thread.join()
    for lease in served.values():
        lease.leave()


def test_wrong_codes_at_one_house_slow_nobody_at_the_other(host: Host) -> None:
    def enrol(house: str, code: str) -> Any:
        return host.client.post("/api/enrol", json={"code": code, "name": "Phone"}, headers={"Host": f"{house}.example.org"})

    answers = [enrol("willow", "AAAA-AAAA").status_code for _ in range(8)]
    assert answers[-1] == 429 and answers[0] != 429
    with host.houses.lent("maple") as maple:
        code = maple.new_code()["code"]
    assert enrol("willow", code).status_code == 429 and enrol("maple", code).status_code == 201


def test_an_address_in_an_answer_is_the_house_s_own(host: Host) -> None:
    made = host.ask("willow", "/api/codes", method="POST", json={"role": "helper"}).get_json()
    assert made["address"].startswith("http://willow.example.org/#enrol=")
    assert host.ask("maple", "/api/calendar").get_json()["address"].startswith("http://maple.example.org/calendar/")
