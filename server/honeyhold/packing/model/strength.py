"""How much a carton bears on its lid: the short formula of McKee, Gander and Wachuta for slotted corrugated cartons.

McKee, Gander and Wachuta, "Compression strength formula for corrugated boxes", Paperboard Packaging 48 (1963), in the short form of a
test house's calculator page: strength = 5.87 x edge crush x sqrt(thickness x perimeter), in pounds and inches. It is what a new, dry
carton bears in the laboratory before it fails, not what it may carry on a shelf or in a van.
"""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

from honeyhold.packing.model import measures

MCKEE = 5.87
SAFE_SHARE = 5
"""Cartons get damp, lie long and are stacked askew: a fifth of the laboratory's figure is counted on; common practice, no source."""
STACK_MM = 1500
"""How high parcels are taken to be stacked upon one another on the way; common practice, no source."""
G_PER_LB, MM_PER_IN = float(measures.G_PER_LB), float(measures.MM_PER_IN)


def compression_lb(edge_crush_lb_per_in: float, thickness_in: float, long_in: float, wide_in: float) -> float:
    """Laboratory compression strength in pounds of a slotted carton with this opening (inches)."""
    return MCKEE * edge_crush_lb_per_in * sqrt(thickness_in * 2 * (long_in + wide_in))


def load_on_the_lowest_lb(gross_g: float, height_mm: float) -> float:
    """What lies on the lowest of a stack of equal parcels, pounds."""
    above = max(0, int(STACK_MM // height_mm) - 1) if height_mm > 0 else 0
    return above * gross_g / G_PER_LB


def caution(outer_mm: tuple[Fraction, Fraction, Fraction], gross_g: float, edge_crush_lb_per_in: float, thickness_in: float) -> str:
    """What to say when a stack of such parcels would ask more than a safe share of the strength; empty when all is well."""
    long_in, wide_in, high = (float(side) for side in outer_mm)
    strength = compression_lb(edge_crush_lb_per_in, thickness_in, long_in / MM_PER_IN, wide_in / MM_PER_IN)
    load = load_on_the_lowest_lb(gross_g, high)
    if load * SAFE_SHARE <= strength:
        return ""
    return (
        f"Stacked, the lowest carton may carry {load:.0f} lb; in the laboratory it fails at {strength:.0f} lb, new and dry: "
        "take stronger board, or fill it to the lid so that the pieces help to carry."
    )
