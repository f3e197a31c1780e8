"""From the forecast rows that a device carries to what the heat package reads, with their age in words.

A row is the contract's `forecast` (tenths of a degree, moments in UTC). One fresh enough at either end is used; where
none is, the monthly normals stand in, and which of the two it was is said.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from honeyhold.heat.sun import clock_hours

Json = dict[str, Any]

COLDEST_C, HOTTEST_C = -60.0, 57.0
OLD_H, TOO_OLD_H = 18, 48
"""Over 18 hours the age is worth a word, over 48 the normals know better (edge caches have served grids 88 hours old)."""
ENDS = {"from": "here", "to": "there"}


def heat_forecast(now_text: str | None, forecasts: Mapping[str, Any] | None, places: Mapping[str, Any]) -> tuple[Json | None, str]:
    """The `forecast` of a heat request (None: none fresh enough), and how it is said: "forecast of 6 hours ago".

    `forecasts`: rows by ZIP prefix; `now_text`: the moment in UTC, `places`: `{"from": prefix row, "to": ...}`.
    """
    now = _moment(now_text)
    rows = {end: _fresh((forecasts or {}).get(str((place or {}).get("zip3"))), now) for end, place in places.items()}
    found = {end: row for end, row in rows.items() if row}
    if not found or now is None:
        return None, "monthly normals"
    issued = min(_at(row["issued"]) for row in found.values())
    end, row = next(iter(found.items()))
    local = issued + timedelta(hours=clock_hours(places[end]["tz"], issued.date()))
    days = {end: row["days"] if row else None for end, row in rows.items()}
    return {"issued": local.strftime("%Y-%m-%dT%H:%M"), **days}, _said(found, issued, now)


def _fresh(row: Json | None, now: datetime | None) -> Json | None:
    if not isinstance(row, dict) or now is None:
        return None
    issued, days = _moment(row.get("issued")), _days(row.get("days"))
    row = {**row, "days": days} if days else None
    return row if row and issued is not None and timedelta(hours=-1) <= now - issued <= timedelta(hours=TOO_OLD_H) else None


def _said(found: dict[str, Json], issued: datetime, now: datetime) -> str:
    hours = max(0, round((now - issued) / timedelta(hours=1)))
    age = "of this hour" if hours == 0 else "of an hour ago" if hours == 1 else f"of {hours} hours ago"
    late = ", none newer has come" if hours > OLD_H else ""
    by = " and ".join(dict.fromkeys(str(row.get("service") or "") for row in found.values() if row.get("service")))
    lost = [word for end, word in ENDS.items() if end not in found]
    rest = f"; monthly normals for {lost[0]}" if lost else ""
    return f"forecast {age}{late}{f' ({by})' if by else ''}{rest}"


def _days(rows: Any) -> list[Json]:
    """The days as heat reads them; none at all where any figure cannot be: half nonsense is not believed in its other half."""
    try:
        days = [_day(row) for row in rows]
    except (AttributeError, KeyError, TypeError, ValueError):
        return []
    return days if all(COLDEST_C <= day["min_c"] <= day["max_c"] <= HOTTEST_C for day in days) else []


def _day(row: Json) -> Json:
    sky = row.get("sky_percent")
    if sky is not None and not 0 <= sky <= 100:
        raise ValueError(f"{sky} % of clouds")
    on = date.fromisoformat(row["day"])
    return {"day": on.isoformat(), "max_c": row["max_tenths"] / 10, "min_c": row["min_tenths"] / 10, "sky_percent": sky}


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def _moment(text: Any) -> datetime | None:
    """A moment in UTC, or None for what is none: a device's rows never stop an order."""
    try:
        return _at(text) if isinstance(text, str) and text.endswith("Z") else None
    except ValueError:
        return None
