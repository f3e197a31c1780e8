"""The kinds of operation: one rule each, nothing else decides what may land."""

from __future__ import annotations

from honeyhold.operations.kinds import joining, leaving, money, notes, own, shelf, standing, taking, undoing
from honeyhold.operations.kinds.kind import Kind

KINDS: dict[str, Kind] = {
    kind.name: kind for module in (taking, standing, joining, leaving, shelf, money, notes, undoing, own) for kind in module.KINDS
}

__all__ = ["KINDS", "Kind"]
