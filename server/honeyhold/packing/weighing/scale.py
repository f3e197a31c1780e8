"""What the scale says about a packed parcel, and what weighings teach about a piece.

All spreads are standard deviations and add as squares. The two-sided limit of 2.807 spreads is crossed by chance once in 200
weighings (normal distribution). A scale that shows whole divisions d adds d^2 / 12 for each reading (rounding is uniform).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import sqrt
from statistics import median
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.instructions import several
from honeyhold.packing.model.measures import read_number, say_weight

Z_ONE_IN_200 = 2.807
Z_ONE_MISSING = 1.96  # a single missing piece is then noticed 97.5 times in 100
UNKNOWN_SD = 0.03  # of a piece's mass, when its spread was never measured; common practice, no source
MAX_SUSPECTS = 3
BLUNDER_WEIGHINGS_MIN = 3
Json = dict[str, Any]


@dataclass(frozen=True)
class _Good:
    """One kind in the parcel: how many, and what one weighs, in grams."""

    id: str
    label: str
    count: int
    mass: float
    sd: float
    guessed: bool


def _figure(row: Json, name: str, field: str, default: float | None = None) -> float:
    if row.get(name) is None and default is not None:
        return default
    return float(read_number(row.get(name), f"{field}.{name}"))


def _rows(value: object, field: str) -> list[Json]:
    if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
        raise BadRequest(f"{field} is {str(value)[:60]!r}, not a list of rows.", "Hand in the pieces the parcel was planned with.")
    return value


def _goods(request: Json, parcel: Json) -> list[_Good]:
    contents = parcel.get("contents")
    if not isinstance(contents, dict):
        raise BadRequest("The parcel does not say its contents.", "Hand in a parcel as packing.plan gave it.")
    goods = []
    for at, row in enumerate(_rows(request.get("pieces"), "pieces")):
        count = contents.get(row.get("id"), 0) if isinstance(row.get("id"), str) else None
        if type(count) is not int:
            told = f"pieces[{at}] has no id, or the parcel no whole number of it."
            raise BadRequest(told, "Hand in the pieces the parcel was planned with.")
        if count:
            field, label = f"pieces[{at}]", str(row.get("label") or row["id"])
            mass, sd = _figure(row, "mass_g", field, 0.0), _figure(row, "mass_sd_g", field, 0.0)
            goods.append(_Good(str(row["id"]), label, count, mass, sd or mass * UNKNOWN_SD, guessed=not sd))
    return goods


def spread_by_difference(goods: list[tuple[int, float]], division_g: float) -> float:
    """Spread of filled less dressed-empty on the same scale: sqrt(sum n s^2 + 2 d^2 / 12), grams.

    `goods` holds (how many, spread of one). Source: rounding of each of two readings is uniform over one division.
    """
    return sqrt(sum(count * sd**2 for count, sd in goods) + 2 * division_g**2 / 12)


def doubt_from_g(sigma_g: float, division_g: float) -> float:
    """How far off a reading must be before it is doubted: 2.807 spreads and half a division.

    The half division is needed because a shown weight stands for everything up to half a division away: without it the steps of the
    scale let false alarms rise above 1 in 200 (5.7 in 1,000 in simulation with 2 g divisions).
    """
    return Z_ONE_IN_200 * sigma_g + division_g / 2


def can_tell(mass_g: float, sigma_g: float, division_g: float = 0.0) -> bool:
    """Whether one piece short would be noticed 97.5 times in 100 while a right parcel is doubted at most once in 200.

    Its mass must be 2.807 + 1.96 spreads and half a division: for a one-ounce bar a spread of 5.95 g at most.
    """
    return mass_g > 0 and mass_g >= doubt_from_g(sigma_g, division_g) + Z_ONE_MISSING * sigma_g


def scale_tolerance_g(load_g: float, division_g: float) -> float:
    """How far an honest class III scale in use may be out at a load: 1, 2, 3 or 5 divisions to 500, 2,000, 4,000 or more of them.

    NIST Handbook 44, 2.20, maintenance tolerances, as read in two secondary texts.
    """
    loads = load_g / division_g if division_g else 0.0
    return division_g * (1 if loads <= 500 else 2 if loads <= 2000 else 3 if loads <= 4000 else 5)


def _expected(request: Json, parcel: Json, goods: list[_Good], division: float) -> tuple[float, float, float]:
    """What the scale should show, its spread, and the shown weight to hold against it."""
    shown = _figure(request, "scale_g", "weigh_check")
    if request.get("empty_g") is None:
        gross, spread = _figure(parcel, "gross_g", "parcel"), _figure(parcel, "gross_sd_g", "parcel")
        guessed = sum(good.count * good.sd**2 for good in goods if good.guessed)
        tolerance = scale_tolerance_g(shown, division)
        return gross, sqrt(spread**2 + guessed + division**2 / 12 + tolerance**2 / 3), shown
    sigma = spread_by_difference([(good.count, good.sd) for good in goods], division)
    return sum(good.count * good.mass for good in goods), sigma, shown - _figure(request, "empty_g", "weigh_check")


def _suspects(goods: list[_Good], off: float, doubt: float) -> list[tuple[_Good, int]]:
    """Miscounts of one kind that would bring the reading back within chance, the likeliest first."""
    found = []
    for good in goods:
        if not good.mass:
            continue
        count = round(off / good.mass)
        if count and count >= -good.count and abs(off - count * good.mass) <= doubt:
            found.append((abs(count) - 1, abs(off - count * good.mass), good, count))
    found.sort(key=lambda one: (one[0], one[1], one[2].id))
    return [(good, count) for _, _, good, count in found[:MAX_SUSPECTS]]


def _counted(good: _Good, count: int) -> str:
    way = "short" if count < 0 else "too many"
    return f"{'one' if abs(count) == 1 else abs(count)} {several(abs(count), good.label)} {way}"


def _said(verdict: str, off: float, suspects: list[tuple[_Good, int]], blind: list[_Good], unit: str, unweighed: bool) -> str:
    names = " or ".join(f"one {good.label}" for good in blind)
    if verdict == "as planned":
        return "As planned."
    if verdict == "cannot tell":
        more = ", and weigh the padded carton empty first next time" if unweighed else ""
        return f"Weighs as planned, but the scale cannot tell {names} here: count before closing{more}."
    weight = f"{abs(off):.0f} g" if abs(off) < 1000 or unit == "mm" else say_weight(Fraction(round(abs(off))), unit)
    start = f"{weight} {verdict}: "
    if not suspects:
        return start + "no miscount of one kind explains it. Look again at what is in it, the filler and the carton."
    return start + " or ".join(_counted(good, count) for good, count in suspects) + ". Count before closing."


def weigh_check(request: Json) -> Json:
    """`packing.weigh_check` (README.md). Off by chance alone it says so wrongly at most once in 200. Raises BadRequest."""
    if not isinstance(request, dict) or not isinstance(request.get("parcel"), dict):
        raise BadRequest("There is no parcel to hold the scale against.", "Hand in one of the parcels of packing.plan as `parcel`.")
    parcel, division = request["parcel"], _figure(request, "division_g", "weigh_check", 1.0)
    goods = _goods(request, parcel)
    expected, sigma, shown = _expected(request, parcel, goods, division)
    off = shown - expected
    told = {good.id: can_tell(good.mass, sigma, division) for good in goods}
    blind = [good for good in goods if not told[good.id]]
    doubt = doubt_from_g(sigma, division)
    sure = abs(off) > doubt + 1e-9
    verdict = ("light" if off < 0 else "heavy") if sure else ("cannot tell" if blind else "as planned")
    suspects = _suspects(goods, off, doubt) if sure else []
    unit = "mm" if request.get("unit") == "mm" else "in"
    return {
        "verdict": verdict,
        "said": _said(verdict, off, suspects, blind, unit, request.get("empty_g") is None),
        "off_g": round(off),
        "sigma_g": round(sigma, 2),
        "suspects": [{"piece": good.id, "count": count} for good, count in suspects],
        "can_tell": told,
    }


def learn_mass(request: Json) -> Json:
    """`packing.learn_mass`: narrow a piece's mass and spread by real weighings of `count` pieces together.

    Mean and variance are carried as if `weight` pieces had been weighed before (conjugate updating of a normal mean and variance:
    Gelman and others, Bayesian Data Analysis, 3rd edition, section 3.3); the scale's own rounding is taken off each weighing.
    """
    if not isinstance(request, dict):
        raise BadRequest("There is nothing to learn from.", "Hand in mass, spread and weighings.")
    mean, sd = _figure(request, "mass_g", "learn_mass"), _figure(request, "mass_sd_g", "learn_mass", 0.0)
    weight = _figure(request, "weight", "learn_mass", 4.0)
    squares, freedom = weight * sd**2, weight
    kept, left_out = _without_blunders(_weighings(request))
    for count, each, division in kept:
        between = count * weight / (weight + count) if weight else 0.0
        squares += max(0.0, between * ((each - mean) ** 2 - division**2 / 12 / count**2))
        mean = (weight * mean + count * each) / (weight + count)
        weight, freedom = weight + count, freedom + 1
    spread = sqrt(squares / freedom) if freedom else 0.0
    return {"mass_g": round(mean, 3), "mass_sd_g": round(spread, 3), "weight": round(weight, 3), "left_out": left_out}


def _weighings(request: Json) -> list[tuple[float, float, float]]:
    """(how many, grams of one, division of the scale) of each weighing."""
    found = []
    for at, row in enumerate(_rows(request.get("weighings"), "weighings")):
        field = f"weighings[{at}]"
        count = float(read_number(row.get("count"), f"{field}.count", 1))
        found.append((count, _figure(row, "net_g", field) / count, _figure(row, "division_g", field, 1.0)))
    return found


def _without_blunders(weighings: list[tuple[float, float, float]]) -> tuple[list[tuple[float, float, float]], int]:
    """What is left when weighings of another number of pieces than was said are taken out, and how many those were.

    A weighing is a blunder when it lies further from the median than five times the scaled median deviation (1.4826 times it is the
    spread of a normal distribution: Rousseeuw and Croux 1993) and than a tenth of the median; from three weighings on.
    """
    if len(weighings) < BLUNDER_WEIGHINGS_MIN:
        return weighings, 0
    middle = median(each for _, each, _ in weighings)
    deviation = median(abs(each - middle) for _, each, _ in weighings)
    most = max(5 * 1.4826 * deviation, middle / 10)
    kept = [weighing for weighing in weighings if abs(weighing[1] - middle) <= most]
    return kept, len(weighings) - len(kept)
