"""The search: which day, which dressing, held or not, is the cheapest that keeps the chance of harm under
what the house accepts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from honeyhold.heat import harm, words
from honeyhold.heat.chance import words_of
from honeyhold.heat.holidays import no_post, post_day_after
from honeyhold.heat.journey import Course, Dressed, Judged, Verdict, judge
from honeyhold.heat.parcel import QUICK, SLOW
from honeyhold.heat.request import Question, check
from honeyhold.heat.stops import Stop
from honeyhold.heat.weather import Weather, WeatherMemory

SHOWN_AT = 0.8  # the draw whose hottest hours are told: hotter than 8 of 10
NEAR_PEAK_K = 4.0  # hours within this of the hottest air belong to the span that is told
LOOK_BACK_H = 8  # a parcel lags behind its air
WEEKS_AHEAD = 50
STRIDE_WEEKS = 4


@dataclass(frozen=True)
class Cell:
    """One way of sending: day, dressing, held or not, and its verdict."""

    leave_on: date
    dressing: str
    hold: bool
    judged: Judged
    cost_cents: int


def advise(request: Any, memory: WeatherMemory | None = None) -> dict[str, Any]:
    """Answer a request as the README says. Raises BadRequest when it cannot be read."""
    question = check(request)
    if not question.known:
        return unknown_answer(question)
    weather = (memory or WeatherMemory()).weather_for(question)
    dressed = {name: Dressed(question, name) for name in question.dressings}
    asked = asked_answer(question, weather, dressed[question.asked_dressing])
    table = {on: _cells(question, weather, dressed, on) for on in question.leave_days}
    found = choose(question, [cell for row in table.values() for cell in row])
    return {
        "known": True,
        "unit": question.unit,
        "asked": asked,
        "advice": found,
        "none_words": "" if found or not question.search else none_words(question, weather, dressed),
        "table": [_row(on, row) for on, row in table.items()],
        "transit_days": [weather.transit[0], weather.transit[2]],
        "basis": basis(weather),
        "unknown": unknowns(question, weather),
        "notes": notes(question, weather),
    }


def _cells(question: Question, weather: Weather, dressed: dict[str, Dressed], on: date) -> list[Cell]:
    """Judge every way of sending on a day; none on a day without post."""
    if no_post(on):
        return []
    cells = []
    fully = any(parcel.has(on) for parcel in dressed.values())  # one from all draws beside one from a quarter would differ by luck
    for name, parcel in dressed.items():
        cost = int(parcel.parcel["cost_cents"])
        delivered, held = parcel.judged(weather, on, fully)
        cells.append(Cell(on, name, False, delivered, cost))
        if question.hold_allowed:
            cells.append(Cell(on, name, True, held, cost))
    return cells


def _row(on: date, cells: Sequence[Cell]) -> dict[str, Any]:
    closed = no_post(on)
    return {
        "leave_on": on.isoformat(),
        "weekday": words.weekday(on),
        "closed": f"{closed}, no mail" if closed else "",
        "cells": [
            {
                "dressing": cell.dressing,
                "hold": cell.hold,
                "verdict": cell.judged.word,
                "verdict_words": words.verdict_short(cell.judged.word, cell.judged.permille, cell.judged.harmless),
                "harmless": cell.judged.harmless,
                "chance_permille": cell.judged.permille,
                "chance_words": words_of(cell.judged.permille),
                "cost_cents": cell.cost_cents,
            }
            for cell in cells
        ],
    }


def choose(question: Question, cells: Sequence[Cell]) -> dict[str, Any] | None:
    """Choose among the cells without harm: least cost, a day's waiting and a walk to the counter counted in
    cents; then the sooner day.
    """
    cheapest = min(int(parcel["cost_cents"]) for parcel in question.dressings.values())

    def burden(cell: Cell) -> tuple[int, int, bool, date]:
        away = abs((cell.leave_on - question.asked_day).days)
        cents = cell.cost_cents + away * question.wait_cents_per_day + cell.hold * question.hold_cents
        return cents, away, cell.hold, cell.leave_on

    safe = [cell for cell in cells if cell.judged.harmless and cell.leave_on >= question.today]
    if not safe:
        return None
    best = min(safe, key=burden)
    held = ", held at the post office counter" if best.hold else ""
    far = (best.leave_on - question.asked_day).days > 6
    day = (
        f"{words.weekday(best.leave_on)} {best.leave_on.day} {words.MONTHS[best.leave_on.month - 1]}"
        if far
        else words.weekday(best.leave_on)
    )
    return {
        "leave_on": best.leave_on.isoformat(),
        "weekday": words.weekday(best.leave_on),
        "dressing": best.dressing,
        "hold": best.hold,
        "chance_permille": best.judged.permille,
        "chance_words": words_of(best.judged.permille),
        "extra_cents": best.cost_cents - cheapest,
        "words": f"send it {day}, {words.packing(best.dressing)}{held}",
    }


def none_words(question: Question, weather: Weather, dressed: dict[str, Dressed]) -> str:
    """Say when it will be cool enough by the normals, in the cheapest dressing for which it ever is."""
    for name in sorted(dressed, key=lambda name: (question.dressings[name]["cost_cents"], name)):
        held = _first_cool(weather, dressed[name], 1, held=True) if question.hold_allowed else None
        # At the door it is never cool sooner than at the counter, so that the search goes on from there.
        door = _first_cool(weather, dressed[name], held or 1, held=False)
        if door:
            sooner = held is not None and door - held >= 2
            counter = f", or {words.about(_week(question, held))} held at the post office counter" if sooner and held else ""
            return f"wait for cooler weather: about {words.about(_week(question, door))}{counter}"
        if held:
            later = words.about(_week(question, held))
            return f"wait for cooler weather: about {later}, held at the post office counter"
    return "no week of the year is cool enough to mail this: offer pick-up"


def _week(question: Question, week: int) -> date:
    start = max(question.leave_days[-1], question.today)
    return post_day_after(start + timedelta(days=7 * week), 0)


def _first_cool(weather: Weather, dressed: Dressed, from_week: int, held: bool) -> int | None:
    """Give the first week, counted from the last day considered, in which a dressing is harmless.

    Four weeks at a stride, then back: the year warms and cools but once, so that nothing lies hidden in between.
    """
    refused, week = from_week - 1, from_week
    while not _is_cool(weather, dressed, week, held):
        if week >= WEEKS_AHEAD - 1:
            return None
        refused, week = week, min(week + STRIDE_WEEKS, WEEKS_AHEAD - 1)
    while week - refused > 1:
        middle = (refused + week) // 2
        refused, week = (refused, middle) if _is_cool(weather, dressed, middle, held) else (middle, week)
    return week


def _is_cool(weather: Weather, dressed: Dressed, week: int, held: bool) -> bool:
    return not dressed.soon_refused(weather, _week(dressed.question, week), held)


def asked_answer(question: Question, weather: Weather, dressed: Dressed) -> dict[str, Any]:
    """Answer for the day and dressing asked; a day without post counts as the next one with post."""
    on = post_day_after(question.asked_day, 0)
    hold = question.hold
    courses = dressed.courses_on(weather, on)
    if hold:
        courses = dressed.courses(weather.trips(on, dressed.box, hold, len(courses)))
    judged = judge(courses, dressed.limits, question.accept_permille, held=hold)
    range_of = []
    for properties in (SLOW, QUICK):
        other = Dressed(question, question.asked_dressing, properties)
        range_of.append(judge(other.courses(weather.half(on, other.box, hold)), other.limits, question.accept_permille, held=hold))
    when = hottest(question, courses, dressed, judged, on)
    late = "" if on == question.asked_day else f" No mail on {words.weekday(question.asked_day)}; it leaves {words.weekday(on)}."
    return {
        "leave_on": question.asked_day.isoformat(),
        "dressing": question.asked_dressing,
        "hold": hold,
        "wax": _good(judged.wax, range_of[0].wax, range_of[1].wax),
        "honey": _good(judged.honey, range_of[0].honey, range_of[1].honey, honey=True),
        "verdict": judged.word,
        "verdict_words": said(question, judged),
        "harmless": judged.harmless,
        "chance_permille": judged.permille,
        "chance_words": words_of(judged.permille),
        "when": when,
        "words": sentence(question, judged, when) + late,
    }


def said(question: Question, judged: Judged) -> str:
    """Say the verdict on the parcel asked about: "fine", "the bars may get dents"."""
    return words.verdict_said(judged.word, judged.permille, judged.harmless, question.wax_noun)


def sentence(question: Question, judged: Judged, when: dict[str, Any]) -> str:
    """Say a verdict in one plain sentence."""
    odds = words_of(judged.permille)
    if judged.harmless:
        return f"Fine: {odds} of harm. Warmest {when['words']}."
    return f"{words.capital(said(question, judged))}, {odds}: {when['words']}."


def _good(usual: Verdict | None, low: Verdict | None, high: Verdict | None, honey: bool = False) -> dict[str, Any] | None:
    if usual is None or low is None or high is None:
        return None
    harmless = harm.SEVERITY[usual.word] == 0
    told = {
        "verdict": usual.word,
        "chance_permille": usual.permille,
        "chance_words": usual.chance_words,
        "verdict_low": low.word,
        "verdict_high": high.word,
        "words": f"{words.verdict_short(usual.word, usual.permille, harmless)}, {usual.chance_words}{' of harm' if harmless else ''}",
    }
    return {**told, "darkened": usual.darkened} if honey else told


def hottest(question: Question, courses: Sequence[Course], dressed: Dressed, judged: Judged, on: date) -> dict[str, Any]:
    """Tell the hours that matter most: in the draw hotter than 8 of 10, the hot air before the good reached
    its peak.
    """
    honey_first = judged.wax is None or (judged.honey is not None and judged.honey.permille > judged.wax.permille)
    series = [course.honey_c if honey_first else course.wax_c for course in courses]
    order = sorted(range(len(courses)), key=lambda index: (round(max(series[index]), 6), index))
    chosen = order[int(SHOWN_AT * (len(order) - 1))]
    hourly, trip = series[chosen], courses[chosen].trip
    rounded = [round(t, 3) for t in hourly]  # a last bit must not choose the hour
    peak = rounded.index(max(rounded))
    air = [round(t, 3) for t in trip.around_c]
    back = range(max(0, peak - LOOK_BACK_H), peak + 1)
    hot = max(back, key=lambda hour: (air[hour], -hour))
    stop = next(stop for stop in trip.stops if stop.from_hour <= hot < stop.to_hour or stop is trip.stops[-1])
    first, last = _span(air, hot, stop)
    clock = question.leave_hour + first
    day = on + timedelta(days=clock // 24)
    from_hour, to_hour = clock % 24, clock % 24 + last - first
    spot = stop.around.words
    told = words.degrees_words(air[hot], question.unit)
    return {
        "day": day.isoformat(),
        "weekday": words.weekday(day),
        "hour_from": from_hour,
        "hour_to": to_hour % 24,
        "stop": stop.name,
        f"air_{question.unit.lower()}": round(words.degrees(air[hot], question.unit)),
        "words": f"{words.weekday(day)} {words.hours_words(from_hour, to_hour)} {spot}, {told}",
    }


def _span(air_c: Sequence[float], hot: int, stop: Stop) -> tuple[int, int]:
    """Give the hours of a stop about its hottest mark in which the air stays near that peak."""
    first = last = hot
    while first > stop.from_hour and air_c[first - 1] >= air_c[hot] - NEAR_PEAK_K:
        first -= 1
    while last + 1 <= stop.to_hour and last - first < 12 and air_c[min(last + 1, len(air_c) - 1)] >= air_c[hot] - NEAR_PEAK_K:
        last += 1
    return first, max(last, first + 1)


def basis(weather: Weather) -> str:
    """Say what the weather rests on."""
    outlook = weather.outlook
    if outlook.issued is None or not any(outlook.days.values()):
        return "monthly normals"
    return f"forecast of {outlook.words}, then monthly normals"


def unknowns(question: Question, weather: Weather) -> list[str]:
    """Say in sentences where the model has no ground."""
    told = ["How hot sheds, vans and mailboxes get is fitted to a few surveys and press reports, not measured on this way."]
    kinds = {piece["kind"] for parcel in question.dressings.values() for piece in parcel["contents"]}
    if "wax" in kinds:
        told.append("How much warmth, time and load dent a bar is our own judgment; nobody has measured it.")
    if "honey" in kinds:
        told.append("What a lid holds is common practice, not measured; thin air in a plane is not counted.")
    states = {end["place"]["state"] for end in (question.origin, question.target)}
    if states & {"AK", "HI", "PR", "VI", "GU"}:
        told.append("The spread of warm days there, and the way by ship or plane, are only roughly known.")
    if weather.outlook.aside:
        told.append(weather.outlook.aside)
    return told


def notes(question: Question, weather: Weather) -> list[str]:
    """Give the cautions that go with the parcels."""
    told = []
    cold_f = words.degrees_words(5, question.unit)
    if any(parcel["chill"] for parcel in question.dressings.values()):
        told.append("A cold pack sweats: seal it in a bag that holds a leak, and keep bars and labels dry in another.")
    on = post_day_after(question.asked_day, weather.transit[1])
    kinds = {piece["kind"] for piece in question.dressings[question.asked_dressing]["contents"]}
    if "wax" in kinds and weather.day("to", on).max_c < 5:
        told.append(f"It stays below {cold_f} there: bars may be brittle, and show bloom until gently warmed.")
    return told


def unknown_answer(question: Question) -> dict[str, Any]:
    """Answer when an end has no place or climate: say so, guess nothing."""
    lost = [
        str(end.get("zip", "")) for end in (question.origin, question.target) if not (end.get("place") and end.get("climate"))
    ]
    why = f"No climate is known for ZIP {' and '.join(lost)}: look at the forecast there and decide yourself."
    return {
        "known": False,
        "unit": question.unit,
        "asked": None,
        "advice": None,
        "none_words": "nothing is known about the heat on this way",
        "table": [],
        "transit_days": [],
        "basis": "none",
        "unknown": [why],
        "notes": [],
    }
