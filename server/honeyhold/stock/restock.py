"""When to melt again and how many pours: before more bars are wanted than are free, with a stated chance.

The record of callers gives the distribution of what will be wanted (callers.py, demand.py). A pour started on
a day is on the shelf `lead_days` later; the day to melt by is the last on which the free bars still last
until then with the chance `service_percent`. The pours then cover `cover_days` more. Where wax must be screened
first, or the moulds and hours of one morning do not hold the pours, the start is so much earlier. The same for
bottling, with jars and honey.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from honeyhold.stock.balances import pours_in_a_morning
from honeyhold.stock.callers import Callers, learn
from honeyhold.stock.days import day_words, parse_day
from honeyhold.stock.demand import at_most, mean_size, smallest_covering
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.lasting import lasting, lasting_words
from honeyhold.stock.reading import Request, number, whole
from honeyhold.stock.units import weight_words
from honeyhold.stock.words import count_words, good_of
from honeyhold.stock.yields import BAR_MG, bars_from_wax, pours_needed, wax_for_bars_g

LOOK_AHEAD_DAYS = 28
RUN_DOWN_DAYS = 14
SPREAD = (0.10, 0.50, 0.90)  # the band holds what happens four times in five


@dataclass(frozen=True)
class _House:
    """The request, read."""

    today: date
    free: int
    waiting: int
    lead: int
    cover: int
    service: float
    pour_units: int
    good_percent: float
    melt_weekdays: frozenset[int]
    bottling: bool
    morning_pours: int | None
    screen_days: int
    like: int | None


def _morning(request: Request) -> int | None:
    """Pours that moulds and hours hold in one morning; None when the house does not say how many moulds it has."""
    if request.get("mould_sets") is None:
        return None
    hours = number(request, "morning_hours", least=0.5, most=16, default=4)
    cool_min = number(request, "cool_min", least=1, most=1440, default=45)
    return max(1, pours_in_a_morning(whole(request, "mould_sets", least=1, most=100), hours, cool_min))


def _read(request: Request) -> _House:
    weekdays = request.get("melt_weekdays")
    if weekdays is None:
        weekdays = list(range(7))
    if (
        not isinstance(weekdays, list)
        or not weekdays
        or not all(type(d) is int and 0 <= d <= 6 for d in weekdays)
    ):
        raise UnreadableField("melt_weekdays", weekdays, "at least one day from 0 (Monday) to 6 (Sunday)")
    good = request.get("good")
    if good is not None and not isinstance(good, dict):
        raise UnreadableField("good", good, "the row of a good")
    bottling = (good or {}).get("kind") == "honey"
    return _House(
        today=parse_day(request.get("today"), "today"),
        free=max(0, whole(request, "free_units", least=-10_000_000, most=100_000)),
        waiting=whole(request, "waiting_units", most=100_000, default=0),
        lead=whole(request, "lead_days", most=28, default=1),
        cover=whole(request, "cover_days", least=1, most=90, default=7),
        service=number(request, "service_percent", least=50, most=99.9, default=95) / 100,
        pour_units=whole(request, "pour_units", least=1, most=1000, default=10),
        good_percent=number(request, "good_percent", least=10, most=100, default=100 if bottling else 94),
        melt_weekdays=frozenset(weekdays),
        bottling=bottling,
        morning_pours=_morning(request),
        screen_days=whole(request, "screen_days", most=14, default=1),
        like=None if request.get("like_units") is None else whole(request, "like_units", most=100_000),
    )


def _chance(callers: Callers, house: _House, days: int, units: int) -> list[float]:
    """The distribution over `days` days, long enough to hold `units` and the far tail."""
    mean = callers.units_mean(house.today, days)
    most = max(units, int(6 * mean) + 20 * max(callers.sizes))
    return callers.units(house.today, days, min(most, 200_000))


def _short(callers: Callers, house: _House, days: int) -> float:
    """The chance that more is wanted within `days` days than is free now, rounded so that no last bit
    decides.
    """
    chance = callers.units(house.today, days, house.free)
    return round(1 - at_most(chance, house.free), 9)


def _day_to_melt(callers: Callers, house: _House) -> int | None:
    """Days from today to the day to melt by; 0 when it is late already; None when it lies beyond the
    look-ahead.
    """
    last = -1
    for ahead in range(LOOK_AHEAD_DAYS + 1):
        if _short(callers, house, ahead + house.lead) > 1 - house.service:
            break
        last = ahead
    if house.waiting:
        last = min(last, 0)
    elif last == LOOK_AHEAD_DAYS:
        return None
    open_days = [
        n
        for n in range(LOOK_AHEAD_DAYS)
        if (house.today + timedelta(days=n)).weekday() in house.melt_weekdays
    ]
    in_time = [n for n in open_days if n <= last]
    return in_time[-1] if in_time else open_days[0]


def _pours(callers: Callers, house: _House, ahead: int) -> int:
    """Whole pours so that free and new bars last until `cover_days` after they are ready, and the waiting
    get theirs.
    """
    days = ahead + house.lead + house.cover
    chance = _chance(callers, house, days, 0)
    lacking = smallest_covering(chance, house.service) + house.waiting - house.free
    return pours_needed(max(1, lacking), house.good_percent, house.pour_units)


def decide(callers: Callers, house: _House) -> tuple[int | None, int]:
    """Days from today to the day to melt by, and the pours; (None, 0) when nothing is to be melted.

    Without a record nobody's wishes are made up: what is waited for, and as many as the keeper likes on the shelf once half of them
    are gone.
    """
    if callers.is_record:
        ahead = _day_to_melt(callers, house)
        return ahead, 0 if ahead is None else _pours(callers, house, ahead)
    missing = max(0, (house.like or 0) - house.free)
    if not house.waiting and (not missing or 2 * missing < (house.like or 0)):
        return None, 0
    ahead = next(n for n in range(7) if (house.today + timedelta(days=n)).weekday() in house.melt_weekdays)
    return ahead, pours_needed(missing + house.waiting, house.good_percent, house.pour_units)


def _run_down(callers: Callers, house: _House) -> list[dict[str, Any]]:
    """Units left on the morning of each coming day if nothing is made: the spread, and the chance of falling
    short.
    """
    rows: list[dict[str, Any]] = []
    for ahead in range(RUN_DOWN_DAYS + 1):
        on = (house.today + timedelta(days=ahead)).isoformat()
        if not callers.is_record:
            rows.append({"on": on, "low": house.free, "middle": house.free, "high": house.free, "short_percent": None, "wanted": None})
            continue
        chance = _chance(callers, house, ahead, house.free)
        wanted = [smallest_covering(chance, part) for part in SPREAD]
        high, middle, low = (max(0, house.free - units) for units in wanted)
        short = round(100 * (1 - at_most(chance, house.free)))
        rows.append({"on": on, "low": low, "middle": middle, "high": high, "short_percent": short, "wanted": wanted})
    return rows


def _wax(request: Request, pours: int, house: _House) -> dict[str, Any]:
    bar_mg = whole(request, "wax_per_unit_mg", least=1, default=BAR_MG)
    needed = round(wax_for_bars_g(pours * house.pour_units, bar_mg))
    later = whole(request, "wax_later_g", default=0)
    if request.get("wax_ready_g") is None:
        return {"wax_needed_g": needed, "wax_ready_units": None, "wax_short_g": None, "wax_later_g": later}
    ready = whole(request, "wax_ready_g")
    return {
        "wax_needed_g": needed,
        "wax_ready_units": bars_from_wax(ready, bar_mg),
        "wax_short_g": max(0, needed - ready),
        "wax_later_g": later,
    }


def _mornings(house: _House, pours: int) -> int:
    return -(-pours // house.morning_pours) if house.morning_pours else min(1, pours)


def _earlier_days(request: Request, house: _House, pours: int) -> int:
    """Days more than the usual lead: for screening what is not fine screened yet, and for more than one morning."""
    wax = _wax(request, pours, house)
    screening = house.screen_days if wax["wax_short_g"] and wax["wax_later_g"] else 0
    return screening + max(0, _mornings(house, pours) - 1)


def _why(house: _House, callers: Callers, answer: dict[str, Any], names: tuple[str, str]) -> list[str]:
    """The sentences behind the answer."""
    what = "filling" if house.bottling else "pour"
    if not callers.is_record:
        seen = count_words(callers.seen, "caller", "callers") if callers.seen else "Nobody"
        why = [f"{seen} so far: too few to say how fast they go. {house.free:,} free today."]
    else:
        why = [
            f"About {answer['callers_per_week']:g} callers a week, {answer['units_per_week']:g} {names[1]}; "
            f"{house.free:,} free today."
        ]
    if callers.left_out and callers.is_record:
        why.append(f"One sale of {count_words(callers.left_out, *names)} is far above all others: it is not reckoned with.")
    if house.waiting:
        why.append(f"{count_words(house.waiting, *names)} already waited for: first from the next {what}.")
    if answer["melt_by"] is not None and callers.is_record:
        why.append(
            f"Chance that somebody goes without before the {what} is ready: {answer['short_percent']} in 100."
        )
    if callers.season > 1.2 or callers.season < 0.8:
        more = "more" if callers.season > 1 else "fewer"
        why.append(f"A year ago the coming four weeks brought {more} callers than the four before.")
    return why + _why_material(house, answer, names)


def _why_material(house: _House, answer: dict[str, Any], names: tuple[str, str]) -> list[str]:
    """What the wax or honey in the house, the moulds and the hours have to do with it."""
    why = []
    if answer["wax_short_g"]:
        ready = count_words(answer["wax_ready_units"], *names)
        material = "Honey" if house.bottling else "Wax"
        words = f"{material} is ready for {ready}; {weight_words(answer['wax_short_g'])} more is needed"
        if answer["wax_later_g"]:
            words += f", {weight_words(answer['wax_later_g'])} of it lies at earlier stages: screen it the day before"
        why.append(words + ".")
    if answer["mornings"] > 1:
        each = count_words(house.morning_pours or 1, "pour", "pours")
        why.append(f"{answer['mornings']} mornings: your molds and hours hold {each} in one.")
    return why


def melt_by(request: Request) -> dict[str, Any]:
    """The day to melt by, the pours, and the run-down behind them.

    Nobody is helped by a pour that comes late, so somebody waiting means today. `melt_weekdays` (Monday is 0)
    are the days on which the house can melt, all of them if left out. Shapes: README.md. Raises
    UnreadableField.
    """
    house, names, callers = _read(request), good_of(request), learn(request)
    ahead, pours = decide(callers, house)
    earlier = _earlier_days(request, house, pours) if ahead is not None else 0
    if earlier:
        house = replace(house, lead=min(LOOK_AHEAD_DAYS, house.lead + earlier))
        again, more = decide(callers, house)
        ahead, pours = again or 0, more or pours
    day = None if ahead is None else house.today + timedelta(days=ahead)
    per_week = 7 * callers.per_day() if callers.is_record else 0.0
    answer: dict[str, Any] = {
        "melt_by": None if day is None else day.isoformat(),
        "pours": pours,
        "units": pours * house.pour_units,
        **_wax(request, pours, house),
        "mornings": _mornings(house, pours),
        "pours_a_morning": house.morning_pours,
        "short_percent": 0 if ahead is None or not callers.is_record else round(100 * _short(callers, house, ahead + house.lead)),
        "run_down": _run_down(callers, house),
        "callers_per_week": round(per_week, 1),
        "units_per_week": round(per_week * mean_size(callers.sizes), 1),
        "record": callers.is_record,
        "lasts": lasting(callers, house.today, house.free, house.service) if callers.is_record and house.free else None,
    }
    answer["due"] = _is_due(house, answer)
    answer["words"] = _words(house, answer, day, names)
    answer["why"] = _why(house, callers, answer, names)
    return answer


def _is_due(house: _House, answer: dict[str, Any]) -> bool:
    """Whether there is a day to keep. Where enough wax lies ready and the day is not today, melting on any morning does: nothing is due."""
    if answer["melt_by"] is None:
        return False
    ready = answer["wax_short_g"] == 0 and answer["mornings"] <= 1
    return not ready or not answer["record"] or answer["melt_by"] == house.today.isoformat()


def _amount(house: _House, pours: int, names: tuple[str, str]) -> str:
    return count_words(pours * house.pour_units, *names) if house.bottling else count_words(pours, "pour", "pours")


def _words(house: _House, answer: dict[str, Any], day: date | None, names: tuple[str, str]) -> str:
    """ "melt by Thursday: 9 pours", "bottle today: 36 jars", "usually lasts to Saturday, Aug 1; 1 chance in 20 it is gone by Monday"."""
    verb = "bottle" if house.bottling else "melt"
    if not answer["record"]:
        return _words_without_record(house, answer, names, verb)
    if day is None:
        return f"no {'bottling' if house.bottling else 'melt'} needed within four weeks"
    if not answer["due"] and answer["lasts"]:
        return lasting_words(answer["lasts"], house.today)
    return f"{verb} {'' if day == house.today else 'by '}{day_words(day, house.today)}: {_amount(house, answer['pours'], names)}"


def _words_without_record(house: _House, answer: dict[str, Any], names: tuple[str, str], verb: str) -> str:
    """ "no record yet; you said you like 40 on the shelf: melt 2 pours"."""
    words = ["no record yet"]
    if house.waiting:
        words.append(f"{count_words(house.waiting, *names)} waited for")
    if house.like is not None:
        words.append(f"you said you like {house.like:,} on the shelf")
    said = "; ".join(words)
    if answer["pours"]:
        return f"{said}: {verb} {_amount(house, answer['pours'], names)}"
    return f"{said}: enough is there" if house.like is not None else f"{said}: say how many you like on the shelf"
