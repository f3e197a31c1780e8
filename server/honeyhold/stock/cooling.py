"""How long a mould set cools, learnt from this house's own pours, with and without the fan."""

from __future__ import annotations

from statistics import median
from typing import Any

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, rows, whole

USUAL_S = {False: 45 * 60, True: 25 * 60}  # one-ounce bars at room warmth (common practice, no source)
USUAL_COUNTS = 2  # make-believe pours of the usual length, outvoted by the third real one
RECENT = 15
LEAST_S, MOST_S = 5 * 60, 4 * 3600  # outside that the timer was forgotten or pressed twice


def cooling_time(request: Request) -> dict[str, Any]:
    """When the moulds poured now can be knocked out.

    `{"pours": [{"cool_s", "fan": bool}] (oldest first), "fan": bool}` -> `{"cool_s", "low_s", "high_s", "from_pours",
    "words"}`. The middle one of the last fifteen pours of this sort and two of the usual length, so one forgotten timer
    changes nothing; a house that has only the other sort is scaled by the usual ratio. Whole minutes. Raises UnreadableField.
    """
    fan = request.get("fan")
    if not isinstance(fan, bool):
        raise UnreadableField("fan", fan, "true or false: is the fan on?")
    seen: dict[bool, list[int]] = {True: [], False: []}
    for row in rows(request, "pours"):
        seconds = whole(row, "cool_s", most=10**7)
        if LEAST_S <= seconds <= MOST_S:
            seen[bool(row.get("fan"))].append(seconds)
    own, other = seen[fan][-RECENT:], seen[not fan][-RECENT:]
    usual = float(USUAL_S[fan])
    if other:
        usual *= median([*other, *[USUAL_S[not fan]] * USUAL_COUNTS]) / USUAL_S[not fan]
    times = sorted([*own, *[usual] * USUAL_COUNTS])
    cool = _minutes(median(times))
    return {
        "cool_s": cool,
        "low_s": _minutes(times[len(times) // 4]),
        "high_s": _minutes(times[(3 * len(times)) // 4]),
        "from_pours": len(own),
        "words": f"about {cool // 60} min {'with' if fan else 'without'} the fan"
        + (f", from your last {len(own)}" if len(own) > 1 else ", from your last pour" if own else ", until your own pours say better"),
    }


def _minutes(seconds: float) -> int:
    return round(seconds / 60) * 60
