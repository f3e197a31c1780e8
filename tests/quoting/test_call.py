"""What is told at the telephone, asked through the one door as a device asks it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from demo_seed.nine_lindens import SETTINGS as DEMO_SETTINGS
from demo_seed.nine_lindens import carton_rows, good_rows

from honeyhold import kernel
from honeyhold.errors import BadRequest
from honeyhold.quoting.parcel import soak_g, thrice_packed
from honeyhold.quoting.request import Good, house_of, read_call
from honeyhold.quoting.trip import dressings_that_fit, heat_request
from honeyhold.wire import Fields

GOODS = {row["id"]: row for row in good_rows()}
CARTONS = [{**row, "in_stock": 5} for row in carton_rows()[1]]
MONDAY_IN_JULY = "2027-07-26"
MONDAY_IN_OCTOBER = "2027-10-25"

SETTINGS = {key: value for key, value in DEMO_SETTINGS.items() if key != "posting_prices"}
"""Without a price table: the smallest carton is chosen, not the cheapest to mail."""


LARGE = [{
    **CARTONS[-1], "name": "24×20×12", "inner": ["24 in", "20 in", "12 in"], "outer": ["24 10/32 in", "20 10/32 in", "12 20/32 in"],
    "max_gross_g": None, "max_united_mm": None,
}]  # fmt: skip
"""Wide enough for what is heavy: glass stands side by side."""


def asked(lines: dict[str, int], zip_code: str, leave_on: str = MONDAY_IN_JULY, **more: Any) -> dict[str, Any]:
    """One order as the Counter asks about it."""
    return {
        "goods": [GOODS[good] for good in lines],
        "cartons": CARTONS,
        "house": SETTINGS,
        "lines": [{"good": good, "units": units} for good, units in lines.items()],
        "to": {"zip": zip_code},
        "way": "post",
        "leave_on": leave_on,
        "today": leave_on,
        "dressing": "plain",
        **more,
    }


def test_ten_bars_and_a_jar_are_put_into_the_smallest_carton_that_holds_them() -> None:
    parcel = kernel.work("quoting.parcel", asked({"bar": 10, "jar_12": 1}, "55811"))["parcel"]
    assert parcel["words"].startswith("carton 10×10×10, 3 lb")
    assert parcel["proved"] is True
    assert {row["name"] for row in parcel["why_not"]} >= {"6×4×4", "8×6×4", "10×8×6"}
    weight_g = 10 * 30 + 550 + next(row["tare_g"] for row in CARTONS if row["name"] == "10×10×10")
    assert weight_g < parcel["parcels"][0]["gross_g"] < weight_g + 700


def test_wax_to_the_desert_in_july_is_flagged_and_to_duluth_in_october_is_not() -> None:
    desert = kernel.work("quoting.call", asked({"bar": 10}, "85281"))
    assert desert["heat"]["harmless"] is False and desert["heat"]["verdict"] in ("dented", "slumped", "run")
    assert desert["advice"]["hold"] and "held at the post office counter" in desert["advice"]["words"]
    nowhere = kernel.work("quoting.call", asked({"bar": 10}, "85281", house={**SETTINGS, "hold_allowed": False}))
    assert nowhere["advice"] is None and "wait for cooler weather" in nowhere["none_words"]
    duluth = kernel.work("quoting.call", asked({"bar": 10}, "55811", MONDAY_IN_OCTOBER))
    assert duluth["heat"]["harmless"] is True and duluth["heat"]["verdict"] == "firm"


def test_the_advice_is_one_of_the_days_and_dressings_of_the_table() -> None:
    answer = kernel.work("quoting.call", asked({"bar": 10, "jar_12": 1}, "55811"))
    cells = {(day["leave_on"], cell["dressing"], cell["hold"]) for day in answer["days"] for cell in day["cells"]}
    advice = answer["advice"]
    assert (advice["leave_on"], advice["dressing"], advice["hold"]) in cells
    assert advice["chance_permille"] <= SETTINGS["accept_permille"]


def test_the_same_question_has_the_same_answer() -> None:
    once, again = (json.dumps(kernel.work("quoting.call", asked({"bar": 10}, "04609"))) for _ in range(2))
    assert once == again


@pytest.mark.parametrize("zip_code", ["", "00000", "96201"])
def test_what_cannot_be_known_is_said_and_the_parcel_stands(zip_code: str) -> None:
    answer = kernel.work("quoting.call", asked({"bar": 5}, zip_code))
    assert answer["heat"] is None and answer["advice"] is None
    assert answer["unknown"] and answer["parcel"]["ok"]


def test_what_no_carton_holds_is_told_with_the_reason_for_each() -> None:
    request = asked({"quart": 1}, "55811", cartons=[row for row in CARTONS if row["name"] in ("6×4×4", "8×6×4")])
    answer = kernel.work("quoting.call", request)
    assert answer["parcel"]["ok"] is False and len(answer["parcel"]["why_not"]) == 2
    assert all("stand" in row["why"] for row in answer["parcel"]["why_not"])


def test_cautions_belong_to_the_contents() -> None:
    bars = kernel.work("quoting.call", asked({"bar": 5}, "55811"))["cautions"]
    honey = kernel.work("quoting.call", asked({"jar_12": 1}, "55811"))["cautions"]
    assert bars == []
    assert any("12 months" in words for words in honey) and any("4 fl oz" in words for words in honey)
    unasked = asked({"jar_12": 1}, "55811", house={**SETTINGS, "posting_honey_asked": False})
    assert "Ask yours once" in kernel.work("quoting.call", unasked)["posting_off"]
    assert kernel.work("quoting.call", asked({"jar_12": 1}, "55811"))["posting_off"] == ""


def test_over_fifty_one_pounds_two_people_lift() -> None:
    """51 lb is the load constant of the Revised NIOSH Lifting Equation (DHHS (NIOSH) Publication 94-110, Applications Manual)."""
    light, heavy = (kernel.work("quoting.call", asked({"quart": units}, "55811", cartons=LARGE)) for units in (6, 20))
    grams = [one["parcel"]["parcels"][0]["gross_g"] for one in (light, heavy)]
    assert grams[0] < 51 * 453.592 < grams[1]
    assert [any("two people lift" in words for words in one["cautions"]) for one in (light, heavy)] == [False, True]


def test_posting_honey_is_off_only_for_honey_by_post_in_a_house_that_has_not_asked() -> None:
    house = {**SETTINGS, "posting_honey_asked": False}
    mixed = {"bar": 5, "jar_12": 1}
    for lines, way, off in (
        ({"jar_12": 1}, "post", True), (mixed, "post", True), (dict(reversed(mixed.items())), "post", True),
        ({"jar_12": 1}, "pick_up", False), (mixed, "pick_up", False), ({"bar": 5}, "post", False),
    ):  # fmt: skip
        assert bool(kernel.work("quoting.parcel", asked(lines, "55811", way=way, house=house))["posting_off"]) is off


def test_liquids_over_four_fluid_ounces_weigh_their_bag_and_have_paper_enough_to_soak_them_up() -> None:
    """Domestic Mail Manual 601.3.4: cushioning that soaks up all of it, a leakproof second wrap, a strong carton."""
    posted = kernel.work("quoting.parcel", asked({"jar_12": 2, "bar": 5}, "55811"))["parcel"]
    small = [{**GOODS["jar_12"], "liquid_ml": 118}]
    plain = kernel.work("quoting.parcel", asked({"jar_12": 2, "bar": 5}, "55811", goods=[*small, GOODS["bar"]]))["parcel"]
    needed_g = 2 * round(GOODS["jar_12"]["liquid_ml"] * 0.15)
    assert posted["parcels"][0]["gross_g"] == pytest.approx(plain["parcels"][0]["gross_g"] + 2 * 6, abs=1)
    assert posted["parcels"][0]["filler_g"] >= needed_g
    bare = {**SETTINGS, "dressings": {"plain": {"filler_g_per_l": 1}}}
    little, less = (
        kernel.work("quoting.parcel", asked({"jar_12": 2, "bar": 5}, "55811", house=bare, goods=[jar, GOODS["bar"]]))["parcel"]
        for jar in (GOODS["jar_12"], *small)
    )
    little, less = little["parcels"][0], less["parcels"][0]
    assert round(little["filler_g"]) == needed_g > less["filler_g"]
    assert little["gross_g"] == pytest.approx(less["gross_g"] + 2 * 6 + needed_g - less["filler_g"], abs=1)
    assert "leakproof bag" in posted["parcels"][0]["steps"][0] and not any("leakproof" in step for step in plain["parcels"][0]["steps"])


def test_a_house_that_never_said_is_asked_as_the_settings_show_it() -> None:
    """What Settings shows before anybody touched it is what is reckoned with."""
    house = house_of(Fields.of({}))
    assert (house.leave_hour, house.accept_permille, house.hold_allowed, house.mailbox) == (15, 20, True, "metal_sun")
    assert (house.length_unit, house.temperature_unit, house.posting_days) == ("in", "F", ("Mon", "Tue", "Wed"))
    assert (house.posting_honey_asked, house.heat_shift_permille) == (False, 0)


def test_the_scale_is_told_how_far_the_pieces_differ() -> None:
    """A thousandth of a gram as the good has it: the second check stands on it."""
    goods = [{**GOODS["bar"], "gross_sd_mg": 1001}]
    [piece] = kernel.work("quoting.parcel", asked({"bar": 10}, "55811", goods=goods))["parcel"]["bench"]["pieces"]
    assert piece["mass_sd_g"] == 1.001


def test_when_it_comes_to_harm_is_said_with_the_harm() -> None:
    """The words of the warmest hours stand in the answer, where the Counter reads them."""
    heat = kernel.work("quoting.call", asked({"bar": 10}, "85281", only="asked"))["heat"]
    assert heat["when_words"] and heat["when_words"] == heat["when"]["words"]


@pytest.mark.parametrize(("change", "glass_g"), [({}, 210), ({"gross_g": 0}, 0), ({"gross_g": 340}, 0), ({"glass": False}, 0)])
def test_heat_is_told_how_much_glass_holds_the_honey(change: dict[str, Any], glass_g: int) -> None:
    """What a jar weighs over its honey; none where it was never weighed, or is no glass."""
    jar = {**GOODS["jar_12"], "net_g": 340, "gross_g": 550, "glass": True, **change}
    request = read_call(asked({"jar_12": 1}, "55811", goods=[jar], only="asked"))
    [parcel] = heat_request(request, kernel.atlas(), dressings_that_fit(request))["dressings"].values()
    assert [content["glass_g"] for content in parcel["contents"]] == [glass_g]


@pytest.mark.parametrize(("liquid_ml", "thrice"), [(118, False), (119, True)])
def test_four_fluid_ounces_are_118_milliliters(liquid_ml: int, thrice: bool) -> None:
    """A US fluid ounce is 29.5735 ml: 4 are 118.29, so 118 whole ones are not over it and 119 are."""
    good = Good("jar", liquid_ml=liquid_ml)
    assert (thrice_packed(good), soak_g(good) > 0) == (thrice, thrice) and (118 <= 4 * 29.5735 < 119)


def test_a_pick_up_has_neither_parcel_nor_heat() -> None:
    answer = kernel.work("quoting.call", asked({"bar": 5}, "55811", way="pick_up"))
    assert answer["parcel"] is None and answer["heat"] is None


def test_a_good_that_was_never_measured_is_named() -> None:
    request = asked({"bar": 5}, "55811", goods=[{**GOODS["bar"], "height_mm": 0}])
    with pytest.raises(BadRequest, match="wax bar was never measured"):
        kernel.work("quoting.call", request)


def test_every_work_in_the_table_exists_and_an_unknown_one_is_refused() -> None:
    from importlib import import_module

    for work in kernel.TABLE.values():
        assert callable(getattr(import_module(work.module), work.function))
    with pytest.raises(kernel.UnknownWork, match="no work called 'bench.juggle'"):
        kernel.work("bench.juggle", {})


def test_fractions_leave_the_door_rounded() -> None:
    def fractions(value: Any) -> list[float]:
        if isinstance(value, float):
            return [value]
        if isinstance(value, dict):
            return [found for item in value.values() for found in fractions(item)]
        return [found for item in value for found in fractions(item)] if isinstance(value, list) else []

    found = fractions(kernel.work("quoting.call", asked({"bar": 10}, "55811")))
    assert found and all(round(value, kernel.DECIMALS) == value for value in found)


def one_carton(**certificate: Any) -> dict[str, Any]:
    """Four pounds of honey and the largest carton alone, with what its maker certifies."""
    largest = next(row for row in CARTONS if row["name"] == "12×12×12")
    return {**asked({"jar_16": 4}, "55811"), "cartons": [{**largest, **certificate}]}


def test_a_makers_size_limit_is_told_as_the_reason() -> None:
    parcel = kernel.work("quoting.parcel", one_carton(max_united_mm=900))["parcel"]
    assert parcel["ok"] is False and "certified" in parcel["why_not"][0]["why"]
    assert kernel.work("quoting.parcel", one_carton(max_united_mm=1905))["parcel"]["ok"] is True


def test_weak_board_is_minded_and_board_that_nobody_measured_is_not() -> None:
    def notes(**certificate: Any) -> list[str]:
        said = kernel.work("quoting.parcel", one_carton(**certificate))["parcel"]["parcels"][0]["notes"]
        return [note for note in said if "laboratory" in note]

    assert notes(edge_crush_lb_per_in=10, board_um=1600)
    assert notes(edge_crush_lb_per_in=32, board_um=3969) == []
    assert notes(edge_crush_lb_per_in=10, board_um=None) == [] and notes(edge_crush_lb_per_in=None, board_um=1600) == []


def test_no_gross_limit_written_is_no_limit_of_nothing() -> None:
    assert kernel.work("quoting.parcel", one_carton(max_gross_g=0))["parcel"]["ok"] is True


@pytest.mark.parametrize(("max_gross_g", "boxes"), [(5000, 1), (4000, 2), (3000, 2), (2000, 4), (1200, 0)])
def test_a_box_never_weighs_more_than_it_bears(max_gross_g: int, boxes: int) -> None:
    """Nine pounds in all: in one box where it bears them, else in several, and in none that does not bear one jar; why is said."""
    parcel = kernel.work("quoting.parcel", one_carton(max_gross_g=max_gross_g))["parcel"]
    assert len(parcel["parcels"]) == boxes and all(one["gross_g"] <= max_gross_g for one in parcel["parcels"])
    assert [one["why"].startswith("too heavy: 9 lb") for one in parcel["why_not"]] == [True] * (boxes != 1)


def test_a_carton_of_an_older_device_has_no_certificate_and_is_packed() -> None:
    new = ("max_united_mm", "edge_crush_lb_per_in", "board_um")
    old = {name: value for name, value in one_carton()["cartons"][0].items() if name not in new}
    assert kernel.work("quoting.parcel", {**one_carton(), "cartons": [old]})["parcel"]["ok"] is True


def test_the_advice_says_what_its_packing_adds_and_whose_the_chances_are() -> None:
    """Nothing for plain; for a cold pack its weight and its larger carton. Until the house has learned, the chances are ours."""
    house = {**SETTINGS, "hold_allowed": False}
    answer = kernel.work("quoting.call", asked({"bar": 10}, "60601", "2027-07-12", house={**house, "accept_permille": 3}))
    plain = kernel.work("quoting.call", asked({"bar": 10}, "55811", MONDAY_IN_OCTOBER))
    assert plain["advice"]["dressing"] == "plain" and plain["advice"]["adds"] == ""
    assert answer["advice"]["dressing"] == "chilled" and "heavier" in answer["advice"]["adds"] and "carton" in answer["advice"]["adds"]
    assert any("nothing was learned" in told for told in answer["unknown"])
    own = {**house, "heat_offset": {"shift_permille": 300, "since": "2027-07-01"}}
    assert not any("nothing was learned" in told for told in kernel.work("quoting.call", asked({"bar": 10}, "60601", house=own))["unknown"])
