"""Lengths as they are said: inches first, to the sixteenth of a tape measure."""

from __future__ import annotations

import pytest

from goods.in_node import in_node


@pytest.mark.parametrize(("mm", "inches"), [(25.4, "1"), (12, "1/2"), (78, "3 1/16"), (101.6, "4"), (1, "1/16"), (0.1, "0"), (83, "3 1/4")])
def test_millimeters_in_inches(mm: float, inches: str) -> None:
    assert in_node("parts/lengths.js", "here.inchesSaid(asked)", mm) == inches


def test_three_sides_in_both() -> None:
    sides = {"length_mm": 78, "width_mm": 40, "height_mm": 12}
    assert in_node("parts/lengths.js", "here.sidesSaid(asked)", sides) == "3 1/16 × 1 9/16 × 1/2 in (78 × 40 × 12 mm)"
