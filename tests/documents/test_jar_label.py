"""Labels for jars and bars: on their spots to a fifth of a millimeter, read back from the PDF; all that belongs on one is on each."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from documents.example_orders import BAR, HOUSE, JAR
from documents.sheets import a_picture, boxes_of, like, pages_of, reader_of
from honeyhold.documents.doors import jar_labels_html
from honeyhold.documents.label_grid import read_grid
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest

Json = dict[str, Any]
NEAR_MM = 0.2
INCH = 25.4
THIRTY: Json = {
    "paper": "letter", "columns": 3, "rows": 10, "left": "3/16 in", "top": "1/2 in", "across": "2 3/4 in", "down": "1 in",
    "width": "2 5/8 in", "height": "1 in",
}  # fmt: skip
METRIC: Json = {
    "paper": "a4", "columns": 2, "rows": 4, "left": "4.65 mm", "top": "12.9 mm", "across": "101.6 mm", "down": "67.7 mm",
    "width": "99.1 mm", "height": "67.7 mm", "nudge_x": "-0.8 mm", "nudge_y": "1.3 mm",
}  # fmt: skip
SIX: Json = {
    "paper": "letter", "columns": 2, "rows": 3, "left": "5/32 in", "top": "1/2 in", "across": "4 3/16 in", "down": "3 1/3 in",
    "width": "4 in", "height": "3 1/3 in",
}  # fmt: skip
HONEY = {**JAR, "net_g": 340, "length_mm": 72, "width_mm": 72, "height_mm": 118}
WAX = {**BAR, "net_g": 28, "length_mm": 78, "width_mm": 40, "height_mm": 12}


def asked(**changes: Any) -> Json:
    return {"house": HOUSE, "sheet": THIRTY, "good": HONEY, "lot": "J26-183-1", "count": 30, **changes}


def corners(sheet: Json, count: int, first: int) -> list[tuple[int, float, float]]:
    """Where labels should stand, worked out by hand from the measures: (page, left, top) in millimeters."""
    def mm(text: str) -> float:
        number, unit = text.rsplit(" ", 1)
        return float(sum(Fraction(part) for part in number.split())) * (INCH if unit == "in" else 1)

    found = []
    for place in range(first - 1, first - 1 + count):
        page, at = divmod(place, sheet["columns"] * sheet["rows"])
        left = mm(sheet["left"]) + at % sheet["columns"] * mm(sheet["across"]) + float(sheet.get("nudge_x", "0 mm").split()[0])
        top = mm(sheet["top"]) + at // sheet["columns"] * mm(sheet["down"]) + float(sheet.get("nudge_y", "0 mm").split()[0])
        found.append((page, left, top))
    return found


@pytest.mark.parametrize(
    ("sheet", "size", "count", "first"),
    [(THIRTY, (66.675, 25.4), 30, 1), (THIRTY, (66.675, 25.4), 40, 4), (METRIC, (99.1, 67.7), 11, 3), (SIX, (101.6, 84.667), 6, 1)],
)
def test_every_label_stands_on_its_spot(sheet: Json, size: tuple[float, float], count: int, first: int) -> None:
    pdf = reader_of(jar_labels_html(asked(sheet=sheet, count=count, first=first))["html"])
    wanted = corners(sheet, count, first)
    assert len(pdf.pages) == wanted[-1][0] + 1
    for page in range(len(pdf.pages)):
        printed = sorted((top, left) for left, top, *rest in boxes_of(pdf, page) if like((left, top, *rest), *size))  # type: ignore[arg-type]
        meant = sorted((top, left) for number, left, top in wanted if number == page)
        assert len(printed) == len(meant)
        for seen, spot in zip(printed, meant, strict=True):
            assert max(abs(a - b) for a, b in zip(seen, spot, strict=True)) < NEAR_MM


def test_the_sheet_is_the_paper_and_nothing_spills_onto_another() -> None:
    pdf = reader_of(jar_labels_html(asked(sheet=METRIC, count=8))["html"])
    (page,) = pdf.pages
    assert [round(float(side) * INCH / 72, 1) for side in (page.mediabox.width, page.mediabox.height)] == [210.0, 297.0]


def test_the_test_sheet_shows_frames_and_numbers_alone() -> None:
    pdf = reader_of(jar_labels_html({"house": HOUSE, "sheet": THIRTY, "trial": True})["html"])
    frames = {(round(left, 1), round(top, 1)) for left, top, *rest in boxes_of(pdf, 0) if like((left, top, *rest), 66.675, 25.4)}  # type: ignore[arg-type]
    assert len(frames) == 30 and "30" in pdf.pages[0].extract_text() and "Net" not in pdf.pages[0].extract_text()


def test_each_honey_label_says_all_that_belongs_on_it() -> None:
    (page,) = pages_of(jar_labels_html(asked(title="Wildflower honey", words="From the bend of the river.", count=6, sheet=SIX))["html"])
    for words in (
        "Wildflower honey", "From the bend of the river.", "Net Wt 12 oz (340 g)", "Lot J26-183-1",
        "Honey is not for babies under 12 months.", "Nine Lindens Honey House, 1 Cooper's Bend, Alder Ferry, WI 54843",
    ):  # fmt: skip
        assert page.count(words) == 6, words


def test_wax_has_no_word_of_babies_and_a_good_is_its_own_title() -> None:
    (page,) = pages_of(jar_labels_html(asked(good=WAX, lot="", count=1))["html"])
    assert "One-ounce wax bar" in page and "Net Wt 1 oz (28 g)" in page and "babies" not in page and "Lot" not in page


def test_the_net_quantity_is_in_letters_as_high_as_its_panel_asks() -> None:
    """A jar 72 mm across and 118 mm high shows 16.5 square inches: an eighth of an inch for a small o (0.496 of the type size)."""
    sizes: list[float] = []

    def look(text: str, matrix: list[float], text_matrix: list[float], _font: object, size: float) -> None:
        if "Net" in text:
            sizes.append(abs(size * text_matrix[3] * matrix[3]))

    reader_of(jar_labels_html(asked(count=1))["html"]).pages[0].extract_text(visitor_text=look)
    assert sizes and min(sizes) * 0.496 * INCH / 72 >= INCH / 8 - 0.01


def test_a_label_too_small_for_its_small_print_says_so() -> None:
    assert "smaller than 1/16 inch" in jar_labels_html(asked())["notes"][0]
    assert "notes" not in jar_labels_html(asked(sheet=SIX))


def test_the_owners_picture_is_on_the_label_and_nothing_else_gets_in(caplog: pytest.LogCaptureFixture) -> None:
    html = jar_labels_html(asked(sheet=SIX, picture=a_picture()))["html"]
    assert len(reader_of(html).pages[0].images) >= 1
    assert [said.getMessage() for said in caplog.records if said.name == "weasyprint"] == []
    for bad in ("data:image/svg+xml;base64,AAAA", "https://example.org/a.png", 'data:image/png;base64,AA" onload="x', "data:image/png,AA"):
        with pytest.raises(BadRequest, match="no PNG or JPEG"):
            jar_labels_html(asked(picture=bad))


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"words": "much to say " * 30}, "does not fit"),
        ({"good": JAR}, "Nobody wrote how much"),
        ({"first": 31}, "first must be"),
        ({"count": 0}, "count"),
        ({"sheet": {**THIRTY, "across": "2 in"}}, "overlap"),
        ({"sheet": {**THIRTY, "columns": 4}}, "larger than the paper"),
        ({"sheet": {**THIRTY, "height": "5 mm", "down": "5 mm"}}, "less than"),
        ({"sheet": {**THIRTY, "left": "far"}}, "sheet.left"),
        ({"sheet": {**THIRTY, "nudge_x": "3 in"}}, "nudge_x"),
        ({"sheet": {**THIRTY, "rows": 100}}, "rows"),
    ],
)
def test_what_would_not_print_right_is_refused_by_name(changes: Json, why: str) -> None:
    with pytest.raises(BadRequest, match=why):
        jar_labels_html(asked(**changes))


@pytest.mark.parametrize("changes", [
    {"across": THIRTY["width"]}, {"down": THIRTY["height"]}, {"columns": 1, "across": "1 in"}, {"rows": 1, "down": "1/4 in"},
])  # fmt: skip
def test_labels_may_touch_and_one_alone_has_no_next(changes: Json) -> None:
    """From one to the next means nothing where there is one column, or one row."""
    grid = read_grid(Reader({**THIRTY, **changes}))
    assert (grid.columns, grid.rows) == (changes.get("columns", 3), changes.get("rows", 10))


@pytest.mark.parametrize("changes", [{"down": "24 mm"}, {"columns": 2, "across": "2 in"}, {"rows": 2, "down": "24 mm"}])
def test_labels_that_overlap_either_way_are_refused(changes: Json) -> None:
    with pytest.raises(BadRequest, match="overlap"):
        read_grid(Reader({**THIRTY, **changes}))


def test_measures_stay_exact() -> None:
    grid = read_grid(Reader({**THIRTY, "nudge_x": "\N{MINUS SIGN}1/64 in"}))
    assert (grid.width, grid.nudge_x) == (Fraction(21, 8) * Fraction("25.4"), -Fraction("25.4") / 64)
