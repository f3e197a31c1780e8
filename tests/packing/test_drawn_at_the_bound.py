"""Where a rule of the drawing turns, each met exactly and missed by the least there is."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest
from tests.packing.orders import bar, carton

from honeyhold.errors import BadRequest
from honeyhold.packing.drawing.canvas import PAPER, TEXT_PX, WAX, Canvas
from honeyhold.packing.drawing.canvas import Piece as DrawnPiece
from honeyhold.packing.drawing.parcel import EDGE, draw, drawing_of, read_drawing
from honeyhold.packing.drawing.views import draw_oblique, layers_of
from honeyhold.packing.model.request import Carton, Dressing, PackingRequest, Piece
from honeyhold.packing.plan import plan_parcels

Json = dict[str, Any]
Box = tuple[str, tuple[float, float, float], tuple[float, float, float]]
SVG = "{http://www.w3.org/2000/svg}"
GLASS_FACE = "#fffdf7"
ROOM = (332, 240, 300)
"""So long and wide that a millimeter of a layer is one of the picture's 360."""
MIDDLE_OF_FIGURES = 4.6
"""How far the line that figures stand on is below their middle."""


def parcel(*boxes: Box, room: Any = ROOM, view: str = "layers", **other: Any) -> Json:
    rows = [{"piece": name, "at_mm": at, "size_mm": size} for name, at, size in boxes]
    pieces = [{"id": "bar", "texture": "wax"}, {"id": "slab", "texture": "plain"}]
    held = {"carton": "c", "label": "c", "inner_mm": room, "placements": rows}
    return {"parcel": held, "pieces": pieces, "view": view, "unit": "mm", **other}


def svg_of(*boxes: Box, **other: Any) -> str:
    return draw(parcel(*boxes, **other))["svg"]


def words(svg: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def numbers(svg: str) -> dict[str, tuple[float, float]]:
    """Where the middle of each number stands."""
    found = [text for text in ElementTree.fromstring(svg).iter(f"{SVG}text") if text.get("text-anchor") == "middle"]
    return {text.text or "": (float(text.attrib["x"]), round(float(text.attrib["y"]) - MIDDLE_OF_FIGURES, 1)) for text in found}


def captions(svg: str) -> list[str]:
    return [said for said in words(svg) if ":" in said]


# What is asked for


@pytest.mark.parametrize("wrong", [[1, 2], [1, 2, 3, 4], "123", None])
def test_a_place_has_three_measures(wrong: Any) -> None:
    with pytest.raises(BadRequest, match="not three measures"):
        svg_of(("bar", wrong, (1, 1, 1)))


def test_a_carton_of_a_tenth_of_a_millimeter_is_one_and_of_nothing_none() -> None:
    assert read_drawing(parcel(room=[0.1, 1, 1])).room == (0.1, 1, 1)
    with pytest.raises(BadRequest, match="a side of nothing holds nothing"):
        read_drawing(parcel(room=[0, 1, 1]))


@pytest.mark.parametrize(("dressing", "liner_mm"), [(None, 0), ({}, 0), ({"liner_mm": None}, 0), ({"liner_mm": 1}, 1)])
def test_a_liner_is_drawn_where_there_is_one(dressing: Any, liner_mm: float) -> None:
    asked = parcel(("bar", (10, 10, 10), (20, 20, 20)), dressing=dressing)
    assert read_drawing(asked).liner == liner_mm
    assert ("liner" in words(draw(asked)["svg"])) == (liner_mm > 0)


def test_a_planned_parcel_is_drawn_with_the_names_of_its_pieces_or_their_ids() -> None:
    chill = (Piece("pack", (100, 60, 20)), Piece("ice", (90, 60, 20), label="ice pack"))
    pieces = (Piece("bar", (76, 38, 11)), Piece("jar", (72, 72, 118), label="12 oz jar", texture="glass"))
    question = PackingRequest(pieces, (Carton("box", "box", (300, 200, 150)),), Dressing(chill=chill))
    (planned,) = plan_parcels(question).parcels
    drawn = {(piece.label, piece.texture) for piece in drawing_of(planned, question, "layers").pieces}
    assert drawn == {("bar", "plain"), ("12 oz jar", "glass"), ("pack", "cold"), ("ice pack", "cold")}


# The legend


@pytest.mark.parametrize(("letters", "shown"), [(40, "w" * 40), (41, "w" * 39 + "…")])
def test_a_name_of_forty_letters_is_shown_whole(letters: int, shown: str) -> None:
    asked = parcel(("long", (0, 0, 0), (20, 20, 20)))
    asked["pieces"] = [{"id": "long", "label": "w" * letters}]
    assert words(draw(asked)["svg"])[-1] == shown


def named(label: str) -> DrawnPiece:
    return DrawnPiece(1, label, "wax", 0, 0, 0, 1, 1, 1)


@pytest.mark.parametrize(("wide", "rows"), [(158, 1), (157.9, 2)])
def test_two_names_stand_in_a_row_where_they_just_fit(wide: float, rows: int) -> None:
    """Of five letters each: 79 for a name with its patch. A row is 22 high, the last 18."""
    assert Canvas(TEXT_PX).legend(EDGE, 100, wide, [named("combs"), named("honey")], False) == 100 + 22 * (rows - 1) + 18


def test_a_name_too_long_for_any_row_begins_the_first() -> None:
    assert Canvas(TEXT_PX).legend(EDGE, 100, 50, [named("combs")], False) == 100 + 18


# From above, layer by layer


@pytest.mark.parametrize(("wide", "second_x"), [(20, 30.0), (19, 19 + 0.8 * 19)])
def test_numbers_side_by_side_keep_their_distance(wide: int, second_x: float) -> None:
    """Nineteen for a number of one figure is too near; then it stands at the far end of its piece."""
    found = numbers(svg_of(("bar", (0, 0, 0), (wide, 10, 10)), ("bar", (wide, 0, 0), (wide, 10, 10))))
    assert found["1"][0] == EDGE + wide / 2 and found["2"][0] == pytest.approx(EDGE + second_x, abs=0.06)


@pytest.mark.parametrize(("deep", "second_y"), [(17, 17 + 8.5), (16, 16 + 0.8 * 16)])
def test_numbers_one_below_the_other_keep_their_distance(deep: int, second_y: float) -> None:
    found = numbers(svg_of(("bar", (0, 0, 0), (10, deep, 10)), ("bar", (0, deep, 0), (10, deep, 10))))
    assert found["2"][1] - found["1"][1] == pytest.approx(second_y - deep / 2, abs=0.11)


@pytest.mark.parametrize(("level", "where"), [(0, "on the bottom"), (0.49, "on the bottom"), (0.5, "0.5 mm up"), (3, "3 mm up")])
def test_half_a_millimeter_up_is_no_more_on_the_bottom(level: float, where: str) -> None:
    assert captions(svg_of(("bar", (0, 0, level), (20, 20, 20)))) == [f"1: {where}"]


@pytest.mark.parametrize(("apart", "layers"), [(1.9, 1), (2, 2)])
def test_pieces_that_begin_less_than_two_millimeters_apart_are_level(apart: float, layers: int) -> None:
    pieces = [DrawnPiece(1, "bar", "wax", 0, 0, 0, 20, 20, 20), DrawnPiece(2, "bar", "wax", 30, 0, apart, 20, 20, 20)]
    assert len(layers_of(pieces)) == layers


@pytest.mark.parametrize(("upper", "said"), [
    (("bar", (0, 0, 20), (20, 20, 20)), ["1 to 2: on the bottom, 2 layers alike"]),
    (("slab", (0, 0, 20), (20, 20, 20)), ["1: on the bottom", "2: 20 mm up"]),
    (("bar", (0, 0, 20), (20, 30, 20)), ["1: on the bottom", "2: 20 mm up"]),
])  # fmt: skip
def test_layers_of_the_same_pieces_at_the_same_places_share_a_picture(upper: Box, said: list[str]) -> None:
    assert captions(svg_of(("bar", (0, 0, 0), (20, 20, 20)), upper)) == said


@pytest.mark.parametrize(("thick", "level", "outlined"), [(0.5, 0, 1), (0.6, 0, 2), (0.5, 0.5, 1), (0.5, 0.6, 2)])
def test_of_what_is_there_a_sheet_of_half_a_millimeter_is_not_outlined(thick: float, level: float, outlined: int) -> None:
    """A sheet, a bar higher up, and then one beside or upon the sheet. The sheet is outlined for the first bar, and that for the second."""
    sheet, high = ("slab", (0, 0, 0), (100, 100, thick)), ("bar", (200, 0, 50), (20, 20, 20))
    svg = svg_of(sheet, high, ("bar", (0, 0, level), (30, 20, 20)))
    assert svg.count('stroke-dasharray="2 3"') == 1 + outlined


# Obliquely


def painted(*boxes: Box) -> list[str]:
    """Which pieces are painted, the one behind first, by the color of their fronts: the bar's and the slab's."""
    svg = svg_of(*boxes, view="oblique")
    fills = re.findall(r'fill="([^"]+)" stroke="#241c14" stroke-width="1.2"', svg)
    sides = fills[1 : 3 * len(boxes) : 3]
    return [{WAX: "bar", PAPER: "slab"}[fill] for fill in sides]


@pytest.mark.parametrize(("bar_at", "bar_size", "slab_at", "slab_size"), [
    ((0, 30, 0), (10, 40, 20), (10, 0, 0), (20, 50, 20)),
    ((30, 0, 0), (40, 10, 20), (0, 10, 0), (50, 20, 20)),
    ((20, 20, 0), (30, 30, 10), (0, 0, 10), (40, 40, 10)),
])  # fmt: skip
def test_what_ends_where_the_other_begins_is_behind_it(
    bar_at: tuple[float, float, float], bar_size: tuple[float, float, float], slab_at: tuple[float, float, float], slab_size: Any
) -> None:
    """Left of it, farther back or under it, to a hundredth of a millimeter; else what begins farther back is painted first."""
    axis = next(axis for axis in range(3) if bar_at[axis] + bar_size[axis] == slab_at[axis])
    for more, first in ((0.0, "bar"), (0.01, "bar"), (0.02, "slab")):
        longer = tuple(side + (more if at == axis else 0) for at, side in enumerate(bar_size))
        bar_box: Any = ("bar", bar_at, longer)
        assert painted(bar_box, ("slab", slab_at, slab_size))[0] == first


def test_a_ring_of_pieces_is_cut_at_the_farthest() -> None:
    """The first is left of the second, the second behind the third, the third under the first; the second begins farthest back."""
    ring: list[Box] = [("slab", (0, 0, 10), (8, 20, 10)), ("bar", (8, 0, 0), (12, 10, 20)), ("slab", (0, 10, 0), (20, 10, 10))]
    assert painted(*ring) == ["bar", "slab", "slab"]


@pytest.mark.parametrize(("lower", "is_beside"), [(34, False), (36, True)])
def test_numbers_on_tops_keep_their_distance(lower: int, is_beside: bool) -> None:
    """With figures of 13 a number takes 17 of height; two middles 17 below one another are too near, 18 are not."""
    canvas = Canvas(13)
    begin = 40 + lower // 2
    pieces = [DrawnPiece(1, "bar", "wax", 40, 40, 0, 20, 20, 10), DrawnPiece(2, "bar", "wax", begin, begin, 0, 20, 20, 10)]
    draw_oblique(canvas, pieces, (100, 100, 200), 0, 0, 0, 1000)
    found = numbers(f'<svg xmlns="http://www.w3.org/2000/svg">{canvas.text()}</svg>')
    assert (round(found["2"][1] - found["1"][1], 1) == lower / 2) == is_beside


def test_a_number_that_is_hidden_is_left_out() -> None:
    """A slab lies over the whole of the first bar, and beside the second."""
    bars: list[Box] = [("bar", (0, 0, 0), (20, 20, 20)), ("bar", (200, 150, 0), (20, 20, 20))]
    assert set(numbers(svg_of(*bars, ("slab", (0, 0, 20), (300, 100, 20)), view="oblique"))) == {"2", "3"}


def test_the_carton_of_a_parcel_is_looked_for_among_those_listed() -> None:
    asked = parcel(("bar", (0, 0, 0), (20, 20, 20)))
    del asked["parcel"]["inner_mm"]
    for cartons in (None, [], [carton(6, 4, 4)], [3]):
        with pytest.raises(BadRequest, match="not in the list of cartons"):
            read_drawing({**asked, "cartons": cartons})
    assert read_drawing({**asked, "cartons": [{"id": "c", "inner_mm": [3, 2, 1]}], "pieces": [bar()]}).room == (3, 2, 1)
