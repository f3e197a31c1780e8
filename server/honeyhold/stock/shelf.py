"""The shelf's arithmetic: what is here, what is spoken for, what may still be sold, and which lot leaves
first.

    on_hand = sum of movements            promised = sum of open reservations
    free    = on_hand - promised          share(device) = granted - spent
    pool    = free - sum of shares        what the house may still give out

The rule behind the shares is the bounded counter's (O'Neil, "The escrow transactional method", 1986; Barbara
and Garcia-Molina, "The demarcation protocol", 1992; Balegas et al., "Extending eventually consistent cloud
databases for enforcing numeric invariants", 2015): the giver debits first, then the taker gains.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from honeyhold.stock.reading import UNITS_MAX, Request, rows, whole


def free_units(on_hand: int, promised: int) -> int:
    """Units on the shelf that nobody was promised; below zero after a count that found too few."""
    return on_hand - promised


def pool_units(on_hand: int, promised: int, shares_left: Iterable[int]) -> int:
    """What the house may still give out; below zero after a count that found too few."""
    return on_hand - promised - sum(shares_left)


def _age_key(balance: Mapping[str, Any]) -> tuple[int, str, str]:
    """Oldest first; a lot without a day after those with one, units of unknown lot last of all."""
    lot, made_on = balance.get("lot"), balance.get("made_on")
    if not lot:
        return (2, "", "")
    return (0, str(made_on), str(lot)) if made_on else (1, "", str(lot))


def pick_lots(request: Request) -> dict[str, Any]:
    """Which lots `units` leave from: the oldest lot first (common practice, no source).

    A lot with nothing or less than nothing on it is passed over. What no lot covers is `missing`, never
    invented. Shapes: README.md. Raises UnreadableField.
    """
    wanted = whole(request, "units")
    picks: list[dict[str, Any]] = []
    for balance in sorted(rows(request, "balances"), key=_age_key):
        take = min(wanted, whole(balance, "units", least=-UNITS_MAX))
        if take <= 0:
            continue
        picks.append({"lot": balance.get("lot"), "units": take})
        wanted -= take
    return {"picks": picks, "missing": wanted}
