"""Small words and small pictures: how long ago, the hour, a list, a weight, and what a caller's three questions are shown with."""

from __future__ import annotations

import re
from typing import Any

import pytest

from goods.in_node import in_node

MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000


def said(name: str, *given: Any) -> Any:
    return in_node("parts/words.js", "here[asked[0]](...asked[1])", [name, given])


@pytest.mark.parametrize(("milliseconds", "words"), [
    (MINUTE - 1, "just now"), (MINUTE, "1 min ago"), (2 * MINUTE - 1, "1 min ago"), (HOUR - 1, "59 min ago"), (HOUR, "an hour ago"),
    (2 * HOUR - 1, "an hour ago"), (2 * HOUR, "2 hours ago"), (DAY - 1, "23 hours ago"), (DAY, "yesterday"), (2 * DAY - 1, "yesterday"),
    (2 * DAY, "2 days ago"), (-5, "just now"),
])  # fmt: skip
def test_how_long_ago(milliseconds: int, words: str) -> None:
    assert said("agoSaid", milliseconds) == words


@pytest.mark.parametrize(("seconds", "words"), [(0, "0:00"), (6.9, "0:06"), (59, "0:59"), (60, "1:00"), (3599, "59:59"), (-3, "0:00")])
def test_a_clock_that_runs(seconds: float, words: str) -> None:
    assert said("clockSaid", seconds) == words


@pytest.mark.parametrize(("hour", "words"), [
    ("00:05", "12:05 am"), ("01:00", "1:00 am"), ("11:59", "11:59 am"), ("12:00", "12:00 pm"), ("13:07", "1:07 pm"), ("23:30", "11:30 pm"),
])  # fmt: skip
def test_the_hour(hour: str, words: str) -> None:
    assert said("timeSaid", f"2027-07-24T{hour}:00") == words


@pytest.mark.parametrize(("words", "told"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")])
def test_a_list(words: list[str], told: str) -> None:
    assert said("listed", words) == told


@pytest.mark.parametrize(("count", "told"), [(0, "0 eggs"), (1, "1 egg"), (2, "2 eggs"), (1200, "1,200 eggs")])
def test_so_many(count: int, told: str) -> None:
    assert said("counted", count, "egg") == told
    assert said("counted", count, "egg", "pair of eggs").endswith("egg" if count == 1 else "pair of eggs")


def test_an_address_in_one_line() -> None:
    whole = {"street": "906 E Larkwater Ln", "unit": "Apt 3", "city": "Tempe", "state": "AZ", "zip": "85281"}
    assert said("addressSaid", whole) == "906 E Larkwater Ln Apt 3, Tempe AZ 85281"
    assert said("addressSaid", {"city": "Tempe"}) == "Tempe" and said("addressSaid", {"street": "A St", "zip": "85281"}) == "A St, 85281"
    assert said("gramsOf", 1, 0) == 454 and said("gramsOf", 0, 1) == 28 and said("gramsOf", 2, 3) == 992


@pytest.mark.parametrize(("by", "cents", "typed"), [
    ("hand", 0, True), ("hand", 1240, True), ("table", 1240, False), ("", 0, False), ("", 1, True), (None, 0, False), (None, 1240, True),
])  # fmt: skip
def test_a_price_of_mailing_that_somebody_typed(by: str | None, cents: int, typed: bool) -> None:
    """One of before it was noted whose it is counts as typed, where there is one."""
    order = {"posting_cents": cents} | ({} if by is None else {"posting_by": by})
    assert in_node("parts/posting.js", "here.typedByHand(asked)", order) is typed


DRAWN = """(() => {
  const flat = (one) => Array.isArray(one) ? one.map(flat).join('')
    : one?.strings ? one.strings.map((text, at) => text + flat(one.values[at] ?? '')).join('') : String(one);
  return asked.map(([name, ...given]) => flat(here[name](...given)));
})()"""


def drawn(*asked: list[Any]) -> list[str]:
    told: list[str] = in_node("parts/call-pictures.js", DRAWN, asked)
    return told


@pytest.mark.parametrize(("sure", "rest", "solid", "open_", "rows"), [
    (0, 0, 0, 0, 0), (1, 0, 1, 0, 1), (10, 0, 10, 0, 1), (6, 5, 6, 5, 2), (0, 3, 0, 3, 1), (40, 0, 40, 0, 4), (30, 10, 30, 10, 4),
    (60, 20, 30, 10, 4), (41, 0, 40, 0, 4), (0, 99, 0, 40, 4), (1, 400, 0, 40, 4),
])  # fmt: skip
def test_a_mark_a_piece_in_rows_of_ten(sure: int, rest: int, solid: int, open_: int, rows: int) -> None:
    """What is sure comes first; none over another, none over the edge, and as much room above as below."""
    (picture,) = drawn(["surePicture", sure, rest])
    wide, high = map(int, re.findall(r'viewBox="0 0 (\d+) (\d+)"', picture)[0])
    marks = re.findall(r'<rect class=(\w+) x=([\d.-]+) y=([\d.-]+) width="(\d+)" height="(\d+)"', picture)
    assert [one[0] for one in marks] == ["solid"] * solid + ["open"] * open_
    at = [(float(x), float(y), int(w), int(h)) for _, x, y, w, h in marks]
    assert len({(x, y) for x, y, _, _ in at}) == len(at) and len({y for _, y, _, _ in at}) == rows
    assert all(x >= 0 and x + w <= wide and y >= 0 and y + h <= high for x, y, w, h in at)
    assert at == sorted(at, key=lambda one: (one[1], one[0]))
    for x, y, w, h in at:
        assert not any((x, y) != (x2, y2) and abs(x - x2) < w and abs(y - y2) < h for x2, y2, _, _ in at)
    if at:
        above, below = min(y for _, y, _, _ in at), high - max(y + h for _, y, _, h in at)
        assert abs(above - below) <= 1
        assert [x for x, y, _, _ in at if y == at[0][1]] == [1 + 9.5 * place for place in range(min(10, solid + open_))]


@pytest.mark.parametrize("sides", [[300, 200, 100], [100, 100, 400], [900, 100, 20], [150, 150, 150]])
def test_a_carton_in_its_own_proportions(sides: list[int]) -> None:
    """As large as goes in, in the middle, its face as long to high as the carton is."""
    (picture,) = drawn(["cartonPicture", sides])
    face = re.search(r'class="face" d="M([\d.-]+) ([\d.-]+)v([\d.-]+)h([\d.-]+)v', picture)
    top = re.search(r'class="top" d="M[\d.-]+ ([\d.-]+)l([\d.-]+) ([\d.-]+)h', picture)
    assert face and top
    x, floor, up, long = map(float, face.groups())
    begins, over, rise = map(float, top.groups())
    assert -up / long == pytest.approx(sides[2] / sides[0]) and over / long == pytest.approx(sides[1] * 0.5 / sides[0])
    assert begins == pytest.approx(floor + up) and -rise / over == pytest.approx(0.64)
    assert x == pytest.approx(96 - x - long - over) and 44 - floor == pytest.approx(begins + rise)
    assert long + over == pytest.approx(64) or floor - begins - rise == pytest.approx(34)
    assert long + over < 64.01 and floor - begins - rise < 34.01


@pytest.mark.parametrize(("good", "price"), [
    ({}, {"price_cents": 0, "steps": []}), ({"price_cents": None, "prices": None, "steps": None}, {"price_cents": 0, "steps": []}),
    ({"price_cents": 250, "prices": [{"cents": 300, "since": "2027-07-21"}]}, {"price_cents": 250, "steps": []}),
    ({"price_cents": 250, "prices": [{"cents": 300, "since": "2027-07-20"}]}, {"price_cents": 300, "steps": []}),
    ({"price_cents": 250, "prices": [{"cents": 200, "place": "counter"}, {"cents": 300}]}, {"price_cents": 200, "steps": []}),
])  # fmt: skip
def test_a_price_holds_from_its_day_on_at_its_place_first_and_else_it_is_nothing(good: dict[str, Any], price: dict[str, Any]) -> None:
    assert in_node("store/pricing.js", "here.priceOn(asked, 'walk_in', '2027-07-20')", good) == price
