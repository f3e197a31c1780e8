"""Where an order goes: its own copy of an address, so that what becomes of a person later moves no parcel that was promised.

`goes_to` of an order: `own` (a copy of the person's address as it was read to the caller), `other` (an address for this order alone,
which the person's own never hears of) or empty (nothing was copied, as older apps wrote it: the person's address counts). The browser's
`web/store/destination.js` says the same; `tests/stock/destination_cases.json` holds both to it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

PARTS: Final = ("street", "unit", "city", "state", "zip")
FIELDS: Final = ("goes_to", "to_name", *(f"to_{part}" for part in PARTS))
NOTHING_COPIED: Final = dict.fromkeys(FIELDS, "")

Row = Mapping[str, Any]


def has_address(row: Row | None) -> bool:
    """Whether a person can be mailed anything: a street or a town is known."""
    return bool(row and (row.get("street") or row.get("city")))


def destination(order: Row, person: Row | None) -> dict[str, str]:
    """`{"name", "street", "unit", "city", "state", "zip"}` of who receives the order and where."""
    known: Row = person or {}
    if not order.get("goes_to"):
        return {name: str(known.get(name) or "") for name in ("name", *PARTS)}
    name = str(order.get("to_name") or known.get("name") or "")
    return {"name": name, **{part: str(order.get(f"to_{part}") or "") for part in PARTS}}


def same_address(one: Row, other: Row) -> bool:
    """Whether two destinations (as `destination` gives them) are one door of one person: capitals, dots, commas and spaces make no other.

    Of a ZIP the five digits count. False where no address is known.
    """
    return has_address(one) and _door(one) == _door(other)


def _door(there: Row) -> list[str]:
    said = (there["name"], there["street"], there["unit"], there["city"], there["zip"][:5])
    return [re.sub(r"[\s.,]+", " ", part.lower()).strip() for part in said]


def copied(person: Row | None) -> dict[str, str]:
    """The fields of an order that goes to this person's own address; none where no address is known yet."""
    if person is None or not has_address(person):
        return {}
    return {"goes_to": "own", "to_name": "", **{f"to_{part}": str(person.get(part) or "") for part in PARTS}}
