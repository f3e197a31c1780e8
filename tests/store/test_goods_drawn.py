"""A good drawn from its measures: all of it lies in its picture, stands on one line, and has its marks beside it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import pytest

from goods.in_node import in_node

Json = dict[str, Any]
DRAWN = """asked.map(([good, measured]) => {
  const flat = (one) => Array.isArray(one) ? one.map(flat).join('') : typeof one === 'symbol' || typeof one === 'function' ? ''
    : one?.strings ? one.strings.map((text, at) => text + flat(one.values[at] ?? '')).join('') : String(one);
  return flat(here.goodPicture(good, { measured }));
})"""
FORMS = {"bar": (78, 40, 12), "block": (152, 78, 44), "jar": (80, 80, 132), "bottle": (70, 62, 180), "tub": (100, 100, 80),
         "comb": (112, 112, 44), "candle": (78, 78, 155), "bucket": (305, 305, 375)}  # fmt: skip
ROUND = ("jar", "bottle", "tub", "candle", "bucket")
PIECES = re.compile(r"([MLHQAhvlqz])([^MLHQAhvlqz]*)")
HIGHER = {"h": (1, 0), "v": (0, 1)}


@dataclass
class Picture:
    """What stands in a picture: of each path its class and the points that it goes through, of each ellipse its middle and half widths."""

    wide: float
    high: float
    paths: list[tuple[str, list[tuple[float, float]]]] = field(default_factory=list)
    ellipses: list[tuple[str, float, float, float, float]] = field(default_factory=list)

    def points(self) -> list[tuple[float, float]]:
        rims = [(cx + x * rx, cy + y * ry) for _, cx, cy, rx, ry in self.ellipses for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))]
        return [*rims, *(point for _, points in self.paths for point in points)]


def _points(path: str) -> list[tuple[float, float]]:
    """Where a path goes through; of a curve its ends."""
    x = y = 0.0
    points = []
    for command, given in PIECES.findall(path):
        numbers = [float(one) for one in given.split()]
        if command in "hv":
            x, y = x + HIGHER[command][0] * numbers[0], y + HIGHER[command][1] * numbers[0]
        elif command == "H":
            x = numbers[0]
        elif command in "lq":
            x, y = x + numbers[-2], y + numbers[-1]
        elif command != "z":
            x, y = numbers[-2:]
        points.append((x, y))
    return points


def drawn(*goods: tuple[Json, bool]) -> list[Picture]:
    pictures = []
    for svg in in_node("parts/good-picture.js", DRAWN, goods):
        (wide, high), *_ = re.findall(r'viewBox="0 0 (\S+) (\S+)"', svg)
        picture = Picture(float(wide), float(high))
        for kind, path in re.findall(r'<path class="?([\w ]+?)"? d="([^"]*)"', svg):
            picture.paths.append((kind, _points(path)))
        for kind, *numbers in re.findall(r'<ellipse class="([\w ]+)" cx=(\S+) cy=(\S+) rx=(\S+) ry=(\S+)', svg):
            cx, cy, rx, ry = map(float, numbers)
            picture.ellipses.append((kind, cx, cy, rx, ry))
        pictures.append(picture)
    return pictures


def test_all_of_a_good_lies_in_its_picture() -> None:
    """Whatever its form and its sides: as they are usual, and twice as long, wide and high."""
    sides = [(form, [side * (2 if at == longer else 1) for at, side in enumerate(usual)])
             for form, usual in FORMS.items() for longer in range(-1, 3)]  # fmt: skip
    goods = [({"form": form, "length_mm": long, "width_mm": wide, "height_mm": high}, False) for form, (long, wide, high) in sides]
    for (form, measures), picture in zip(sides, drawn(*goods), strict=True):
        points = picture.points()
        assert (picture.wide, picture.high) == (120, 92)
        out = [(x, y) for x, y in points if not (0 <= x <= 120 and 0 <= y <= 92)]
        assert out == [], (form, measures)


def usual(form: str, **more: Any) -> Json:
    length, width, height = FORMS[form]
    return {"form": form, "length_mm": length, "width_mm": width, "height_mm": height, **more}


def bodies(picture: Picture) -> list[list[tuple[float, float]]]:
    """The round bodies: their corners, from the upper left by the lower ones to the upper right."""
    return [points[:4] for kind, points in picture.paths if kind == "body" and len(points) >= 4]


def test_a_single_candle_is_as_wide_above_as_below_and_tapers_are_not() -> None:
    """Two of them, side by side, of one height; the wick of each begins where it ends."""
    single, pair = drawn((usual("candle"), False), ({"form": "candle", "length_mm": 22, "width_mm": 22, "height_mm": 250}, False))
    (left, below_left, below_right, right), *others = bodies(single)
    assert others == [] and (left[0], right[0]) == pytest.approx((below_left[0], below_right[0]), abs=0.11)
    one, other = bodies(pair)
    for upper_left, lower_left, lower_right, upper_right in (one, other):
        assert upper_right[0] - upper_left[0] == pytest.approx(0.6 * (lower_right[0] - lower_left[0]), abs=0.21)
        assert lower_left[0] < upper_left[0] < upper_right[0] < lower_right[0]
    assert [y for _, y in one] == [y for _, y in other] and one[2][0] < other[1][0], "they do not stand in each other"
    assert (one[1][0] + other[2][0]) / 2 == pytest.approx(60, abs=1.2)
    for picture in (single, pair):
        wicks = [points for kind, points in picture.paths if kind == "wick"]
        tops = [(cx, cy) for kind, cx, cy, _, _ in picture.ellipses if kind == "body lit"]
        assert [start for start, _ in wicks] == tops
        assert [end[1] - start[1] for start, end in wicks] == pytest.approx([-8] * len(wicks))


@pytest.mark.parametrize("form", [form for form in ROUND if form != "candle"])
def test_what_is_round_has_its_lid_on_top(form: str) -> None:
    """Over the middle of the body and where the body, or the neck of a bottle, ends."""
    [picture] = drawn((usual(form), False))
    tops = {kind: (cx, cy) for kind, cx, cy, _, _ in picture.ellipses}
    [lid] = [points[:4] for kind, points in picture.paths if kind == "lid"]
    ends = min(y for kind, points in picture.paths if kind == "body" for _, y in points)
    assert tops["lid lit"][0] == tops["body lit"][0] == pytest.approx((lid[0][0] + lid[3][0]) / 2, abs=0.11)
    assert lid[1][1] == pytest.approx(ends, abs=0.11) and tops["lid lit"][1] == lid[0][1] < lid[1][1]


def test_marks_stand_beside_what_they_measure_and_in_the_picture() -> None:
    """Length below, width at the lower right, height at the right, as long as what is drawn."""
    lines = re.compile(r"<line x1=(\S+) y1=(\S+) x2=(\S+) y2=(\S+) /><text x=(\S+) y=(\S+)>([LWH])<")
    svgs = in_node("parts/good-picture.js", DRAWN, [(usual(form), True) for form in FORMS])
    pictures = drawn(*((usual(form), True) for form in FORMS))
    for form, svg, picture in zip(FORMS, svgs, pictures, strict=True):
        assert (picture.wide, picture.high) == (150, 107)
        marks = {name: [float(one) for one in given] for *given, name in lines.findall(svg)}
        assert list(marks) == ["L", "W", "H"]
        assert all(0 <= x <= 150 and 0 <= y <= 107 for *ends, tx, ty in marks.values() for x, y in (ends[:2], ends[2:], (tx, ty))), form
        body = [point for kind, points in picture.paths if kind.startswith("body") for point in points]
        rims = [(cx, rx) for _, cx, _, rx, _ in picture.ellipses]
        right = max(x for x, _ in [*body, *((cx + rx, 0.0) for cx, rx in rims)])
        (x1, y1, x2, y2, lx, ly), (w1, _, w2, w_up, wx, _), (h1, low, h2, top, hx, hy) = marks["L"], marks["W"], marks["H"]
        assert y1 == y2 and h1 == h2 > right and low > top and x1 < x2 < w1 < w2 and w_up < y1, form
        assert y1 > max(y for _, y in body), form
        assert lx == pytest.approx((x1 + x2) / 2 - 3) and ly > y1 and wx > (w1 + w2) / 2 and hx > h1, form
        assert hy == pytest.approx((low + top) / 2, abs=8) and top < hy < low, form
