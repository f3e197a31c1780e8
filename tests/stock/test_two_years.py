"""The shortened decision that the two-year bench takes is the answer of the house, and busy days are learned from a record."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from honeyhold.stock.busy_days import Rushes, learn_rushes
from honeyhold.stock.restock import melt_by
from stock.two_years import START, House, asked, live, ours


@pytest.mark.parametrize("seed", [3, 8])
def test_the_bench_asks_what_the_house_would_answer(seed: int) -> None:
    """On every twentieth morning of two years: melt today, and so many pours, or not today."""
    house, compared = House(seed), []

    def decide(day: int, free: int, waiting: int, sales: list[dict[str, object]]) -> tuple[int, float | None]:
        pours, chance = ours(day, free, waiting, sales)
        if day % 20 == 0 or pours and day % 3 == 0:
            answer = melt_by(asked(day, free, waiting, sales))
            today = answer["melt_by"] == (START + timedelta(days=day)).isoformat()
            compared.append(((pours > 0, pours), (today, answer["pours"] if today else 0)))
        return pours, chance

    live(house, decide)
    assert len(compared) > 30 and all(short == whole for short, whole in compared) and any(short[0] for short, _ in compared)


def test_busy_days_are_learned() -> None:
    """Two callers a day, but ten on two days in a row every month: about one day in sixteen, some four times as busy."""
    today, weekday = date(2026, 7, 1), (1.0,) * 7
    days = [today - timedelta(days=ago) for ago in range(1, 301)]
    busy = learn_rushes({day: 10 if ago % 30 < 2 else 2 for ago, day in enumerate(days)}, weekday, days[-1], today)
    calm = learn_rushes(dict.fromkeys(days, 2), weekday, days[-1], today)
    assert 0.04 < busy.part < 0.08 and 3 < busy.times < 6 and busy.yesterday > 0.9
    assert calm.part < 0.02 and calm.yesterday < 0.05


def test_a_rush_is_two_days_and_the_mean_stays() -> None:
    rushes = Rushes(part=0.1, times=3.0)
    assert rushes.chance_within(0) == 0 and rushes.chance_within(2) == pytest.approx(0.19)
    plain, busy = rushes.exposures(10.0, 10)
    assert plain == pytest.approx(10 / 1.2) and busy == pytest.approx(plain * 1.4)
    assert Rushes(part=0.1, yesterday=1.0).chance_within(1) == pytest.approx(1 - 0.9 * 0.5)
    assert learn_rushes({}, (1.0,) * 7, date(2026, 7, 1), date(2026, 7, 3)) == Rushes()
