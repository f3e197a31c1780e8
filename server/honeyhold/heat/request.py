"""What a request must hold. Every refusal names the field, the value seen and what to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat.harm import THRESHOLDS
from honeyhold.heat.stops import MAILBOXES

DRAWS, DRAWS_MOST = 64, 400  # a power of two is spread most evenly
LEAVE_DAYS_MOST = 31
ROW_WANTED = "Hand in the row of the data file as read_places and read_climate give it."
TRIPS_MOST = 12_000
"""Draws times days times parcels of one request: a few seconds; the screens ask for 1,400."""


def day_of(text: Any, field: str) -> date:
    """Read a day written 2026-07-20. Raises BadRequest."""
    try:
        return date.fromisoformat(text)
    except (TypeError, ValueError):
        raise BadRequest(f"{field} is {text!r}, which is no day.", "Write days as 2026-07-20.") from None


def number(holder: Mapping[str, Any], field: str, least: float, most: float, default: float | None = None) -> float:
    """Read a number between two bounds, both allowed. Raises BadRequest."""
    value = holder.get(field, default)
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        raise BadRequest(f"{field} is {value!r}.", f"Give a number from {least:g} to {most:g}.")
    return value


def whole(holder: Mapping[str, Any], field: str, least: int, most: int, default: int | None = None) -> int:
    """Read a whole number between two bounds. Raises BadRequest."""
    value = number(holder, field, least, most, default)
    if value != int(value):
        raise BadRequest(f"{field} is {value!r}, which is not whole.", f"Give a whole number from {least} to {most}.")
    return int(value)


def mapping(value: Any, field: str) -> Mapping[str, Any]:
    """An object with named fields. Raises BadRequest."""
    if not isinstance(value, Mapping):
        raise BadRequest(f"{field} is {value!r}.", f"Give {field} as an object with named fields.")
    return value


@dataclass(frozen=True)
class Question:
    """A checked request."""

    origin: Mapping[str, Any]
    target: Mapping[str, Any]
    today: date
    leave_days: tuple[date, ...]
    asked_day: date
    asked_dressing: str
    leave_hour: int
    dressings: dict[str, Mapping[str, Any]]
    accept_permille: int
    hold_allowed: bool
    hold: bool
    mailbox: str
    forecast: Mapping[str, Any] | None
    thresholds: Mapping[str, float]
    draws: int
    seed: int
    unit: str
    house_c: float
    wait_cents_per_day: int
    hold_cents: int
    search: bool
    offset_permille: int

    @property
    def wax_noun(self) -> str:
        """What the wax of the asked parcel is called: "the bars", "the blocks", or "the wax" where there are several sorts."""
        wax = [piece for piece in self.dressings[self.asked_dressing]["contents"] if piece["kind"] == "wax"]
        names = {str(piece.get("called") or "bars") for piece in wax}
        return f"the {names.pop()}" if len(names) == 1 else "the wax"

    @property
    def known(self) -> bool:
        """Tell whether both ends have a place and a climate."""
        return all(end.get("place") and end.get("climate") for end in (self.origin, self.target))


def _check_piece(piece: Any) -> None:
    mapping(piece, "A piece of contents")
    if piece.get("kind") not in ("wax", "honey"):
        raise BadRequest(f"kind is {piece.get('kind')!r}.", "Heat knows wax and honey; leave other pieces out.")
    whole(piece, "units", 1, 10_000)
    for field, most in (("mass_g", 50_000), ("length_mm", 2_000), ("width_mm", 2_000), ("height_mm", 2_000)):
        number(piece, field, 1, most)
    number(piece, "moisture_permille", 100, 300, 175)
    number(piece, "glass_g", 0, 50_000, 0)


def check_parcel(parcel: Any, name: str) -> Mapping[str, Any]:
    """Check one parcel of the request and give it with the fields that may be left out filled in.

    Raises BadRequest.
    """
    mapping(parcel, f"The parcel {name!r}")
    sides = parcel.get("outer_mm")
    if not isinstance(sides, list | tuple) or len(sides) != 3:
        raise BadRequest(f"outer_mm of {name!r} is {sides!r}.", "Give three lengths in mm.")
    for side in sides:
        number({"outer_mm": side}, "outer_mm", 20, 3_000)
    contents = parcel.get("contents")
    if not isinstance(contents, list | tuple) or not contents:
        raise BadRequest(f"contents of {name!r} is {contents!r}.", "Give at least one piece of wax or honey.")
    for piece in contents:
        _check_piece(piece)
    filled = {
        "board_mm": 4,
        "carton_g": 100,
        "filler_g": 0,
        "cost_cents": 0,
        "liner": None,
        "chill": None,
        **parcel,
    }
    number(filled, "board_mm", 0.1, 30)
    if filled.get("wax_load_pa") is not None:
        number(filled, "wax_load_pa", 0, 1_000_000)
    number(filled, "carton_g", 0, 20_000)
    number(filled, "filler_g", 0, 20_000)
    whole(filled, "cost_cents", 0, 1_000_000)
    if filled["liner"] is not None:
        liner = mapping(filled["liner"], "liner")
        number(liner, "thickness_mm", 0.1, 200)
        number(liner, "conductivity", 0.001, 1)
    if filled["chill"] is not None:
        chill = mapping(filled["chill"], "chill")
        number(chill, "mass_g", 1, 20_000)
        number(chill, "latent_kj_per_kg", 1, 400)
        # Colder than any freezer would be dry ice, which is never advised here: the carrier's rules for
        # hazardous goods apply.
        number(chill, "start_c", -40, 0)
    return filled


def _thresholds(own: Any) -> dict[str, float]:
    given = dict(mapping(own or {}, "thresholds"))
    for name in given:
        if name not in THRESHOLDS:
            raise BadRequest(f"thresholds holds {name!r}.", f"Use the names {', '.join(THRESHOLDS)}.")
        number(given, name, 0.01, 1000)
    return {**THRESHOLDS, **given}


def _end(request: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """One end of the trip; its place and climate may be unknown, and are rows of the data files where they are not. Raises BadRequest."""
    end = mapping(request.get(name), name)
    if end.get("place"):
        place = mapping(end["place"], f"place of {name}")
        for field in ("state", "tz"):
            if not isinstance(place.get(field), str) or not place[field]:
                raise BadRequest(f"{field} in the place of {name} is {place.get(field)!r}.", ROW_WANTED)
        for field, most in (("lat", 90), ("rep_lat", 90), ("lon", 180), ("rep_lon", 180)):
            number(place, field, -most, most)
    if end.get("climate"):
        climate = mapping(end["climate"], f"climate of {name}")
        if not isinstance(climate.get("zip3"), str):
            raise BadRequest(f"zip3 in the climate of {name} is {climate.get('zip3')!r}.", ROW_WANTED)
        number(climate, "elev_m", -500, 9000)
        number(climate, "spread_c", 0, 30)
        for field in ("tx", "tn", "sd"):
            months = climate.get(field)
            if not isinstance(months, list | tuple) or len(months) != 12:
                raise BadRequest(f"{field} in the climate of {name} is {str(months)[:60]}.", ROW_WANTED)
            for degrees in months:
                number({field: degrees}, field, -80, 80)
    return end


def _days(request: Mapping[str, Any]) -> tuple[tuple[date, ...], date]:
    """Read the days to consider and the day asked about: the first of them if none is named, today if there
    are none.
    """
    given = request.get("leave_days") or []
    if not isinstance(given, list | tuple) or len(given) > LEAVE_DAYS_MOST:
        raise BadRequest(f"leave_days is {str(given)[:60]}.", f"Give a list of at most {LEAVE_DAYS_MOST} days.")
    days = tuple(sorted({day_of(text, "leave_days") for text in given}))
    named = request.get("asked_day")
    if named is None:
        return days, days[0] if days else day_of(request.get("today"), "today")
    asked_day = day_of(named, "asked_day")
    return days, asked_day


def _not_too_many(draws: int, days: int, parcels: int) -> None:
    trips = draws * max(1, days) * parcels
    if trips > TRIPS_MOST:
        raise BadRequest(
            f"{draws} draws on {days} days for {parcels} parcels are {trips} trips.",
            f"Ask for {TRIPS_MOST:,} at most: fewer draws, days or parcels.",
        )


def check(request: Any) -> Question:
    """Check a request and give it in order. Raises BadRequest."""
    mapping(request, "The request")
    dressings = mapping(request.get("dressings"), "dressings")
    if not dressings:
        raise BadRequest("dressings is empty.", "Give at least one parcel, such as plain.")
    asked_dressing = request.get("asked_dressing", "plain" if "plain" in dressings else next(iter(dressings)))
    if asked_dressing not in dressings:
        raise BadRequest(f"asked_dressing is {asked_dressing!r}.", f"Use one of {', '.join(dressings)}.")
    mailbox = request.get("mailbox", "metal_sun")
    if mailbox not in MAILBOXES:
        raise BadRequest(f"mailbox is {mailbox!r}.", f"Use one of {', '.join(MAILBOXES)}.")
    if request.get("unit", "F") not in ("F", "C"):
        raise BadRequest(f"unit is {request['unit']!r}.", "Use F or C.")
    days, asked_day = _days(request)
    draws = whole(request, "draws", 5, DRAWS_MOST, DRAWS)
    _not_too_many(draws, len(days), len(dressings))
    return Question(
        origin=_end(request, "from"),
        target=_end(request, "to"),
        today=day_of(request.get("today"), "today"),
        leave_days=days or (asked_day,),
        asked_day=asked_day,
        asked_dressing=asked_dressing,
        leave_hour=whole(request, "leave_hour", 0, 23, 15),
        dressings={name: check_parcel(parcel, name) for name, parcel in dressings.items()},
        accept_permille=whole(request, "accept_permille", 0, 1000, 20),
        hold_allowed=bool(request.get("hold_allowed", True)),
        hold=bool(request.get("hold", False)),
        mailbox=mailbox,
        forecast=request.get("forecast"),
        thresholds=_thresholds(request.get("thresholds")),
        draws=draws,
        seed=whole(request, "seed", 0, 2**53, 1),
        unit=request.get("unit", "F"),
        house_c=number(request, "house_c", -20, 40, 24.0),
        wait_cents_per_day=whole(request, "wait_cents_per_day", 0, 10_000, 25),
        hold_cents=whole(request, "hold_cents", 0, 10_000, 50),
        search=bool(request.get("search", True)),
        offset_permille=whole(request, "offset_permille", -4000, 4000, 0),
    )
