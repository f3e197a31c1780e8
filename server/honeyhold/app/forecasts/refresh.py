"""The house asks for the weather where its parcels go, and writes what it hears as an operation, so that every device has it.

Only the places of open parcels and of the house itself, forty at most, each no oftener than every three hours. Without internet
nothing happens but one quiet try now and then; the monthly normals stand in and say so themselves.
"""

from __future__ import annotations

import random
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from honeyhold.app.forecasts.client import FirstOf, ForecastUnavailable, Foretold
from honeyhold.house.house import House
from honeyhold.kernel import atlas
from honeyhold.operations.context import OPEN_STATES
from honeyhold.records.models import Forecast, Order, Person
from honeyhold.records.store import Records
from honeyhold.replication.exchange import moment_text
from honeyhold.stock.destination import destination

Row = dict[str, Any]

PLACES_MOST = 40
FRESH_FOR = timedelta(hours=3)
FORGOTTEN_AFTER = timedelta(days=3)
CLOCK_OFF_MOST = timedelta(hours=6)
FIRST_LOOK_S, LOOK_EVERY_S = 20.0, 300.0
ALONE_S = 1800.0
"""After a look at which nobody answered at all: half an hour of quiet."""


def services(contact: str) -> FirstOf:
    """The two weather services, in the order in which they are asked."""
    from honeyhold.app.forecasts.norway import NorwayService  # what they ask with takes long to read: no start waits for it
    from honeyhold.app.forecasts.united_states import WeatherService

    return FirstOf((WeatherService(contact), NorwayService(contact)))


def contact_of(settings: dict[str, Any]) -> str:
    """How a weather service may reach this house: its e-mail, else its telephone or name."""
    return str(settings.get("email") or settings.get("phone") or settings.get("name") or "a honey house")


class Forecaster:
    """Looks after the forecasts of one house. `told` holds what went wrong at the last look, by place."""

    def __init__(self, house: House, sources: FirstOf | None = None, machine_now: Callable[[], datetime] | None = None) -> None:
        self.house = house
        self.sources = sources
        """None: the two, from when something is first asked."""
        self._machine_now = machine_now or house.clock.now
        self.told: dict[str, str] = {}
        self.alone = False

    def wanted(self) -> bool:
        """Whether to ask at all: not if the house said no, nor if its clock stands on another day than the world's."""
        away = abs(self.house.clock.now() - self._machine_now())
        return bool(self.house.settings().get("ask_weather", True)) and away <= CLOCK_OFF_MOST

    def look(self) -> int:
        """One round: asks for the places that are due, writes what is new, and lets go of places nobody posts to.

        Gives the number of places written. Raises nothing that a weather service may cause.
        """
        self.told, self.alone = {}, False
        if not self.wanted():
            return 0
        with self.house.records.read():
            places = places_of(self.house.records, self.house.settings())
            known = {row["id"]: row for row in self.house.records.dicts(Forecast.select())}
        now = self.house.clock.now()
        rows = [row for place in places if self._due(known.get(place), now) and (row := self._ask(place, now))]
        rows += [_empty(row) for place, row in known.items() if place not in places and _forgotten(row, now)]
        if rows:
            self.house.write("foretell", rows[:PLACES_MOST])
        return len(rows)

    def _due(self, row: Row | None, now: datetime) -> bool:
        return not self.alone and (row is None or not row["days"] or now - _moment(row["fetched_at"]) >= FRESH_FOR)

    def _ask(self, place: str, now: datetime) -> Row | None:
        if self.alone:
            return None
        point = atlas().places.get(place)
        if point is None:
            return None
        if self.sources is None:
            self.sources = services(contact_of(self.house.settings()))
        try:
            name, foretold = self.sources.from_any(point["rep_lat"], point["rep_lon"], now, point["tz"])
        except ForecastUnavailable as trouble:
            self.told[place] = str(trouble)
            self.alone = trouble.unreachable
            return None
        return _row(place, name, foretold, now)


def places_of(records: Records, settings: dict[str, Any]) -> list[str]:
    """The ZIP prefixes worth asking about: the house's own, then those of open parcels, the first to leave first. Inside a read."""
    query = Order.select(Order.leave_on, Order.goes_to, Order.to_zip, Person.zip).join(Person, on=(Person.id == Order.person))
    query = query.where((Order.way == "post") & Order.state.in_(OPEN_STATES)).order_by(Order.leave_on.is_null(), Order.leave_on)
    zips = [str(settings.get("zip") or ""), *(destination(row, row)["zip"] for row in records.dicts(query))]
    prefixes = dict.fromkeys(zip_code[:3] for zip_code in zips if len(zip_code) >= 5 and zip_code[:5].isdigit())
    return list(prefixes)[:PLACES_MOST]


def _row(place: str, service: str, foretold: Foretold, now: datetime) -> Row:
    days = [
        {
            "day": day["day"], "max_tenths": round(10 * day["max_c"]), "min_tenths": round(10 * min(day["min_c"], day["max_c"])),
            "sky_percent": day["sky_percent"],
        }
        for day in foretold.days[:16]
    ]  # fmt: skip
    return {
        "table": "forecast", "id": place, "service": service, "issued": moment_text(min(foretold.updated, now).astimezone(UTC)),
        "fetched_at": moment_text(now), "days": days,
    }  # fmt: skip


def _empty(row: Row) -> Row:
    return {"table": "forecast", "id": row["id"], "days": []}


def _forgotten(row: Row, now: datetime) -> bool:
    return bool(row["days"]) and now - _moment(row["fetched_at"]) > FORGOTTEN_AFTER


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


class Lookout:
    """The thread that looks now and then. It ends within a moment of `stop`, or with the house."""

    def __init__(self, forecaster: Forecaster, first_look_s: float = FIRST_LOOK_S) -> None:
        self._forecaster = forecaster
        self._first_look_s = first_look_s
        self._stopped = threading.Event()
        self._thread = threading.Thread(target=self._run, name="weather", daemon=True)

    def start(self) -> None:
        """Begins to look."""
        self._thread.start()

    def stop(self) -> None:
        """Looks no more. A question on its way is left behind: its answer is not written."""
        self._stopped.set()

    def _run(self) -> None:
        wait_s = self._first_look_s
        while not self._stopped.wait(wait_s * random.uniform(0.9, 1.1)):  # noqa: S311 - not all houses at the same second
            try:
                self._forecaster.look()
            except Exception as trouble:  # the house goes on whatever the weather does; records being closed end the thread
                if self._stopped.is_set():
                    return
                self._forecaster.told["house"] = f"The forecast could not be written: {trouble}"
            wait_s = ALONE_S if self._forecaster.alone else LOOK_EVERY_S
