"""What must hold: some at every moment, some once everything was heard."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from storm.checkers.agreement import check_agreement
from storm.checkers.at_rest import check_at_rest
from storm.checkers.cartons import check_cartons
from storm.checkers.giver_first import check_giver_first
from storm.checkers.honesty import check_honesty
from storm.checkers.in_order import check_in_order
from storm.checkers.no_oversell import check_no_oversell
from storm.checkers.nothing_lost import check_nothing_lost
from storm.checkers.once import check_once
from storm.checkers.plain_agrees import check_plain_agrees
from storm.checkers.returned import check_returned
from storm.checkers.till import check_till
from storm.checkers.undone_once import check_undone_once
from storm.checkers.violation import Violation

AFTER_EACH_STEP: list[Callable[[Any], None]] = [
    check_no_oversell, check_once, check_in_order, check_giver_first, check_undone_once, check_cartons,
]  # fmt: skip
AT_REST: list[Callable[[Any], None]] = [
    check_nothing_lost, check_at_rest, check_agreement, check_honesty, check_returned, check_plain_agrees, check_till,
]  # fmt: skip

__all__ = ["AFTER_EACH_STEP", "AT_REST", "Violation", "check_once"]
