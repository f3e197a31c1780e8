"""The limits of heat as the keeper may change them: what each means, where it is from, and what the house has made of it."""

from __future__ import annotations

from typing import Any

from honeyhold.answers.trip import thresholds_of
from honeyhold.heat.harm import THRESHOLD_SOURCES

Json = dict[str, Any]

WORDS: dict[str, tuple[str, str]] = {
    "wax_dent_c": ("A bar takes a dent from", "°"),
    "wax_dent_sd_k": ("The dent is known", "°±"),
    "wax_slump_c": ("A bar sticks and slumps from", "°"),
    "wax_slump_sd_k": ("The slump is known", "°±"),
    "wax_run_c": ("A bar runs from", "°"),
    "wax_run_sd_k": ("The running is known", "°±"),
    "wax_load_free_pa": ("A load that dents no earlier, up to", "Pa"),
    "wax_load_step_k": ("Each doubling of the load dents earlier, by", "°±"),
    "wax_load_most_k": ("A load dents earlier at most, by", "°±"),
    "honey_loose_pa_s": ("Honey finds a poor seal when as thin as", "Pa s"),
    "honey_loose_kpa": ("and a poor seal gives way when pressed by", "kPa"),
    "honey_weep_pa_s": ("Honey weeps when as thin as", "Pa s"),
    "honey_weep_kpa": ("and a good seal gives way when pressed by", "kPa"),
    "honey_sd_k": ("What honey bears is known", "°±"),
    "honey_headspace_permille": ("Air under the lid, of the jar", "in 1000"),
    "honey_filled_c": ("Bottled at", "°"),
    "honey_plastic_share": ("A plastic wall holds this share of the pressure", ""),
    "honey_dark_mg_per_kg": ("Honey counts as darkened by HMF of", "mg/kg"),
}


def limits(request: Json) -> Json:
    """`{"limits": [{"name", "words", "unit", "tenths", "usual_tenths", "source"}]}`; request: `{"house": settings}`.

    Tenths of the figure, as the setting `thresholds` keeps them. A unit `°` is a temperature in °C, `°±` a difference in K.
    """
    own = thresholds_of(request.get("house") or {}) or {}
    return {
        "limits": [
            {
                "name": name,
                "words": WORDS[name][0],
                "unit": WORDS[name][1],
                "tenths": round(10 * own.get(name, usual)),
                "usual_tenths": round(10 * usual),
                "source": source,
            }
            for name, (usual, source) in THRESHOLD_SOURCES.items()
        ]
    }
