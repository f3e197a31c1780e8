"""From which day on what is free counts as gone: where the chance is met exactly, and where it is missed by the least there is."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.stock import lasting

TODAY = date(2026, 7, 20)


@pytest.mark.parametrize(("gone", "service", "usually_to", "gone_by", "one_in"), [
    ([0.0, 0.1, 0.5, 0.6], 0.9, "2026-07-23", "2026-07-22", 10),
    ([0.0, 0.099999999, 0.100000001, 0.500000001], 0.9, "2026-07-23", "2026-07-23", 10),
    ([0.05, 0.5, 0.5, 1.0], 0.95, "2026-07-23", "2026-07-21", 20), ([0.5, 0.6], 0.4, "2026-07-21", "2026-07-21", 2),
    ([0.0], 0.9, None, None, 10),
])  # fmt: skip
def test_early_is_from_the_chance_itself_on_and_usually_from_past_a_half_on(
    monkeypatch: pytest.MonkeyPatch, gone: list[float], service: float, usually_to: str | None, gone_by: str | None, one_in: int
) -> None:
    """The chance that it is gone after one day, two and so on; the last stands for all later ones."""
    monkeypatch.setattr(lasting, "at_most", lambda days, free: 1 - gone[min(days, len(gone)) - 1])
    callers: Any = SimpleNamespace(units=lambda today, days, free: days)
    assert lasting.lasting(callers, TODAY, 5, service) == {"usually_to": usually_to, "gone_by": gone_by, "one_in": one_in}
