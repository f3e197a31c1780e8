"""What the temperatures do to wax and honey, in words.

Wax: firm, dented, slumped, run. Honey: steady, loose, weeping; darkened for the long dose. (These are the stored names; `words.py`
says them.) A dent is warmth, hours and load together; slumping, running and what passes a lid are peaks. A chance is the mean over
draws of the normal law about each limit: limits themselves are only known within a few degrees, and that doubt belongs into the chance.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import exp, log2
from typing import Any

WAX_WORDS = ("firm", "dented", "slumped", "run")
HONEY_WORDS = ("steady", "loose", "weeping")
SEVERITY = {
    "firm": 0,
    "steady": 0,
    "dented": 1,
    "loose": 1,
    "darkened": 1,
    "slumped": 2,
    "weeping": 2,
    "run": 3,
}

# name: value, where it is from. A house may hand in its own values by the same names. No creep curve of beeswax between 35 and
# 50 C was found in print (needle penetration is measured at 25, 35, 45 C by ASTM D1321, but no table for beeswax is open), so
# that the warmth that marks a bar is a judgment between the bounds that are published.
THRESHOLD_SOURCES: dict[str, tuple[float, str]] = {
    "wax_mark_c": (
        43.0,
        "our judgment, between comb that bears far more at 33-36 C for weeks, thin wax that flows near 40 C (Pirk 2004) and comb "
        "that sags at 38-43 C under its honey (trade pages); 35 C in the JECFA specification is pliable by hand, which is no harm",
    ),
    "wax_mark_sd_k": (2.5, "our judgment: the bounds above lie 5 C apart"),
    "wax_mark_h": (2.0, "our judgment: an afternoon in a warm box"),
    "wax_hours_step_k": (1.5, "our judgment: a polymer-like creep twice as fast for each 1.5 C"),
    "wax_floor_c": (38.0, "ChemSusChem 2025, review of bio phase-change materials: melting begins at 38 C; cooler hours do not add up"),
    "wax_load_free_pa": (500.0, "our judgment: a stack of five bars marks no earlier than one bar"),
    "wax_load_step_k": (2.0, "our judgment: each doubling of the load above that marks 2 C earlier"),
    "wax_slump_c": (50.0, "our judgment: a fifth is melted there by the DSC range 38-68 C, and a stack sticks and sinks"),
    "wax_slump_sd_k": (2.5, "our judgment"),
    "wax_run_c": (61.0, "European Pharmacopoeia, drop point 61-66 C; USP white wax melts 62-65 C"),
    "wax_run_sd_k": (1.0, "USP and Ph. Eur. ranges"),
    "honey_lid_kpa": (40.0, "our judgment: pressure at which a lid turned by hand begins to let air out"),
    "honey_leak_kpa": (60.0, "our judgment: pressure at which honey follows the air past such a lid"),
    "honey_leak_pa_s": (1.0, "our judgment: thicker honey than this does not pass a lid within an afternoon"),
    "honey_sd_k": (5.0, "our judgment: a fifth more or less air under the lid moves it by as much"),
    "honey_headspace_permille": (60.0, "common practice: air under the lid, of the jar's volume"),
    "honey_filled_c": (25.0, "common practice: bottled at the warm house"),
    "honey_plastic_share": (0.5, "common practice: a plastic wall gives way to half the pressure"),
    "honey_set_melts_c": (45.0, "common practice: set honey clears between 40 and 50 C"),
    "honey_dark_mg_per_kg": (5.0, "an eighth of the 40 mg/kg limit of Directive 2001/110/EC, Annex II"),
    "mailbox_width_mm": (165.0, "our judgment: a common curbside box is 6 1/2 in wide; what cannot enter ends on the porch"),
    "mailbox_height_mm": (216.0, "our judgment: and 8 1/2 in high"),
    "mailbox_depth_mm": (480.0, "our judgment: and 19 in deep"),
}
THRESHOLDS: dict[str, float] = {name: value for name, (value, _) in THRESHOLD_SOURCES.items()}

GRAVITY = 9.81
HONEY_SWELLS_PER_K = 4.5e-4  # from memory
SEA_LEVEL_KPA = 101.325
MOISTURE_PERMILLE = 175
FLOOR_BAND_K = 2.0  # hours begin to count this far below the floor and count whole this far above it
NEVER_C = -100.0  # stands for the warmth of a way on which no hour counts


def marking_warmth_c(hourly_c: Sequence[float], thresholds: Mapping[str, float] = THRESHOLDS) -> float:
    """Give the steady warmth which, kept for `wax_mark_h` hours, marks as much as a whole way does.

    Every hour counts by 2 ** (temperature / step): one step warmer marks as much as twice the hours. Hours near the floor fade out.
    """
    step, floor = thresholds["wax_hours_step_k"], thresholds["wax_floor_c"]
    least = floor - FLOOR_BAND_K
    dose_h = 0.0
    for at in hourly_c:
        if at > least:
            dose_h += min(1.0, (at - least) / (2 * FLOOR_BAND_K)) * 2.0 ** ((at - floor) / step)
    return floor + step * log2(dose_h / thresholds["wax_mark_h"]) if dose_h > 1e-9 else NEVER_C


def mark_c(thresholds: Mapping[str, float], load_pa: float) -> float:
    """Give the warmth that marks a bar under a load: lower by a step for every doubling, never below the floor."""
    over = load_pa / thresholds["wax_load_free_pa"]
    earlier = 0.0 if over <= 1 else thresholds["wax_load_step_k"] * log2(over)
    return max(min(thresholds["wax_floor_c"], thresholds["wax_mark_c"]), thresholds["wax_mark_c"] - earlier)


def load_on_wax_pa(parcel: Mapping[str, Any]) -> float:
    """Give the pressure on the wax that bears most: as its plan has it (`wax_load_pa`), else all that the parcel holds, spread over
    the carton's floor.
    """
    if parcel.get("wax_load_pa") is not None:
        return float(parcel["wax_load_pa"])
    length, width, height = sorted(parcel["outer_mm"], reverse=True)
    mass_kg = sum(piece["units"] * piece["mass_g"] for piece in parcel["contents"]) / 1000
    return float(GRAVITY * mass_kg / (length * width * 1e-6))


def enters_mailbox(outer_mm: Sequence[float], thresholds: Mapping[str, float] = THRESHOLDS) -> bool:
    """Tell whether a carton goes into the mailbox that is reckoned with, turned as it fits."""
    low, middle, high = sorted(outer_mm)
    across = sorted((thresholds["mailbox_width_mm"], thresholds["mailbox_height_mm"]))
    return low <= across[0] and middle <= across[1] and high <= thresholds["mailbox_depth_mm"]


def viscosity_pa_s(temperature_c: float, moisture_permille: float = 160) -> float:
    """Give honey's viscosity: a fit to clover honey of 16 % water (14-70 C, within 12 %), times 0.65 for
    every per cent more water.

    Row: beekeeping club notes rounded from White 1975. The step for water is from memory. Honeys differ
    twofold.
    """
    return float(exp(-6.775 + 645.0 / (temperature_c + 45.59)) * 0.65 ** ((moisture_permille - 160) / 10))


def air_kpa(height_m: float) -> float:
    """Give the air's pressure at a height: standard atmosphere, 101.325 (1 - 2.25577e-5 h)^5.25588 kPa."""
    return float(SEA_LEVEL_KPA * (1 - 2.25577e-5 * height_m) ** 5.25588)


def lid_kpa(temperature_c: float, thresholds: Mapping[str, float], from_m: float, to_m: float, glass: bool) -> float:
    """Give the pressure under a lid over the air outside: the enclosed air warms (ideal gas) while the honey
    swells into its room.
    """
    filled = thresholds["honey_filled_c"]
    headspace = thresholds["honey_headspace_permille"] / 1000
    room = headspace - (1 - headspace) * HONEY_SWELLS_PER_K * (temperature_c - filled)
    pressed = air_kpa(from_m) * (temperature_c + 273.15) / (filled + 273.15) * headspace / max(room, headspace / 10)
    share = 1.0 if glass else thresholds["honey_plastic_share"]
    return (pressed - air_kpa(to_m)) * share


def honey_limits_c(
    thresholds: Mapping[str, float], moisture_permille: float, heights_m: Sequence[float], glass: bool, is_set: bool = False
) -> tuple[float, float]:
    """Give the temperatures at which a lid lets air out, and at which honey follows: pressed enough and thin enough, in 0.1 K.

    Thin honey under a lid that holds is no harm. Set (creamed) honey cannot follow before it has melted.
    """

    def first(pressed_kpa: float, thin_pa_s: float | None) -> float:
        for tenth in range(200, 1000):
            at = tenth / 10
            thin = thin_pa_s is None or viscosity_pa_s(at, moisture_permille) <= thin_pa_s
            if thin and lid_kpa(at, thresholds, heights_m[0], heights_m[1], glass) >= pressed_kpa:
                return at
        return 100.0

    least = thresholds["honey_set_melts_c"] if is_set else 0.0
    loose = max(least, first(thresholds["honey_lid_kpa"], None))
    return loose, max(loose, first(thresholds["honey_leak_kpa"], thresholds["honey_leak_pa_s"]))


def hmf_mg_per_kg_hour(temperature_c: float) -> float:
    """Give the growth of HMF: ln k[mg/kg day] = 51.656 - 134765 / (R T), fitted to a published table of
    storage days, 30-70 C.
    """
    return float(exp(51.656 - 134765 / (8.314 * (temperature_c + 273.15))) / 24)


HMF_BY_DEGREE = tuple(hmf_mg_per_kg_hour(min(degree, 90)) for degree in range(131))


def hmf_dose_mg_per_kg(hourly_c: Sequence[float]) -> float:
    """Give the HMF grown along hourly temperatures, each taken at the next whole degree up."""
    return sum(HMF_BY_DEGREE[min(130, max(0, int(t) + 1))] for t in hourly_c)


def word_for(chances_permille: Sequence[int], words: Sequence[str], accept_permille: int) -> str:
    """Choose the word: the best one if any harm is unlikely enough, else the worst that is at least an even
    chance, else the first harm.
    """
    if chances_permille[0] <= accept_permille:
        return words[0]
    for index in range(len(chances_permille) - 1, 0, -1):
        if chances_permille[index] >= 500:
            return words[index + 1]
    return words[1]
