"""The books close: every entry's debit is its credit, customers owe what the orders say, and the cash is what the till should hold."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from honeyhold.stock.ledger import ACCOUNTS, COLUMNS, account_rows, balances, journal, journal_rows
from honeyhold.stock.till import till_of

DAYS = [f"2026-07-{day}" for day in range(10, 16)]
Json = dict[str, Any]
Tables = dict[str, list[Json]]


def order(id: str, state: str = "gone", **more: Any) -> Json:
    return {
        "id": id, "number": id.upper(), "state": state, "taken_on": "2026-07-10", "gone_on": "2026-07-11" if state == "gone" else None,
        "posting_cents": 0, "tax_cents": 0, "free_for": "", **more,
    }  # fmt: skip


def line(order_id: str, units: int, cents: int, handed: bool = True) -> tuple[Json, list[Json]]:
    row = {"id": f"l{order_id}", "order": order_id, "good": "bar", "units": units, "price_cents": 0, "total_cents": cents}
    return row, [{"line": row["id"], "units": -units}] if handed else []


def tables(**given_: list[Json]) -> Tables:
    return {name: given_.get(name, []) for name in ("order", "line", "movement", "payment", "adjustment", "till")}


def paid(order_id: str, cents: int, how: str = "cash", on: str = "2026-07-11") -> Json:
    return {"id": f"p{order_id}{cents}{how}", "order": order_id, "cents": cents, "how": how, "on": on, "corrects": None, "check_number": ""}


def test_a_small_day_worked_by_hand() -> None:
    """$15.00 of bars and $12.40 mailing with $0.83 tax, $2.50 taken off for heat, $20 paid by check; a count that is a quarter short."""
    row, moved = line("a", 6, 1500)
    here = tables(
        order=[order("a", posting_cents=1240, tax_cents=83)], line=[row], movement=moved,
        payment=[paid("a", 2000, "check"), paid("a", 573)],
        adjustment=[{"id": "x", "order": "a", "cents": -250, "why": "heat", "on": "2026-07-10"}],
        till=[
            {"id": "1", "on": "2026-07-11", "what": "opening", "cents": 5000, "at": "a", "note": "coins"},
            {"id": "2", "on": "2026-07-11", "what": "counted", "cents": 5548, "at": "b", "note": "on the floor"},
        ],
    )  # fmt: skip
    entries = journal(here)
    assert balances(entries) == {
        "cash": 5548, "checks": 2000, "transfers": 0, "other money": 0, "customers": 0, "sales tax": -83, "owner": -5000, "sales": -1500,
        "mailing": -1240, "taken off": 250, "cash difference": 25,
    }  # fmt: skip
    rows = journal_rows(entries)
    said = {"on": "2026-07-11", "what": "till counted", "account": "cash difference", "debit": "0.25", "credit": "", "order": ""}
    assert {"entry": 1, **said, "text": "on the floor"} in rows
    assert all(list(row) == list(COLUMNS) for row in rows)
    assert {row["account"]: (row["debit"], row["credit"]) for row in account_rows(entries)}["sales"] == ("", "15.00")


def test_what_was_canceled_or_undone_was_never_sold_and_what_is_open_was_paid_ahead() -> None:
    canceled, open_, undone = line("c", 5, 1000, handed=False), line("o", 5, 1000, handed=False), line("u", 5, 1000, handed=False)
    here = tables(
        order=[order("c", "let_go"), order("o", "promised"), order("u")], line=[canceled[0], open_[0], undone[0]],
        payment=[paid("c", 700), paid("o", 300, "transfer")],
        adjustment=[{"id": "x", "order": "c", "cents": -100, "why": "gift", "on": "2026-07-10"}],
    )  # fmt: skip
    sums = balances(journal(here))
    assert (sums["customers"], sums["sales"], sums["taken off"], sums["cash"], sums["transfers"]) == (-1000, 0, 0, 700, 300)


STATES = ("promised", "gone", "gone", "let_go")
WAYS = ("cash", "check", "transfer", "other")
an_order = st.tuples(st.sampled_from(STATES), st.integers(0, 9000), st.integers(0, 2000), st.integers(0, 500), st.booleans())
orders = st.lists(an_order, min_size=1, max_size=6)
sums_paid = st.lists(
    st.tuples(st.integers(0, 5), st.integers(-5000, 9000), st.sampled_from(WAYS), st.sampled_from(DAYS)), max_size=10
)
off = st.lists(st.tuples(st.integers(0, 5), st.integers(-900, 300), st.sampled_from(DAYS)), max_size=5)
counts = st.lists(st.tuples(st.sampled_from(DAYS), st.sampled_from(("opening", "taken", "counted")), st.integers(0, 9000)), max_size=8)


@given(orders, sums_paid, off, counts)
def test_debit_is_credit_and_the_books_say_what_the_orders_and_the_till_say(
    drawn: list[tuple[str, int, int, int, bool]], money: list[tuple[int, int, str, str]], less: list[tuple[int, int, str]],
    till: list[tuple[str, str, int]],
) -> None:  # fmt: skip
    made = [line(f"o{n}", 2, cents, handed) for n, (_, cents, _, _, handed) in enumerate(drawn)]
    less_rows = [(f"o{n % len(drawn)}", cents, on) for n, cents, on in less]
    here = tables(
        order=[order(f"o{n}", state, posting_cents=mail, tax_cents=tax) for n, (state, _, mail, tax, _) in enumerate(drawn)],
        line=[row for row, _ in made], movement=[row for _, moved in made for row in moved],
        payment=[{**paid(f"o{n % len(drawn)}", cents, how, on), "id": f"p{at}"} for at, (n, cents, how, on) in enumerate(money)],
        adjustment=[
            {"id": f"a{at}", "order": one, "cents": cents, "why": "gift", "on": on} for at, (one, cents, on) in enumerate(less_rows)
        ],
        till=[
            {"id": f"t{at}", "on": on, "what": what, "cents": cents, "at": str(at), "note": ""} for at, (on, what, cents) in enumerate(till)
        ],
    )  # fmt: skip
    entries = journal(here)
    assert all(sum(entry["sides"].values()) == 0 and set(entry["sides"]) <= set(ACCOUNTS) for entry in entries)
    sums = balances(entries)
    assert sum(sums.values()) == 0
    owed = 0
    for n, (state, cents, mail, tax, handed) in enumerate(drawn):
        theirs = sum(row["cents"] for row in here["payment"] if row["order"] == f"o{n}")
        adjusted = sum(row["cents"] for row in here["adjustment"] if row["order"] == f"o{n}")
        owed += (cents + mail + tax + adjusted if state == "gone" and handed else 0) - theirs
    assert sums["customers"] == owed
    last = till_of(DAYS[-1], here["payment"], here["till"])
    assert sums["cash"] == (last["expected_cents"] if last["counted_cents"] is None else last["counted_cents"])


def test_published_examples_come_out_as_published() -> None:
    """Worked examples of bookkeeping courses, in dollars; what they book as a discount or an allowance is taken off here.

    - "Cash Over Journal Entry" (mdct.ru/bank-cash/cash-over-journal-entry): 200 lay in the till, 1,400 were sold for cash, 1,614 were
      counted: 14 over, a credit.
    - The same by another (qamnty.com/21626672): the record said 1,052, counted were 1,032: 20 short, a debit.
    - "Molina Company" (answer.ya.guru/questions/1536694): sold on account for 10,400, an allowance of 200, paid within the discount period
      with 9,894, the discount of 306 being 3 percent of 10,200: nothing is owed.
    - A sale of 16,300, 4,800 allowed, 11,270 collected after a discount of 230 (planeaciondidactica.cucea.udg.mx/expertos/14832549).
    """
    for opening, sold, counted, over in ((200, 1400, 1614, 14), (0, 1052, 1032, -20)):
        row, moved = line("a", 1, sold * 100)
        till = [{"id": "c", "on": "2026-07-11", "what": "counted", "cents": counted * 100, "at": "b", "note": ""}]
        till += [{"id": "o", "on": "2026-07-11", "what": "opening", "cents": opening * 100, "at": "a", "note": ""}] if opening else []
        sums = balances(journal(tables(order=[order("a")], line=[row], movement=moved, payment=[paid("a", sold * 100)], till=till)))
        assert (sums["cash difference"], sums["sales"], sums["cash"], sums["customers"]) == (-over * 100, -sold * 100, counted * 100, 0)
    for sold, allowed, discount, collected in ((10_400, 200, 306, 9_894), (16_300, 4_800, 230, 11_270)):
        row, moved = line("a", 1, sold * 100)
        less = [
            {"id": why, "order": "a", "cents": -cents * 100, "why": why, "on": "2026-07-12"}
            for why, cents in (("breakage", allowed), ("discount", discount))
        ]  # fmt: skip
        payment = [paid("a", collected * 100, "transfer")]
        entries = journal(tables(order=[order("a")], line=[row], movement=moved, payment=payment, adjustment=less))
        sums = balances(entries)
        assert (sums["customers"], sums["transfers"], sums["taken off"]) == (0, collected * 100, (allowed + discount) * 100)
        moved_debt = sorted(one["sides"]["customers"] for one in entries)
        assert moved_debt == sorted(cents * 100 for cents in (sold, -collected, -allowed, -discount))
