"""The draws of one day of leaving: for each, what may befall a parcel, as hourly air around it.

The same numbers serve every day and dressing, so that two cells of the table differ by what they stand for and never by luck.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import zip_longest
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat.air import Day, blended_day, hours_of
from honeyhold.heat.holidays import post_day_after
from honeyhold.heat.places import transit_days
from honeyhold.heat.request import Question, day_of, mapping, number
from honeyhold.heat.sampling import Sample, Samples
from honeyhold.heat.stops import Stop, air_around, luck_of, stops_of
from honeyhold.heat.sun import clear_day, cloud_factor, summer_hour
from honeyhold.heat.words import MONTHS

DAYS_ON_END = 22  # the longest way: 8 postal days across Sundays and holidays, and the night after
FORECAST_OLD_DAYS = 2
MORE_NEAR = 4  # so many times the draws where a verdict lies near what the house accepts
NO_AIR_C = -100.0  # stands for the hours of a draw that has ended
# How much of the tabled gain a box or van shows: some stand in shade, some in the sun all day; our own estimate.
SUN_LEAST, SUN_MOST = 0.0, 1.0
COOLED_SHARE = 0.7  # of all ways; on the others sheds and trailers stand open (fitted with their shares of outdoor air)


@dataclass(frozen=True)
class Trip:
    """One draw of one day of leaving: stops, air around at hour marks, air outdoors, and the hour of reaching
    the last depot's door.
    """

    stops: list[Stop]
    around_c: list[float]
    outdoor_c: list[float]
    hold_hour: int

    @property
    def to_counter(self) -> Trip:
        """The trip up to where the parcel would be taken to the counter."""
        marks = self.hold_hour + 2
        return Trip(self.stops, self.around_c[:marks], self.outdoor_c[:marks], self.hold_hour)


@dataclass(frozen=True)
class Outlook:
    """A forecast as read: when it was issued (None: none that can be used), days by place, and a sentence if
    it was put aside.
    """

    issued: date | None
    words: str
    days: dict[str, dict[date, Mapping[str, Any]]]
    aside: str = ""


def read_outlook(question: Question) -> Outlook:
    """Check the forecast of a request.

    One older than two days is put aside and said so. Raises BadRequest.
    """
    given = question.forecast
    if not given:
        return Outlook(None, "", {"from": {}, "to": {}})
    try:
        issued = datetime.fromisoformat(given["issued"])
    except (KeyError, TypeError, ValueError):
        raise BadRequest(f"forecast.issued is {given!r:.60}.", "Write when it was issued as 2026-07-20T06:00.") from None
    days: dict[str, dict[date, Mapping[str, Any]]] = {"from": {}, "to": {}}
    for end, found in days.items():
        for entry in given.get(end) or []:
            mapping(entry, f"A day of the forecast ({end})")
            high = number(entry, "max_c", -60, 60)
            if number(entry, "min_c", -70, 60) > high:
                raise BadRequest(f"forecast min_c {entry['min_c']} lies above max_c {high}.", "Check the forecast's days.")
            found[day_of(entry.get("day"), "forecast day")] = entry
    if (question.today - issued.date()).days > FORECAST_OLD_DAYS:
        age = (question.today - issued.date()).days
        told = f"The forecast is {age} days old and was put aside; monthly normals stand in."
        return Outlook(None, "", {"from": {}, "to": {}}, told)
    hour = f"{(issued.hour + 11) % 12 + 1} {'am' if issued.hour < 12 else 'pm'}"
    return Outlook(issued.date(), f"{issued.day} {MONTHS[issued.month - 1]} {hour}", days)


class Weather:
    """Expectation, sunshine and trips for any day of leaving of one question; whatever is asked twice is
    kept.
    """

    def __init__(self, question: Question, samples: Samples | None = None) -> None:
        self.question = question
        self.outlook = read_outlook(question)
        self.ends = {"from": question.origin, "to": question.target}
        self.transit = transit_days(question.origin["place"], question.target["place"])
        self.count = question.draws
        self.samples = samples or Samples(question.seed, DAYS_ON_END)
        self._days: dict[tuple[str, date], Day] = {}
        self._sun: dict[tuple[str, date], list[float]] = {}
        self._hottest: dict[tuple[date, str], Trip] = {}
        self._trips: dict[tuple[date, int, bool, str], Trip] = {}

    def day(self, end: str, on: date) -> Day:
        """Give what is expected of a day at one end ("from" or "to")."""
        if (end, on) not in self._days:
            place, climate = self.ends[end]["place"], self.ends[end]["climate"]
            issued = self.outlook.issued or self.question.today
            foretold = self.outlook.days[end].get(on)
            self._days[end, on] = blended_day(climate, place["state"], on, issued, foretold)
        return self._days[end, on]

    def _expected(self, end: str, days: list[date]) -> list[Day]:
        return [self.day(end, on) for on in days]

    def _clear(self, end: str, on: date) -> list[float]:
        if (end, on) not in self._sun:
            place = self.ends[end]["place"]
            self._sun[end, on] = clear_day(place["rep_lat"], place["rep_lon"], place["tz"], on)
        return self._sun[end, on]

    def _sunshine(self, end: str, days: list[date], cover: float) -> list[float]:
        hours: list[float] = []
        unforetold = cloud_factor(cover)
        for on, day in zip(days, self._expected(end, days), strict=True):
            left = unforetold if day.cover is None else cloud_factor(day.cover)
            hours += [left * shine for shine in self._clear(end, on)]
        return hours

    def _outdoor(self, end: str, days: list[date], z: list[float]) -> list[float]:
        expected = self._expected(end, days)
        return hours_of(expected, z, summer_hour(self.ends[end]["place"]["tz"], days[0]))

    def trips(self, leave_on: date, box: str, hold: bool = False, count: int | None = None) -> list[Trip]:
        """Give the draws of a day of leaving, which must be a day with post, to the place where the parcel ends (`box`).

        As many as the question asks for, or `count` of them, at most MORE_NEAR times as many.
        """
        return [self.trip(leave_on, index, box, hold) for index in range(self.count if count is None else count)]

    def half(self, leave_on: date, box: str, hold: bool = False) -> list[Trip]:
        """Give the first half of the draws: enough to name a verdict."""
        return self.trips(leave_on, box, hold, self.count // 2)

    @property
    def hottest_first(self) -> list[int]:
        """The first half of the draws, those first that arrive on the hottest day."""
        return sorted(range(self.count // 2), key=lambda index: (-self.samples[index].arrival[0], index))

    def hottest_hours(self, leave_on: date, box: str) -> Trip:
        """Give a trip that meets the hottest air of all draws in every hour; no parcel gets hotter than along
        it.
        """
        if (leave_on, box) not in self._hottest:
            trips = self.trips(leave_on, box)
            longest = max(trips, key=lambda trip: len(trip.around_c))
            columns = zip_longest(*(trip.around_c for trip in trips), fillvalue=NO_AIR_C)
            hottest = [max(column) for column in columns]
            self._hottest[leave_on, box] = Trip(longest.stops, hottest, [], longest.hold_hour)
        return self._hottest[leave_on, box]

    def trip(self, leave_on: date, index: int, box: str, hold: bool = False) -> Trip:
        """Give one draw of a day of leaving, kept."""
        if (leave_on, index, hold, box) not in self._trips:
            self._trips[leave_on, index, hold, box] = self.passing_trip(leave_on, index, box, hold)
        return self._trips[leave_on, index, hold, box]

    def passing_trip(self, leave_on: date, index: int, box: str, hold: bool = False) -> Trip:
        """Give one draw of a day of leaving that is looked at once."""
        sample, question = self.samples[index], self.question
        luck = luck_of((sample.on_way, sample.hour, sample.home), self.transit)
        stops = stops_of(leave_on, question.leave_hour, luck, box, hold)
        days = [leave_on + timedelta(days=step) for step in range((question.leave_hour + stops[-1].to_hour) // 24 + 2)]
        arrival = (post_day_after(leave_on, luck.post_days) - leave_on).days
        around, outside = self._air(sample, stops, days, arrival)
        return Trip(stops, around, outside, 24 * arrival - question.leave_hour + 8)

    def _air(self, sample: Sample, stops: list[Stop], days: list[date], arrival: int) -> tuple[list[float], list[float]]:
        """Give the air around the parcel and outdoors along the stops of a draw that arrives on the `arrival`-th day."""
        origin, target = sample.origin_days(len(days)), sample.target_days(len(days), arrival)
        outdoor = (self._outdoor("from", days, origin), self._outdoor("to", days, target))
        sunshine = (self._sunshine("from", days, sample.cover), self._sunshine("to", days, sample.cover))
        sun_gain = SUN_LEAST + (SUN_MOST - SUN_LEAST) * sample.sunny
        openness = None if sample.airy < COOLED_SHARE else (sample.airy - COOLED_SHARE) / (1 - COOLED_SHARE)
        return air_around(stops, self.question.leave_hour, outdoor, sunshine, sun_gain, openness)


WEATHERS_KEPT = 2


class WeatherMemory:
    """The last few ways that were asked about, kept for a caller who changes their mind. For one thread; whoever asks holds it.

    What is kept never changes an answer, it only spares the time of making the same numbers again.
    """

    def __init__(self) -> None:
        self._kept: list[tuple[tuple[Any, ...], Weather]] = []
        self._samples: tuple[int, Samples] | None = None

    def weather_for(self, question: Question) -> Weather:
        """Give the weather of a question."""
        key = (
            dict(question.origin), dict(question.target), question.today, question.leave_hour,
            json.dumps(question.forecast), question.draws, question.seed,
        )  # fmt: skip
        for known, weather in self._kept:
            if known == key:
                return weather
        weather = Weather(question, self._samples_of(question.seed))
        self._kept.insert(0, (key, weather))
        del self._kept[WEATHERS_KEPT:]
        return weather

    def _samples_of(self, seed: int) -> Samples:
        if self._samples is None or self._samples[0] != seed:
            self._samples = seed, Samples(seed, DAYS_ON_END)
        return self._samples[1]
