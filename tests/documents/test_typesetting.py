"""How large words may be set on a label: lines counted by hand, panels by the rules' own geometry, and whatever is chosen fits."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest
from markupsafe import Markup

from documents.test_jar_label import HONEY, SIX, THIRTY, WAX
from honeyhold.documents.jar_label import LabelWords, _panel_mm2, _set
from honeyhold.documents.label_grid import read_grid
from honeyhold.documents.reading import Reader
from honeyhold.documents.typesetting import POINTS_PER_MM, height_pt, width_pt

Json = dict[str, Any]
LINE_PT = 11.5
"""One line of type of ten points."""


@pytest.mark.parametrize(("words", "across_pt", "lines"), [
    ("", 50, 0), ("aaaa", 50, 1), ("aaaa aaaa aaaa", 100, 1), ("aaaa aaaa aaaa", 52, 2), ("aaaa aaaa aaaa", 26, 3),
    ("aaaa\naaaa", 100, 2), ("a" * 20, 52, 3), ("aaaa " + "a" * 20, 52, 4),
])  # fmt: skip
def test_lines_are_broken_between_words_and_a_long_word_where_it_must(words: str, across_pt: float, lines: int) -> None:
    """Four small letters and a space take 25.6 points of ten-point type."""
    assert height_pt(words, 10, across_pt) == pytest.approx(lines * LINE_PT)


def test_what_fits_to_the_point_stands_in_one_line() -> None:
    assert height_pt("aaaa aaaa", 10, 2 * width_pt("aaaa ", 10)) == pytest.approx(LINE_PT)


@pytest.mark.parametrize(("good", "mm2"), [
    ({**HONEY, "upright": True}, 0.4 * pi * 72 * 118), ({**HONEY, "upright": True, "width_mm": 80}, 0.4 * pi * 80 * 118),
    ({**WAX, "upright": False}, 78 * 40), ({**WAX, "length_mm": 0}, 66.675 * 25.4), ({**WAX, "height_mm": None}, 66.675 * 25.4),
])  # fmt: skip
def test_the_panel_that_is_seen(good: Json, mm2: float) -> None:
    """21 CFR 101.1: 40 percent of height times circumference round a jar, one whole side of a bar."""
    assert float(_panel_mm2(Reader(good, "good."), read_grid(Reader(THIRTY, "sheet.")))) == pytest.approx(mm2)


@pytest.mark.parametrize("picture", ["", "data:image/png;base64,AA"])
def test_whatever_is_chosen_fits_and_more_words_are_set_smaller(picture: str) -> None:
    """With a margin of a millimeter and a half all round, and a gap of one beside a picture."""
    grid, chosen = read_grid(Reader(SIX, "sheet.")), []
    down = float(grid.height - 3) * POINTS_PER_MM
    for many in range(0, 24 if picture else 60, 1 if picture else 4):
        net = ("Net Wt 12 oz", "340 g")
        words = LabelWords("Wildflower honey", "much to say " * many, "Not for babies.", "Nine Lindens", "Lot 1", net, Markup(picture))
        found = _set(words, Reader(HONEY, "good."), grid)
        across = float(grid.width - 3) * POINTS_PER_MM - ((found.picture_mm + 1) * POINTS_PER_MM if picture else 0)
        own = height_pt(words.title, found.title_pt, across, bold=True) + height_pt(words.words, found.words_pt, across)
        caution = height_pt(words.caution, found.small_pt, across, bold=True)
        maker = height_pt("Nine Lindens \u00b7 Lot 1", found.small_pt, across)
        assert own + caution + maker + found.net_pt * 1.1 + found.net_room_pt <= down
        chosen.append(found.title_pt)
    assert chosen == sorted(chosen, reverse=True) and len(set(chosen)) >= (2 if picture else 3)


def test_a_picture_takes_a_little_over_a_third_of_what_is_within_the_margin() -> None:
    """On a label of 101.6 mm, a margin of a millimeter and a half at each side."""
    words = LabelWords("Honey", "", "", "Nine Lindens", "", ("Net Wt 12 oz", "340 g"), Markup("data:image/png;base64,AA"))
    assert _set(words, Reader(HONEY, "good."), read_grid(Reader(SIX, "sheet."))).picture_mm == pytest.approx(0.36 * (101.6 - 3))
