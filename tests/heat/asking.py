"""Requests as the tests put them: ten wrapped bars from one prefix to another, in three dressings."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import honeyhold.heat
from honeyhold.heat import place_of, read_climate, read_places

DATA = Path(honeyhold.heat.__file__).parent / "data"
BARS = {"kind": "wax", "units": 10, "mass_g": 30, "length_mm": 76, "width_mm": 38, "height_mm": 13}
JAR_MM = {"length_mm": 72, "width_mm": 72, "height_mm": 110}
JARS = {"kind": "honey", "units": 2, "mass_g": 550, **JAR_MM, "glass": True}
LINER = {"thickness_mm": 19, "conductivity": 0.04}
CHILL = {"mass_g": 450, "latent_kj_per_kg": 334, "start_c": -15}


@cache
def tables() -> tuple[dict[str, Any], dict[str, Any]]:
    """Places and climate by prefix."""
    return (
        read_places((DATA / "places.csv").read_text(encoding="utf-8")),
        read_climate((DATA / "climate.csv").read_text(encoding="utf-8")),
    )


def end(zip_code: str, warmer_k: float = 0.0) -> dict[str, Any]:
    """One end of a way; `warmer_k` shifts its whole climate."""
    places, climate = tables()
    row = place_of(zip_code, climate)
    if row is not None and warmer_k:
        row = {**row, "tx": [t + warmer_k for t in row["tx"]], "tn": [t + warmer_k for t in row["tn"]]}
    return {"zip": zip_code, "place": place_of(zip_code, places), "climate": row}


def parcel(contents: list[dict[str, Any]] | None = None, **more: Any) -> dict[str, Any]:
    """A plain parcel, or one with other fields."""
    box = {"outer_mm": [210, 160, 110], "board_mm": 4, "carton_g": 120, "filler_g": 60, "cost_cents": 0}
    return {**box, "contents": contents or [BARS], "liner": None, "chill": None, **more}


def ask(
    to: str, day: str, contents: list[dict[str, Any]] | None = None, days: int = 3, **more: Any
) -> dict[str, Any]:
    """A request of `advise` from Wisconsin."""
    first = date.fromisoformat(day)
    request = {
        "from": end("54843"), "to": end(to), "today": day, "asked_day": day, "leave_hour": 15, "seed": 1,
        "leave_days": [(first + timedelta(days=step)).isoformat() for step in range(days)],
        "dressings": {
            "plain": parcel(contents),
            "lined": parcel(contents, liner=LINER, cost_cents=140),
            "chilled": parcel(contents, liner=LINER, chill=CHILL, cost_cents=300),
        },
    }  # fmt: skip
    return {**request, **more}
