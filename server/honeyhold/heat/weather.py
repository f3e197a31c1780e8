"""The draws of one day of leaving: for each, what may befall a parcel, as hourly air around it.

Chance is stratified (every draw takes another part of each law), and the same numbers serve every day and
dressing, so that two cells of the table differ by what they stand for and never by luck.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from itertools import zip_longest
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat.air import Day, blended_day, day_chain, hours_of
from honeyhold.heat.chance import Numbers, normal_quantile
from honeyhold.heat.holidays import post_day_after
from honeyhold.heat.places import transit_days
from honeyhold.heat.request import Question, day_of, number
from honeyhold.heat.stops import Luck, Stop, air_around, luck_of, stops_of
from honeyhold.heat.sun import clear_day, cloud_factor, summer_hour
from honeyhold.heat.words import MONTHS

DAYS_ON_END = 22  # the longest way: 8 postal days across Sundays and holidays, and the night after
FORECAST_OLD_DAYS = 2
MORE_NEAR = 5  # so many times the draws where a verdict lies near what the house accepts
NO_AIR_C = -100.0  # stands for the hours of a draw that has ended
# How much of the tabled gain a box or van shows: some stand in shade for half the day. Set so that the share
# of parcels above 40 C in summer over the country is about the quarter that a mail-order survey found (USP
# 1997).
SUN_LEAST, SUN_MOST = 0.0, 1.0
AIRY_LEAST, AIRY_MOST = 0.4, 1.6  # how much the sheds and trailers of one way differ from the middle, our own estimate


@dataclass(frozen=True)
class Draws:
    """The numbers behind all draws: normal day chains at both ends, and even numbers for luck, clouds and the
    sunniness of boxes.
    """

    at_origin: list[list[float]]
    at_target: list[list[float]]
    even: list[tuple[float, ...]]


# Steps of a Kronecker sequence in six dimensions, 1 / g, 1 / g**2, ...: g the root of g**7 = g + 1 (Roberts 2018, from Niederreiter's
# quasi-random sequences). Any first part of it fills the unit cube evenly, so that more draws go on where fewer ended.
ROOT = 1.0 / 0.8986537126286992
STEPS = tuple(1.0 / ROOT**power for power in range(1, 7))
BLOCK = 40  # minor numbers are stratified within so many draws on end


@lru_cache(maxsize=8)
def make_draws(seed: int, count: int, anchor: int = 4) -> Draws:
    """Make the numbers for `count` draws from a seed; kept, since every question asks for the same ones.

    What decides most moves together through a quasi-random sequence that the seed shifts: the heat of the day of arrival (`anchor`
    days on), days on the way, hours, sunniness and sheds. Days before and after it hang on it; those and the clouds are stratified.
    """
    numbers = Numbers(seed)
    shifts = [(numbers.whole() >> 11) / 2**53 for _ in STEPS]
    points = [[(shift + step * index) % 1.0 for shift, step in zip(shifts, STEPS, strict=True)] for index in range(count)]

    def minor() -> list[float]:
        shares: list[float] = []
        while len(shares) < count:
            shares += numbers.strata(BLOCK)
        return shares[:count]

    def chains(anchors: list[float] | None) -> list[list[float]]:
        columns = [[_quantile(share) for share in minor()] for _ in range(DAYS_ON_END)]
        if anchors is not None:
            columns[anchor] = [_quantile(share) for share in anchors]
        return day_chain(list(zip(*columns, strict=True)), anchor)

    target = chains([point[0] for point in points])
    origin = chains(None)
    cover = minor()
    even: list[tuple[float, ...]] = [(point[1], point[2], point[3], cover[index], point[4], point[5]) for index, point in enumerate(points)]
    return Draws(origin, target, even)


@lru_cache(maxsize=4096)
def _quantile(share: float) -> float:
    return normal_quantile(min(max(share, 1e-6), 1 - 1e-6))


@dataclass(frozen=True)
class Trip:
    """One draw of one day of leaving: stops, air around at hour marks, air outdoors, and the hour of reaching
    the last depot's door.
    """

    stops: list[Stop]
    around_c: list[float]
    outdoor_c: list[float]
    hold_hour: int


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

    def __init__(self, question: Question) -> None:
        self.question = question
        self.outlook = read_outlook(question)
        self.ends = {"from": question.origin, "to": question.target}
        self.transit = transit_days(question.origin["place"], question.target["place"])
        self.count = question.draws
        self.draws = make_draws(question.seed, MORE_NEAR * question.draws, min(self.transit[1], DAYS_ON_END - 1))
        chains = self.draws.at_target[: self.count]
        # By what happens at the destination in the days in which a parcel arrives.
        self.hottest_first = sorted(range(len(chains)), key=lambda index: (-round(sum(chains[index][2:7]), 6), index))
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
        return hours_of(expected, z[: len(days)], summer_hour(self.ends[end]["place"]["tz"], days[0]))

    def trips(self, leave_on: date, box: str, hold: bool = False, count: int | None = None) -> list[Trip]:
        """Give the draws of a day of leaving, which must be a day with post, to the place where the parcel ends (`box`).

        As many as the question asks for, or `count` of them, at most MORE_NEAR times as many.
        """
        return [self.trip(leave_on, index, box, hold) for index in range(self.count if count is None else count)]

    def half(self, leave_on: date, box: str, hold: bool = False) -> list[Trip]:
        """Give every second draw, from the hottest to the coolest: enough to name a verdict."""
        return [self.trip(leave_on, index, box, hold) for index in self.hottest_first[::2]]

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
        on_way, hour, home, cover, sunny, airy = self.draws.even[index]
        luck = luck_of((on_way, hour, home), self.transit)
        sky = (cover, SUN_LEAST + (SUN_MOST - SUN_LEAST) * sunny, AIRY_LEAST + (AIRY_MOST - AIRY_LEAST) * airy)
        return self._trip_with(leave_on, luck, index, (box, hold), sky)

    def _trip_with(self, leave_on: date, luck: Luck, index: int, to: tuple[str, bool], sky: tuple[float, float, float]) -> Trip:
        """Give the trip of one draw under a luck; `sky` is cloud cover 0..1, how sunny the boxes stand and how
        airy the sheds are (1: as tabled).
        """
        cover, sun_gain, airy = sky
        question = self.question
        stops = stops_of(leave_on, question.leave_hour, luck, *to)
        marks = stops[-1].to_hour
        days = [leave_on + timedelta(days=step) for step in range((question.leave_hour + marks) // 24 + 2)]
        z_origin, z_target = self.draws.at_origin[index], self.draws.at_target[index]
        outdoor = (self._outdoor("from", days, z_origin), self._outdoor("to", days, z_target))
        sunshine = (self._sunshine("from", days, cover), self._sunshine("to", days, cover))
        around, outside = air_around(stops, question.leave_hour, outdoor, sunshine, sun_gain, airy)
        arrival = (post_day_after(leave_on, luck.post_days) - leave_on).days
        hold_hour = 24 * arrival - question.leave_hour + 8
        return Trip(stops, around, outside, hold_hour)


WEATHERS_KEPT = 2
_weathers: list[tuple[tuple[Any, ...], Weather]] = []


def weather_for(question: Question) -> Weather:
    """Give the weather of a question: the last few ways asked about are kept, for a caller who changes their mind.

    What is kept never changes an answer, it only spares the time of making the same numbers again.
    """
    key = (
        dict(question.origin), dict(question.target), question.today, question.leave_hour,
        json.dumps(question.forecast), question.draws, question.seed,
    )  # fmt: skip
    for known, weather in _weathers:
        if known == key:
            return weather
    weather = Weather(question)
    _weathers.insert(0, (key, weather))
    del _weathers[WEATHERS_KEPT:]
    return weather
