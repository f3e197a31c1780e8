"""A posted order asked again: what has changed since it was told, in words for the keeper.

"Hale's Thursday parcel: now pad it." Asked each morning and when a forecast comes, on the device itself, so that it works without
signal. Silent while what was told still stands: a keeper who chose to send at a risk is not told the same risk every morning.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from honeyhold.heat import advise
from honeyhold.heat.atlas import Atlas
from honeyhold.heat.harm import SEVERITY
from honeyhold.heat.words import MONTHS, packing, weekday
from honeyhold.quoting.call import HeatAnswer, Told, told_of
from honeyhold.quoting.parcel import quote_of
from honeyhold.quoting.postage import with_prices
from honeyhold.quoting.request import CallRequest
from honeyhold.quoting.trip import dressings_that_fit, forecast_of, heat_request, way_ends

WORSE_PERMILLE = 150
"""A risk that was taken knowingly is told again only when it has grown by this much, or to a worse word."""
PLAINLY_SHARE = 0.5
"""A dressing is given up only when the chance without it is half of what the house accepts: no change back tomorrow."""
HOLD_CENTS = 50
"""What a walk to the counter weighs against a dressing; never charged (as in heat's own choice)."""
DO = {
    ("plain", "lined"): "pad it",
    ("plain", "chilled"): "pad it and add a cold pack",
    ("lined", "chilled"): "add a cold pack",
    ("lined", "plain"): "plain will do",
    ("chilled", "plain"): "plain will do",
    ("chilled", "lined"): "the cold pack can stay out",
}


@dataclass(frozen=True)
class Doing:
    """The fields of the order that would follow the advice."""

    leave_on: str | None
    dressing: str
    hold_at_counter: bool
    hold_for_cool: bool


@dataclass(frozen=True)
class Recheck:
    """What changed. `change` is "" when nothing is to be told, else `worse`, `better` or `cool` (a day for an order that waits for one).

    `told` is what is told of the order as it stands, `told_then` what is told of heat when the advice is followed, `proposed` the day.
    """

    change: str = ""
    words: str = ""
    do: Doing | None = None
    told: Told | HeatAnswer | None = None
    told_then: Told | None = None
    heat: HeatAnswer | None = None
    proposed: str | None = None


def recheck(request: CallRequest, atlas: Atlas) -> Recheck:
    """Ask again about one order. Raises BadRequest as `call` does."""
    request = with_prices(request, atlas)
    quote = quote_of(request, request.dressing)
    if not quote.ok:
        return _silent(request)
    answer = advise(heat_request(request, atlas, dressings_that_fit(request, quote)), atlas.weathers)
    if not answer["known"]:
        return _silent(request)
    basis = forecast_of(request, way_ends(request, atlas))[1] or answer["basis"]
    if request.hold_for_cool and not request.leave_on:
        return _waiting(request, answer, basis)
    return _standing(request, answer, basis)


def _silent(request: CallRequest) -> Recheck:
    return Recheck(told=request.told or Told())


def _waiting(request: CallRequest, answer: HeatAnswer, basis: str) -> Recheck:
    """An order that waits for a cool week: a day if there is one, else when there may be."""
    advice = answer["advice"]
    if advice is None:
        return replace(_silent(request), words=f"{_whose(request)}parcel waits: {answer['none_words'].removeprefix('wait for ')}.")
    day = _day_words(advice["leave_on"])
    how = "" if advice["dressing"] == "plain" else f", {packing(advice['dressing'])}"
    held = ", held at the post office counter" if advice["hold"] else ""
    return Recheck(
        change="cool",
        words=f"{_whose(request)}parcel waits for cool: it may go {day}{how}{held} ({advice['chance_words']} of harm).",
        do=_doing(advice),
        told=request.told or Told(),
        told_then=_told_of_cell(request, advice, basis),
        heat=answer["asked"],
        proposed=advice["leave_on"],
    )


def _standing(request: CallRequest, answer: HeatAnswer, basis: str) -> Recheck:
    asked, told = answer["asked"], request.told or {}
    found = Recheck(told=told_of(request, asked, basis), heat=asked)
    same = all(told.get(name) == asked[name] for name in ("leave_on", "dressing", "hold"))
    if asked["harmless"]:
        less = _less(request, answer) if same and told.get("harmless") else None
        return _changed(found, request, "better", less, basis) if less else found
    if same and told.get("harmless") is False and not _much_worse(told, asked):
        return found
    return _changed(found, request, "worse", _remedy(answer), basis)


def _much_worse(told: HeatAnswer, asked: HeatAnswer) -> bool:
    grown = asked["chance_permille"] - (told.get("chance_permille") or 0) >= WORSE_PERMILLE
    return grown or SEVERITY[asked["verdict"]] > SEVERITY.get(str(told.get("verdict")), 0)


def _changed(found: Recheck, request: CallRequest, sort: str, remedy: tuple[str, HeatAnswer | None], basis: str) -> Recheck:
    words, cell = remedy
    leaves = date.fromisoformat(request.leave_on) if request.leave_on else None
    parcel = f"{weekday(leaves)} parcel" if leaves else "parcel"
    return replace(
        found,
        change=sort,
        words=f"{_whose(request)}{parcel}: now {words}.",
        do=_doing(cell) if cell else Doing(None, request.dressing, hold_at_counter=False, hold_for_cool=True),
        told_then=_told_of_cell(request, cell, basis) if cell else Told(),
        proposed=cell["leave_on"] if cell else None,
    )


def _cells(answer: HeatAnswer, leave_on: str) -> list[HeatAnswer]:
    rows = [row for row in answer["table"] if row["leave_on"] == leave_on]
    return [{**cell, "leave_on": leave_on} for row in rows for cell in row["cells"]]


def _less(request: CallRequest, answer: HeatAnswer) -> tuple[str, HeatAnswer] | None:
    """The same day with less around it, if that is plainly harmless; None while it needs what it wears."""
    asked = answer["asked"]
    most = round(PLAINLY_SHARE * request.house.accept_permille)
    safe = [cell for cell in _cells(answer, asked["leave_on"]) if cell["harmless"] and cell["chance_permille"] <= most and not cell["hold"]]
    if not safe:
        return None
    cell = min(safe, key=lambda one: one["cost_cents"])
    if (asked["dressing"], cell["dressing"]) in DO:
        own = next((one for one in _cells(answer, asked["leave_on"]) if one["dressing"] == asked["dressing"]), cell)
        return (DO[asked["dressing"], cell["dressing"]], cell) if cell["cost_cents"] < own["cost_cents"] else None
    return ("it need not be held at the post office", cell) if asked["hold"] else None


def _remedy(answer: HeatAnswer) -> tuple[str, HeatAnswer | None]:
    """The least that makes it harmless: the same day dressed otherwise, then held, then another day, then waiting."""
    asked = answer["asked"]
    safe = [cell for cell in _cells(answer, asked["leave_on"]) if cell["harmless"]]
    if safe:
        cell = min(safe, key=lambda one: one["cost_cents"] + HOLD_CENTS * (one["hold"] and not asked["hold"]))
        dressed = DO.get((asked["dressing"], cell["dressing"]), "")
        if cell["hold"] and not asked["hold"]:
            before = f"{dressed.replace(' and ', ', ')} and " if dressed else ""
            return f"{before}hold it at the post office counter", cell
        return dressed or "send it as it is", cell
    advice = answer["advice"]
    if advice:
        held = ", held at the post office counter" if advice["hold"] else ""
        return f"send it {_day_words(advice['leave_on'])}, {packing(advice['dressing'])}{held}", advice
    return answer["none_words"] or "wait for cooler weather", None


def _doing(cell: HeatAnswer) -> Doing:
    return Doing(cell["leave_on"], cell["dressing"], cell["hold"], hold_for_cool=False)


def _told_of_cell(request: CallRequest, cell: HeatAnswer, basis: str) -> Told:
    return Told(
        on=request.today,
        leave_on=cell["leave_on"],
        dressing=cell["dressing"],
        hold=cell["hold"],
        verdict="firm",
        chance_permille=cell["chance_permille"],
        harmless=True,
        basis=basis,
    )


def _whose(request: CallRequest) -> str:
    """ "Hale's " from "Ruth Hale"; "A " from nobody's name."""
    name = request.who.split()
    return f"{name[-1]}'s " if name else "A "


def _day_words(text: str) -> str:
    on = date.fromisoformat(text)
    return f"{weekday(on)} {on.day} {MONTHS[on.month - 1]}"
