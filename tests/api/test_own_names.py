"""Who may call the house what: its own names, and no other. A rebound page would read every person's address."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from flask.testing import FlaskClient

from api.conftest import assert_problem, bearing
from honeyhold.api.app import make_app
from honeyhold.api.elsewhere import is_near
from honeyhold.api.introduction import own_names
from honeyhold.api.own_names import LOOK_AGAIN_S, OwnNames
from honeyhold.house.house import House

STRANGE = [
    "evil.example.org", "evil.example.org:8470", "localhost.example.org", "127.0.0.1.example.org", "203.0.113.7", "", "localhost:8470x",
    "localhost:evil",
]  # fmt: skip
OWN = [
    "localhost", "localhost:8470", "localhost:", "localhost.:8470", "LocalHost", "127.0.0.1:9", "[::1]:8470",
    *(f"{name}:1" for name in own_names()),
]  # fmt: skip


@pytest.mark.parametrize("host", STRANGE)
@pytest.mark.parametrize("path", ["/api/health", "/api/mirror", "/"])
def test_under_a_strange_name_nothing_is_answered(client: FlaskClient, keeper: dict[str, Any], host: str, path: str) -> None:
    told = assert_problem(client.get(path, headers={**bearing(keeper), "Host": host}), 421, "not-our-name")
    assert "--known-as" in told["remedy"]


@pytest.mark.parametrize("host", OWN)
def test_under_its_own_names_it_answers(client: FlaskClient, host: str) -> None:
    assert client.get("/api/health", headers={"Host": host}).status_code == 200


def test_a_strange_name_comes_into_no_picture_and_no_link(client: FlaskClient, keeper: dict[str, Any]) -> None:
    answer = client.post("/api/codes", json={"role": "helper"}, headers={**bearing(keeper), "Host": "evil.example.org"})
    assert answer.status_code == 421 and "#enrol" not in answer.get_data(as_text=True)


def test_a_name_that_its_owner_gives_it_is_its_own(house: House) -> None:
    client = make_app(house, known_as=["Bees.example.org"]).test_client()
    assert client.get("/api/health", headers={"Host": "bees.example.org:443"}).status_code == 200


class Network:
    """A network as a machine sees it, in place of the one that the tests run on."""

    AF_INET, SOCK_DGRAM = socket.AF_INET, socket.SOCK_DGRAM

    def __init__(self, name: str, addresses: list[str], used: str) -> None:
        self.gethostname, self._addresses, self._used = lambda: name, addresses, used

    def getaddrinfo(self, name: str, _port: None, family: int) -> list[Any]:
        """What the machine's name stands for."""
        if not self._addresses:
            raise socket.gaierror(-2, "Name or service not known")
        assert (name, family) == (self.gethostname(), socket.AF_INET)
        return [(family, socket.SOCK_STREAM, 6, "", (address, 0)) for address in self._addresses]

    @contextmanager
    def socket(self, _family: int, _kind: int) -> Iterator[Any]:
        """A way out, where there is one."""
        yield self

    def connect(self, _to: Any) -> None:
        """Nothing is sent."""
        if not self._used:
            raise OSError(101, "Network is unreachable")

    def getsockname(self) -> tuple[str, int]:
        """The address that is used on that way."""
        return self._used, 0


@pytest.mark.parametrize(("network", "names"), [
    (Network("Shed.lan", ["127.0.1.1", "10.0.0.5", "192.168.1.20"], "192.168.1.20"), ["192.168.1.20", "10.0.0.5", "shed.local"]),
    (Network("shed", [], "192.168.1.20"), ["192.168.1.20", "shed.local"]),
    (Network("localhost", ["127.0.0.1"], ""), []),
    (Network("", ["10.0.0.5"], ""), ["10.0.0.5"]),
])  # fmt: skip
def test_a_machine_tells_its_addresses_the_used_one_first_and_its_name(
    network: Network, names: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Never those at which it hears itself alone."""
    monkeypatch.setattr("honeyhold.api.introduction.socket", network)
    assert own_names() == names


def test_an_address_that_the_machine_gets_later_is_known_then() -> None:
    addresses = ["192.168.1.20"]
    names = OwnNames(found=lambda: addresses)
    assert names.hold("192.168.1.20") and not names.hold("192.168.1.21")
    addresses[:] = ["192.168.1.21"]
    names._looked_at = None
    assert names.hold("192.168.1.21") and not names.hold("192.168.1.20")


def test_the_machine_is_not_asked_for_its_names_at_every_strange_request(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stranger who tries names costs one look in a while."""
    clock, looks = [1000.0], [0]

    def found() -> list[str]:
        looks[0] += 1
        return ["192.168.1.20"]

    monkeypatch.setattr("honeyhold.api.own_names.time.monotonic", lambda: clock[0])
    names = OwnNames(found=found)
    for later_s, looked in ((0, 1), (LOOK_AGAIN_S, 1), (0.5, 2), (1, 2)):
        clock[0] += later_s
        assert not names.hold("evil.example.org") and looks[0] == looked
    assert names.hold("192.168.1.20") and looks[0] == 2


NEAR = ["http://localhost:8470", "https://192.168.1.20:8471", "https://honeyhouse.local:8471", "http://127.0.0.1:9", "http://[::1]:8470"]
FAR = ["https://example.org", "https://localhost.example.org", "https://203.0.113.7", "null", "file://", "https://[", "ftp://10.0.0.3", ""]


@pytest.mark.parametrize("origin", NEAR)
def test_a_device_at_an_earlier_address_may_hand_over_from_there(client: FlaskClient, keeper: dict[str, Any], origin: str) -> None:
    asked = {"Origin": origin, "Access-Control-Request-Method": "POST", "Access-Control-Request-Headers": "authorization"}
    first = client.options("/api/exchange", headers=asked)
    assert first.status_code == 200 and first.headers["Access-Control-Allow-Origin"] == origin
    assert "Authorization" in first.headers["Access-Control-Allow-Headers"]
    answer = client.get("/api/mirror", headers={**bearing(keeper), "Origin": origin})
    assert answer.headers["Access-Control-Allow-Origin"] == origin and "Origin" in answer.headers["Vary"]
    refused = client.post("/api/exchange", json={}, headers={"Origin": origin})
    assert refused.status_code == 401 and refused.headers["Access-Control-Allow-Origin"] == origin


@pytest.mark.parametrize("origin", FAR)
def test_no_page_of_the_internet_reads_an_answer(client: FlaskClient, keeper: dict[str, Any], origin: str) -> None:
    for path in ("/api/health", "/api/mirror"):
        assert "Access-Control-Allow-Origin" not in client.get(path, headers={**bearing(keeper), "Origin": origin}).headers
    assert "Access-Control-Allow-Origin" not in client.options("/api/exchange", headers={"Origin": origin}).headers


@pytest.mark.parametrize("path", ["/api/codes", "/api/late/settle", "/api/export.zip", "/api/enrol", "/"])
def test_other_doors_are_read_from_no_other_address(client: FlaskClient, keeper: dict[str, Any], path: str) -> None:
    assert "Access-Control-Allow-Origin" not in client.get(path, headers={**bearing(keeper), "Origin": NEAR[0]}).headers


@pytest.mark.parametrize(("origins", "near"), [(NEAR, True), (FAR, False)])
def test_what_lies_within_a_house_is_told_plainly(origins: list[str], near: bool) -> None:
    """Yes or no, also of what is no address at all."""
    assert [is_near(origin) for origin in origins] == [near] * len(origins)
