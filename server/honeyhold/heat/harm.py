"""What the temperatures do to wax and honey, in words.

Wax: firm, dented, slumped, run. Honey: steady, loose, weeping; darkened for the long dose. A chance is the
mean over draws of the normal law about each threshold: thresholds themselves are only known within a degree
or two, and that doubt belongs into the chance.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import exp, log
from typing import Any

from honeyhold.heat.chance import normal_share_below

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

# name: value, where it is from. A house may hand in its own values by the same names.
THRESHOLD_SOURCES: dict[str, tuple[float, str]] = {
    "wax_dent_c": (35.0, "JECFA specification of beeswax (INS 901): pliable at about 35 C"),
    "wax_dent_sd_k": (1.5, "trade pages say soft from 32-35, one from 35-40"),
    "wax_slump_c": (45.0, "common practice: sticks and slumps under a load"),
    "wax_slump_sd_k": (2.0, "common practice"),
    "wax_run_c": (61.0, "European Pharmacopoeia, drop point 61-66 C; USP white wax melts 62-65 C"),
    "wax_run_sd_k": (1.0, "USP and Ph. Eur. ranges"),
    "wax_load_free_pa": (500.0, "common practice: a stack of five bars dents no earlier than one bar"),
    "wax_load_step_k": (1.0, "common practice: each doubling of the load dents one degree earlier"),
    "wax_load_most_k": (2.0, "common practice"),
    "honey_loose_pa_s": (1.0, "common practice: thin enough to find a poor seal"),
    "honey_loose_kpa": (10.0, "common practice: pressure that lifts a lid turned loosely"),
    "honey_weep_pa_s": (0.6, "common practice: runs like oil"),
    "honey_weep_kpa": (25.0, "common practice: pressure that passes a lid turned well"),
    "honey_sd_k": (3.0, "viscosity differs twofold between honeys, about 6 K"),
    "honey_headspace_permille": (60.0, "common practice: air under the lid, of the jar's volume"),
    "honey_filled_c": (25.0, "common practice: bottled at the warm house"),
    "honey_plastic_share": (0.5, "common practice: a plastic wall gives way to half the pressure"),
    "honey_dark_mg_per_kg": (5.0, "an eighth of the 40 mg/kg limit of Directive 2001/110/EC, Annex II"),
}
THRESHOLDS: dict[str, float] = {name: value for name, (value, _) in THRESHOLD_SOURCES.items()}

GRAVITY = 9.81
HONEY_SWELLS_PER_K = 4.5e-4  # from memory
SEA_LEVEL_KPA = 101.325
MOISTURE_PERMILLE = 175


def wax_word(peak_c: float, thresholds: Mapping[str, float] = THRESHOLDS, load_pa: float = 0.0) -> str:
    """Give the word for a bar that reached `peak_c` at most, thresholds taken as sharp.

    Never milder for a hotter bar.
    """
    peak = round(peak_c, 2)  # a last bit must not decide
    if peak >= thresholds["wax_run_c"]:
        return "run"
    if peak >= thresholds["wax_slump_c"]:
        return "slumped"
    return "dented" if peak >= round(dent_c(thresholds, load_pa), 2) else "firm"


def dent_c(thresholds: Mapping[str, float], load_pa: float) -> float:
    """Give the temperature at which a bar under a load takes a dent: lower by a step for every doubling,
    within a limit.
    """
    over = load_pa / thresholds["wax_load_free_pa"]
    earlier = 0.0 if over <= 1 else min(thresholds["wax_load_most_k"], thresholds["wax_load_step_k"] * log(over) / log(2))
    return thresholds["wax_dent_c"] - earlier


def load_on_wax_pa(parcel: Mapping[str, Any]) -> float:
    """Estimate the pressure on the lowest bar: all that the parcel holds, stacked on the carton's floor (the
    unfavourable way).
    """
    length, width, height = sorted(parcel["outer_mm"], reverse=True)
    mass_kg = sum(piece["units"] * piece["mass_g"] for piece in parcel["contents"]) / 1000
    return float(GRAVITY * mass_kg / (length * width * 1e-6))


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
    thresholds: Mapping[str, float], moisture_permille: float, heights_m: Sequence[float], glass: bool
) -> tuple[float, float]:
    """Give the temperatures at which a jar gets loose and weeps: where the honey is thin enough and the lid
    pressed enough, in 0.1 K.
    """

    def first(thin_pa_s: float, pressed_kpa: float) -> float:
        for tenth in range(200, 1000):
            at = tenth / 10
            if (
                viscosity_pa_s(at, moisture_permille) <= thin_pa_s
                and lid_kpa(at, thresholds, heights_m[0], heights_m[1], glass) >= pressed_kpa
            ):
                return at
        return 100.0

    loose = first(thresholds["honey_loose_pa_s"], thresholds["honey_loose_kpa"])
    return loose, max(loose, first(thresholds["honey_weep_pa_s"], thresholds["honey_weep_kpa"]))


def hmf_mg_per_kg_hour(temperature_c: float) -> float:
    """Give the growth of HMF: ln k[mg/kg day] = 51.656 - 134765 / (R T), fitted to a published table of
    storage days, 30-70 C.
    """
    return float(exp(51.656 - 134765 / (8.314 * (temperature_c + 273.15))) / 24)


def diastase_half_life_days(temperature_c: float) -> float:
    """Give the half-life of diastase: ln k[1/day] = 52.846 - 147483 / (R T), through the table credited to
    White, Kushnir, Subers 1964.
    """
    return float(log(2) / exp(52.846 - 147483 / (8.314 * (temperature_c + 273.15))))


HMF_BY_DEGREE = tuple(hmf_mg_per_kg_hour(min(degree, 90)) for degree in range(131))


def hmf_dose_mg_per_kg(hourly_c: Sequence[float]) -> float:
    """Give the HMF grown along hourly temperatures, each taken at the next whole degree up."""
    return sum(HMF_BY_DEGREE[min(130, max(0, int(t) + 1))] for t in hourly_c)


def mean_chance(peaks_c: Sequence[float], limit_c: float, sd_k: float) -> float:
    """Give the chance 0..1 of passing a limit known within `sd_k`, over equally likely peaks."""
    return sum(normal_share_below((peak - limit_c) / sd_k) for peak in peaks_c) / len(peaks_c)


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
