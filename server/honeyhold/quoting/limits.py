"""The limits of heat as the keeper may change them: what each means, where it is from, and what the house has made of it."""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.heat.harm import THRESHOLD_SOURCES
from honeyhold.quoting.request import House
from honeyhold.quoting.trip import thresholds_of

WORDS: dict[str, tuple[str, str]] = {
    "wax_mark_c": ("A bar may get dents when kept at", "°"),
    "wax_mark_sd_k": ("The warmth of first dents is known", "°±"),
    "wax_mark_h": ("Kept so warm, it gets them after", "hours"),
    "wax_hours_step_k": ("Kept twice as long, a bar gets dents cooler by", "°step"),
    "wax_floor_c": ("Hours cooler than this do no harm", "°"),
    "wax_load_free_pa": ("A load that dents no earlier, up to", "Pa"),
    "wax_load_step_k": ("With twice the load, a bar gets dents cooler by", "°step"),
    "wax_slump_c": ("A bar loses its shape from", "°"),
    "wax_slump_sd_k": ("The warmth where it loses its shape is known", "°±"),
    "wax_run_c": ("A bar melts from", "°"),
    "wax_run_sd_k": ("The warmth where it melts is known", "°±"),
    "honey_lid_kpa": ("A lid may loosen when pressed by", "kPa"),
    "honey_leak_kpa": ("A jar may leak when pressed by", "kPa"),
    "honey_leak_pa_s": ("Only honey as thin as this leaks", "Pa s"),
    "honey_sd_k": ("The warmth that a lid holds is known", "°±"),
    "honey_headspace_permille": ("Air under the lid, of the jar", "in 1000"),
    "honey_filled_c": ("Bottled at", "°"),
    "honey_plastic_share": ("A plastic wall holds this share of the pressure", ""),
    "honey_set_melts_c": ("Creamed honey melts from", "°"),
    "honey_dark_mg_per_kg": ("Honey counts as darkened by HMF of", "mg/kg"),
    "mailbox_width_mm": ("A mailbox is so wide", "mm"),
    "mailbox_height_mm": ("A mailbox is so high", "mm"),
    "mailbox_depth_mm": ("A mailbox is so deep", "mm"),
}


@dataclass(frozen=True)
class HeatLimit:
    """A limit as it is shown and changed."""

    name: str
    words: str
    unit: str
    tenths: int
    usual_tenths: int
    source: str


def limits(house: House) -> tuple[HeatLimit, ...]:
    """Every limit with the house's own figure.

    Tenths of the figure, as the setting `thresholds` keeps them. A unit `°` is a temperature in °C, `°±` a doubt and `°step` a
    difference, both in K.
    """
    own = thresholds_of(house) or {}
    return tuple(
        HeatLimit(name, *WORDS[name], round(10 * own.get(name, usual)), round(10 * usual), source)
        for name, (usual, source) in THRESHOLD_SOURCES.items()
    )
