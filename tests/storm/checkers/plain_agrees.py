"""A device written from the contract's page alone comes to rest, loses nothing, and agrees with the house on every open order and lot."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation
from storm.plain_client import Book


def check_plain_agrees(world: Any) -> None:
    """Compares what it heard with the records, and looks for each of its entries among them."""
    plain = world.plain
    if plain.in_hand():
        raise Violation("plain_agrees", f"{len(plain.in_hand())} entries are still in hand")
    told = world.house.mirror(plain.identity["token"])
    fresh = Book()
    for row in told["rows"]:
        fresh.put(row)
    lots = {(one["good"], one["lot"] or ""): one["units"] for one in told["balances"]}
    sure = {one["line"]: one["units"] for one in told["sure"]}
    _same("lots", {key: units for key, units in plain.heard.lots.items() if units}, lots)
    _same("sure", {line["id"]: plain.heard.sure[line["id"]] for line in fresh.of("line") if plain.heard.sure[line["id"]]}, sure)
    for order in fresh.of("order"):
        mine = plain.heard.rows.get(("order", order["id"]), {})
        if mine.get("state") != order["state"]:
            raise Violation("plain_agrees", f"the order {order['number']} is {order['state']}, it believes {mine.get('state')}")
    with world.house.records.read():
        known = {one for (one,) in world.house.records.database.execute_sql("SELECT hash FROM operation")}
    lost = [entry["kind"] for entry in plain.log if entry["hash"] not in known]
    if lost:
        raise Violation("plain_agrees", f"nowhere: {lost}")


def _same(what: str, mine: dict[Any, int], theirs: dict[Any, int]) -> None:
    if mine != theirs:
        raise Violation("plain_agrees", f"other {what}: {dict(set(mine.items()) ^ set(theirs.items()))}")
