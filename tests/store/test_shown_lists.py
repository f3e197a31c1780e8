"""What a list shows: of a long one a hundred and a key for the others, of cartons those that were measured and not put away."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node
from screens.kinds_of_rows import good
from store.in_page import in_page

SHOWN = """(() => {
  const [drawn, key] = new here.Many({}).of('sales', Array.from({ length: asked }, (_, at) => at), (row) => row).values;
  return [drawn.length, typeof key === 'symbol' ? '' : key.values.at(-1)];
})()"""


@pytest.mark.parametrize(("rows", "shown", "key"), [
    (0, 0, ""), (99, 99, ""), (100, 100, ""), (101, 100, "show the other 1"), (600, 100, "show the other 500"),
    (601, 100, "show 500 more of 501"), (2100, 100, "show 500 more of 2,000"),
])  # fmt: skip
def test_of_a_long_list_a_hundred_are_shown_and_a_key_for_the_others(rows: int, shown: int, key: str) -> None:
    assert in_node("parts/many.js", SHOWN, rows) == [shown, key]


def carton(id: str, **more: Any) -> dict[str, Any]:
    return {"table": "carton", "id": id, "inner": ["8 in", "6 in", "4 in"], "outer": [], "tare_g": 100, "hidden": False, **more}


def test_cartons_to_choose_from_have_measures_and_are_not_put_away() -> None:
    """A carton whose measures have not come yet is none that anything can be packed in."""
    names = ("measured", "put_away", "no_measures", "good_hidden", "bar")
    goods = {name: {**good(name, (name, name, name), at, 0), "kind": "carton"} for at, name in enumerate(names)}
    rows = [
        *goods.values(), {**goods["good_hidden"], "hidden": True}, {**goods["bar"], "kind": "wax"},
        carton("measured"), carton("put_away", hidden=True), carton("good_hidden"), carton("bar"),
    ]  # fmt: skip
    assert in_page("parts/first-questions.js", "here.cartonsAsked(known.view).map(({ id }) => id)", None, rows) == ["measured"]
