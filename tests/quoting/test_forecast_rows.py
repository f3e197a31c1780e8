"""Forecast rows as a device carries them: used while fresh, said with their age, never trusted blindly."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from tests.quoting.test_call import MONDAY_IN_JULY, asked

from honeyhold import kernel
from honeyhold.quoting.forecasts import heat_forecast

NOW = f"{MONDAY_IN_JULY}T14:00:00Z"
PLACES = {"from": {"zip3": "548", "tz": "America/Chicago"}, "to": {"zip3": "558", "tz": "America/Chicago"}}


def row(high: int = 300, hours: int = 6, **more: Any) -> dict[str, Any]:
    issued = f"{datetime.fromisoformat(NOW) - timedelta(hours=hours):%Y-%m-%dT%H:%M:%SZ}"
    days = [{"day": f"2027-07-{26 + step}", "max_tenths": high, "min_tenths": high - 120, "sky_percent": 10} for step in range(5)]
    return {"id": "558", "service": "National Weather Service", "issued": issued, "fetched_at": issued, "days": days, **more}


def call(forecasts: dict[str, Any], **more: Any) -> dict[str, Any]:
    request = asked({"bar": 10}, "55811", forecasts=forecasts, **{"now": NOW, **more})
    return kernel.work("quoting.call", request)


def test_a_fresh_forecast_moves_the_answer_and_is_said_with_its_age() -> None:
    normals, warm, hot = call({}), call({"558": row(380), "548": row(380)}), call({"558": row(450), "548": row(450)})
    assert normals["heat"]["chance_permille"] < warm["heat"]["chance_permille"] < hot["heat"]["chance_permille"]
    assert normals["basis"] == "monthly normals"
    assert hot["basis"] == "forecast of 6 hours ago (National Weather Service)"


def test_one_end_without_a_forecast_is_named() -> None:
    assert "monthly normals for here" in call({"558": row()})["basis"]
    assert "monthly normals for there" in call({"548": row()})["basis"]


@pytest.mark.parametrize(
    "rows",
    [{}, {"558": row(days=[])}, {"558": row(hours=72)}, {"558": row(issued="soon")}, {"558": row(issued="2027-08-26T14:00:00Z")},
     {"558": None}, {"558": row(2000)}, {"558": row(days="hot")}, {"558": row(days=[{"day": "soon"}])}, {"558": row(days=[3])},
     {"558": row(days=[{"day": "2027-07-26", "max_tenths": float("nan"), "min_tenths": 1, "sky_percent": None}])},
     {"558": row(days=[{"day": "2027-07-26", "max_tenths": 10, "min_tenths": 20, "sky_percent": None}])},
     {"558": row(days=[{"day": "2027-07-26", "max_tenths": 30, "min_tenths": 20, "sky_percent": 900}])}, {"558": "<html>"}],
)  # fmt: skip
def test_what_is_old_empty_or_nonsense_leaves_the_normals(rows: dict[str, Any]) -> None:
    assert call(rows) == call({})


def test_a_device_that_knows_no_time_uses_the_normals() -> None:
    assert call({"558": row()}, now=None)["basis"] == "monthly normals"


@pytest.mark.parametrize(("hours", "says"), [
    (0, "forecast of this hour ("), (1, "forecast of an hour ago ("), (2, "forecast of 2 hours ago ("), (18, "forecast of 18 hours ago ("),
    (19, "forecast of 19 hours ago, none newer has come ("), (48, "forecast of 48 hours ago, none newer has come ("),
])  # fmt: skip
def test_a_forecast_says_how_old_it_is_and_past_eighteen_hours_that_none_newer_has_come(hours: int, says: str) -> None:
    _, said = heat_forecast(NOW, {"558": row(hours=hours)}, PLACES)
    assert said.startswith(says)


def test_the_quick_first_answer_has_the_same_verdict_as_the_whole() -> None:
    for zip_code in ("85281", "55811"):
        quick, whole = (kernel.work("quoting.call", asked({"bar": 10}, zip_code, **more)) for more in ({"only": "asked"}, {}))
        assert quick["half"] and not whole["half"] and quick["heat"] == whole["heat"] and quick["advice"] is None


def test_the_house_keeps_its_own_limits_in_tenths() -> None:
    request = asked({"bar": 10}, "85281")
    house = {**request["house"], "thresholds": {"wax_mark_c": 480, "nonsense": 3}}
    own = kernel.work("quoting.call", {**request, "house": house})
    assert own["heat"]["chance_permille"] < kernel.work("quoting.call", request)["heat"]["chance_permille"]


def test_what_the_house_has_learnt_moves_every_chance_the_same_way() -> None:
    request = asked({"bar": 10, "jar_12": 1}, "78704")

    def learnt(shift: int) -> dict[str, Any]:
        house = {**request["house"], "heat_offset": {"shift_permille": shift, "since": "2027-07-01"}}
        return kernel.work("quoting.call", {**request, "house": house})

    low, plain, high = learnt(-800), kernel.work("quoting.call", request), learnt(800)
    assert learnt(0) == plain
    for less, more in ((low, plain), (plain, high)):
        assert less["heat"]["chance_permille"] < more["heat"]["chance_permille"]
        for row_less, row_more in zip(less["days"], more["days"], strict=True):
            pairs = zip(row_less["cells"], row_more["cells"], strict=True)
            assert all(a["chance_permille"] <= b["chance_permille"] for a, b in pairs)
    assert high["told"]["chance_permille"] == high["heat"]["chance_permille"]
