"""The heat model's parts put together with its limits taken as sharp: one word for a way, for checks by hand and by published figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import exp, log

from honeyhold.heat.harm import THRESHOLDS, mark_c, marking_warmth_c


def wax_word(hourly_c: Sequence[float], thresholds: Mapping[str, float] = THRESHOLDS, load_pa: float = 0.0) -> str:
    """Give the word for a bar by its temperature at every hour, limits taken as sharp. Never milder for a hotter, longer or heavier way."""
    peak = round(max(hourly_c), 2)  # a last bit must not decide
    if peak >= thresholds["wax_run_c"]:
        return "run"
    if peak >= thresholds["wax_slump_c"]:
        return "slumped"
    marked = round(marking_warmth_c(hourly_c, thresholds), 2) >= round(mark_c(thresholds, load_pa), 2)
    return "dented" if marked else "firm"


def diastase_half_life_days(temperature_c: float) -> float:
    """Give the half-life of diastase: ln k[1/day] = 52.846 - 147483 / (R T), through the table credited to
    White, Kushnir, Subers 1964.
    """
    return float(log(2) / exp(52.846 - 147483 / (8.314 * (temperature_c + 273.15))))
