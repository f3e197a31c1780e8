"""One application for many houses. Which one a request is to, its name says: a browser's records and worker belong to one address.

What is counted is counted for each house: requests under way, streams, work, wrong codes. So one house alone takes less than half of the
threads that answer; several that are all rude at once can fill them, for as long as their requests take. Under the server's own name there
are only two doors, for whoever keeps it; they tell how many houses there are, and none by its name.
"""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

from flask import Blueprint, Flask, Response, current_app, g, request
from prometheus_client.core import GaugeMetricFamily, InfoMetricFamily, Metric
from prometheus_client.registry import Collector

from honeyhold.api import metrics, stream
from honeyhold.api.access import EXTENSION, WATCH_KEY, carries
from honeyhold.api.app import bare, open_doors
from honeyhold.api.effort import EXTENSION as EFFORT
from honeyhold.api.effort import INSIDE_MOST, Effort, Part
from honeyhold.api.health import FREE_BYTES_LEAST, UNREADABLE, own_version
from honeyhold.api.json_response import told
from honeyhold.api.own_names import NotOurName, name_in
from honeyhold.api.rate_limit import EXTENSION as RATE_LIMIT
from honeyhold.api.rate_limit import RateLimit
from honeyhold.api.stream import AllPlaces, Places
from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses, Lease
from honeyhold.operations.errors import UnknownDevice
from honeyhold.records.house_register import LABEL

UNDER_WAY_MOST: Final = 6
"""Requests of one house that are worked on at the same time, of the sixteen threads that there are (`app/hosting.py`)."""
STREAMS_MOST: Final = 32
"""Of one house."""
ALL_STREAMS_MOST: Final = 1000
HOUSES: Final = "houses"
LOCAL: Final = "localhost"
ASKS_THE_HOUSE: Final = ("/api/", "/calendar/")
"""What else there is, is the same for every house: the app itself."""

door = Blueprint("host", __name__)


class ManyAtOnce(HoneyholdError, RuntimeError):
    """One house asks for more at the same time than a house may."""

    code = "many-at-once"
    status = 503

    def __init__(self) -> None:
        super().__init__("This house asks for many things at once just now.", "Try again in a moment; nothing is lost.")
        self.wait_s = 1


class NoHouseNamed(HoneyholdError, LookupError):
    """The request is to the server itself, which has no such door."""

    code = "no-house-named"
    status = 404

    def __init__(self) -> None:
        super().__init__("No house is named in this address.", "A house's name comes first in its address.")


class Served:
    """What is kept for one house as long as it is open, by the names that `access.of_the_house` asks for."""

    def __init__(self, house: House, work: Part, all_streams: AllPlaces) -> None:
        self._streams = Places(STREAMS_MOST, all_streams)
        self._lock = threading.Lock()
        self._under_way = 0
        self._kept: dict[str, Any] = {
            EXTENSION: house, RATE_LIMIT: RateLimit(house.clock.now), EFFORT: work, stream.EXTENSION: self._streams,
        }  # fmt: skip

    def __getitem__(self, name: str) -> Any:
        return self._kept[name]

    def begin(self) -> None:
        """One more request is under way. Raises `ManyAtOnce`."""
        with self._lock:
            if self._under_way >= UNDER_WAY_MOST:
                raise ManyAtOnce
            self._under_way += 1

    def done(self) -> None:
        """One less."""
        with self._lock:
            self._under_way -= 1

    def end(self) -> None:
        """The house goes: its streams end."""
        self._streams.end()


class Serving:
    """Makes what is kept for each house; all have the same processor and the same connections."""

    def __init__(self) -> None:
        self.effort, self.streams = Effort(), AllPlaces(ALL_STREAMS_MOST)
        self._at_work = threading.Semaphore(INSIDE_MOST)

    def __call__(self, house: House) -> Served:
        """For one that is being opened."""
        return Served(house, Part(self.effort, all_inside=self._at_work), self.streams)


def make_host_app(houses: Houses, serving: Serving, under: str = "", web: Path | None = None, watch_key: str = "") -> Flask:
    """The application for all houses. `under`: the domain below which each has its name, besides `localhost`.

    `serving` is what the houses were opened with (`Houses(beside=serving)`). `watch_key` opens the host's own doors.
    """
    app = bare()
    app.extensions[HOUSES] = houses
    app.extensions[WATCH_KEY] = watch_key
    metrics.measure(app)
    metrics.count_anew(app, _Standing(houses, serving))
    _find_houses(app, houses, under.lower())
    open_doors(app, web)
    app.register_blueprint(door)
    return app


def label_in(host: str, under: str) -> str:
    """The house's name in a Host header; empty where the server itself is named. Raises `NotOurName`."""
    name = name_in(host)
    for domain in (LOCAL, under):
        if domain and name == domain:
            return ""
        label = name.removesuffix(f".{domain}")
        if domain and label != name and LABEL.fullmatch(label):
            return label
    raise NotOurName(name)


def _find_houses(app: Flask, houses: Houses, under: str) -> None:
    @app.before_request
    def find() -> None:
        name = label_in(request.environ.get("HTTP_HOST", ""), under)
        if request.blueprint == door.name or not name:
            _must_be_of_the_host(name)
        elif request.path.startswith(ASKS_THE_HOUSE):
            _begin(houses, name)
        else:
            houses.kept(name)

    @app.teardown_request
    def leave(_trouble: BaseException | None) -> None:
        lease: Lease | None = g.pop("lease", None)
        if lease is not None:
            g.pop("served").done()
            lease.leave()


def _must_be_of_the_host(name: str) -> None:
    """Its doors are under its own name alone, and no house's are. Raises `NoHouseNamed`, `UnknownDevice`."""
    if name or request.blueprint != door.name:
        raise NoHouseNamed
    if not carries(WATCH_KEY):
        raise UnknownDevice("This door is for whoever keeps the server.", "Start it with --watch-key-file FILE and send that key.")


def _begin(houses: Houses, name: str) -> None:
    lease = houses.take(name)
    served = lease.opened.beside
    assert isinstance(served, Served)
    try:
        served.begin()
    except ManyAtOnce:
        lease.leave()
        raise
    g.lease, g.served, g.hold = lease, served, lambda: lease.again().leave


class _Standing(Collector):
    """How the host stands; of no house by name, for anybody who makes one could make a figure with it."""

    def __init__(self, houses: Houses, serving: Serving) -> None:
        self._houses, self._serving = houses, serving

    def collect(self) -> Iterator[Metric]:
        """One figure each."""
        yield InfoMetricFamily("honeyhold_build", "Which version answers.", {"version": own_version()})
        for name, about, figure in (
            ("honeyhold_houses", "Houses in the register.", lambda: len(self._houses.known())),
            ("honeyhold_houses_open", "Houses that are open in this process.", lambda: len(self._houses.open_now())),
            ("honeyhold_streams_open", "Devices that listen for news here.", self._serving.streams.open),
            ("honeyhold_connections", "Connections of this process to the database.", self._houses.shared.lender.open),
            ("honeyhold_disk_free_bytes", "Room left where backups lie.", lambda: shutil.disk_usage(self._houses.data).free),
        ):
            found = _or_nothing(figure)
            if found is not None:
                yield GaugeMetricFamily(name, about, found)


def _or_nothing(figure: Callable[[], int]) -> int | None:
    try:
        return figure()
    except (*UNREADABLE, OSError):  # the health says that; the other figures are told all the same
        return None


@door.get("/api/host/health")
def health() -> Response:
    """What the server stands on, with 503 while something fails; how many houses there are."""
    houses: Houses = current_app.extensions[HOUSES]
    free = shutil.disk_usage(houses.data).free
    known = _or_nothing(lambda: len(houses.register.all()))
    checks = [
        {"name": "records", "ok": known is not None, "houses": known, "open": len(houses.open_now())},
        {"name": "disk", "ok": free >= FREE_BYTES_LEAST, "free_bytes": free},
    ]
    ok = all(check["ok"] for check in checks)
    return told({"ok": ok, "version": own_version(), "checks": checks}, 200 if ok else 503)


@door.get("/api/host/metrics")
def host_metrics() -> Response:
    """All figures of this process as OpenMetrics text."""
    return metrics.figures()
