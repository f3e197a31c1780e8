"""Several paddings and cold packs: the first that is here gives the figures; what is used up is not offered, and said."""

from __future__ import annotations

from typing import Any

from tests.quoting.test_call import SETTINGS, asked

from honeyhold.kernel import work
from honeyhold.quoting.protection import dressing_figures, in_use, used_up
from honeyhold.quoting.request import House, house_of
from honeyhold.wire import Fields

Json = dict[str, Any]
WOOL: Json = {"id": "wool", "name": "wool batt", "thickness_mm": 25, "mw_per_mk": 38, "kg_per_m3": 20, "cost_cents": 240,
              "here": 6, "hidden": False}  # fmt: skip
PAPER: Json = {"id": "paper", "name": "paper batt", "thickness_mm": 12, "mw_per_mk": 41, "kg_per_m3": 45, "cost_cents": 90,
               "here": None, "hidden": False}  # fmt: skip
SMALL: Json = {"id": "small", "name": "8 oz pack", "length_mm": 140, "width_mm": 90, "height_mm": 20, "mass_g": 230, "cost_cents": 70,
               "here": 12}  # fmt: skip


def house_with(settings: Json) -> House:
    """The house of these settings."""
    return house_of(Fields.of(settings))


def test_the_first_that_is_here_gives_its_figures() -> None:
    """Measures and cost of the wool while there is any; of the paper when the wool is used up or put away; a plain parcel of neither."""
    house = house_with({"paddings": [WOOL, PAPER]})
    assert (dressing_figures(house, "lined")["liner_mm"], dressing_figures(house, "lined")["cost_cents"]) == (25, 240)
    for change in ({"here": 0}, {"hidden": True}):
        assert dressing_figures(house_with({"paddings": [{**WOOL, **change}, PAPER]}), "lined")["liner_mm"] == 12
    assert dressing_figures(house, "plain") == dressing_figures(House(), "plain")


def test_without_a_cold_pack_of_ones_own_a_chilled_parcel_costs_as_much_more_as_it_does_usually() -> None:
    """The padding's own cost, and between the two dressings what is between them without any padding of one's own."""
    usual_cents = {name: dressing_figures(House(), name)["cost_cents"] for name in ("lined", "chilled")}
    house = house_with({"paddings": [WOOL]})
    own_cents = {name: dressing_figures(house, name)["cost_cents"] for name in ("lined", "chilled")}
    assert own_cents == {"lined": 240, "chilled": 240 + usual_cents["chilled"] - usual_cents["lined"]}
    dear = house_with({"paddings": [WOOL], "dressings": {"lined": {"cost_cents": 999}, "chilled": {"cost_cents": 1}}})
    assert [dressing_figures(dear, name)["cost_cents"] for name in ("lined", "chilled")] == [240, 240]


def test_a_cold_pack_stands_in_its_padding_and_both_are_paid() -> None:
    """Its own measures and mass; the padding's cost and its own."""
    figures = dressing_figures(house_with({"paddings": [WOOL], "cold_packs": [SMALL]}), "chilled")
    assert (figures["pack_length_mm"], figures["pack_g"], figures["liner_mm"], figures["cost_cents"]) == (140, 230, 25, 310)
    alone = dressing_figures(house_with({"cold_packs": [SMALL]}), "chilled")
    assert alone["cost_cents"] == dressing_figures(House(), "lined")["cost_cents"] + 70


def test_without_lists_all_is_as_it_was() -> None:
    """A house that never listed any goes on with the defaults and its own overrides."""
    assert dressing_figures(house_with({"dressings": {"lined": {"liner_mm": 20}}}), "lined")["liner_mm"] == 20
    assert used_up(House(), "chilled") == [] and in_use(House(), "paddings") is None


def test_a_house_that_bought_nothing_special_reckons_with_the_usual_stuff() -> None:
    """Batt of 15 mm, 0.040 W/m.K and 35 kg/m3 for 1.60, a pack of 280 g at -10 C for 1.50 more: as it was told yesterday."""
    plain, lined, chilled = (dressing_figures(House(), name) for name in ("plain", "lined", "chilled"))
    batt = {"liner_mm": 15, "liner_mw_per_mk": 40, "liner_kg_per_m3": 35, "filler_g_per_l": 30}
    pack = {"pack_length_mm": 150, "pack_width_mm": 100, "pack_height_mm": 25, "pack_g": 280}
    cold = {"pack_latent_j_per_g": 300, "pack_start_c": -10}
    assert plain == {"liner_mm": 0, "filler_g_per_l": 30, "cost_cents": 0}
    assert lined == {**batt, "cost_cents": 160} and chilled == {**batt, **pack, **cold, "cost_cents": 310}


def test_the_parcel_is_planned_with_what_is_here() -> None:
    """A thicker padding takes room and adds weight; its name is in the words of the parcel."""
    plans = {
        row["id"]: work("quoting.parcel", asked({"bar": 10}, "55811", dressing="lined", house={**SETTINGS, "paddings": [row]}))["parcel"]
        for row in (WOOL, PAPER)
    }
    assert plans["wool"]["dressing_words"].endswith("wool batt") and plans["paper"]["dressing_words"].endswith("paper batt")
    assert plans["wool"]["bench"]["dressing"]["liner_mm"] == 25 and plans["paper"]["bench"]["dressing"]["liner_mm"] == 12


def test_what_is_used_up_is_not_advised_and_its_choice_is_cautioned() -> None:
    """No padding by the count: neither padded nor cold pack is among the dressings offered, and a padded order says so."""
    house = {**SETTINGS, "paddings": [{**WOOL, "here": 0}], "cold_packs": [SMALL]}
    answer = work("quoting.call", asked({"bar": 10}, "85281", house=house))
    assert {cell["dressing"] for row in answer["days"] for cell in row["cells"]} == {"plain"}
    chosen = work("quoting.parcel", asked({"bar": 10}, "85281", house=house, dressing="chilled"))["parcel"]
    assert chosen["cautions"][0].startswith("There is no padding left by your count")
