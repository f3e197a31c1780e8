"""Honey's water, weight and color: a refractometer's reading corrected, the mass of a gallon, the color in
words.
"""

from __future__ import annotations

from math import log10
from typing import Any

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, number

GALLON_ML = 3785.411784  # US gallon, 231 cubic inches exactly
WATER_20_G_PER_ML = 0.998203  # water at 20 °C
INDEX_PER_DEGREE = 0.00023  # of the refractive index of honey, per degree Celsius

# Specific gravity 20/20 °C by water percent (from memory of the usual table after Wedmore and White; it gives
# 11.6 to 12.0 lb a gallon, as the trade's range has it). In between: straight lines.
_GRAVITY = {
    13: 1.4457,
    14: 1.4404,
    15: 1.4350,
    16: 1.4295,
    17: 1.4237,
    18: 1.4171,
    19: 1.4101,
    20: 1.4027,
    21: 1.3950,
}

# Upper bounds in millimetres of the Pfund scale: United States Standards for Grades of Extracted Honey (USDA
# 1985), table 1. Color is no factor of the grade.


def water_percent(index_20: float) -> float:
    """Water in percent from the refractive index at 20 °C: (-0.2681 - log10(n - 1)) / 0.002243 (Wedmore
    1955).
    """
    return (-0.2681 - log10(index_20 - 1)) / 0.002243


def index_from_water(percent: float) -> float:
    """The refractive index at 20 °C of honey with so much water: `water_percent` turned round."""
    return float(1 + 10 ** (-0.2681 - 0.002243 * percent))


def honey_density_g_per_ml(percent: float) -> float:
    """Density at 20 °C of honey with so much water, 13 to 21 percent. Raises UnreadableField outside."""
    if isinstance(percent, bool) or not isinstance(percent, int | float) or not 13 <= percent <= 21:
        raise UnreadableField("water percent", percent, "a number from 13 to 21")
    low = min(20, int(percent))
    gravity = _GRAVITY[low] + (_GRAVITY[low + 1] - _GRAVITY[low]) * (percent - low)
    return gravity * WATER_20_G_PER_ML


def honey_moisture(request: Request) -> dict[str, Any]:
    """Water in honey from a refractometer, corrected for the warmth it was read at.

    `{"index" or "reading_percent", "temperature_c", "corrects_itself": bool}` -> `{"water_percent",
    "corrected": bool, "grade_a": bool, "grade_c": bool, "words"}`. The index at 20 °C is n + 0.00023 (T -
    20). An instrument that corrects itself is not corrected again, so the question must be answered. Grades:
    at most 18.6 % water for A and B, 20.0 % for C. Raises UnreadableField.
    """
    itself = request.get("corrects_itself")
    if not isinstance(itself, bool):
        raise UnreadableField(
            "corrects_itself", itself, "true or false: does the instrument correct for warmth?"
        )
    temperature = number(request, "temperature_c", least=5, most=45)
    if request.get("index") is not None:
        index = number(request, "index", least=1.46, most=1.52)
    else:
        index = index_from_water(number(request, "reading_percent", least=10, most=35))
    if not itself:
        index += INDEX_PER_DEGREE * (temperature - 20)
    percent = round(water_percent(index), 2)
    said = float(f"{percent:.1f}")  # judged as it is said, to the grades' own tenth: no 18.6 % is too wet for 18.6 %
    if said <= 18.6:
        words = f"{said:.1f} % water: fit to bottle."
    elif said <= 20.0:
        words = f"{said:.1f} % water: too wet for grade A or B (18.6 %); hold it, it may ferment."
    else:
        words = f"{said:.1f} % water: do not bottle it, it will ferment. Dry it first, or feed it back to your own bees before it does."
    return {
        "water_percent": percent,
        "corrected": not itself,
        "grade_a": said <= 18.6,
        "grade_c": said <= 20.0,
        "words": words + " Read it liquid: crystals give a wrong figure.",
    }
