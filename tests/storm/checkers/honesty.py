"""I6: what a device told a caller to be sure is sure. Only a copied, lost or restored store may break that, and says so."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation


def check_honesty(world: Any) -> None:
    """No promise made from a share was refused."""
    if world.restored:
        return
    for told in world.told:
        device = told.hand.identity["device"]
        if told.hand in world.lost or device in world.copied:
            continue
        answer = told.hand.answered.get(told.operation, {})
        if "position" not in answer:
            raise Violation("honesty", f"{told.sure} were told to be sure; the house said {answer.get('why', 'nothing')}")
