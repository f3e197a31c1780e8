"""The second check catches planted faults; the scale's words; the drawing is well-formed, described and shows every piece."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from tests.packing.orders import bar, carton, jar, order, orders

from honeyhold.errors import BadRequest
from honeyhold.packing.doors import plan
from honeyhold.packing.drawing.parcel import draw
from honeyhold.packing.model.measures import G_PER_LB, read_length, say_in, say_weight
from honeyhold.packing.model.strength import load_on_the_lowest_lb
from honeyhold.packing.postage.example import EXAMPLE_CSV
from honeyhold.packing.postage.table import read_prices, write_prices
from honeyhold.packing.weighing.scale import learn_mass, weigh_check
from reference.verify import verify

Json = dict[str, Any]
SVG = "{http://www.w3.org/2000/svg}"


NOTHING: Json = {}


def cold_order() -> Json:
    request = order(bar(6), jar(2), cartons=[carton(14, 12, 9)], posting={"on": "2026-11-25"})
    request["dressing"] = {
        "liner_mm": 10,
        "liner_g_per_m2": 300,
        "filler_g_per_l": 30,
        "chill": [{"id": "pack", "size_mm": [150, 100, 20], "mass_g": 300}],
    }
    return request


def _move(parcel: Json, piece: str, axis: int, by: float) -> None:
    next(put for put in parcel["placements"] if put["piece"] == piece)["at_mm"][axis] += by


def _lay_down(parcel: Json) -> None:
    put = next(put for put in parcel["placements"] if put["piece"] == "jar")
    put["size_mm"] = [put["size_mm"][2], put["size_mm"][1], put["size_mm"][0]]


PLANTED = {
    "jar near the wall": (lambda parcel: _move(parcel, "jar", 0, -5), "from the left"),
    "jar hanging": (lambda parcel: _move(parcel, "jar", 2, 8), "hangs"),
    "jar laid down": (_lay_down, "no permitted turn"),
    "bar lost": (lambda parcel: parcel["placements"].remove(next(p for p in parcel["placements"] if p["piece"] == "bar")), "5 of 6 bar"),
    "pack lost": (lambda parcel: parcel["placements"].remove(next(p for p in parcel["placements"] if p["piece"] == "pack")), "0 of 1 pack"),
    "pack off its face": (lambda parcel: parcel["placements"].append(parcel["placements"].pop(0)) or _off_face(parcel), "touches no face"),
    "wrong order": (lambda parcel: parcel["placements"].reverse(), "cannot be let down"),
    "light": (lambda parcel: parcel.update(gross_g=parcel["gross_g"] - 40), "gross_g"),
    "girth": (lambda parcel: parcel.update(length_plus_girth_mm=100), "length_plus_girth_mm"),
    "unknown carton": (lambda parcel: parcel.update(carton="elsewhere"), "nobody has a carton"),
    "by volume": (lambda parcel: parcel.update(volumetric_lb=1), "volumetric"),
    "piece in piece": (lambda parcel: parcel["placements"][-1].update(at_mm=parcel["placements"][-2]["at_mm"]), "closer than"),
}  # fmt: skip


def _off_face(parcel: Json) -> None:
    put = next(put for put in parcel["placements"] if put["piece"] == "pack")
    put["at_mm"] = [120, 120, 60]


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_caught(name: str) -> None:
    request = cold_order()
    answer = plan(request)
    assert verify(request, answer) == []
    plant, words = PLANTED[name]
    plant(answer["parcels"][0])
    assert any(words in fault for fault in verify(request, answer)), verify(request, answer)


def test_too_much_on_a_piece_is_caught() -> None:
    request = order(bar(4), cartons=[{"id": "slot", "inner_mm": [76, 38, 50]}])
    answer = plan(request)
    assert verify(request, answer) == []
    request["pieces"][0]["bears_g"] = 60
    assert any("bears 90 g" in fault for fault in verify(request, answer))


def test_what_is_no_plan_is_refused() -> None:
    for asked, answer in (({}, {}), (order(bar(1)), {"parcels": [{"carton": "6x4x4"}]})):
        with pytest.raises(BadRequest):
            verify(asked, answer)


def weigh(scale: float, **other: Any) -> Json:
    request = order(bar(10), jar(1), cartons=[carton(12, 12, 8)])
    parcel = plan(request)["parcels"][0]
    return weigh_check({"parcel": parcel, "pieces": request["pieces"], "scale_g": scale, "division_g": 2, "empty_g": 700, **other})


def test_the_scale_says_as_planned_or_one_bar_short() -> None:
    whole = 700 + 300 + 550
    assert weigh(whole, pieces=[bar(), jar(mass_sd_g=1)])["verdict"] == "as planned"
    short = weigh(whole - 30, pieces=[bar(), jar(mass_sd_g=1)])
    assert short["verdict"] == "light" and short["suspects"][0] == {"piece": "bar", "count": -1}
    assert "one wax bar short" in short["said"] and "30 g light" in short["said"]


def test_a_missing_jar_is_never_in_doubt() -> None:
    assert weigh(700 + 300)["suspects"][0] == {"piece": "jar", "count": -1}


def test_an_unweighed_carton_and_filler_leave_one_bar_undecided_and_it_is_said() -> None:
    request = order(bar(10), jar(1), cartons=[carton(12, 12, 8)])
    parcel = plan(request)["parcels"][0]
    found = weigh_check({"parcel": parcel, "pieces": request["pieces"], "scale_g": parcel["gross_g"], "division_g": 2})
    assert found["verdict"] == "cannot tell" and "cannot tell one wax bar" in found["said"] and not found["can_tell"]["bar"]


def test_a_scale_without_a_parcel_is_refused() -> None:
    for wrong in (NOTHING, {"parcel": {}}, {"parcel": {"contents": {"bar": 1}}, "pieces": [bar()], "scale_g": "heavy"}):
        with pytest.raises(BadRequest):
            weigh_check(wrong)
    with pytest.raises(BadRequest):
        learn_mass({"mass_g": 30, "weighings": [{"count": 0, "net_g": 3}]})


def test_a_spread_narrows_with_steady_weighings() -> None:
    rows = [{"count": 10, "net_g": 300 + (at % 3 - 1), "division_g": 1} for at in range(12)]
    learned = learn_mass({"mass_g": 29, "mass_sd_g": 2, "weighings": rows})
    assert learned["mass_sd_g"] < 1.2 and abs(learned["mass_g"] - 30) < 0.1


def test_so_small_an_excess_is_said_to_a_thousandth() -> None:
    """203.5 mm and 8 in are the same sixteenth: "it takes 8 in, and there are 8 in" would read like a fault."""
    answer = plan(order(bar(1, size_mm=[203.5, 203.5, 203.5]), cartons=[carton(8, 8, 8)]))
    assert answer["why_not"][0]["why"].endswith("it takes 8.012 in, and there are 8.000 in")


def test_inches_and_pounds_are_said_as_they_were_typed() -> None:
    assert say_in(read_length("8 1/3 in", "side")) == "8 1/3 in" and say_in(Fraction(118)) == "4 5/8 in"
    assert say_weight(Fraction(2) * G_PER_LB - Fraction(1, 10)) == "2 lb" and say_weight(Fraction(1) * G_PER_LB) == "1 lb"


def read(svg: str) -> tuple[ElementTree.Element, list[str]]:
    root = ElementTree.fromstring(svg)
    return root, [text.text or "" for text in root.iter(f"{SVG}text")]


def test_a_parcel_is_drawn_in_the_carton_it_was_planned_for_wherever_its_measures_stand() -> None:
    """With the parcel, or in the list of cartons, whichever of them it is; without either it is refused."""
    request = order(bar(4))
    parcel = plan(request)["parcels"][0]
    named = {**request, "parcel": {key: value for key, value in parcel.items() if key != "inner_mm"}}
    assert draw(named)["svg"] == draw({**request, "parcel": parcel})["svg"]
    others = [{"id": "another", "inner_mm": [900, 900, 900]}]
    assert draw({**named, "cartons": [*others, *named["cartons"]]})["svg"] == draw(named)["svg"]
    with pytest.raises(BadRequest, match="not in the list of cartons"):
        draw({**named, "cartons": others})


def test_the_drawing_is_described_and_numbers_every_piece() -> None:
    request = cold_order()
    answer = plan(request)
    root, words = read(draw({**request, "parcel": answer["parcels"][0], "view": "layers"})["svg"])
    assert root.attrib["viewBox"].startswith("0 0 360 ")
    assert "6 x wax bar" in (root.findtext(f"{SVG}desc") or "") and "packed" in (root.findtext(f"{SVG}title") or "")
    assert all(float(text.attrib["font-size"]) >= 13 for text in root.iter(f"{SVG}text"))
    assert {"wax bar", "12 oz jar", "pack", "liner"} <= set(words)


def test_both_views_are_drawn_and_a_name_cannot_break_out() -> None:
    request = order(bar(2, label='<b>&"bar'), cartons=[carton(6, 4, 4, label="<6>")])
    parcel = plan(request)["parcels"][0]
    root, words = read(draw({**request, "parcel": parcel, "view": "both"})["svg"])
    assert '<b>&"bar' in words and root.findtext(f"{SVG}title") == "How <6> is packed"
    assert len(draw({**request, "parcel": parcel, "view": "oblique"})["svg"]) < len(draw({**request, "parcel": parcel})["svg"])


@settings(max_examples=15, deadline=None)
@given(orders())
def test_any_plan_can_be_drawn(request: Json) -> None:
    for parcel in plan({**request, "seconds": 0.05})["parcels"]:
        read(draw({**request, "parcel": parcel})["svg"])


def test_what_cannot_be_drawn_is_refused() -> None:
    for wrong in (
        {},
        {"parcel": {}},
        {"parcel": {"placements": [3], "inner_mm": [1, 1, 1]}},
        {"parcel": {"placements": [], "carton": "x"}},
    ):
        with pytest.raises(BadRequest):
            draw(wrong)


def test_prices_go_to_text_and_back() -> None:
    table = read_prices({"csv": EXAMPLE_CSV})
    read_back = read_prices(write_prices(table))
    assert {**read_back, "lines": None} == {"prices": table["prices"], "fees": table["fees"], "errors": [], "lines": None}
    assert len(read_back["lines"]) == len(table["prices"]) + len(table["fees"]) and not any(line["why"] for line in read_back["lines"])
    assert table["prices"] and all(row["example"] for row in table["prices"] + table["fees"])


def test_a_fault_in_the_table_is_told_by_its_line() -> None:
    text = "row,service,zone,up_to_oz,what,over,cents,example\nprice,ground,near,16,,,700,\nprice,ground,near,many,,,700,\nrent,,,,,,1,\n"
    found = read_prices({"csv": text})
    assert len(found["prices"]) == 1 and [row["line"] for row in found["errors"]] == [3, 4]
    assert "up_to_oz is 'many'" in found["errors"][0]["why"]
    for wrong in (NOTHING, {"csv": "a,b\n"}):
        with pytest.raises(BadRequest):
            read_prices(wrong)


def laid(view: str, *pieces: tuple[str, tuple[int, int, int], tuple[int, int, int]]) -> list[str]:
    """The numbers in a drawing of pieces laid by hand: (which, at, size), in millimetres."""
    rows = [{"piece": piece, "at_mm": at, "size_mm": size} for piece, at, size in pieces]
    parcel = {"carton": "c", "label": "c", "inner_mm": [300, 200, 150], "placements": rows}
    svg = draw({"parcel": parcel, "pieces": [{"id": "bar", "texture": "wax"}, {"id": "pack", "texture": "cold"}], "view": view})["svg"]
    return re.findall(r'text-anchor="middle" font-weight="700"[^>]*>([^<]+)<', svg)


def test_a_piece_whose_middle_is_covered_has_its_number_where_it_can_be_seen() -> None:
    bar_mm = (76, 40, 12)
    pack = ("pack", (0, 0, 0), (150, 100, 25))
    numbers = laid("oblique", pack, ("bar", (40, 20, 25), bar_mm), ("bar", (200, 20, 0), bar_mm), ("bar", (200, 20, 12), bar_mm))
    assert set(numbers) == {"1", "2", "4"}  # the third lies wholly under the fourth


def test_a_pile_that_takes_every_second_piece_does_not_read_as_a_run() -> None:
    bar_mm = (76, 40, 12)
    turns = [("bar", (at, 0, level * 12), bar_mm) for level in range(4) for at in (0, 100)]
    assert set(laid("layers", *turns)) == {"1·3…7", "2·4…8"}
    assert set(laid("layers", *(("bar", (0, 0, level * 12), bar_mm) for level in range(4)))) == {"1…4"}


@pytest.mark.parametrize(("height_mm", "above"), [(0, 0), (100, 14), (101, 13), (750, 1), (751, 0), (1501, 0), (3000, 0)])
def test_so_many_as_fit_into_a_stack_lie_on_the_lowest_and_none_on_a_tall_one(height_mm: float, above: int) -> None:
    """Whole parcels up to a meter and a half."""
    assert load_on_the_lowest_lb(float(G_PER_LB), height_mm) == pytest.approx(above)
