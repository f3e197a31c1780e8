"""The usual goods: every row can be kept as it stands, its figures agree with each other, and its source is told."""

from __future__ import annotations

from math import ceil, floor
from typing import Any

import pytest

from goods.in_node import in_node
from honeyhold.operations.rows import FORMS
from honeyhold.operations.schemas import read_row

Json = dict[str, Any]
WAX_G_PER_CM3 = 0.97
"""Beeswax at 15 °C, the heavier end: 0.958 to 0.970, encyclopaedia texts agree (facts of the bench)."""
HONEY_G_PER_CM3 = (1.394, 1.445)
"""American Bee Journal, "The density of honey", abstract."""
LABEL_OUNCES = {1, 8, 10, 12, 16, 24, 32, 48, 80, 960}


@pytest.fixture(scope="module")
def goods() -> list[Json]:
    return list(in_node("store/usual-goods.js", "here.USUAL_GOODS"))


@pytest.fixture(scope="module")
def kept() -> list[Json]:
    return list(in_node("store/usual-goods.js", "here.USUAL_GOODS.map(here.usualRow)"))


def test_there_is_one_of_every_form_and_no_id_twice(goods: list[Json]) -> None:
    assert {good["form"] for good in goods} == set(FORMS) - {""}
    assert len({good["id"] for good in goods}) == len(goods) == len({good["name"] for good in goods})


def test_each_is_a_row_the_records_take_and_is_marked_typical(kept: list[Json]) -> None:
    for row in kept:
        read = read_row({"table": "good", **row}, "the row")
        assert read["typical"] is True and "source" not in row
        assert row["plural"] and row["short"] and len(row["short"]) <= 30


def test_each_tells_its_source(goods: list[Json]) -> None:
    assert {good["source"] for good in goods} == {"common practice, no source"}


def test_weights_and_measures_agree(goods: list[Json]) -> None:
    """What is inside fits into what is around it, and the whole weighs more than what is inside."""
    for good in goods:
        box_cm3 = good["length_mm"] * good["width_mm"] * good["height_mm"] / 1000
        assert good["gross_g"] > good["net_g"] > 0, good["id"]
        if good["kind"] == "wax":
            assert good["net_g"] / WAX_G_PER_CM3 < box_cm3, good["id"]
        elif good["liquid_ml"]:
            least, most = good["net_g"] / HONEY_G_PER_CM3[1], good["net_g"] / HONEY_G_PER_CM3[0]
            assert least - 1 < good["liquid_ml"] < most + 1 and good["liquid_ml"] < box_cm3, good["id"]


def test_honey_goes_by_label_weights_and_fills_what_it_weighs(goods: list[Json]) -> None:
    """To the gram and the milliliter: an ounce is 28.349523125 g, exact; 1.42 g/ml lies in the middle of what the source tells."""
    for good in goods:
        if good["kind"] == "honey":
            ounces = round(good["net_g"] / 28.349523125)
            assert ounces in LABEL_OUNCES and good["net_g"] == floor(ounces * 28.349523125 + 0.5), good["id"]
            assert good["liquid_ml"] == (0 if good["form"] == "comb" else floor(good["net_g"] / 1.42 + 0.5)), good["id"]


def test_glass_keeps_its_distance_and_what_is_heavy_says_careful(goods: list[Json]) -> None:
    for good in goods:
        if good["glass"]:
            assert (good["wall_mm"], good["gap_mm"], good["upright"]) == (50, 25, True), good["id"]
        if good["gross_g"] > 23_000:  # NIOSH's lifting equation begins at 51 lb, 23 kg
            pounds = ceil(good["gross_g"] / 453.59237)
            assert f"{pounds - 1} lb" in good["careful"] or f"{pounds} lb" in good["careful"], good["id"]
