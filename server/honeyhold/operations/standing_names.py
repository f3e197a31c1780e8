"""Standing orders: what somebody wants again and again, and the one order that comes of each day of it."""

from __future__ import annotations

from typing import Final
from uuid import UUID, uuid5

NAMES: Final = UUID("6f1f5f0e-5d0a-5f5c-9d43-1a6f0c6f7a11")


def order_id(standing: str, on: str, canceled: int = 0) -> str:
    """The id of the order that comes of a standing order on a day, the same on every device: so it is promised once.

    `canceled`: how many came of that day already and were canceled; after each of them it may be promised anew.
    """
    return str(uuid5(NAMES, f"{standing} {on} {canceled}"))


def line_id(order: str, good: str) -> str:
    """The id of such an order's line, so that whatever another device says of it finds it."""
    return str(uuid5(NAMES, f"{order} {good}"))
