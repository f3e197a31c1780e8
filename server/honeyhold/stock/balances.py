"""Wax at each stage and what can be poured of it this morning."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from honeyhold.stock.reading import Request, number, rows, table, whole
from honeyhold.stock.stages import STAGES, STEPS_TO_POUR
from honeyhold.stock.units import weight_words
from honeyhold.stock.words import count_words, joined
from honeyhold.stock.yields import BAR_MG, bars_from_wax

GRAMS_MAX = 10**9
LEARN_FROM_G = 1000  # below that a single cup of dross would pass for a habit of the house
WAX_OF_CAPPINGS = 0.33  # of drained cappings' weight, the rest honey (common practice, no source; weighed ones replace it)
KEPT = {"wax_melted": 0.97, "wax_back": 0.99, "wax_dipped": 0.99, "wax_coarse": 0.99, "wax_fine": 1.0}
"""What a stage passes on; together 5 % of dross, the middle of 3 to 8 (common practice, no source)."""
NEXT = {
    "cappings": "wax_melted", "wax_melted": "wax_dipped", "wax_back": "wax_dipped", "wax_dipped": "wax_coarse",
    "wax_coarse": "wax_fine",
}  # fmt: skip
HAND_MIN = 6.0  # pouring, knocking out and looking over one mould set (common practice, no source)


def kept_of(moved: Mapping[tuple[str, str], int], good: str) -> float:
    """The part of a stage's weight that reaches the next as wax: the house's own, once a kilogram has gone through."""
    went = -sum(moved.get((good, reason), 0) for reason in ("passed", "used", "lost", "fed"))
    if good == "cappings":
        wax = moved.get(("wax_melted", "came"), 0)
        return min(1.0, max(0.0, wax / went)) if went >= LEARN_FROM_G else WAX_OF_CAPPINGS
    if went < LEARN_FROM_G:
        return KEPT[good]
    return min(1.0, max(0.0, 1 + moved.get((good, "lost"), 0) / went))


def clean_part(moved: Mapping[tuple[str, str], int], good: str) -> float:
    """The part of a stage's weight that will be fit to pour."""
    part, at = 1.0, good
    while at in NEXT:
        part *= kept_of(moved, at)
        at = NEXT[at]
    return part


def _moved(request: Request) -> dict[tuple[str, str], int]:
    sums: dict[tuple[str, str], int] = {}
    for row in rows(request, "moved", optional=True):
        key = (str(row.get("good")), str(row.get("reason")))
        sums[key] = sums.get(key, 0) + whole(row, "units", least=-(10**12), most=10**12)
    return sums


def pours_in_a_morning(mould_sets: int, hours: float, cool_min: float, hand_min: float = HAND_MIN) -> int:
    """How many pours a morning holds: each set is poured, cools and is looked over, and two hands serve them all."""
    minutes = hours * 60
    rounds = int((minutes + 1e-9) // (cool_min + hand_min))
    return min(mould_sets * rounds, int((minutes + 1e-9) // hand_min))


def wax_here(request: Request) -> dict[str, Any]:
    """What can be poured now, and what after screening and melting.

    `{"stages": {good: grams}, "moved"?: [{"good", "reason", "year", "units"}] (the house's own losses), "wax_per_unit_mg"?:
    28850, "pour_units"?: 10, "mould_sets"?: 1, "morning_hours"?: 4, "cool_min"?: 45, "names"?: ["bar", "bars"]}` ->
    `{"units", "pours" (whole sets from what is fine screened), "wax_g", "morning_pours" (what sets and hours allow), "rows":
    [{"good", "grams", "clean_g", "units", "steps": [words]}], "clean_g", "units_in_all", "words", "then"}`. A clean weight
    is rounded down. Raises UnreadableField.
    """
    grams = {good: whole(table(request, "stages"), good, least=-GRAMS_MAX, most=GRAMS_MAX, default=0) for good in STEPS_TO_POUR}
    bar_mg = whole(request, "wax_per_unit_mg", least=1, default=BAR_MG)
    set_units = whole(request, "pour_units", least=1, most=1000, default=10)
    morning = pours_in_a_morning(
        whole(request, "mould_sets", least=1, most=100, default=1),
        number(request, "morning_hours", least=0.5, most=16, default=4),
        number(request, "cool_min", least=1, most=1440, default=45),
    )
    moved = _moved(request)
    parts = [_row(good, max(0, grams[good]), clean_part(moved, good), bar_mg) for good in STEPS_TO_POUR if grams[good] > 0]
    ready = max(0, grams["wax_fine"])
    units = bars_from_wax(ready, bar_mg)
    clean = sum(row["clean_g"] for row in parts)
    return {
        "wax_g": ready,
        "units": units,
        "pours": units // set_units,
        "morning_pours": morning,
        "rows": parts,
        "clean_g": clean,
        "units_in_all": bars_from_wax(clean, bar_mg),
        "words": _words(ready, units, set_units, morning),
        "then": _then(parts),
    }


def _row(good: str, grams: int, part: float, bar_mg: int) -> dict[str, Any]:
    clean = int(grams * part + 1e-9)
    return {"good": good, "grams": grams, "clean_g": clean, "units": bars_from_wax(clean, bar_mg), "steps": list(STEPS_TO_POUR[good])}


def _words(ready_g: int, units: int, set_units: int, morning: int) -> str:
    pours = units // set_units
    if not pours:
        return "Nothing to pour yet." if not ready_g else f"{weight_words(ready_g)} is fine screened: less than a mold set holds."
    now = min(pours, morning)
    words = f"{count_words(now, 'pour', 'pours')} this morning, {count_words(now * set_units, 'bar', 'bars')}"
    if now < pours:
        words += f"; wax for {pours} is ready, but your molds and hours hold {now}"
    return words + "."


def _then(parts: list[dict[str, Any]]) -> str:
    """What lies further back, in one sentence; empty when there is nothing."""
    names = {stage.good: stage.name for stage in STAGES}
    back = [
        f"about {row['units']} from {weight_words(row['grams'])} of {names[row['good']]}"
        for row in parts if row["steps"] and row["units"]
    ]  # fmt: skip
    return f"And {joined(back)}, once that is done." if back else ""
