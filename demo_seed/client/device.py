"""A device without a screen: one method for each thing that can happen. For the demo, the command line and the storm.

Every method writes one entry to the log and shows it at once in the device's own view; `exchange()` tells the house.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from demo_seed.client.defaults import defaults_of
from demo_seed.client.inverse import inverse_rows
from demo_seed.client.transport import DirectTransport, LogClient
from honeyhold.operations.standing_names import line_id, order_id
from honeyhold.stock.destination import FIELDS, copied, destination
from honeyhold.stock.pricing import line_cents, order_tax, order_total, price_on, tax_terms, told_line
from honeyhold.stock.shelf import pick_lots

if TYPE_CHECKING:
    from honeyhold.house.house import House

Json = dict[str, Any]
Units = dict[str, int]
Wanted = Iterable[tuple[Any, ...]]
"""`(good, units)` or `(good, units, price_cents)`."""
Day = date | str | None


@dataclass(frozen=True)
class Taken:
    """An order as it was taken: what is sure, what waits, and the line of each good."""

    order: str
    number: str
    lines: dict[str, str]
    sure: Units = field(default_factory=dict)
    waiting: Units = field(default_factory=dict)


class DeviceClient(LogClient):
    """See `house/README.md` for the table of calls."""

    @classmethod
    def enrol(
        cls, house: House, name: str, role: str = "keeper", new_id: Callable[[], str] | None = None
    ) -> DeviceClient:
        """A new device of a house in the same process; its clock is the house's."""
        identity = house.enrol(house.new_code(role)["code"], name)
        return cls(identity, DirectTransport(house), new_id, house.clock.now)

    def note_person(self, id: str | None = None, **fields: Any) -> str:
        """A person, new or changed; the id."""
        person = id or self.new_id()
        self.write("note_person", [{"table": "person", "id": person, **fields}])
        return person

    def note_people(self, people: list[Json]) -> None:
        """People from a list, with their ids."""
        self.write("note_people", [{"table": "person", **person} for person in people])

    def promise(
        self, lines: Wanted, person: str, way: str = "post", payment: tuple[int, str] | None = None, **order: Any
    ) -> Taken:
        """An order: what the share holds is sure, the rest waits."""
        taken, rows = self._order(person, {"way": way, "state": "promised", **_days(order)})
        reservations: list[Json] = []
        spent: Units = {}
        told = self._lines(lines, taken, way, named="standing" in order)
        rows[0].update(self._tax(rows[0], told))
        if way == "post" and "goes_to" not in order:
            rows[0].update(copied(self.view.rows["person"].get(person)))
        for row in told:
            sure = min(row["units"], self.share(row["good"]) - spent.get(row["good"], 0))
            rows.append(row)
            if sure > 0:
                reservations.append(self.reserve(row, sure))
                spent[row["good"]] = spent.get(row["good"], 0) + sure
                taken.sure[row["good"]] = taken.sure.get(row["good"], 0) + sure
            if sure < row["units"]:
                taken.waiting[row["good"]] = taken.waiting.get(row["good"], 0) + row["units"] - max(0, sure)
        self.write("promise", [*rows, *reservations, *self._payment(taken.order, payment)], spent)
        return taken

    def join_people(self, person: str, same_as: str | None) -> None:
        """Somebody is the same as another, or (null) not any more. Raises ValueError when nothing differs."""
        before = self.view.rows["person"][person].get("same_as")
        if same_as == before:
            raise ValueError("Nothing differs.")
        self.write("join_people", [{"table": "person", "id": person, "same_as": same_as, "was": {"same_as": before}}])

    def note_standing(self, id: str | None = None, **fields: Any) -> str:
        """What a person wants again and again, new or changed; the id. `wanted`: pairs of good and units."""
        standing = id or self.new_id()
        if "wanted" in fields:
            fields["wanted"] = [{"good": good, "units": units} for good, units in fields["wanted"]]
        self.write("note_standing", [{"table": "standing", "id": standing, **fields}])
        return standing

    def promise_standing(self, standing: str, on: str) -> Taken:
        """The order of a day of a standing order. Raises ValueError when one stands already."""
        row = {**defaults_of("standing"), **self.view.rows["standing"][standing]}
        known = self.view.rows["order"].values()
        before = [one for one in known if one.get("standing") == standing and one.get("standing_on") == on]
        if any(one["state"] != "let_go" for one in before):
            raise ValueError(f"The standing order {standing} of {on} is promised already.")
        more = {name: row[name] for name in (*(FIELDS if row["goes_to"] else ()), "note", "gift_note")}
        return self.promise(
            [(one["good"], one["units"]) for one in row["wanted"]], row["person"], row["way"], leave_on=on,
            id=order_id(standing, on, len(before)), standing=standing, standing_on=on, **more,
        )  # fmt: skip

    def amend(self, order: str, lines: Wanted = (), person: str | None = None, **fields: Any) -> None:
        """New wanted units of the goods named, other fields of the order; more comes from the share or waits."""
        spent: Units = {}
        known = {row["good"]: row for row in self.view.lines_of(order)}
        rows: list[Json] = []
        for good, units, *_price in lines:
            rows += self.line_becomes(order, known.get(good), good, units, spent)
        rows = [*self._order_changed(order, {**_days(fields), **({"person": person} if person else {})}, rows), *rows]
        if rows:
            self.write("amend", rows, spent)

    def _order_changed(self, order: str, fields: Json, lines: list[Json]) -> list[Json]:
        """The order's row with what differs and what it was before, so that two keepers at one order are both told; the tax follows."""
        known = {**defaults_of("order"), **self.view.rows["order"][order]}
        differs = {name: value for name, value in fields.items() if known.get(name) != value}
        changed = {**differs, **self._tax_anew(order, fields, lines)}
        was = {name: known.get(name) for name in differs}
        return [{"table": "order", "id": order, **changed, "was": was}] if changed else []

    def let_go(self, order: str) -> None:
        """The order is given up and its goods freed."""
        freed = [self.reserve(line, -self.sure(line["id"])) for line in self.view.lines_of(order) if self.sure(line["id"])]
        self.write("let_go", [{"table": "order", "id": order, "state": "let_go"}, *freed])

    def sell(
        self, lines: Wanted, person: str | None = None, pays: str = "cash", paid: bool | None = None,
        lots: dict[str, list[tuple[str | None, int]]] | None = None, **order: Any,
    ) -> Taken:  # fmt: skip
        """A walk-in: goods leave now; from the share as far as it goes, the rest is a fact all the same. Paid unless it is `later`."""
        taken, rows = self._order(person, {"way": "walk_in", "state": "gone", "gone_on": self._today(), "pays": pays, **order})
        paid = pays != "later" if paid is None else paid
        spent: Units = {}
        movements: list[Json] = []
        told = self._lines(lines, taken, "walk_in")
        rows[0].update(self._tax(rows[0], told))
        total = order_total(rows[0], told)
        for row in told:
            good, units = row["good"], row["units"]
            rows.append(row)
            from_share = min(units, self.share(good) - spent.get(good, 0))
            if from_share > 0:
                spent[good] = spent.get(good, 0) + from_share
            movements += [self._leaves(row, lot, part, "sold") for lot, part in (lots or {}).get(good) or self._oldest(good, units)]
        payment = self._payment(taken.order, (total, "check" if pays == "check" else "cash") if paid and total else None)
        self.write("sell", [*rows, *movements, *payment], spent)
        return taken

    def pack(self, order: str, parcels: list[Json], cartons: Units | None = None, on: Day = None) -> list[str]:
        """The order stands packed in so many parcels; their ids."""
        rows = [
            {"table": "parcel", "id": self.new_id(), "order": order, "part": part, "packed_on": _day(on) or self._today(), **parcel}
            for part, parcel in enumerate(parcels, 1)
        ]
        used: Units = dict(cartons or {})
        if cartons is None:
            for row in rows:
                if row.get("carton"):
                    used[row["carton"]] = used.get(row["carton"], 0) + 1
        movements = [self._movement(good, None, -units, "packed", on, order=order) for good, units in used.items()]
        self.write("pack", [{"table": "order", "id": order, "state": "packed"}, *rows, *movements])
        for rider in self._riders(order, "promised"):
            self.write("pack", [{"table": "order", "id": rider, "state": "packed"}])
        return [row["id"] for row in rows]

    def unpack(self, operation: Json) -> None:
        """A packing of this device undone: its cartons come back."""
        order = next(row["id"] for row in operation["rows"] if row["table"] == "order")
        parcels = [{"table": "parcel", "id": row["id"], "packed_on": None} for row in operation["rows"] if row["table"] == "parcel"]
        cartons = [
            {**row, "id": self.new_id(), "units": -row["units"], "undoes": row["id"]}
            for row in operation["rows"] if row["table"] == "movement"
        ]  # fmt: skip
        self.write("unpack", [{"table": "order", "id": order, "state": "promised"}, *parcels, *cartons])

    def weigh(self, parcel: str, scale_g: int) -> None:
        """What the scale says."""
        self.write("weigh", [{"table": "parcel", "id": parcel, "scale_g": scale_g}])

    def track(self, parcel: str, tracking: str) -> None:
        """The number under which a carrier follows it."""
        self.write("track", [{"table": "parcel", "id": parcel, "tracking": tracking}])

    def arrive(self, parcels: dict[str, str], on: Day = None) -> None:
        """How parcels came, by parcel: fine, dented, slumped, run, leaked or lost; the empty text takes it back."""
        day = _day(on) or self._today()
        self.write("arrive", [
            {"table": "parcel", "id": parcel, "arrived": how, "arrived_on": day if how else None} for parcel, how in parcels.items()
        ])

    def hand_over(
        self, order: str, lots: dict[str, list[tuple[str | None, int]]] | None = None,
        payment: tuple[int, str] | None = None, on: Day = None,
    ) -> None:  # fmt: skip
        """All that is sure leaves, oldest lot first unless `lots` (by good) says otherwise.

        Raises ValueError when a line still waits: nobody is to be told that it has gone while part of it never left.
        """
        waits = [line["good"] for line in self.view.lines_of(order) if self.waiting(line["id"]) > 0]
        if waits and self.order(order)["state"] != "let_go":
            raise ValueError(f"{', '.join(waits)} of the order {order} still waits: lower it first, or let it wait for the next pour.")
        rows: list[Json] = [{"table": "order", "id": order, "state": "gone", "gone_on": _day(on) or self._today()}]
        for line in self.view.lines_of(order):
            units = self.sure(line["id"])
            if units <= 0:
                continue
            picks = (lots or {}).get(line["good"]) or self._oldest(line["good"], units)
            rows += [self._leaves(line, lot, part, "gone", on) for lot, part in picks]
            rows.append(self.reserve(line, -units))
        riders = self._riders(order, "promised", "packed")
        self.write("hand_over", [*rows, *self._payment(order, payment, on)])
        for rider in riders:
            self.hand_over(rider, on=on)

    def pay(self, order: str, cents: int, how: str = "cash", on: Day = None, note: str = "", **more: Any) -> None:
        """Money in (or back, below nothing); `check_number`, `given_cents`. Raises ValueError when it is none."""
        if cents == 0:
            raise ValueError("Nothing was paid: give the amount.")
        self.write("pay", [{**row, "note": note, **more} for row in self._payment(order, (cents, how), on)])

    def correct(self, payment: str, cents: int, note: str = "") -> None:
        """A payment was entered wrongly: another entry, of its day and way, makes it `cents`. Raises ValueError when it is so already."""
        payments = self.view.rows["payment"]
        wrong = payments[payment]
        now = wrong["cents"] + sum(row["cents"] for row in payments.values() if row.get("corrects") == payment)
        if cents == now:
            raise ValueError("It says so already.")
        (row,) = self._payment(wrong["order"], (cents - now, wrong["how"]), wrong["on"])
        self.write("pay", [{**row, "note": note, "corrects": payment}])

    def send_again(self, order: str, free_for: str) -> Taken:
        """The same goods to the same place for nothing, with the reason: `heat`, `breakage` or `loss`."""
        was = {**defaults_of("order"), **self.order(order)}
        lines = [(row["good"], row["units"], 0) for row in self.view.lines_of(order)]
        where: Json = {name: was[name] for name in FIELDS} if was["goes_to"] == "other" else {}
        why: Json = {"replaces": order, "free_for": free_for, "note": f"instead of {was['number']}", "posting_by": "hand"}
        way = "pick_up" if was["way"] == "pick_up" else "post"
        return self.promise(lines, person=was["person"], way=way, dressing=was["dressing"], **where, **why)

    def adjust(self, order: str, cents: int, why: str, note: str = "") -> None:
        """Something taken off what an order comes to (below nothing), or put back on. Raises ValueError when it is none."""
        if cents == 0:
            raise ValueError("Nothing is taken off: give the amount.")
        row = {"table": "adjustment", "id": self.new_id(), "order": order, "cents": cents, "why": why, "on": self._today(), "note": note}
        self.write("adjust", [row])

    def till(self, what: str, cents: int, note: str = "") -> None:
        """Cash put into the till (`opening`), `taken` out of it, or `counted` in it."""
        at = f"{self.clock():%Y-%m-%dT%H:%M:%SZ}"
        row = {"table": "till", "id": self.new_id(), "on": self._today(), "what": what, "cents": cents, "at": at, "note": note}
        self.write("note_till", [row])

    def go_without(self, good: str, units: int, way: str = "pick_up") -> None:
        """What a caller wanted and did not wait for, at the price of today."""
        price = price_on(self.view.rows["good"][good], way, self._today())
        cents = line_cents(units, price["price_cents"], price["steps"])
        row = {"table": "lost_sale", "id": self.new_id(), "good": good, "units": units, "cents": cents, "on": self._today()}
        self.write("note_lost_sale", [row])

    def make(self, lots: list[Json], movements: Iterable[tuple[str, str | None, int, str]], on: Day = None) -> None:
        """A pour, a bottling, an extraction: what went in and what came out."""
        made = [self._movement(good, lot, units, reason, on) for good, lot, units, reason in movements]
        self.write("make", [*({"table": "lot", **lot} for lot in lots), *made])

    def count(self, movements: Iterable[tuple[str, str | None, int, str]], on: Day = None) -> None:
        """The shelf is right: differences found by counting."""
        self.write("count", [self._movement(good, lot, units, reason, on) for good, lot, units, reason in movements])

    def take_back(self, operation: Json) -> None:
        """An act of making or counting undone: the same movements with the other sign."""
        rows = [
            {**row, "id": self.new_id(), "units": -row["units"], "undoes": row["id"]}
            for row in operation["rows"] if row["table"] == "movement"
        ]  # fmt: skip
        self.write("take_back", rows)

    def undo(self, operation: Json, before: dict[str, Json] | None = None) -> Json:
        """An entry of this device undone, whole; `before`: by id, the rows as they stood before it (else as this device noted them)."""
        return self.write("undo", *inverse_rows(self, operation, self.prior.get(operation["id"], {}) if before is None else before))

    def buy(self, movements: Iterable[tuple[str, str | None, int, str]], on: Day = None) -> None:
        """Goods or cartons bought in."""
        self.write("buy", [self._movement(good, lot, units, reason, on) for good, lot, units, reason in movements])

    def note_lot(self, id: str, **fields: Any) -> None:
        """What is known of a lot."""
        self.write("note_lot", [{"table": "lot", "id": id, **fields}])

    def set_good(self, goods: list[Json], cartons: Iterable[Json] = ()) -> None:
        """Goods and cartons as they are from now on (keepers only)."""
        self.write("set_good", [*({"table": "good", **row} for row in goods), *({"table": "carton", **row} for row in cartons)])

    def set_house(self, values: Json) -> None:
        """Settings of the house (keepers only)."""
        self.write("set_house", [{"table": "setting", "id": key, "value": value} for key, value in values.items()])

    def give_back(self, units_by_good: Units) -> None:
        """Part of the share returns to the pool."""
        self.write("give_back", [], units_by_good)

    def share(self, good: str) -> int:
        """Units this device may promise alone."""
        return self.share_held.left(good)

    def on_hand(self, good: str, lot: str | None = None) -> int:
        """Units on the shelf as this device knows it."""
        return self.view.on_hand(good, lot)

    def free(self, good: str) -> int:
        """On the shelf less what is promised, as this device knows it."""
        return self.view.on_hand(good) - self.view.promised[good]

    def order(self, order: str) -> Json:
        """The order's row as this device knows it."""
        return self.view.rows["order"][order]

    def sure(self, line: str) -> int:
        """Units set aside for a line."""
        return self.view.sure[line]

    def waiting(self, line: str) -> int:
        """Units of a line that wait."""
        return int(self.view.rows["line"][line]["units"]) - self.view.sure[line] - self.view.handed[line]

    def _riders(self, order: str, *states: str) -> list[str]:
        """Orders that go in the parcel of this one."""
        return [row["id"] for row in self.view.rows["order"].values() if row.get("goes_with") == order and row["state"] in states]

    def _order(self, person: str | None, fields: Json) -> tuple[Taken, list[Json]]:
        self.orders_counted += 1
        number = f"{self.identity['mark']}-{self.orders_counted}"
        taken = Taken(fields.pop("id", None) or self.new_id(), number, {})
        row = {"table": "order", "id": taken.order, "number": number, "person": person, "taken_on": self._today(), **fields}
        return taken, [row]

    def _lines(self, lines: Wanted, taken: Taken, way: str, named: bool = False) -> list[Json]:
        rows = []
        for good, units, *price in lines:
            line = line_id(taken.order, good) if named else self.new_id()
            taken.lines[good] = line
            rows.append(self._told(line, taken.order, good, units, way, *price))
        return rows

    def _told(self, line: str, order: str, good: str, units: int, way: str, *price: int) -> Json:
        """A new line with what it was told: the good's price today, or one agreed on."""
        row = self.view.rows["good"].get(good, {})
        agreed = {**row, "price_cents": price[0], "steps": [], "prices": []} if price else row
        told = told_line(agreed, units, way, self._today())
        return {"table": "line", "id": line, "order": order, "good": good, "units": units, **told}

    def _tax(self, order: Json, lines: list[Json]) -> Json:
        """The terms of a new order and its tax; nothing where no tax is due."""
        terms = self._terms(order)
        return {**terms, "tax_cents": order_tax({**order, **terms}, lines)} if terms["tax_rate"] else {}

    def _terms(self, order: Json) -> Json:
        settings = {key: row["value"] for key, row in self.view.rows["setting"].items()}
        return tax_terms(settings.get("sales_tax"), order["way"], self._state(order), settings.get("state") or "")

    def _state(self, order: Json) -> str:
        """Where it goes; empty when nobody said."""
        return destination(order, self.view.rows["person"].get(order.get("person") or ""))["state"]

    def _tax_anew(self, order: str, fields: Json, rows: list[Json]) -> Json:
        """What changes of an order's tax: at the terms it was told while it goes the same way to the same state, else at today's."""
        told = {**defaults_of("order"), **self.view.rows["order"][order]}
        known = {**told, **fields}
        if known["way"] != told["way"] or self._state(known) != self._state(told):
            known.update(self._terms(known))
        lines = {row["id"]: row for row in self.view.lines_of(order)}
        for row in rows:
            if row["table"] == "line":
                lines[row["id"]] = {**lines.get(row["id"], {}), **row}
        known["tax_cents"] = order_tax(known, list(lines.values()))
        return {name: known[name] for name in ("tax_cents", "tax_rate", "tax_mailing") if known[name] != told[name]}

    def line_becomes(self, order: str, line: Json | None, good: str, units: int, spent: Units) -> list[Json]:
        """A line with another number of units; more comes from the share, which `spent` counts. Nothing when it is the same number."""
        if line is not None and line["units"] == units:
            return []
        if line is None:
            line = {"id": self.new_id(), "order": order, "good": good, "units": 0}
            row = self._told(line["id"], order, good, units, self.view.rows["order"][order].get("way", "post"))
        else:
            total = line_cents(units, line.get("price_cents", 0), line.get("steps") or [])
            row = {"table": "line", "id": line["id"], "units": units, "total_cents": total, "was": {"units": line["units"]}}
        sure = self.sure(line["id"])
        more = min(units - sure - self.view.handed[line["id"]], self.share(good) - spent.get(good, 0))
        if units < sure:
            return [row, self.reserve(line, units - sure)]
        if units > line["units"] and more > 0:
            more = min(more, units - line["units"])  # what waited already is the house's to fill, first come first served
            spent[good] = spent.get(good, 0) + more
            return [row, self.reserve(line, more)]
        return [row]

    def reserve(self, line: Json, units: int) -> Json:
        """Units set aside for a line (or freed, below nothing)."""
        return {
            "table": "reservation", "id": self.new_id(), "order": line["order"], "line": line["id"], "good": line["good"],
            "units": units,
        }  # fmt: skip

    def _leaves(self, line: Json, lot: str | None, units: int, reason: str, on: Day = None) -> Json:
        return self._movement(line["good"], lot, -units, reason, on, order=line["order"], line=line["id"])

    def _movement(self, good: str, lot: str | None, units: int, reason: str, on: Day = None, **more: Any) -> Json:
        return {
            "table": "movement", "id": self.new_id(), "good": good, "lot": lot, "units": units, "reason": reason,
            "on": _day(on) or self._today(), **more,
        }  # fmt: skip

    def _payment(self, order: str, payment: tuple[int, str] | None, on: Day = None) -> list[Json]:
        if payment is None:
            return []
        cents, how = payment
        row = {"table": "payment", "id": self.new_id(), "order": order, "cents": cents, "how": how, "on": _day(on) or self._today()}
        return [row]

    def _oldest(self, good: str, units: int) -> list[tuple[str | None, int]]:
        picked = pick_lots({"balances": self.view.lot_balances(good), "units": units})
        lots: list[tuple[str | None, int]] = [(pick["lot"], pick["units"]) for pick in picked["picks"]]
        return [*lots, (None, picked["missing"])] if picked["missing"] else lots

    def _today(self) -> str:
        return self.clock().date().isoformat()


def _day(day: Day) -> str | None:
    return day.isoformat() if isinstance(day, date) else day


def _days(fields: Json) -> Json:
    return {key: _day(value) if isinstance(value, date) else value for key, value in fields.items()}
