"""One day and one dressing by the hour: where the parcel is, the air around it, how warm the goods get."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from honeyhold.heat import words
from honeyhold.heat.advice import hottest, said, sentence, unknown_answer
from honeyhold.heat.chance import words_of
from honeyhold.heat.holidays import post_day_after
from honeyhold.heat.journey import Course, Dressed, judge
from honeyhold.heat.network import halving_error_k
from honeyhold.heat.request import Question, check
from honeyhold.heat.weather import WeatherMemory

LOW_SHARE, HIGH_SHARE = 0.1, 0.9
NIGHT_FROM, NIGHT_TO = 20, 6  # shaded in the picture


def trip(request: Any, memory: WeatherMemory | None = None) -> dict[str, Any]:
    """Answer a request for one day and one dressing as the README says.

    Raises BadRequest when it cannot be read.
    """
    question = check(request)
    if not question.known:
        return {"known": False, "unit": question.unit, "words": unknown_answer(question)["unknown"][0]}
    weather = (memory or WeatherMemory()).weather_for(question)
    dressed = Dressed(question, question.asked_dressing)
    on = post_day_after(question.asked_day, 0)
    courses = dressed.courses_on(weather, on)
    if question.hold:
        courses = dressed.courses(weather.trips(on, dressed.box, question.hold, len(courses)))
    judged = judge(courses, dressed.limits, question.accept_permille, held=question.hold)
    when = hottest(question, courses, dressed, judged, on)
    shown = _typical(courses)
    held = ", held" if question.hold else ""
    node = dressed.packed.wax if dressed.packed.wax is not None else dressed.packed.honey
    assert node is not None  # contents are never empty
    error_k = halving_error_k(dressed.packed.network, dressed.packed.start_c(question.house_c), shown.trip.around_c, node)
    return {
        "known": True,
        "unit": question.unit,
        "leave_on": on.isoformat(),
        "dressing": question.asked_dressing,
        "hold": question.hold,
        "verdict": judged.word,
        "verdict_words": said(question, judged),
        "harmless": judged.harmless,
        "chance_permille": judged.permille,
        "chance_words": words_of(judged.permille),
        "words": sentence(question, judged, when),
        "when": when,
        **_series(question, dressed, courses, shown),
        "start": f"{on.isoformat()}T{question.leave_hour:02d}:00",
        "title": f"To {question.target['zip']}, leaving {words.weekday(on)}, {words.packing(question.asked_dressing)}" + held,
        "error_k": round(error_k, 3),
    }


def _series(question: Question, dressed: Dressed, courses: Sequence[Course], shown: Course) -> dict[str, Any]:
    """Give what goes by the hour, with the stays, the nights and the limits, in the house's unit."""
    unit, honey = question.unit, dressed.limits.honey
    wax = dressed.limits.wax[0].at_c
    return {
        "hours": len(shown.trip.around_c) - 1,
        "air": _rounded(shown.trip.outdoor_c, unit),
        "around": _rounded(shown.trip.around_c, unit),
        "wax": _spread([course.wax_c for course in courses], shown.wax_c, unit),
        "honey": _spread([course.honey_c for course in courses], shown.honey_c, unit),
        "stops": [
            {
                "name": stop.name,
                "words": stop.around.words,
                "from_hour": stop.from_hour,
                "to_hour": stop.to_hour,
            }
            for stop in shown.trip.stops
        ],
        "nights": nights(question, len(shown.trip.around_c) - 1),
        "softens": round(words.degrees(wax, unit), 1) if shown.wax_c else None,
        "loosens": round(words.degrees(honey[0].at_c, unit), 1) if honey else None,
    }


def _typical(courses: Sequence[Course]) -> Course:
    """Give the draw whose way takes the usual time and whose peak lies in the middle of those."""
    lengths = sorted(len(course.trip.around_c) for course in courses)
    usual = lengths[len(lengths) // 2]
    alike = [course for course in courses if len(course.trip.around_c) == usual]
    alike.sort(key=lambda course: round(max(course.wax_c or course.honey_c), 6))
    return alike[len(alike) // 2]


def _rounded(hourly_c: Sequence[float], unit: str) -> list[float]:
    return [round(words.degrees(t, unit), 1) for t in hourly_c]


def _spread(every: Sequence[Sequence[float]], shown: Sequence[float], unit: str) -> dict[str, list[float]] | None:
    """Give low, median and high of all draws by hour, as long as the draw that is shown; a draw that ended
    early stays at its end.
    """
    if not shown:
        return None
    spread: dict[str, list[float]] = {"low": [], "median": [], "high": []}
    last = len(every) - 1
    for hour in range(len(shown)):
        column = sorted(hourly[min(hour, len(hourly) - 1)] for hourly in every)
        spread["low"].append(column[round(LOW_SHARE * last)])
        spread["median"].append(column[last // 2])
        spread["high"].append(column[round(HIGH_SHARE * last)])
    return {name: _rounded(values, unit) for name, values in spread.items()}


def nights(question: Question, hours: int) -> list[list[int]]:
    """Give the nights as spans of hours from leaving."""
    spans = []
    first = NIGHT_FROM - 24 - question.leave_hour  # who leaves before dawn leaves in the night that began the evening before
    while first < hours:
        spans.append([max(0, first), min(hours, first + 24 - NIGHT_FROM + NIGHT_TO)])
        first += 24
    return [span for span in spans if span[1] > span[0]]
