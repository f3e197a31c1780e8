"""Posting arithmetic against published digits and worked examples (US Postal Service, Domestic Mail Manual), each source beside its check.

These hold the arithmetic of a row. Which row is law on a day is decided by the dates in the table, which a house can edit.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from pytest import approx

from honeyhold.packing.doors import plan
from honeyhold.packing.model.strength import compression_lb
from honeyhold.packing.postage.quote import length_plus_girth, quote, read_posting, round_off, round_up, volumetric_lb

OLD, NEW = "2026-07-11", "2026-07-12"


def by_volume(sides: tuple[str, str, str], on: str) -> int | None:
    found = [Fraction(side) for side in sides]
    return volumetric_lb((found[0], found[1], found[2]), read_posting({"on": on}).rule)


def quoted(sides_in: list[str], gross_g: float, on: str = NEW, **other: Any) -> dict[str, Any]:
    return quote({"outer_mm": [f"{side} in" for side in sides_in], "gross_g": gross_g, "posting": {"on": on, **other}})


def test_round_off_and_round_up() -> None:
    """DMM P013 (2003), now 604.7.0, published example."""
    assert round_off(Fraction("3.376"), 2) == Fraction("3.38") and round_off(Fraction("3.374"), 2) == Fraction("3.37")
    assert round_up(Fraction("3.3701"), 2) == Fraction("3.38") and round_up(Fraction("3.379"), 2) == Fraction("3.38")
    assert round_up(Fraction(5)) == 5


def test_length_plus_girth_and_its_limit() -> None:
    """Quick Service Guide 201e (2021): length plus the distance round the thickest part; 108 in for most parcels (DMM 401.1.3)."""
    assert length_plus_girth((Fraction(4), Fraction(16), Fraction(24))) == 64
    assert quoted(["36", "20", "16"], 1000)["allowed"]
    refused = quoted(["36", "20", "16 1/4"], 1000)
    assert not refused["allowed"] and "108.5 in" in refused["why"]


@pytest.mark.parametrize(
    ("sides", "old", "new"),
    [
        (("15", "15", "22"), 30, 36),  # dimensions and 4,950 in3 from the 2019 notice; pounds by the row's arithmetic
        (("12", "12", "14"), 13, 15),  # published example of 2019 with its divisor exchanged
        (("12", "12", "12"), None, None),  # "exceeds 1,728"
        (("12.4", "12.4", "12.4"), None, 16),  # the cliff: rounded off to 12, rounded up to 13
    ],
)
def test_volumetric_weight_by_both_rows(sides: tuple[str, str, str], old: int | None, new: int | None) -> None:
    """DMM 123.1.4 in reproduction, divisor 166; 91 FR 27837 in secondary texts, divisor 139 and any fraction rounded up."""
    assert (by_volume(sides, OLD), by_volume(sides, NEW)) == (old, new)


def test_a_house_row_with_the_older_divisor_gives_the_published_pounds() -> None:
    """Published: 12 x 12 x 14 = 2,016 in3 at divisor 194 is 10.39, charged as 11 lb."""
    row = {
        "from": "2018-01-01",
        "until": None,
        "rounding": "off",
        "divisor": 194,
        "over_in3": 1728,
        "max_lb": 70,
        "max_length_girth_in": 108,
    }
    assert quoted(["12", "12", "14"], 100, "2018-06-01", rules=[row])["volumetric_lb"] == 11


def test_seventy_pounds_pass_and_a_gram_more_does_not() -> None:
    """DMM 401.1.3: no mailpiece over 70 lb; the pound is 453.59237 g exactly."""
    assert quoted(["12", "12", "12"], 31751.4659)["charged_lb"] == 70
    assert not quoted(["12", "12", "12"], 31751.4659 + 1)["allowed"]


def test_five_pounds_exactly_stay_five() -> None:
    """Round up only where there is something to round (604.7.0)."""
    assert quoted(["6", "4", "4"], 5 * 453.59237)["charged_lb"] == 5
    assert quoted(["6", "4", "4"], 5 * 453.59237 + 0.001)["charged_lb"] == 6


def test_the_certificate_of_a_32_ect_carton() -> None:
    """Box maker's certificate, Item 222 / Rule 41: single wall, 32 lb/in, 65 lb gross, length + width + depth of 75 in outside."""
    most = 65 * 453.59237
    request = {
        "pieces": [{"id": "a", "size_mm": [50, 50, 50], "mass_g": most}],
        "cartons": [{"id": "c", "inner_mm": [60, 60, 60], "max_gross_g": most}],
    }
    assert plan(request)["parcels"]
    request["pieces"][0]["mass_g"] = most + 0.01 * 453.59237
    assert not plan(request)["parcels"]


def test_seventy_five_united_inches_pass_and_a_thousandth_more_does_not() -> None:
    """The same row of the certificate's table: outer length + width + depth of at most 75 in."""
    box = {"id": "c", "inner_mm": ["24 in", "24 in", "24 in"], "outer_mm": ["25 in", "25 in", "25 in"], "max_united_mm": "75 in"}
    request: dict[str, Any] = {"pieces": [{"id": "a", "size_mm": [50, 50, 50], "mass_g": 100}], "cartons": [box]}
    assert plan(request)["parcels"]
    box["outer_mm"] = ["25.001 in", "25 in", "25 in"]
    answer = plan(request)
    assert not answer["parcels"] and "75 in" in answer["why_not"][0]["why"]


def test_short_mckee() -> None:
    """Worked from the published formula: 32 lb/in, 5/32 in, opening 12 x 9 in: 5.87 x 32 x sqrt(0.15625 x 42) = 481 lb."""
    assert compression_lb(32, 5 / 32, 12, 9) == approx(481, abs=0.5)


def test_a_heavy_low_parcel_on_weak_board_is_cautioned_and_a_usual_one_is_not() -> None:
    heavy = {"id": "a", "size_mm": [280, 200, 90], "mass_g": 12_000}
    box = {"id": "c", "inner_mm": ["12 in", "9 in", "4 in"], "edge_crush_lb_per_in": 23, "board_in": 0.0625}
    notes = plan({"pieces": [heavy], "cartons": [box]})["parcels"][0]["notes"]
    assert any("laboratory" in note for note in notes)
    usual = {**box, "edge_crush_lb_per_in": 32, "board_in": 0.15625}
    light = plan({"pieces": [{**heavy, "mass_g": 2500}], "cartons": [usual]})["parcels"][0]["notes"]
    assert not any("laboratory" in note for note in light)


def test_a_parcel_weighs_the_sum_of_its_parts_to_the_gram() -> None:
    """Whole milligrams added: pieces, carton, liner, cold pack and filler."""
    request = {
        "pieces": [{"id": "bar", "count": 10, "size_mm": [76, 38, 11], "mass_g": 30}],
        "cartons": [{"id": "c", "inner_mm": [254, 203, 152], "tare_g": 195}],
        "dressing": {"liner_mm": 10, "liner_g_per_m2": 250, "filler_g_per_l": 30, "chill": [{"size_mm": [150, 100, 20], "mass_g": 340}]},
    }
    parcel = plan(request)["parcels"][0]
    void = (234 * 183 * 132 - 10 * 76 * 38 * 11 - 150 * 100 * 20) / 1e6
    liner = 2 * (254 * 203 + 254 * 152 + 203 * 152) / 1e6 * 250
    assert parcel["gross_g"] == round(300 + 195 + 340 + liner + void * 30)
