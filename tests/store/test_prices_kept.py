"""What a device keeps of prices and payments: so many prices and no more, each quantity once; a payment with what put it right."""

from __future__ import annotations

import pytest

from screens.rows import good
from store.in_page import in_page

RULES = [{"place": "counter", "since": f"2027-09-{day:02d}", "cents": 300, "steps": []} for day in range(1, 25)]
SET = """{
  const entry = (await db.read(['log'], (tx) => tx.objectStore('log').getAll())).length;
  const said = await here.setPrices('bar', asked).then(() => 'kept', ({ message, remedy }) => `${message} ${remedy}`);
  return [said, (await db.read(['log'], (tx) => tx.objectStore('log').getAll())).length - entry];
}"""


@pytest.mark.parametrize(("had", "since", "said", "written"), [
    (23, "2027-10-30", "kept", 1), (24, "2027-09-24", "kept", 1),
    (24, "2027-10-30", "25 prices are too many. Take an old one away first.", 0),
])  # fmt: skip
def test_a_price_too_many_is_refused_and_nothing_is_written(had: int, since: str, said: str, written: int) -> None:
    bar = {**good("bar", ("wax bar", "wax bars", "bars"), 1, 250), "prices": RULES[:had]}
    asked = {"place": "counter", "since": since, "cents": 310}
    assert in_page("store/goods.js", SET, asked, [bar]) == [said, written]


@pytest.mark.parametrize(("steps", "said"), [
    ([[2, 500], [5, 1200], [10, 2000]], "kept"), ([[10, 2000], [2, 500]], "kept"),
    ([[2, 500], [5, 1200], [5, 1100]], "5 for so much is no price."), ([[5, 1200], [2, 500], [5, 1100]], "5 for so much is no price."),
    ([[2, 500], [2, 400], [5, 1200]], "2 for so much is no price."), ([[1, 250]], "1 for so much is no price."),
])  # fmt: skip
def test_each_quantity_has_one_price(steps: list[list[int]], said: str) -> None:
    bar = good("bar", ("wax bar", "wax bars", "bars"), 1, 250)
    told, written = in_page("store/goods.js", SET, {"place": "counter", "since": "", "steps": steps}, [bar])
    assert (told.startswith(said), written) == (True, int(said == "kept"))


def test_a_payment_comes_to_what_was_put_right_since() -> None:
    paid = {"table": "payment", "id": "p1", "order": "o1", "cents": 1000, "how": "cash", "on": "2027-07-23"}
    more = {**paid, "id": "p2", "cents": 500, "corrects": "p1"}
    less = {**paid, "id": "p3", "cents": -200, "corrects": "p1"}
    other = {**paid, "id": "p4", "cents": 70}
    rows = [paid, more, less, other]
    assert in_page("store/money.js", "[here.paidNow(asked[0]), here.paidNow(asked[3])]", rows, rows) == [1300, 70]
