"""Is the house's word worth anything? Chances given against what came, and the house's own offset once there is enough to learn from.

Each case is a parcel that went and was heard of: the chance of harm told when it was packed (permille), and whether harm came. The
offset shifts every chance on the logistic scale, p -> 1 / (1 + exp(-(logit p + shift))), with a normal prior of standard deviation
`PRIOR_SD` about no shift at all: a few parcels hardly move it, many do (maximum a posteriori by Newton's method; Gelman et al.,
Bayesian Data Analysis, logistic regression). It is used only when `ENOUGH_CASES` were heard of, `ENOUGH_EITHER` of them harmed and as
many unharmed: with fewer the doubt left over the shift is hardly less than before anything was heard (`tests/heat/test_calibration.py`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import comb, sqrt
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat.chance import logit_of, share_at

PRIOR_SD = 1.0
ENOUGH_CASES, ENOUGH_EITHER = 60, 8
BANDS = ((0, 20), (21, 100), (101, 300), (301, 600), (601, 1000))
"""Told chances, in permille, put together: at most 1 in 50, to 1 in 10, to 3 in 10, to 6 in 10, more."""
HARMED = frozenset({"dented", "slumped", "run", "leaked"})
SURE_SD = 2.0  # a shift nearer to nothing than this many standard deviations is taken as none
DOUBT_SHARE = 0.1  # the band drawn holds eight of ten


@dataclass(frozen=True)
class Case:
    """One parcel that was heard of."""

    told_permille: int
    harmed: bool


@dataclass(frozen=True)
class Fit:
    """The house's offset on the logistic scale, how well it is known, and whether there is enough to use it."""

    shift: float
    sd: float
    enough: bool


def cases_of(parcels: Sequence[dict[str, Any]], since: str = "") -> list[Case]:
    """The parcels from which something can be learnt: a chance was told and something was heard.

    A parcel that was lost on the way says nothing of heat; one packed before the day `since` was told by another offset.
    Raises BadRequest for a chance outside 0..1000.
    """
    cases = []
    if not isinstance(parcels, Sequence) or not all(isinstance(row, Mapping) for row in parcels):
        raise BadRequest("parcels is no list of rows.", "Give the parcels as they stand in the records.")
    for row in parcels:
        told, came = row.get("told_permille"), row.get("arrived")
        if told is None or not came or came == "lost" or str(row.get("packed_on") or "") < since:
            continue
        if not isinstance(came, str):
            raise BadRequest(f"arrived is {came!r:.60}.", "Say how it came, in a word of the records.")
        if not isinstance(told, int) or not 0 <= told <= 1000:
            raise BadRequest(f"told_permille is {told!r}.", "Give a whole number from 0 to 1000.")
        cases.append(Case(told, came in HARMED))
    return cases


def fit(cases: Sequence[Case]) -> Fit:
    """Find the shift that makes what came likeliest, the prior included, by Newton's method (the problem is concave)."""
    shift = 0.0
    curve = 1 / PRIOR_SD**2
    for _ in range(50):
        chances = [share_at(logit_of(case.told_permille) + shift) for case in cases]
        slope = sum(case.harmed - chance for case, chance in zip(cases, chances, strict=True)) - shift / PRIOR_SD**2
        curve = sum(chance * (1 - chance) for chance in chances) + 1 / PRIOR_SD**2
        step = max(-1.0, min(1.0, slope / curve))
        shift += step
        if abs(step) < 1e-10:
            break
    harmed = sum(case.harmed for case in cases)
    return Fit(shift, 1 / sqrt(curve), is_enough(len(cases), harmed))


def is_enough(heard: int, harmed: int) -> bool:
    """Whether a fit may be used: enough parcels, and enough of either sort."""
    return heard >= ENOUGH_CASES and min(harmed, heard - harmed) >= ENOUGH_EITHER


def likely_range(share: float, count: int) -> tuple[int, int]:
    """Of `count` parcels with a chance each, how many may be harmed by luck alone in eight of ten such sets (binomial)."""
    low, high, below = count, count, 0.0
    for harmed in range(count + 1):
        below += comb(count, harmed) * share**harmed * (1 - share) ** (count - harmed)
        if low == count and below > DOUBT_SHARE:
            low = harmed
        if below >= 1 - DOUBT_SHARE:
            high = harmed
            break
    return low, high


def calibration(request: dict[str, Any]) -> dict[str, Any]:
    """Answer how chances told compare with what came.

    Request: `{"parcels": [{"told_permille", "arrived", "packed_on"}], "since": day or ""}`. Answer: `bands` (told from and to, parcels,
    harmed, expected, luck from and to, words), `heard`, `harmed`, `enough`, `enough_words`, `fits`,
    `shift_permille` (what the fit would be, whole
    thousandths), `words`. Raises BadRequest.
    """
    cases = cases_of(request.get("parcels") or [], str(request.get("since") or ""))
    found = fit(cases)
    harmed = sum(case.harmed for case in cases)
    return {
        "heard": len(cases),
        "harmed": harmed,
        "bands": [band for low, high in BANDS if (band := _band(cases, low, high))],
        "enough": found.enough,
        "enough_words": _enough_words(len(cases), harmed),
        "shift_permille": round(1000 * found.shift),
        "doubt_permille": round(1000 * found.sd),
        "fits": abs(found.shift) < SURE_SD * found.sd,
        "words": _words(cases, found, str(request.get("since") or "")),
    }


def _band(cases: Sequence[Case], low: int, high: int) -> dict[str, Any] | None:
    inside = [case for case in cases if low <= case.told_permille <= high]
    if not inside:
        return None
    expected = sum(case.told_permille for case in inside) / 1000
    least, most = likely_range(expected / len(inside), len(inside))
    harmed = sum(case.harmed for case in inside)
    fits = "as told" if least <= harmed <= most else "more than told" if harmed > most else "less than told"
    return {
        "from_permille": low, "to_permille": high, "parcels": len(inside), "harmed": harmed, "expected": round(expected, 1),
        "luck_from": least, "luck_to": most, "words": fits,
    }  # fmt: skip


def _enough_words(heard: int, harmed: int) -> str:
    if is_enough(heard, harmed):
        return f"{heard} parcels heard of, {harmed} harmed: enough to learn from."
    needs = f"{ENOUGH_CASES} parcels, {ENOUGH_EITHER} of them harmed and {ENOUGH_EITHER} not"
    return f"{heard} heard of, {harmed} harmed. To learn from your own arrivals it needs {needs}."


def _words(cases: Sequence[Case], found: Fit, since: str) -> str:
    if not cases:
        heard = "yet of what was packed since the chances were changed" if since else "of yet"
        return f"Nothing was heard {heard}. Ask callers how the last parcel came."
    told = sum(case.told_permille for case in cases) / 1000
    came = sum(case.harmed for case in cases)
    said = f"Of {len(cases)} parcels about {told:.0f} were to be harmed; {came} were."
    if not found.enough:
        return said
    if abs(found.shift) < SURE_SD * found.sd:
        return f"{said} The chances told fit this house."
    return f"{said} The chances told are too {'low' if found.shift > 0 else 'high'} for this house."
