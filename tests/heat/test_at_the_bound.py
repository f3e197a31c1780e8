"""Where the heat's advice, drawings and figures turn: each bound met exactly, and missed by the least there is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import degrees
from types import SimpleNamespace
from typing import Any

import pytest
from tests.heat.asking import CHILL, JARS, ask, end, parcel
from tests.heat.test_calibration import parcels
from tests.heat.test_draw import SVG, read

from honeyhold.errors import BadRequest
from honeyhold.heat import advise, calibration, draw, draw_table, read_places, trip
from honeyhold.heat.advice import hottest, none_words
from honeyhold.heat.calibration import Fit, likely_range
from honeyhold.heat.harm import THRESHOLDS, enters_mailbox, hmf_dose_mg_per_kg, honey_limits_c, lid_kpa, viscosity_pa_s
from honeyhold.heat.journey import Course, Judged, Limit, Limits, Verdict, judge
from honeyhold.heat.parcel import GAP_FILM, GLASS_J_PER_KG_K, USUAL, pack_node, pack_parcel
from honeyhold.heat.places import EARTH_RADIUS_MILES, zone_between
from honeyhold.heat.request import LEAVE_DAYS_MOST, check
from honeyhold.heat.stops import MAILBOXES, SURROUNDINGS, Stop
from honeyhold.heat.svg import PROPOLIS
from honeyhold.heat.trip import nights as night_spans
from honeyhold.heat.trip_svg import FLOOR, LEFT, RIGHT, STOP_ROW_PX
from honeyhold.heat.weather import Trip, WeatherMemory, read_outlook
from honeyhold.heat.words import about, verdict_short
from honeyhold.operations.setting_shapes import wanted_instead

Json = dict[str, Any]
FEW = 8
"""Draws, where it is cool or hot beyond all doubt."""
MONDAY = date(2026, 7, 20)
DULUTH, PHOENIX = "55811", "85001"


def one_parcel(zip_code: str, day: str, **more: Any) -> Json:
    """A request for one way of packing."""
    return {**ask(zip_code, day, days=1, draws=FEW, dressings={"plain": parcel()}), **more}


# What is advised


def test_when_it_would_be_cool_enough_is_said_only_to_whoever_wants_it_looked_for() -> None:
    request = one_parcel(PHOENIX, "2026-07-20", hold_allowed=False)
    assert advise({**request, "search": False})["none_words"] == ""
    assert advise(request)["none_words"].startswith("wait for cooler weather: about ")


@pytest.mark.parametrize("today", ["2026-10-14", "2026-10-15", "2026-10-16"])
def test_nothing_is_sent_before_today(today: str) -> None:
    """However harmless the days before were, of which the first was asked about."""
    request = one_parcel(DULUTH, "2026-10-14", leave_days=["2026-10-14", "2026-10-15", "2026-10-16"], today=today)
    assert advise(request)["advice"]["leave_on"] == today


@pytest.mark.parametrize(("day", "said"), [("2026-10-20", "send it Tuesday, plain"), ("2026-10-21", "send it Wednesday 21 October, plain")])
def test_a_weekday_alone_names_the_next_six_days(day: str, said: str) -> None:
    """A week after the Wednesday that was asked about is a Wednesday too."""
    assert advise(one_parcel(DULUTH, "2026-10-14", leave_days=[day]))["advice"]["words"] == said


class CoolFrom:
    """A parcel that may go from a day on; whoever asks about a day twice goes round in a circle."""

    def __init__(self, question: Any, cool_from: date) -> None:
        self.question, self.cool_from, self.asked = question, cool_from, set[date]()

    def soon_refused(self, _weather: Any, leave_on: date, _held: bool) -> bool:
        assert leave_on not in self.asked
        self.asked.add(leave_on)
        return leave_on < self.cool_from


@pytest.mark.parametrize(("cool_from", "said"), [
    (date(2026, 7, 27), "wait for cooler weather: about late July"),
    (date(2027, 6, 28), "wait for cooler weather: about late June"),
    (date(2027, 6, 29), "no week of the year is cool enough to mail this: offer pick-up"),
])  # fmt: skip
def test_a_year_of_weeks_is_looked_through_to_its_end(cool_from: date, said: str) -> None:
    """The first Monday after the day considered, and the 49th."""
    question: Any = SimpleNamespace(hold_allowed=False, dressings={"plain": {"cost_cents": 0}}, leave_days=(MONDAY,), today=MONDAY)
    dressed: Any = {"plain": CoolFrom(question, cool_from)}
    assert none_words(question, SimpleNamespace(), dressed) == said  # type: ignore[arg-type]


# The hours that are told

STAYS = (("van", SURROUNDINGS["van"], 0, 2), ("depot", SURROUNDINGS["depot"], 2, 10), ("mailbox", MAILBOXES["metal_sun"], 10, 30),
         ("home", SURROUNDINGS["home"], 30, 33))  # fmt: skip
MARKS = 34


def at(hours: dict[int, float], other: float = 20.0) -> list[float]:
    return [hours.get(hour, other) for hour in range(MARKS)]


def told(around_c: list[float], wax_peak: int, honey_peak: int = 0, permille: tuple[int, int] | None = None) -> tuple[str, int, int]:
    """Where and from when to when, of a parcel that left at midnight; wax alone unless both chances are given."""
    question = check(one_parcel(DULUTH, str(MONDAY), leave_hour=0))
    way = Trip([Stop(name, around, first, last, 0.0, 1.0) for name, around, first, last in STAYS], around_c, around_c, 14)
    wax, honey = Verdict("dented", permille[0] if permille else 900, ()), Verdict("loose", permille[1], ()) if permille else None
    dressed: Any = None
    course = Course(way, at({wax_peak: 50.0}), at({honey_peak: 50.0}))
    when = hottest(question, [course], dressed, Judged(wax, honey, "dented", 900, False), MONDAY)
    return when["stop"], when["hour_from"], when["hour_to"]


def test_hours_within_four_degrees_of_the_hottest_belong_to_it() -> None:
    assert told(at({14: 35.999, 15: 36.0, 16: 40.0, 17: 36.0, 18: 35.999}), 16) == ("mailbox", 15, 17)


def test_the_hours_told_are_those_of_one_stop_and_twelve_at_most() -> None:
    """Air as hot all the way: of the mailbox from ten on twelve hours are told, of the depot no more than its stay from two to ten."""
    everywhere = at({}, 40.0)
    assert told(everywhere, 20) == ("mailbox", 10, 22)
    assert told(everywhere, 10) == ("depot", 2, 10)


@pytest.mark.parametrize(("hot", "stop"), [(9, "depot"), (10, "mailbox"), (29, "mailbox"), (30, "home"), (MARKS - 1, "home")])
def test_the_hour_at_which_a_stop_ends_is_the_next_ones_and_the_last_mark_the_last_stops(hot: int, stop: str) -> None:
    assert told(at({hot: 40.0}), hot)[0] == stop


@pytest.mark.parametrize(("permille", "stop"), [((20, 21), "mailbox"), ((20, 20), "depot"), ((21, 20), "depot")])
def test_where_the_honey_is_likelier_harmed_its_hours_are_told(permille: tuple[int, int], stop: str) -> None:
    assert told(at({5: 40.0, 15: 40.0}), 6, 16, permille)[0] == stop


# What it rests on


def outlook(issued: str, **ends: Any) -> Any:
    return read_outlook(check(one_parcel(DULUTH, str(MONDAY), forecast={"issued": issued, **ends})))


def test_a_forecast_that_foretells_no_day_is_not_what_it_rests_on() -> None:
    day = {"day": "2026-07-21", "max_c": 30, "min_c": 20}
    for to, basis in (([], "monthly normals"), (None, "monthly normals"), ([day], "forecast of 20 July 6 am, then monthly normals")):
        assert advise(one_parcel(DULUTH, str(MONDAY), forecast={"issued": "2026-07-20T06:00", "to": to}))["basis"] == basis


@pytest.mark.parametrize(("hour", "said"), [(0, "12 am"), (1, "1 am"), (11, "11 am"), (12, "12 pm"), (13, "1 pm"), (23, "11 pm")])
def test_the_hour_of_a_forecast_on_the_clock_of_twelve(hour: int, said: str) -> None:
    assert outlook(f"2026-07-20T{hour:02d}:30").words == f"20 July {said}"


def test_a_forecast_of_the_day_before_yesterday_is_used_and_an_older_one_is_not() -> None:
    used, aside = outlook("2026-07-18T00:00"), outlook("2026-07-17T23:00")
    assert (used.issued, used.aside) == (date(2026, 7, 18), "")
    assert (aside.issued, aside.aside) == (None, "The forecast is 3 days old and was put aside; monthly normals stand in.")


def test_a_day_may_be_as_cold_as_it_is_warm_and_no_colder() -> None:
    def foretold(min_c: float) -> Any:
        return outlook("2026-07-20T06:00", to=[{"day": "2026-07-21", "max_c": 12, "min_c": min_c}]).days["to"]

    assert foretold(12)[date(2026, 7, 21)]["min_c"] == 12
    with pytest.raises(BadRequest, match=r"min_c 12.1 lies above max_c 12"):
        foretold(12.1)


@pytest.mark.parametrize(("normal_c", "cold"), [(4.2, False), (4.19, True)])
def test_bars_are_called_brittle_where_it_stays_below_five_degrees(normal_c: float, cold: bool) -> None:
    """In 2026 it is 0.8 C warmer than the normals; two days from Tuesday 13 January it is the 15th, which needs no interpolation."""
    to = end(DULUTH)
    winter = {**to, "climate": {**to["climate"], "tx": [normal_c] * 12, "tn": [-9.0] * 12}}
    answer = advise(one_parcel(DULUTH, "2026-01-13", to=winter))
    assert answer["transit_days"][0] == 1  # two days usually
    cautions = ["It stays below 41 °F there: bars may be brittle, and show bloom until gently warmed."]
    assert answer["notes"] == (cautions if cold else [])


@pytest.mark.parametrize("lost", ["place", "climate"])
def test_a_place_without_a_climate_is_unknown_and_a_climate_without_a_place(lost: str) -> None:
    request = one_parcel(DULUTH, str(MONDAY), to={**end(DULUTH), lost: None})
    said = "No climate is known for ZIP 55811: look at the forecast there and decide yourself."
    assert advise(request)["unknown"] == [said]
    assert trip(request) == {"known": False, "unit": "F", "words": said}


def test_another_seed_draws_other_numbers_though_the_way_is_the_same() -> None:
    memory = WeatherMemory()
    first, second = (memory.weather_for(check(one_parcel(DULUTH, str(MONDAY), seed=seed))) for seed in (1, 2))
    assert first.samples is not second.samples
    assert memory.weather_for(check(one_parcel(DULUTH, str(MONDAY), seed=2, leave_hour=9))).samples is second.samples


# What is asked


@pytest.mark.parametrize(("more", "why"), [
    ({"dressings": {"plain": {**parcel(), "contents": []}}}, "contents of 'plain' is \\[\\]"),
    ({"leave_days": ["2026-07-20"] * (LEAVE_DAYS_MOST + 1)}, "leave_days is"),
])  # fmt: skip
def test_what_is_empty_or_one_too_many_is_refused(more: Json, why: str) -> None:
    with pytest.raises(BadRequest, match=why):
        check(one_parcel(DULUTH, str(MONDAY), **more))


@pytest.mark.parametrize("field", ["state", "tz"])
def test_a_place_without_the_name_of_its_state_or_its_clock_is_refused(field: str) -> None:
    to = end(DULUTH)
    with pytest.raises(BadRequest, match=f"{field} in the place of to is ''"):
        check(one_parcel(DULUTH, str(MONDAY), to={**to, "place": {**to["place"], field: ""}}))


def test_so_many_days_of_leaving_are_looked_at_and_without_any_the_one_that_is_asked_about() -> None:
    july = [f"2026-07-{day:02d}" for day in range(1, LEAVE_DAYS_MOST + 1)]
    assert len(check(one_parcel(DULUTH, "2026-07-01", leave_days=july)).leave_days) == 31
    assert check(one_parcel(DULUTH, "2026-07-01", leave_days=[], asked_day="2026-07-03")).leave_days == (date(2026, 7, 3),)


def test_a_table_of_nothing_has_no_columns() -> None:
    with pytest.raises(BadRequest, match="no column 'zip3'; its first line is ''"):
        read_places("")


# Where it goes


@pytest.mark.parametrize(("miles", "zone"), [(50, 1), (150, 2), (300, 3), (600, 4), (1400, 6), (1800, 7)])
def test_a_zone_reaches_to_its_last_mile(miles: int, zone: int) -> None:
    """Along a meridian; a thousandth of a mile further is the next zone. Zone 5's thousand is met to a last bit only."""

    def away(distance: float) -> Json:
        return {"state": "MN", "lat": degrees(distance / EARTH_RADIUS_MILES), "lon": 0.0}

    assert zone_between(away(0), away(miles)) == zone and zone_between(away(0), away(miles + 0.001)) == zone + 1


def test_a_carton_as_large_as_the_mailbox_enters_it_and_one_a_millimeter_larger_does_not() -> None:
    """165 by 216 by 480 mm, turned as it fits."""
    assert enters_mailbox([480, 165, 216])
    for larger in ([480, 166, 216], [480, 165, 217], [481, 165, 216]):
        assert not enters_mailbox(larger)


# What becomes of it

NEVER = (Limit(200.0, 1.0), Limit(300.0, 1.0))
HOT_HOURS, COOL_HOURS = [59.5] * 7, [20.0] * 7
"""At 60 C honey gains 0.84 mg/kg of HMF an hour, so that seven hours pass the 5 mg/kg of the usual limit."""


def judged(courses: Sequence[list[float]], honey: tuple[Limit, ...] = NEVER, dark_mg_per_kg: float = 5.0) -> Verdict:
    """The verdict on honey, of a house that accepts 1 in 50."""
    verdict = judge([Course(Trip([], [], [], 0), [], hours) for hours in courses], Limits((), honey, dark_mg_per_kg), 20).honey
    assert verdict is not None
    return verdict


@pytest.mark.parametrize(("dark", "word"), [(2, "steady"), (3, "darkened")])
def test_honey_gets_darker_where_more_ways_darken_it_than_the_house_accepts(dark: int, word: str) -> None:
    verdict = judged([HOT_HOURS] * dark + [COOL_HOURS] * (100 - dark))
    assert (verdict.word, verdict.darkened, verdict.permille) == (word, word == "darkened", 10 * dark)


def test_of_honey_that_leaks_it_is_not_said_that_it_gets_darker() -> None:
    verdict = judged([HOT_HOURS], (Limit(40.0, 1.0), Limit(50.0, 1.0)))
    assert (verdict.word, verdict.darkened) == ("weeping", True)


def test_a_dose_at_the_limit_is_not_past_it() -> None:
    dose = hmf_dose_mg_per_kg([59.5])
    assert not judged([[59.5]], dark_mg_per_kg=dose).darkened and judged([[59.5]], dark_mg_per_kg=dose - 0.001).darkened


def test_a_lid_gives_way_at_its_own_pressure_and_honey_as_thin_as_the_limit_passes_it() -> None:
    """A house's own limits, as they are at 50 C."""
    pressure = lid_kpa(50.0, THRESHOLDS, 300, 300, True)
    assert honey_limits_c({**THRESHOLDS, "honey_lid_kpa": pressure}, 175, (300, 300), True)[0] == 50.0
    thin = {**THRESHOLDS, "honey_lid_kpa": 1.0, "honey_leak_kpa": 1.0, "honey_leak_pa_s": viscosity_pa_s(50.0, 175)}
    assert honey_limits_c(thin, 175, (300, 300), True)[1] == 50.0


def test_a_pack_at_its_melting_point_has_all_of_its_ice() -> None:
    """450 g at 334 kJ/kg; at 1 C it is water, which holds 4218 J/kg K more."""
    pack = pack_node(0.45, 334_000)
    assert pack.enthalpy_j(0.0) == 0 and pack.enthalpy_j(1.0) == pytest.approx(150_300 + 0.45 * 4218)
    packed = pack_parcel(parcel(chill={**CHILL, "start_c": 0}))
    assert packed.pack is not None
    assert packed.network.nodes[packed.pack].enthalpy_j(packed.start_c(24.0)[packed.pack]) == 0


@pytest.mark.parametrize(("glass_g", "heat_j_per_k"), [(None, 1320.0), (200, 1320.0 + 0.2 * GLASS_J_PER_KG_K)])
def test_half_the_glass_warms_with_the_skin_of_the_honey(glass_g: int | None, heat_j_per_k: float) -> None:
    """Two jars of 550 g: half of the honey at 2400 J/kg K, and half of their glass."""
    packed = pack_parcel(parcel([{**JARS, "glass_g": glass_g}]))
    assert packed.honey is not None
    assert packed.network.nodes[packed.honey].corners[1][0] == pytest.approx(heat_j_per_k)


def test_without_filler_heat_goes_through_an_empty_gap_and_the_least_filler_holds_it_off() -> None:
    """Through half the board of a carton of 210 x 160 x 110 mm, 4 mm thick, and over the film of its inner walls."""
    empty, filled = (pack_parcel(parcel(filler_g=grams)).network.links[0][2] for grams in (0, 1))
    outer_m2, inner_m2 = 0.1486, 0.133624
    film = 1 / (0.004 / (2 * USUAL.board_w_per_m_k * outer_m2) + 1 / (2 * GAP_FILM * inner_m2))
    assert empty == pytest.approx(film) and filled < 0.8 * film


# As told and as it came


@pytest.mark.parametrize(
    ("since", "heard"), [("", 2), ("2026-07-19", 1), ("2026-07-20", 1), ("2026-07-21", 0)]
)
def test_a_parcel_counts_from_the_day_on_which_an_offset_was_set(since: str, heard: int) -> None:
    """One packed on 20 July, and one of which nobody knows when."""
    undated = {"told_permille": 10, "arrived": "fine"}
    assert calibration.calibration({"parcels": [*parcels(10, 1, 0), undated], "since": since})["heard"] == heard


@pytest.mark.parametrize(("harmed", "words"), [(2, "less than told"), (3, "as told"), (7, "as told"), (8, "more than told")])
def test_what_luck_alone_brings_is_as_told(harmed: int, words: str) -> None:
    """Of ten throws of a fair coin 3 to 7 are heads in eight of ten tries (binomial table)."""
    (band,) = calibration.calibration({"parcels": parcels(500, 10, harmed)})["bands"]
    assert (band["luck_from"], band["luck_to"], band["words"]) == (3, 7, words)


def test_a_chance_of_one_in_ten_lies_at_the_end_of_the_band_of_luck() -> None:
    """Nine of ten come unharmed, which is all that the band leaves above its end; with a chance of more one may be harmed."""
    assert likely_range(0.1, 1) == (0, 0) and likely_range(0.101, 1) == (0, 1)


@pytest.mark.parametrize(("shift", "words"), [
    (0.999, "fit this house"), (1.0, "are too low for this house"), (-0.999, "fit this house"), (-1.0, "are too high for this house"),
])  # fmt: skip
def test_a_shift_of_two_standard_deviations_is_one(shift: float, words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calibration, "fit", lambda _cases: Fit(shift, 0.5, True))
    answer = calibration.calibration({"parcels": parcels(500, 60, 30)})
    assert answer["words"] == f"Of 60 parcels about 30 were to be harmed; 30 were. The chances told {words}."
    assert answer["fits"] == (words == "fit this house")


# What is drawn


def cell(words: str, permille: int, hold: bool = False, harmless: bool = False) -> Json:
    return {"dressing": "plain", "hold": hold, "verdict_words": words, "harmless": harmless, "chance_permille": permille,
            "chance_words": "1 chance in 2"}  # fmt: skip


def table(*cells: Json) -> Json:
    row = {"leave_on": str(MONDAY), "weekday": "Monday", "closed": "", "cells": cells}
    return draw_table({"advice": {"known": True, "advice": None, "none_words": "offer pick-up", "table": [row]}})


def test_a_table_is_drawn_of_an_answer_and_of_nothing_else() -> None:
    with pytest.raises(BadRequest, match="advice is"):
        draw_table({"advice": {"known": True}})


@pytest.mark.parametrize(("permille", "likely"), [(499, False), (500, True)])
def test_from_an_even_chance_on_a_cell_is_filled_and_below_it_hatched(permille: int, likely: bool) -> None:
    fills = [rect.get("fill") for rect in read(table(cell("may get dents", permille)))[0].iter(f"{SVG}rect")]
    assert (PROPOLIS in fills, "url(#heat-hatch)" in fills) == (likely, not likely)


@pytest.mark.parametrize(("words", "lines"), [("may get crushed", ["get crushed"]), ("may get softened", ["get", "softened"])])
def test_eleven_letters_stand_in_a_line_of_a_cell(words: str, lines: list[str]) -> None:
    said = read(table(cell(words, 100)))[1]
    assert said[3 : 4 + len(lines)] == [*lines, "1 in 2"]


@pytest.mark.parametrize(("words", "held"), [("may get dents", ["held: fine"]), ("may lose their shape", [])])
def test_that_it_may_be_held_is_said_where_there_is_a_third_line(words: str, held: list[str]) -> None:
    said = read(table(cell(words, 100), cell("fine", 0, hold=True, harmless=True)))[1]
    assert [line for line in said if line.startswith("held")] == held


UPPER, LOWER, KEY = FLOOR + 18, FLOOR + 18 + STOP_ROW_PX, FLOOR + 82
HOURS = RIGHT - LEFT
"""A way of so many hours is drawn at a unit of the sheet an hour."""


def drawn(start: str, *stops: tuple[str, int, int]) -> list[tuple[str, float, float]]:
    """Words, x and y of what is written under the curve."""
    answer = {
        "known": True, "unit": "F", "hours": HOURS, "air": [70.0] * (HOURS + 1), "around": [72.0] * (HOURS + 1), "wax": None, "honey": None,
        "stops": [{"name": name, "from_hour": first, "to_hour": last} for name, first, last in stops], "nights": [], "softens": None,
        "loosens": None, "start": start, "title": "To 55811", "words": "Fine.", "verdict_words": "fine", "harmless": True,
        "chance_words": "under 1 chance in 100", "when": {"words": "Monday 2 to 5 pm in the van"},
    }  # fmt: skip
    below = [text for text in read(draw({"trip": answer}))[0].iter(f"{SVG}text") if UPPER <= float(text.attrib["y"]) < KEY]
    return [(text.text or "", float(text.attrib["x"]), float(text.attrib["y"])) for text in below]


@pytest.mark.parametrize(("until", "place"), [(72, (68.0, UPPER)), (71, (67.5, LOWER))])
def test_four_units_apart_two_stops_are_named_in_one_row(until: int, place: tuple[float, int]) -> None:
    """At 8 a letter "van" ends at 64; "depot" is 40 wide, in the middle of its stay."""
    said = drawn("2026-07-20T13:00", ("van", 0, 24), ("depot", 24, until))
    assert said[:2] == [("van", 40.0, UPPER), ("depot", *place)]


@pytest.mark.parametrize(("until", "places"), [(58, [(34.0, LOWER), (62.0, LOWER)]), (57, [(34.0, LOWER)])])
def test_a_stop_that_has_room_in_neither_row_is_not_named(until: int, places: list[tuple[float, int]]) -> None:
    """Above, "counter" reaches to 76; below, the first "van" to 58."""
    said = drawn("2026-07-20T13:00", ("counter", 0, 2), ("van", 2, 10), ("van", 10, until))
    assert [place for name, *place in said if name == "van"] == [list(place) for place in places]


@pytest.mark.parametrize(("start", "first"), [("11", ("Mon", 41.0)), ("12", ("Mon", 40.0)), ("13", ("Tue", 63.0))])
def test_a_way_that_begins_at_noon_has_that_days_name_at_its_beginning(start: str, first: tuple[str, float]) -> None:
    assert drawn(f"2026-07-20T{start}:00")[0][:2] == first


# What is said


@pytest.mark.parametrize(
    ("day", "said"), [(1, "early July"), (10, "early July"), (11, "mid July"), (20, "mid July"), (21, "late July"), (31, "late July")]
)
def test_a_month_has_ten_early_days_and_ten_in_its_middle(day: int, said: str) -> None:
    assert about(date(2026, 7, day)) == said


@pytest.mark.parametrize("word", ["firm", "steady"])
def test_where_nothing_happens_nothing_is_said_to_happen(word: str) -> None:
    assert verdict_short(word, 500, harmless=False) == "fine"


@pytest.mark.parametrize(("leave_hour", "nights"), [
    (3, [[0, 3], [17, 27]]), (6, [[14, 24]]), (5, [[0, 1], [15, 25]]), (21, [[0, 9], [23, 30]]),
])  # fmt: skip
def test_who_leaves_before_dawn_leaves_at_night(leave_hour: int, nights: list[list[int]]) -> None:
    """A night is shaded from 8 pm to 6 am."""
    assert night_spans(check(one_parcel(DULUTH, str(MONDAY), leave_hour=leave_hour)), 30) == nights


@pytest.mark.parametrize(("field", "least", "most"), [("leave_hour", 0, 23), ("accept_permille", 0, 1000)])
def test_whatever_a_house_may_set_is_answered_and_nothing_beyond_it(field: str, least: int, most: int) -> None:
    for value in (least, most):
        answer = advise(one_parcel(DULUTH, "2026-10-14", **{field: value}))
        assert (answer["table"][0]["cells"][0]["verdict"], wanted_instead(field, value)) == ("firm", "")
    for beyond in (least - 1, most + 1):
        assert wanted_instead(field, beyond)
        with pytest.raises(BadRequest, match=f"{field} is {beyond}"):
            check(one_parcel(DULUTH, "2026-10-14", **{field: beyond}))


def test_honey_that_lies_warm_for_days_gets_darker_though_no_hour_is_hot() -> None:
    """By the fitted rate, three days at 44.9 C come to more than an eighth of what honey may have (Directive 2001/110/EC, Annex II)."""
    assert judged([[44.9] * 72]).darkened and not judged([[44.9] * 48]).darkened
