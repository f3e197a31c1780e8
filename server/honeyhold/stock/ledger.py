"""The books for an accountant: every sale, payment, thing taken off and count of the till as an entry with a debit and a credit of one sum.

Worked out from the ledgers, never kept. A sale is booked on the day it left; before, what was paid for it is owed back in kind. What was
canceled was never sold. An account's debits less its credits: `customers` is what they owe (below zero: they paid ahead, or are owed
back), `cash` what should lie in the till.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any, Final

from honeyhold.stock.pricing import line_total
from honeyhold.stock.till import standing, till_of

ACCOUNTS: Final = {
    "cash": "cash in the till", "checks": "checks received", "transfers": "money that came by transfer",
    "other money": "money that came another way",
    "customers": "what customers owe; below zero: they paid ahead or are owed back", "sales tax": "sales tax collected, owed to the state",
    "owner": "cash that the owner put into the till or took out of it", "sales": "goods sold, without tax and mailing",
    "mailing": "mailing charged to customers", "taken off": "lower prices, presents, and amends for heat, breakage and loss, tax in it",
    "cash difference": "cash found missing (debit) or too much (credit) when the till was counted",
}  # fmt: skip
"""Every account with what it holds."""
COLUMNS: Final = {
    "entry": "number of the entry; its rows have debits and credits of the same sum", "on": "day",
    "what": "sale, payment, paid back, correction, taken off, till opened, taken from the till or till counted",
    "account": "which account (accounts.csv)",
    "debit": "dollars and cents", "credit": "dollars and cents", "order": "number of the order; empty: of none",
    "text": "how it was paid, or why",
}  # fmt: skip
HOW: Final = {"cash": "cash", "check": "checks", "transfer": "transfers", "other": "other money"}

Row = Mapping[str, Any]
Entry = dict[str, Any]
"""`{"on", "what", "order", "text", "sides": {account: cents}}`: a debit above zero, a credit below; the sides add up to zero."""


def journal(tables: Mapping[str, Iterable[Row]]) -> list[Entry]:
    """Every entry in order of its day, from the rows of `order`, `line`, `movement`, `payment`, `adjustment` and `till`."""
    orders = {row["id"]: row for row in tables["order"]}
    sold = sold_lines(tables)
    entries = [_sale(orders[order], lines) for order, lines in sold.items()]
    entries += [_payment(row, orders[row["order"]]) for row in tables["payment"]]
    entries += [_taken_off(row, orders[row["order"]]) for row in tables["adjustment"] if row["order"] in sold]
    entries += _till(list(tables["payment"]), list(tables["till"]))
    return sorted((one for one in entries if any(one["sides"].values())), key=lambda one: (one["on"], one["order"], one["what"]))


def balances(entries: Iterable[Entry]) -> dict[str, int]:
    """By account, debits less credits."""
    sums = dict.fromkeys(ACCOUNTS, 0)
    for entry in entries:
        for account, cents in entry["sides"].items():
            sums[account] += cents
    return sums


def journal_rows(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """The entries as rows of a table with the columns of `COLUMNS`."""
    return [
        {"entry": number, "on": one["on"], "what": one["what"], "account": account, "debit": _dollars(cents), "credit": _dollars(-cents),
         "order": one["order"], "text": one["text"]}
        for number, one in enumerate(entries, 1) for account, cents in one["sides"].items() if cents
    ]  # fmt: skip


def account_rows(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """Every account with its balance on one side or the other."""
    sums = balances(entries)
    return [{"account": name, "debit": _dollars(sums[name]), "credit": _dollars(-sums[name]), "text": ACCOUNTS[name]} for name in ACCOUNTS]


def _dollars(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02d}" if cents > 0 else ""


def sold_lines(tables: Mapping[str, Iterable[Row]]) -> dict[str, list[Row]]:
    """The lines of each order of which something left and did not come back."""
    handed: dict[str, int] = defaultdict(int)
    for row in tables["movement"]:
        if row.get("line"):
            handed[row["line"]] -= row["units"]
    lines: dict[str, list[Row]] = defaultdict(list)
    for row in tables["line"]:
        lines[row["order"]].append(row)
    return {
        order: lines[order] for order, row in ((one["id"], one) for one in tables["order"])
        if row["state"] == "gone" and any(line["units"] and handed[line["id"]] > 0 for line in lines[order])
    }  # fmt: skip


def _entry(on: str, what: str, order: Row | None, text: str, sides: dict[str, int]) -> Entry:
    return {"on": on, "what": what, "order": order["number"] if order else "", "text": text, "sides": sides}


def _sale(order: Row, lines: list[Row]) -> Entry:
    goods, mailing, tax = sum(map(line_total, lines)), order["posting_cents"], order["tax_cents"]
    sides = {"customers": goods + mailing + tax, "sales": -goods, "mailing": -mailing, "sales tax": -tax}
    free = f"at no charge: {order['free_for']}" if order.get("free_for") else ""
    return _entry(left_on(order), "sale", order, free, sides)


def left_on(order: Row) -> str:
    """The day a sale is booked on."""
    return str(order.get("gone_on") or order["taken_on"])


def _payment(row: Row, order: Row) -> Entry:
    what = "correction" if row.get("corrects") else "payment" if row["cents"] >= 0 else "paid back"
    number = f", check {row['check_number']}" if row.get("check_number") else ""
    return _entry(row["on"], what, order, f"{row['how']}{number}", {HOW[row["how"]]: row["cents"], "customers": -row["cents"]})


def _taken_off(row: Row, order: Row) -> Entry:
    on = max(str(row["on"]), left_on(order))
    return _entry(on, "taken off", order, row["why"], {"taken off": -row["cents"], "customers": row["cents"]})


def _till(payments: list[Row], written: list[Row]) -> list[Entry]:
    known = standing(written)
    names = {"opening": ("till opened", 1), "taken": ("taken from the till", -1)}
    moved = [
        _entry(row["on"], names[row["what"]][0], None, row.get("note") or "", {"cash": cents, "owner": -cents})
        for row in known if row["what"] in names for cents in (names[row["what"]][1] * row["cents"],)
    ]  # fmt: skip
    counted = []
    for day in sorted({row["on"] for row in known if row["what"] == "counted"}):
        told = till_of(day, payments, known)
        cents = told["difference_cents"]
        counted.append(_entry(day, "till counted", None, told["note"], {"cash": cents, "cash difference": -cents}))
    return [*moved, *counted]
