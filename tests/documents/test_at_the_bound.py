"""Bounds of what is printed, each met exactly and passed by one: what is allowed is what the words of the refusal say."""

from __future__ import annotations

from typing import Any

import pytest

from documents.test_jar_label import HONEY, THIRTY, asked
from honeyhold.documents import heat_sheet
from honeyhold.documents.costs import _payment
from honeyhold.documents.doors import jar_labels_html
from honeyhold.documents.label_grid import LabelGrid, read_grid
from honeyhold.documents.net_quantity import grams_words
from honeyhold.documents.reading import Reader, wrong
from honeyhold.documents.typesetting import _lines, width_pt
from honeyhold.documents.year import _amount
from honeyhold.errors import BadRequest

Json = dict[str, Any]
SMALL = {"left": "0 mm", "top": "0 mm", "width": "12 mm", "across": "12 mm", "height": "12 mm", "down": "12 mm", "columns": 1, "rows": 1}


def grid_of(**changes: Any) -> LabelGrid:
    return read_grid(Reader({**THIRTY, **SMALL, **changes}, "sheet."))


@pytest.mark.parametrize(("allowed", "refused", "why"), [
    ({"nudge_x": "20 mm"}, {"nudge_x": "20.01 mm"}, "at most 20 mm either way"),
    ({"nudge_y": "-20 mm"}, {"nudge_y": "-20.01 mm"}, "at most 20 mm either way"),
    ({"width": "10 mm"}, {"width": "9.99 mm"}, "less than 10 mm"),
    ({"height": "10 mm"}, {"height": "9.99 mm"}, "less than 10 mm"),
    ({"left": "204.4 mm"}, {"left": "204.41 mm"}, "larger than the paper"),  # 8.5 in are 215.9 mm, and half a millimeter is let by
    ({"top": "267.9 mm"}, {"top": "267.91 mm"}, "larger than the paper"),  # 11 in are 279.4 mm
    ({"columns": 18}, {"columns": 19}, "larger than the paper"),
    ({"columns": 20, "across": "10 mm", "width": "10 mm"}, {"columns": 21, "across": "10 mm", "width": "10 mm"}, "at most 20"),
    ({"rows": 27, "down": "10 mm", "height": "10 mm"}, {"rows": 41, "down": "10 mm", "height": "10 mm"}, "at most 40"),
])  # fmt: skip
def test_a_sheet_of_labels(allowed: Json, refused: Json, why: str) -> None:
    assert grid_of(**allowed).columns == allowed.get("columns", 1)
    with pytest.raises(BadRequest, match=why):
        grid_of(**refused)


@pytest.mark.parametrize(("allowed", "refused", "why"), [
    ({"first": 30}, {"first": 31}, "one of the sheet's 30 labels"), ({"count": 2000}, {"count": 2001}, "at most 2000"),
    ({"good": {**HONEY, "net_g": 1}}, {"good": {**HONEY, "net_g": 0}}, "Nobody wrote how much"),
])  # fmt: skip
def test_labels(allowed: Json, refused: Json, why: str) -> None:
    assert "<html" in jar_labels_html(asked(**{"count": 1, **allowed}))["html"]
    with pytest.raises(BadRequest, match=why):
        jar_labels_html(asked(**{"count": 1, **refused}))


@pytest.mark.parametrize(
    ("net_g", "words"), [(999, "999 g"), (1000, "1 kg"), (9999, "9.99 kg"), (10_000, "10 kg"), (10_090, "10 kg"), (10_100, "10.1 kg")]
)
def test_three_figures_of_the_kilogram(net_g: int, words: str) -> None:
    assert grams_words(net_g) == words


def test_lists_and_texts() -> None:
    assert len(Reader({"rows": [{}] * 400}).objects("rows")) == 400 and len(Reader({"note": "x" * 4000}).text("note")) == 4000
    with pytest.raises(BadRequest, match="a list of at most 400"):
        Reader({"rows": [{}] * 401}).objects("rows")
    with pytest.raises(BadRequest, match="text of at most 4000"):
        Reader({"note": "x" * 4001}).text("note")


@pytest.mark.parametrize(("letters", "shown"), [(78, f"'{'x' * 78}'"), (79, f"'{'x' * 76}...")])
def test_what_is_wrong_is_shown_up_to_eighty_letters_with_its_marks(letters: int, shown: str) -> None:
    assert str(wrong("note", "a day", "x" * letters)) == f"note must be a day, but it is {shown}."


def test_a_drawing_of_the_most_letters_is_taken() -> None:
    most = heat_sheet.DRAWING_LENGTH_MAX
    begins, ends = "<svg xmlns='http://www.w3.org/2000/svg'><title>", "</title></svg>"
    drawing = begins + "x" * (most - len(begins + ends)) + ends
    assert len(str(heat_sheet._drawing(drawing, "trip"))) == most
    with pytest.raises(BadRequest, match=f"at most {most} characters"):
        heat_sheet._drawing(drawing + " ", "trip")


def test_a_word_that_just_fits_stays_whole() -> None:
    across_pt = width_pt("honeycomb ", 10)
    assert _lines("honeycomb", 10, across_pt, bold=False) == 1 and _lines("honeycomb", 10, across_pt - 0.01, bold=False) == 2
    assert _lines("honeycomb honeycomb", 10, across_pt, bold=False) == 2


@pytest.mark.parametrize(("cents", "corrects", "words"), [
    (0, None, "$0.00 in cash"), (-1, None, "$0.01 paid back in cash"), (1, None, "$0.01 in cash"),
    (-1, "p1", "\N{MINUS SIGN}$0.01 in cash, put right"),
])  # fmt: skip
def test_what_was_paid_and_what_was_paid_back(cents: int, corrects: str | None, words: str) -> None:
    row = Reader({"on": "2027-07-20", "cents": cents, "how": "cash", "corrects": corrects})
    assert _payment(row).endswith(words)


def test_nothing_has_no_sign() -> None:
    assert (_amount(0, ""), _amount(-1, ""), _amount(1, "")) == ("0", "\N{MINUS SIGN}1", "1")
