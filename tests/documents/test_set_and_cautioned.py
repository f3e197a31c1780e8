"""How large a label is set line by line, which cautions were said already, and what stands beside a label's name."""

from __future__ import annotations

from typing import Any

import pytest

from documents.sheets import a_picture
from documents.test_jar_label import HONEY, SIX, THIRTY
from honeyhold.documents.cautions import GLASS, INFANTS, WAX, cautions_for
from honeyhold.documents.doors import jar_labels_html
from honeyhold.documents.jar_label import Setting, _set, _words
from honeyhold.documents.label_grid import read_grid
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import good_facts
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest

Json = dict[str, Any]


def short(lines: int, **changes: Any) -> Json:
    """A label of 4 by 3 1/3 inches with so many short lines of the owner's own, the rest a line each."""
    words = "\n".join(["x"] * lines)
    return {"house": {"name": "House"}, "sheet": SIX, "good": HONEY, "title": "Honey", "words": words, "count": 1, **changes}


def setting(asked: Json) -> Setting:
    """How a label is set."""
    reader = Reader(asked)
    return _set(_words(reader, house_facts(reader)), reader.mapping("good"), read_grid(reader.mapping("sheet")))


@pytest.mark.parametrize(("lines", "points"), [
    (0, 22), (11, 22), (12, 18), (13, 15), (14, 15), (15, 12), (16, 11), (18, 11), (19, 10), (21, 10), (22, 9), (25, 9), (26, 8), (30, 8),
])  # fmt: skip
def test_every_line_of_ones_own_takes_room_and_the_largest_type_that_holds_them_is_taken(lines: int, points: float) -> None:
    """231.5 points inside the padding, less 19.9 for a net quantity in letters of 18.1 and 9 for their height: 202.5 for title, own
    words, caution and maker, each line 1.15 times its type."""
    assert setting(short(lines)).title_pt == points


def test_one_line_more_than_the_smallest_type_holds_is_refused() -> None:
    with pytest.raises(BadRequest, match="does not fit on a label of this size") as refused:
        jar_labels_html(short(31))
    assert refused.value.remedy == "Write fewer words of your own, leave the picture out, or take larger labels."


@pytest.mark.parametrize(("changes", "points"), [
    ({}, 22), ({"title": "Honey\nof June"}, 18), ({"good": {**HONEY, "kind": "wax", "name": "bar"}}, 22), ({"lot": "J26-1"}, 22),
    ({"house": {"name": "House " * 12}}, 18), ({"title": "x" * 21}, 22), ({"title": "x" * 22}, 18),  # the title is bold, and wider
])  # fmt: skip
def test_each_of_the_other_words_takes_its_room_as_well(changes: Json, points: float) -> None:
    """Eleven lines of one's own in the largest type leave room for no line more."""
    assert setting(short(11, **changes)).title_pt == points


@pytest.mark.parametrize(("changes", "side_mm"), [
    ({}, 0), ({"picture": a_picture()}, 0.36 * (101.6 - 3)),  # 36 of 100 of what is across
    ({"sheet": THIRTY}, 0), ({"sheet": THIRTY, "picture": a_picture()}, 25.4 - 3 - 1.1 * 25.4 / 8 / 0.496 - 25.4 / 8),  # what is left of it
])  # fmt: skip
def test_a_picture_is_as_large_as_there_is_room_beside_the_words_and_above_the_net_quantity(changes: Json, side_mm: float) -> None:
    """Letters an eighth of an inch high, 0.496 of their type, with a tenth of it between their lines."""
    found = setting(short(0, **changes))
    letters = 72 / 8
    assert (found.net_pt, found.net_room_pt, found.picture_mm) == pytest.approx((letters / 0.496, letters, side_mm))


@pytest.mark.parametrize(("letters", "plain", "beside"), [(25, 22, 22), (26, 22, 18), (41, 22, 11), (42, 18, 11)])
def test_words_beside_a_picture_have_less_of_the_width(letters: int, plain: float, beside: float) -> None:
    """Of 279.5 points across a picture takes 100.6 and the gap 4.3; a letter of 12 points takes 6.7, and a space is kept behind a word."""
    asked = short(0, words="\n".join(["x" * letters] * 9))
    assert [setting({**asked, **picture}).title_pt for picture in ({}, {"picture": a_picture()})] == [plain, beside]


BAR = {"id": "bar", "name": "wax bar", "kind": "wax", "unit": "each"}
JAR = {"id": "jar", "name": "jar of honey", "kind": "honey", "unit": "each", "glass": True}
EVERY = [INFANTS.words, WAX.words, GLASS.words]


@pytest.mark.parametrize(("said", "ours"), [
    ([], EVERY),
    (["Local words."], EVERY),
    (["Honey keeps."], EVERY), (["Not before 12 months."], EVERY),  # half of it is not it
    (["Honey keeps.", "Not before 12 months."], EVERY),  # nor are two halves in two sentences
    (["HONEY is for nobody under 12 Months."], [WAX.words, GLASS.words]),
    (["Local words.", "No honey under 12 months."], [WAX.words, GLASS.words]),
    (["Beeswax SOFTENS in July."], [INFANTS.words, GLASS.words]),
    (["Wax is flammable."], EVERY),
    (["Mind the Glass."], [INFANTS.words, WAX.words]),
    (["Mind the glass.", "Wax may soften.", "No honey under 12 months."], []),
])  # fmt: skip
def test_a_caution_is_left_out_where_one_sentence_says_all_of_it(said: list[str], ours: list[str]) -> None:
    """Ours first, then the house's own, each as it was written."""
    goods = [good_facts(Reader(good)) for good in (BAR, JAR)]
    assert cautions_for(goods, said) == ours + said
