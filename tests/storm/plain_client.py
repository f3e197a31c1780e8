"""A device written from `server/honeyhold/operations/README.md` alone. It shares no code with the other clients nor with the house.

What it writes and what it believes is kept in the plainest way: a list of entries with what became of each, rows by table and id, sums.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Callable
from typing import Any, Protocol

Json = dict[str, Any]

PAGE = 200
ROUNDS = 60
SUMMED = {"reservation", "movement", "payment", "undoing"}


class Wire(Protocol):
    """How it reaches the main computer; OSError when nothing is known of what happened."""

    def exchange(self, token: str, ask: Json) -> Json:
        """`POST /api/exchange`."""

    def mirror(self, token: str) -> Json:
        """`GET /api/mirror`."""


def sealed(entry: Json) -> Json:
    """The entry with its hash."""
    text = json.dumps(entry, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return {**entry, "hash": hashlib.sha256(text.encode("utf-8")).hexdigest()}


class Book:
    """Rows and sums, as the rows of entries add up."""

    def __init__(self) -> None:
        self.rows: dict[tuple[str, str], Json] = {}
        self.lots: Counter[tuple[str, str]] = Counter()
        self.sure: Counter[str] = Counter()
        self.handed: Counter[str] = Counter()
        self.paid: Counter[str] = Counter()

    def put(self, row: Json) -> None:
        """One row of an entry."""
        if row["table"] == "reservation":
            self.sure[row["line"]] += row["units"]
        elif row["table"] == "payment":
            self.paid[row["order"]] += row["cents"]
        elif row["table"] == "movement":
            self.lots[row["good"], row.get("lot") or ""] += row["units"]
            if row.get("line"):
                self.handed[row["line"]] -= row["units"]
        elif row["table"] not in SUMMED:
            fields = {name: value for name, value in row.items() if name != "was"}
            self.rows[row["table"], row["id"]] = {**self.rows.get((row["table"], row["id"]), {}), **fields}

    def of(self, table: str) -> list[Json]:
        """All rows of a table."""
        return [row for (name, _), row in self.rows.items() if name == table]


class PlainClient:
    """One device: what it is, what it wrote, what it heard."""

    def __init__(self, identity: Json, wire: Wire, new_id: Callable[[], str], now: Callable[[], str]) -> None:
        self.identity, self.wire, self.new_id, self.now = identity, wire, new_id, now
        self.log: list[Json] = []
        self.answers: dict[str, Json] = {}
        self.said_before: dict[str, Json] = {}
        self.places: dict[str, Json] = {}
        self.heard = Book()
        self.epoch: str | None = None
        self.cursor = self.read_to = self.orders = 0
        self.granted: dict[str, int] = {}
        self.spent: dict[str, int] = {}

    # What it does ----------------------------------------------------------------------------------------------------

    def write(self, kind: str, rows: list[Json], spent: dict[str, int] | None = None) -> Json:
        """One entry, written down before anybody is told."""
        taken = {good: units for good, units in (spent or {}).items() if units > 0}
        assert all(units <= self.share(good) for good, units in taken.items()), "it promises what it does not hold"
        last = self.log[-1] if self.log else {"seq": 0, "hash": ""}
        entry = sealed({
            "id": self.new_id(), "device": self.identity["device"], "seq": last["seq"] + 1, "kind": kind, "version": 1,
            "made_at": self.now(), "before": last["hash"], "spent": taken, "rows": rows,
        })  # fmt: skip
        self.log.append(entry)
        for good, units in taken.items():
            self.spent[good] = self.spent.get(good, 0) + units
        return entry

    def share(self, good: str) -> int:
        """What it may promise alone."""
        return self.granted.get(good, 0) - self.spent.get(good, 0)

    def take_order(self, person: str, good: str, units: int) -> Json:
        """Sure as far as its share goes; the rest waits."""
        order, line, sure = self.new_id(), self.new_id(), min(units, max(0, self.share(good)))
        rows = [
            {**self._order(order), "person": person, "way": "pick_up", "state": "promised"},
            {"table": "line", "id": line, "order": order, "good": good, "units": units, "price_cents": 250},
        ]  # fmt: skip
        if sure:
            rows.append({"table": "reservation", "id": self.new_id(), "order": order, "line": line, "good": good, "units": sure})
        return self.write("promise", rows, {good: sure})

    def sell(self, good: str, units: int) -> Json:
        """Over the counter, out of its share."""
        order, line = self.new_id(), self.new_id()
        return self.write("sell", [
            {**self._order(order), "way": "walk_in", "state": "gone", "gone_on": self.now()[:10]},
            {"table": "line", "id": line, "order": order, "good": good, "units": units, "price_cents": 250},
            self._moved(good, -units, "sold", order=order, line=line),
        ], {good: units})  # fmt: skip

    def hand_over(self, order: str) -> Json:
        """All that is sure of an order leaves."""
        rows: list[Json] = [{"table": "order", "id": order, "state": "gone", "gone_on": self.now()[:10]}]
        book = self.view()
        for line in book.of("line"):
            units = book.sure[line["id"]] if line["order"] == order else 0
            if units > 0:
                rows.append(self._moved(line["good"], -units, "gone", order=order, line=line["id"]))
                names = {"order": order, "line": line["id"], "good": line["good"]}
                rows.append({"table": "reservation", "id": self.new_id(), **names, "units": -units})
        return self.write("hand_over", rows)

    def pour(self, good: str, lot: str, units: int) -> Json:
        """A lot of its own."""
        made = {"table": "lot", "id": lot, "good": good, "made_on": self.now()[:10]}
        return self.write("make", [made, self._moved(good, units, "poured", lot=lot)])

    def view(self) -> Book:
        """What it heard, with the entries in hand on top."""
        book = Book()
        book.rows = dict(self.heard.rows)
        for name in ("lots", "sure", "handed", "paid"):
            setattr(book, name, Counter(getattr(self.heard, name)))
        for entry in self.in_hand():
            for row in entry["rows"]:
                book.put(row)
        return book

    def _order(self, order: str) -> Json:
        self.orders += 1
        return {"table": "order", "id": order, "number": f"{self.identity['mark']}-{self.orders}", "taken_on": self.now()[:10]}

    def _moved(self, good: str, units: int, reason: str, **more: Any) -> Json:
        named = {"lot": None, **more}
        return {"table": "movement", "id": self.new_id(), "good": good, "units": units, "reason": reason, "on": self.now()[:10], **named}

    # What it says and hears ------------------------------------------------------------------------------------------

    def in_hand(self) -> list[Json]:
        """Entries without an answer."""
        return [entry for entry in self.log if entry["id"] not in self.answers]

    def exchange(self, wants: dict[str, int] | None = None) -> Json:
        """Rounds until nothing is left to say or to hear; what the house would like back."""
        if self.epoch is None:
            self._begin()
        for _ in range(ROUNDS):
            before = (len(self.in_hand()), self.read_to)
            ask = self._ask(wants or {})
            answer = self.wire.exchange(self.identity["token"], ask)
            if answer.get("protocol") != 1 or answer.get("request") != ask["request"]:
                raise OSError("somebody else's page")
            if answer["epoch"] != self.epoch:
                self._begin()
                continue
            self._hear(answer)
            if not answer["more"] and (len(self.in_hand()), self.read_to) in (before, (0, self.read_to)):
                return dict(answer["ask_back"])
        raise OSError("no end")

    def _ask(self, wants: dict[str, int]) -> Json:
        page = sorted(self.in_hand(), key=lambda entry: (entry["seq"] <= self.read_to, entry["seq"]))[:PAGE]
        ids = [entry["id"] for entry in page]
        return {
            "protocol": 1, "request": self.new_id(), "device": self.identity["device"], "epoch": self.epoch, "cursor": self.cursor,
            "operations": page, "spent": self.spent, "granted": self.granted, "wants": wants, "clock": self.now(),
            "refused": [self.said_before[one] for one in ids if one in self.said_before],
            "places": {one: self.places[one] for one in ids if one in self.places}, "written": len(self.log),
        }  # fmt: skip

    def _begin(self) -> None:
        """From the mirror: at first, and when the house was put back from a backup."""
        told = self.wire.mirror(self.identity["token"])
        same = not told["last_seq"] or self._hash_at(told["last_seq"]) == told["last_hash"]
        for entry in self.log:
            answer = self.answers.get(entry["id"], {})
            if answer.get("position"):
                self.places.setdefault(entry["id"], {"epoch": self.epoch, "position": answer["position"]})
            if entry["seq"] > told["last_seq"] or not same:
                if "why" in answer:
                    self.said_before[entry["id"]] = answer
                self.answers.pop(entry["id"], None)
        self.heard = Book()
        for row in told["rows"]:
            self.heard.put(row)
        self.heard.lots.update({(one["good"], one["lot"] or ""): one["units"] for one in told["balances"]})
        self.heard.sure.update({one["line"]: one["units"] for one in told["sure"]})
        self.heard.handed.update({one["line"]: one["units"] for one in told["handed"]})
        self.heard.paid.update({one["order"]: one["cents"] for one in told["paid"]})
        self.epoch, self.cursor, self.read_to = told["epoch"], told["cursor"], told["last_seq"]
        self._count(told)

    def _hash_at(self, seq: int) -> str:
        return str(self.log[seq - 1]["hash"]) if seq <= len(self.log) else ""

    def _hear(self, answer: Json) -> None:
        for change in answer["changes"]:
            if change["position"] > self.cursor:
                for row in change["rows"]:
                    self.heard.put(row)
                if change["device"] == self.identity["device"]:
                    self.answers[change["id"]] = {"position": change["position"]}
        self.cursor, self.read_to = answer["cursor"], answer["last_seq"]
        for one in answer["refused"]:
            self.answers[one["id"]] = one
        for one in answer["landed"]:
            if one["position"] <= self.cursor:
                self.answers[one["id"]] = one
        self._count(answer)

    def _count(self, told: Json) -> None:
        """Both counts only grow."""
        for mine, theirs in ((self.granted, told["granted"]), (self.spent, told["spent"])):
            for good, units in theirs.items():
                mine[good] = max(mine.get(good, 0), units)
