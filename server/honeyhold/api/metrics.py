"""Figures for whoever keeps the server: requests by door, how long they took, and how the records stand, as OpenMetrics text.

Nothing in them is of a person: a door is named by its pattern (`/api/lots/<lot>/trace`), never by what was asked of it. OpenMetrics 1.0
(prometheus.io/docs/specs/om); the text is made by `prometheus_client`, each application with a registry of its own.
"""

from __future__ import annotations

import logging
import shutil
import time
from collections.abc import Iterator
from contextlib import suppress
from typing import Final

from flask import Blueprint, Flask, Response, current_app, g, request
from prometheus_client import CollectorRegistry, Counter, Histogram
from prometheus_client.core import GaugeMetricFamily, InfoMetricFamily, Metric
from prometheus_client.openmetrics.exposition import CONTENT_TYPE_LATEST, generate_latest
from prometheus_client.registry import Collector

from honeyhold.api.access import who_watches
from honeyhold.api.health import UNREADABLE, own_version
from honeyhold.api.stream import Places
from honeyhold.house.house import House

door = Blueprint("metrics", __name__)
EXTENSION: Final = "meter"
NO_DOOR: Final = "none"
"""Named instead of an address that leads nowhere, as `OTHER` is of a method nobody knows: anybody could ask for any number of those."""
METHODS: Final = frozenset({"GET", "HEAD", "POST", "OPTIONS"})
OTHER: Final = "other"
SLOW_S: Final = 1.0
BOUNDS_S: Final = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)

log = logging.getLogger("honeyhold")


class Meter:
    """Counts what one application answers."""

    def __init__(self, standing: Collector) -> None:
        """`standing` gives the figures that are looked up at the moment of looking."""
        self.registry = CollectorRegistry()
        self.answers = Counter(
            "honeyhold_answers", "Answers by door, method and status.", ("door", "method", "status"), registry=self.registry
        )
        self.seconds = Histogram(
            "honeyhold_answer_seconds", "From the request's arrival to the head of its answer.", ("door",), buckets=BOUNDS_S,
            registry=self.registry,
        )  # fmt: skip
        self.slow = Counter("honeyhold_slow_answers", f"Answers that took more than {SLOW_S} s.", ("door",), registry=self.registry)
        self.registry.register(standing)

    def note(self, name: str, method: str, status: int, took_s: float) -> None:
        """One answer; a slow one is a line of the log, too."""
        self.answers.labels(name, method, status).inc()
        self.seconds.labels(name).observe(took_s)
        said = {"door": name, "method": method, "status": status, "ms": round(took_s * 1000, 1)}
        if took_s > SLOW_S:
            self.slow.labels(name).inc()
            log.warning("An answer took %.1f s: %s %s", took_s, method, name, extra={"said": said})
        else:
            log.info("%s %s: %s", method, name, status, extra={"said": said})


class Standing(Collector):
    """How the records of one house stand."""

    def __init__(self, house: House, streams: Places) -> None:
        self._house, self._streams = house, streams

    def collect(self) -> Iterator[Metric]:
        """One figure each."""
        house = self._house
        yield InfoMetricFamily("honeyhold_build", "Which version answers.", {"version": own_version()})
        with suppress(*UNREADABLE):  # the deep health says that; the other figures are told all the same
            yield GaugeMetricFamily("honeyhold_position", "Entries and fills in the records.", house.position())
        yield GaugeMetricFamily("honeyhold_streams_open", "Devices that listen for news.", self._streams.open())
        with suppress(*UNREADABLE):
            size = house.records.size_bytes()
            yield GaugeMetricFamily("honeyhold_records_bytes", "Size of the records on the disk, their log with them.", size)
        yield GaugeMetricFamily("honeyhold_disk_free_bytes", "Room left where the records lie.", shutil.disk_usage(house.folder).free)
        age_s = house.last_backup.age_s(house.clock.now()) if house.last_backup else None
        if age_s is not None:
            yield GaugeMetricFamily("honeyhold_backup_age_seconds", "Since the last backup that was made by itself.", age_s)


def measure(app: Flask) -> None:
    """Every answer of the application is counted, from when `count_anew` began."""

    @app.before_request
    def begun() -> None:
        g.begun_s = time.monotonic()

    @app.after_request
    def noted(answer: Response) -> Response:
        name = request.url_rule.rule if request.url_rule else NO_DOOR
        method = request.method if request.method in METHODS else OTHER
        current_app.extensions[EXTENSION].note(name, method, answer.status_code, time.monotonic() - g.begun_s)
        return answer


def count_anew(app: Flask, standing: Collector) -> None:
    """As if nothing had been answered yet; `standing` tells how things stand when the figures are asked for."""
    app.extensions[EXTENSION] = Meter(standing)


@door.get("/api/metrics")
def metrics() -> Response:
    """All figures, for whoever has the key they are collected with, or an owner's device. Raises `UnknownDevice` or `KeeperOnly`."""
    who_watches()
    return figures()


def figures() -> Response:
    """All figures of the application."""
    meter: Meter = current_app.extensions[EXTENSION]
    return Response(generate_latest(meter.registry), content_type=CONTENT_TYPE_LATEST, headers={"Cache-Control": "no-store"})
