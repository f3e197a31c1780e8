"""What a device carries: the mirror of the house, its own entries on top, its share. The browser's store does the same.

No rule of the house is repeated here: rows are laid over rows, and ledgers are added up.
"""

from __future__ import annotations

import copy
from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from honeyhold.stock.pricing import order_total

Row = dict[str, Any]

ARRIVAL_FIELDS = ("table", "id", "order", "part", "dressing", "packed_on", "told_permille", "arrived", "arrived_on")
"""What is kept of a parcel whose order is forgotten: how it came, not how it was packed."""

LEDGERS = ("reservation", "movement", "payment")


@dataclass
class Mirror:
    """Rows by table and id, and the sums of the ledgers."""

    rows: dict[str, dict[str, Row]] = field(default_factory=lambda: defaultdict(dict))
    lots: dict[tuple[str, str | None], int] = field(default_factory=lambda: defaultdict(int))
    sure: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    handed: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    promised: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    paid: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    money: dict[tuple[str, str], int] = field(default_factory=lambda: defaultdict(int))
    moved: dict[tuple[str, str, int], int] = field(default_factory=lambda: defaultdict(int))
    took: dict[tuple[str, str, str], int] = field(default_factory=lambda: defaultdict(int))

    @classmethod
    def from_answer(cls, answer: dict[str, Any]) -> Mirror:
        """The mirror as the house gives it to a device that starts anew."""
        mirror = cls()
        for row in answer["rows"]:
            mirror.lay(row)
        for row in answer["balances"]:
            mirror.lots[row["good"], row["lot"]] += row["units"]
        for row in answer["sure"]:
            mirror.sure[row["line"]] += row["units"]
            mirror.promised[row["good"]] += row["units"]
        for row in answer["handed"]:
            mirror.handed[row["line"]] += row["units"]
        for row in answer["paid"]:
            mirror.paid[row["order"]] += row["cents"]
        for row in answer["ledgers"]:
            mirror.rows[row["table"]][row["id"]] = dict(row)
        for row in answer["money"]:
            mirror.money[row["on"], row["how"]] += row["cents"]
        for row in answer["moved"]:
            mirror.moved[row["good"], row["reason"], row["year"]] += row["units"]
        for row in answer["took"]:
            mirror.took[row["order"], row["lot"], row["good"]] += row["units"]
        return mirror

    def lay(self, row: Row) -> None:
        """One row on top of what is known."""
        if row["table"] == "reservation":
            self.sure[row["line"]] += row["units"]
            self.promised[row["good"]] += row["units"]
        elif row["table"] == "movement":
            self.lots[row["good"], row.get("lot")] += row["units"]
            self.moved[row["good"], row["reason"], int(row["on"][:4])] += row["units"]
            if row.get("line"):
                self.handed[row["line"]] -= row["units"]
            if row.get("order") and row.get("lot") and row["reason"] != "packed":
                self.took[row["order"], row["lot"], row["good"]] -= row["units"]
        elif row["table"] == "payment":
            self.paid[row["order"]] += row["cents"]
            self.money[row["on"], row["how"]] += row["cents"]
            self.rows["payment"][row["id"]] = dict(row)
        elif row["table"] != "undoing":  # what was undone is the house's to know
            known = self.rows[row["table"]].setdefault(row["id"], {})
            known.update({key: value for key, value in row.items() if key != "was"})

    def forget(self, keep_since: str, named: set[str]) -> None:
        """Drops what the house's own mirror leaves out too: orders closed before that day that are settled.

        `named` holds orders that entries in hand speak of; they stay. Sums and payments of orders that are not here go as well.
        """
        orders, lines, parcels = self.rows["order"], self.rows["line"], self.rows["parcel"]
        for order_id, order in list(orders.items()):
            closed_on = order.get("closed_on")
            if closed_on and closed_on < keep_since and order_id not in named and not order.get("free_for") and self.owed(order_id) == 0:
                del orders[order_id]
        here = orders.keys() | named
        for line_id in [line_id for line_id, line in lines.items() if line.get("order") not in here]:
            del lines[line_id]
        for parcel_id, parcel in list(parcels.items()):
            if parcel.get("order") not in here and parcel.get("arrived"):
                parcels[parcel_id] = {name: value for name, value in parcel.items() if name in ARRIVAL_FIELDS}
            elif parcel.get("order") not in here:
                del parcels[parcel_id]
        payments = self.rows["payment"]
        for payment_id in [payment_id for payment_id, payment in payments.items() if payment["order"] not in here]:
            del payments[payment_id]
        for sums, known in ((self.sure, lines), (self.handed, lines), (self.paid, here)):
            for key in [key for key in sums if key not in known]:
                del sums[key]

    def orders_named(self, operations: list[dict[str, Any]]) -> set[str]:
        """The orders that entries speak of: by their own row, or by a line or parcel of theirs."""
        named: set[str] = set()
        for row in (row for operation in operations for row in operation["rows"]):
            known = self.rows[row["table"]].get(row["id"], {}) if row["table"] in ("line", "parcel") else {}
            named.add(row["id"] if row["table"] == "order" else str(row.get("order") or known.get("order", "")))
        return named - {""}

    def owed(self, order_id: str) -> int:
        """Cents still owed on an order (below zero: owed back): what left and its posting, less what was paid."""
        order, lines = self.rows["order"][order_id], [row for row in self.rows["line"].values() if row.get("order") == order_id]
        left = any(row["units"] and self.handed.get(row["id"], 0) > 0 for row in lines)
        cents = order_total(order, lines) + self.adjusted(order_id) if order["state"] == "gone" and left else 0
        return cents - self.paid.get(order_id, 0)

    def adjusted(self, order_id: str) -> int:
        """Cents taken off what an order comes to (below zero) or put back on."""
        return sum(int(row["cents"]) for row in self.rows["adjustment"].values() if row["order"] == order_id)

    def with_entries(self, operations: list[dict[str, Any]]) -> Mirror:
        """A copy with the rows of these entries on top."""
        top = copy.deepcopy(self)
        for operation in operations:
            for row in operation["rows"]:
                top.lay(row)
        return top

    def on_hand(self, good: str, lot: str | None = None) -> int:
        """Units of a good on the shelf, of one lot if it is named."""
        if lot is not None:
            return self.lots.get((good, lot), 0)
        return sum(units for (owner, _), units in self.lots.items() if owner == good)

    def lines_of(self, order: str) -> list[Row]:
        """The order's lines that want anything."""
        return [row for row in self.rows["line"].values() if row.get("order") == order and row.get("units")]

    def lot_balances(self, good: str) -> list[Row]:
        """`{"lot", "made_on", "units"}` of each lot with units left."""
        found = [(lot, units) for (owner, lot), units in self.lots.items() if owner == good and units > 0]
        lots = self.rows["lot"]
        return [
            {"lot": lot, "units": units, **({"made_on": lots[lot]["made_on"]} if lot in lots else {})}
            for lot, units in found
        ]


@dataclass
class Share:
    """Two counters by good that only grow; each side takes the larger of what it knows and what it hears."""

    granted: dict[str, int] = field(default_factory=dict)
    spent: dict[str, int] = field(default_factory=dict)

    def left(self, good: str) -> int:
        """What may be promised alone."""
        return self.granted.get(good, 0) - self.spent.get(good, 0)

    def hear(self, granted: dict[str, int], spent: dict[str, int]) -> None:
        """What the house says of both counters."""
        for mine, theirs in ((self.granted, granted), (self.spent, spent)):
            for good, units in theirs.items():
                mine[good] = max(mine.get(good, 0), units)

    def take(self, units_by_good: dict[str, int]) -> None:
        """Counts what an entry takes. Raises ValueError when the share does not hold it."""
        for good, units in units_by_good.items():
            if units > self.left(good):
                raise ValueError(f"The share of {good} holds {self.left(good)}, not {units}: ask the house for more.")
        for good, units in units_by_good.items():
            self.spent[good] = self.spent.get(good, 0) + units
