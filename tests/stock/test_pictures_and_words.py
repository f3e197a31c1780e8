"""The pictures can be counted and read, the sentence can be said."""

from __future__ import annotations

import re
from datetime import date
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from honeyhold.stock.demand import at_most, smallest_covering
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.lasting import lasting_words
from honeyhold.stock.pictures import run_down_picture, shelf_picture
from honeyhold.stock.sentence import order_sentence
from honeyhold.stock.svg import hatching

BAR = {"name": "wax bar", "plural": "wax bars", "kind": "wax"}
JAR = {"name": "pint jar", "plural": "pint jars", "kind": "honey"}
SVG = "{http://www.w3.org/2000/svg}"


def marks(svg: str, kind: str) -> int:
    """Boxes drawn in the texture `kind`, the sample in the legend left out."""
    root = ElementTree.fromstring(svg)
    groups = [p.get("d", "").count("z") for p in root.iter(f"{SVG}path") if p.get("class") == kind]
    return groups[0] if groups else 0


def shelf(**change: Any) -> dict[str, str]:
    return shelf_picture({"good": BAR, "on_hand": 45, "promised": 30, "share": 12, **change})


def test_every_bar_is_drawn_in_its_texture() -> None:
    svg = shelf()["svg"]
    assert marks(svg, "ink") == 45 and marks(svg, "wax") == 15 and marks(svg, "thick") == 12
    assert shelf()["words"] == (
        "45 wax bars on the shelf, 30 promised, 15 free. "
        "12 of the free ones are sure on this device without signal."
    )


def hatched(svg: str) -> int:
    """Boxes through whose middle third a slanted line goes."""
    found: dict[str | None, str] = {}
    for one in ElementTree.fromstring(svg).iter(f"{SVG}path"):
        found.setdefault(one.get("class"), one.get("d", ""))  # the first of each: the shelf; after it the samples of the legend
    boxes = [tuple(map(float, box)) for box in re.findall(r"M([-\d.]+) ([-\d.]+)h([\d.]+)v([\d.]+)", found["ink"])]
    lines = [tuple(map(float, line)) for line in re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", found.get("hatch", ""))]
    middles = [((x1 + x2) / 2, (y1 + y2) / 2) for x1, y1, x2, y2 in lines]
    return sum(any(x < mx < x + w and y < my < y + h for mx, my in middles) for x, y, w, h in boxes)


def test_what_is_promised_is_hatched_and_nothing_else_is() -> None:
    """The texture tells it in black and white too."""
    for promised in (0, 1, 30, 45):
        assert hatched(shelf(promised=promised, share=0)["svg"]) == promised


Box = tuple[float, float, float, float]


def boxes_of(svg: str, kind: str) -> list[Box]:
    """(left, top, right, bottom) of each box drawn in a texture, the legend's samples left out."""
    drawn = next((one.get("d", "") for one in ElementTree.fromstring(svg).iter(f"{SVG}path") if one.get("class") == kind), "")
    sides = re.findall(r"M([-\d.]+) ([-\d.]+)h([\d.]+)v([\d.]+)", drawn)
    return [(x, y, x + width, y + height) for x, y, width, height in (tuple(map(float, box)) for box in sides)]


def lies_in(inner: Box, outer: Box, least: float = -0.02) -> bool:
    """Whether one box lies inside another by at least so much; figures are rounded to a hundredth."""
    return all((inner[0] - outer[0] >= least, inner[1] - outer[1] >= least, outer[2] - inner[2] >= least, outer[3] - inner[3] >= least))


@pytest.mark.parametrize("good", [BAR, JAR])
def test_what_fills_a_mark_lies_in_its_outline(good: dict[str, Any]) -> None:
    """Wax and honey fill the body of a mark just; the thick line of what is sure lies within that; hatching goes past no edge."""
    svg = shelf(good=good, on_hand=9, promised=3, share=4)["svg"]
    outlines, filled, sure = (boxes_of(svg, kind) for kind in ("ink", "wax", "thick"))
    bodies = [one for one in outlines if any(lies_in(one, wax) for wax in filled)]
    assert (len(outlines), len(filled), len(sure)) == (18 if good is JAR else 9, 6, 4)
    assert len(bodies) == 6 and all(any(lies_in(wax, body) for body in bodies) for wax in filled)
    assert all(any(lies_in(one, wax, 1.0) for wax in filled) for one in sure)
    hatch = next(one.get("d", "") for one in ElementTree.fromstring(svg).iter(f"{SVG}path") if one.get("class") == "hatch")
    ends = [tuple(map(float, end)) for end in re.findall(r"[ML]([-\d.]+) ([-\d.]+)", hatch)]
    free = [one for one in outlines if one not in bodies]
    assert ends and all(any(lies_in((x, y, x, y), one) for one in free) for x, y in ends)


def test_picture_has_title_words_and_no_identifiers() -> None:
    root = ElementTree.fromstring(shelf()["svg"])
    assert root.find(f"{SVG}title").text == "Wax bars on the shelf"  # type: ignore[union-attr]
    assert root.find(f"{SVG}desc").text == shelf()["words"]  # type: ignore[union-attr]
    assert root.get("viewBox", "").startswith("0 0 360 ") and root.get("font-family") == "inherit"
    assert all("id" not in element.attrib for element in root.iter())
    sizes = [float(text.get("font-size", "0")) for text in root.iter(f"{SVG}text")]
    assert sizes and min(sizes) >= 13


def test_many_bars_are_counted_by_tens() -> None:
    answer = shelf(on_hand=487, promised=35)
    assert "Each mark is 10 wax bars." in answer["svg"] and answer["words"].endswith(
        "Each mark stands for 10."
    )
    assert 49 <= marks(answer["svg"], "ink") <= 52  # cut marks where the state changes
    assert "Each mark is" not in shelf(on_hand=300)["svg"]
    height = float(shelf(on_hand=300)["svg"].split('viewBox="0 0 360 ')[1].split('"')[0])
    assert height < 660  # thirty rows on one telephone


def test_promised_but_not_there_is_drawn_as_missing() -> None:
    answer = shelf(on_hand=8, promised=15)
    assert marks(answer["svg"], "warn") == 7
    assert "7 promised but not there" in answer["words"]
    assert ">not there<" in answer["svg"] and "not there" not in shelf(on_hand=8, promised=8)["svg"]
    assert "No wax bars on the shelf." in shelf(on_hand=0, promised=0)["svg"]


def test_jars_stand_by_lot_and_the_oldest_are_promised() -> None:
    lots = [{"lot": "J26-183-1", "units": 20}, {"lot": "J26-201-1", "units": 14}]
    svg = shelf(good=JAR, on_hand=36, promised=22, share=4, lots=lots)["svg"]
    texts = [text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]
    assert texts[:3] == ["J26-183-1: 20", "J26-201-1: 14", "lot not known: 2"]
    assert marks(svg, "wax") == 14 and marks(svg, "thick") == 4


@pytest.mark.parametrize(("on_hand", "missing"), [(22, False), (21, True)])
def test_jars_that_are_missing_have_a_row_of_their_own(on_hand: int, missing: bool) -> None:
    svg = shelf(good=JAR, on_hand=on_hand, promised=22, share=0, lots=[])["svg"]
    assert ("not there" in svg) is missing


@pytest.mark.parametrize(("change", "heavy"), [
    ({"good": JAR, "on_hand": 7, "lots": [{"lot": "A", "units": 4}, {"lot": "B", "units": 3}]}, {"A: 4", "B: 3"}),
    ({"good": JAR, "on_hand": 0, "lots": []}, set()),
    ({"on_hand": 4000}, {"Each mark is 100 wax bars."}),
])  # fmt: skip
def test_what_rows_are_of_and_what_a_mark_is_stand_out_from_the_legend(change: dict[str, Any], heavy: set[str]) -> None:
    svg = shelf(**{"promised": 0, "share": 0, **change})["svg"]
    weights = {"".join(line.itertext()): line.get("font-weight") for line in ElementTree.fromstring(svg).iter(f"{SVG}text")}
    assert weights and {words for words, weight in weights.items() if weight} == heavy


def test_names_cannot_break_the_picture() -> None:
    svg = shelf(good={"name": "<b>&", "plural": '</svg>"', "kind": "wax"}, on_hand=0, promised=0)["svg"]
    ElementTree.fromstring(svg)


@settings(max_examples=60, deadline=None)
@given(
    on_hand=st.integers(-50, 200_000),
    promised=st.integers(0, 5000),
    share=st.integers(0, 500),
    row=st.integers(1, 40),
    good=st.sampled_from([BAR, JAR]),
)
def test_any_shelf_can_be_drawn(**change: Any) -> None:
    svg = shelf(**change)["svg"]
    ElementTree.fromstring(svg)
    assert len(svg) < 400_000


@given(st.floats(0, 300), st.floats(0, 300), st.floats(2, 60), st.floats(2, 60))
def test_hatching_stays_inside_its_box(x: float, y: float, width: float, height: float) -> None:
    for px, py in re.findall(r"[ML]([-\d.]+) ([-\d.]+)", hatching(x, y, width, height)):
        assert x - 0.01 <= float(px) <= x + width + 0.01
        assert y - 0.01 <= float(py) <= y + height + 0.01


def test_hatching_has_a_line_at_every_step_and_none_without_length() -> None:
    """At 5, 10 and 15 of 20; at the corners there would be dots."""
    assert re.findall(r"M(\S+) (\S+)L(\S+) (\S+?)(?=M|$)", hatching(0, 0, 10, 10)) == [
        ("0", "5", "5", "0"), ("0", "10", "10", "0"), ("5", "10", "10", "5"),
    ]  # fmt: skip


RUN_DOWN = [
    {"on": f"2026-07-{21 + n}", "low": max(0, 45 - 14 * n), "middle": max(0, 45 - 8 * n), "high": 45 - 4 * n}
    for n in range(8)
]


def test_run_down_shows_the_day() -> None:
    answer = run_down_picture(
        {"good": BAR, "today": "2026-07-21", "run_down": RUN_DOWN, "melt_by": "2026-07-23"}
    )
    root = ElementTree.fromstring(answer["svg"])
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert "melt by Thu" in texts and "45" in texts and texts.count("Tu") == 2
    assert answer["words"].endswith("at worst 0, at best 17. Melt by Thursday.")
    for wrong in ([], RUN_DOWN[:1], RUN_DOWN[::-1], [{**RUN_DOWN[0], "low": 99}, RUN_DOWN[1]]):
        with pytest.raises(UnreadableField, match="run_down"):
            run_down_picture({"good": BAR, "today": "2026-07-21", "run_down": wrong})


def test_figures_stand_beside_what_they_are_of() -> None:
    """Today's at the beginning of the middle line, none at the ground: each base line as far below as its figures are deep."""
    root = ElementTree.fromstring(run_down_picture({"good": BAR, "today": "2026-07-21", "run_down": RUN_DOWN})["svg"])
    _band, _spread, ground, middle = [path.attrib["d"] for path in root.iter(f"{SVG}path")][-4:]
    beside = {text.text: (float(text.attrib["x"]), float(text.attrib["y"])) for text in root.iter(f"{SVG}text") if "x" in text.attrib}
    for figure, line in (("45", middle), ("0", ground)):
        begin_x, begin_y = (float(part) for part in re.findall(r"[\d.]+", line)[:2])
        assert beside[figure] == (begin_x - 7, begin_y + 5)


@pytest.mark.parametrize(("melt_by", "drawn"), [("2026-07-20", 0), ("2026-07-21", 1), ("2026-07-28", 1), ("2026-07-29", 0)])
def test_the_day_to_melt_by_is_drawn_from_today_to_the_last_day(melt_by: str, drawn: int) -> None:
    answer = run_down_picture({"good": BAR, "today": "2026-07-21", "run_down": RUN_DOWN, "melt_by": melt_by})
    assert answer["svg"].count("stroke-dasharray") == answer["svg"].count(">melt by ") == drawn


@pytest.mark.parametrize(("record", "said"), [(False, True), (True, False), (None, False)])
def test_a_run_down_without_a_record_says_so(record: bool | None, said: bool) -> None:
    answer = run_down_picture({"good": BAR, "today": "2026-07-21", "run_down": RUN_DOWN, "record": record})
    assert (">no record yet of how fast they go<" in answer["svg"]) is said


GOODS = {"bar": BAR, "pint": JAR, "block": {"name": "candle block", "plural": "candle blocks"}}


def say(**change: Any) -> str:
    request = {
        "goods": GOODS,
        "today": "2026-07-21",
        "person": {"name": "Ruth Amsel"},
        "lines": [{"good": "bar", "units": 10}],
    }
    answer = order_sentence({**request, **change})
    assert "".join(part["text"] for part in answer["parts"]) == answer["words"]
    return str(answer["words"])


POST = {
    "way": "post",
    "place": {"city": "Tulsa", "state": "OK"},
    "leave_on": "2026-07-27",
    "owed_cents": 3140,
    "pays": "check",
}


def test_the_sentence_of_the_house() -> None:
    lines = [{"good": "bar", "units": 10}, {"good": "pint", "units": 2}]
    assert say(**POST, lines=lines, person={"name": "Ruth Amsel", "called": "she"}) == (
        "Ruth Amsel wants 10 wax bars and 2 pint jars, by mail to Tulsa OK, leaving Monday; "
        "she owes $31.40 and pays by check."
    )
    assert say(**POST).endswith("; they owe $31.40 and pay by check.")


def test_plurals_and_lists() -> None:
    lines = [{"good": "bar", "units": 1}, {"good": "pint", "units": 2}, {"good": "block", "units": 1}]
    assert " wants 1 wax bar, 2 pint jars and 1 candle block, " in say(**POST, lines=lines)


def test_what_is_not_known_asks() -> None:
    assert (
        say(person=None, lines=[]) == "Who? wants what?, by mail or pick up?; they owe how much? and pay how?"
    )
    answer = order_sentence(
        {"goods": GOODS, "today": "2026-07-21", "lines": [{"good": "bar", "units": 0}], "way": "post"}
    )
    asking = [part["key"] for part in answer["parts"] if part["blank"] and not part["known"]]
    assert asking == ["person", "line.0", "place", "leave_on", "owed", "pays"]


def test_other_ways_and_debts() -> None:
    assert say(way="pick_up", leave_on="2026-07-25", owed_cents=0).endswith(
        ", to pick up on Saturday; they have paid."
    )
    assert say(way="pick_up", leave_on="2026-07-22", owed_cents=100).endswith(
        "to pick up tomorrow; they owe $1.00 and pay how?"
    )
    assert say(person=None, way="walk_in", owed_cents=950, pays="cash") == (
        "A walk-in wants 10 wax bars, taken along now; they owe $9.50 and pay in cash."
    )
    assert say(way="pick_up", leave_on="2026-07-21", owed_cents=-200).endswith(
        "they have paid $2.00 too much."
    )


@pytest.mark.parametrize(
    "wrong",
    [
        {"way": "drone"},
        {"pays": "gold"},
        {"lines": [{"good": "eel", "units": 1}]},
        {"person": {"name": "A", "called": "it"}},
    ],
)
def test_bad_orders_name_the_field(wrong: dict[str, Any]) -> None:
    with pytest.raises(UnreadableField):
        say(**wrong)


def test_what_lasts_is_said_with_the_day_by_which_it_may_be_gone_or_without() -> None:
    """Where there is no such day nothing is said of it."""
    lasts = {"usually_to": "2026-08-01", "gone_by": "2026-07-27", "one_in": 20}
    today = date(2026, 7, 21)
    assert lasting_words(lasts, today) == "usually lasts to Saturday, Aug 1; 1 chance in 20 it is gone by Monday"
    assert lasting_words({**lasts, "gone_by": None}, today) == "usually lasts to Saturday, Aug 1"
    assert lasting_words({**lasts, "usually_to": None, "gone_by": None}, today) == "usually lasts four months or more"


def test_the_fewest_units_that_are_enough() -> None:
    """The first that reaches the chance, to the last bit; the end of the list where none does."""
    chance = [0.5, 0.25, 0.125]
    assert [smallest_covering(chance, service) for service in (0.25, 0.5, 0.51, 0.75, 0.875, 0.9)] == [0, 0, 1, 1, 2, 2]
    assert [at_most(chance, units) for units in (-1, 0, 1, 9)] == [0, 0.5, 0.75, 0.875]
