"""What a kind of operation is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from honeyhold.operations.context import OperationContext


@dataclass(frozen=True)
class Kind:
    """One kind: how many rows of which table it may hold, and the rule beyond the sums.

    `may_spend`: it may take from the device's share. `fact`: it says what has already happened, so it lands even
    when promises are short afterwards. `who`: "all", "keeper" (keepers' devices and the house) or "house". `first`: a rule
    asked before anything else, what its writer believed included.
    """

    name: str
    tables: dict[str, tuple[int, int]]
    rule: Callable[[OperationContext], None]
    may_spend: bool = False
    fact: bool = False
    who: str = "all"
    first: Callable[[OperationContext], None] | None = None
    words: str = field(default="", kw_only=True)
