"""What lines and orders cost: worked cases, laws that always hold, and the browser's twin held to the same answers."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from goods.in_node import in_node
from honeyhold.kernel import work
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.pricing import RATE_PER_WHOLE, line_cents, line_price, line_total, order_sums, tax_cents

Json = dict[str, Any]
CASES: Json = json.loads(Path(__file__).with_name("price_cases.json").read_text("utf-8"))
DOORS = {"line_price": ("stock.line_price", "here.linePrice"), "order_sums": ("stock.order_sums", "here.orderSums")}
NAMED = [(door, case) for door in DOORS for case in CASES[door]]

cents = st.integers(0, 20_000)
units = st.integers(0, 400)
steps = st.lists(st.tuples(st.integers(2, 60), cents), max_size=4, unique_by=lambda step: step[0]).map(
    lambda found: [list(step) for step in sorted(found)]
)
days = st.sampled_from(["2026-07-19", "2026-07-20", "2026-07-21", "2027-01-01"])
ways = st.sampled_from(["post", "pick_up", "walk_in"])
rules = st.lists(st.fixed_dictionaries({
    "place": st.sampled_from(["", "counter", "mail"]), "since": st.one_of(st.just(""), days), "cents": cents, "steps": steps,
}), max_size=4)  # fmt: skip
goods = st.fixed_dictionaries({"price_cents": cents, "steps": steps, "prices": rules, "taxed": st.booleans()})
line_requests = st.fixed_dictionaries({"good": goods, "units": units, "way": ways, "day": days})
lines = st.lists(st.fixed_dictionaries({"units": units, "price_cents": cents, "steps": steps, "taxed": st.booleans()}), max_size=6)
states = st.sampled_from(["", "WI", "wi", "AZ"])
settings_ = st.one_of(st.none(), st.fixed_dictionaries({
    "on": st.booleans(), "rate": st.integers(0, 15_000), "mailing": st.booleans(), "elsewhere": st.booleans(),
}))  # fmt: skip
order_requests = st.fixed_dictionaries({
    "lines": lines, "posting_cents": cents, "setting": settings_, "way": ways, "state": states, "own_state": states,
    "paid_cents": st.integers(-5000, 50_000),
})  # fmt: skip


@pytest.mark.parametrize(("door", "case"), NAMED, ids=[case["name"] for _, case in NAMED])
def test_a_worked_case(door: str, case: Json) -> None:
    assert work(DOORS[door][0], case["request"]) == case["answer"]


def test_the_browser_gives_the_same_answers_to_the_worked_cases() -> None:
    for door, (_, function) in DOORS.items():
        found = in_node("../tests/goods/pricing_doors.mjs", f"asked.map({function})", [case["request"] for case in CASES[door]])
        assert found == [case["answer"] for case in CASES[door]], door


@pytest.mark.parametrize(("door", "requests"), [("line_price", line_requests), ("order_sums", order_requests)])
def test_the_browser_gives_the_same_answers_to_drawn_ones(door: str, requests: st.SearchStrategy[Json]) -> None:
    """One Node for many drawn requests: a hundred drawn lists of up to eight."""
    drawn: list[Json] = []

    @given(st.lists(requests, max_size=8))
    def draw(more: list[Json]) -> None:
        drawn.extend(more)

    draw()
    name, function = DOORS[door]
    assert len(drawn) > 100
    assert in_node("../tests/goods/pricing_doors.mjs", f"asked.map({function})", drawn) == [work(name, request) for request in drawn]


@given(units, units, cents, steps)
def test_more_never_cost_less_and_together_never_more_than_apart(few: int, more: int, price: int, found: list[list[int]]) -> None:
    together = line_cents(few + more, price, found)
    assert line_cents(few, price, found) <= together <= line_cents(few, price, found) + line_cents(more, price, found)
    assert 0 <= together <= (few + more) * price
    for size, cost in found:
        assert line_cents(size, price, found) <= cost


@given(st.integers(0, 14), cents, st.lists(st.tuples(st.integers(2, 6), cents), max_size=2))
def test_it_is_the_cheapest_of_all_ways(wanted: int, price: int, found: list[tuple[int, int]]) -> None:
    """Held to every way there is of making at least so many, for few enough to try them all."""
    offers = [(1, price), *found]
    tries = product(*(range(wanted // size + 2) for size, _ in offers))
    best = min(
        sum(count * cost for count, (_, cost) in zip(counts, offers, strict=True))
        for counts in tries
        if sum(count * size for count, (size, _) in zip(counts, offers, strict=True)) >= wanted
    )
    assert line_cents(wanted, price, found) == best


@given(st.integers(3000, 100_000), cents, steps)
def test_a_great_many_cost_what_the_whole_table_says(wanted: int, price: int, found: list[list[int]]) -> None:
    """The short way for large numbers: one more of the cheapest by the piece adds exactly its price."""
    offers = [[1, price], *found]
    best = min(offers, key=lambda offer: offer[1] / offer[0])
    grown = line_cents(wanted + best[0], price, found) - line_cents(wanted, price, found)
    assert grown == best[1]


@given(order_requests)
def test_the_sums_close_and_nothing_is_below_zero(request_: Json) -> None:
    answer = order_sums(request_)
    assert answer["goods_cents"] == sum(answer["lines"])
    assert answer["total_cents"] == answer["goods_cents"] + answer["posting_cents"] + answer["tax_cents"]
    assert answer["owed_cents"] == answer["total_cents"] - request_["paid_cents"]
    assert min([answer["tax_cents"], answer["total_cents"], *answer["lines"]]) >= 0
    if not (request_["setting"] or {}).get("on"):
        assert answer["tax_cents"] == 0


@given(order_requests, st.integers(0, 5), st.integers(1, 30))
def test_more_units_more_mailing_never_lower_the_total(request_: Json, place: int, more: int) -> None:
    before = order_sums(request_)["total_cents"]
    assert order_sums({**request_, "posting_cents": request_["posting_cents"] + more})["total_cents"] >= before + more
    if place < len(request_["lines"]):
        grown = [{**line, "units": line["units"] + more * (n == place)} for n, line in enumerate(request_["lines"])]
        assert order_sums({**request_, "lines": grown})["total_cents"] >= before


@given(order_requests, st.lists(st.integers(1, 4000), max_size=5))
def test_part_payments_in_any_order_leave_the_same(request_: Json, payments: list[int]) -> None:
    """Each part lowers what is owed by itself, and paying the rest leaves nothing."""
    owed = order_sums(request_)["owed_cents"]
    paid = request_["paid_cents"]
    for part in payments:
        paid += part
        owed -= part
        assert order_sums({**request_, "paid_cents": paid})["owed_cents"] == owed
    assert order_sums({**request_, "paid_cents": paid + owed})["owed_cents"] == 0


@given(st.integers(0, 10_000_000), st.integers(0, RATE_PER_WHOLE))
def test_tax_is_within_half_a_cent_and_half_goes_up(base: int, rate: int) -> None:
    off = 2 * (tax_cents(base, rate) * RATE_PER_WHOLE - base * rate)
    assert -RATE_PER_WHOLE < off <= RATE_PER_WHOLE


def test_a_line_of_before_there_were_totals_costs_units_times_price() -> None:
    assert line_total({"units": 7, "price_cents": 250}) == line_total({"units": 7, "price_cents": 250, "total_cents": None}) == 1750
    assert line_total({"units": 7, "price_cents": 250, "total_cents": 0}) == 0


@pytest.mark.parametrize("wrong", [
    {"units": -1}, {"units": 1.5}, {"good": {"price_cents": "3"}}, {"good": {"price_cents": 3, "steps": [[1, 2]]}},
    {"good": {"price_cents": 3, "steps": [[10, -1]]}, "units": 3},
    {"good": {"prices": [{"since": "", "place": "mail"}]}, "way": "post"}, {"day": 5},
])  # fmt: skip
def test_nonsense_names_the_field(wrong: Json) -> None:
    request_ = {"good": {"price_cents": 300}, "units": 1, "way": "post", "day": "2026-07-20", **wrong}
    with pytest.raises(UnreadableField) as trouble:
        line_price(request_)
    assert trouble.value.field and trouble.value.remedy
