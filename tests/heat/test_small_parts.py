"""Limits and words of heat's small parts, each at the figure where it turns."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from heat.asking import CHILL, ask, parcel
from honeyhold.errors import BadRequest
from honeyhold.heat import advice, advise
from honeyhold.heat.calibration import calibration
from honeyhold.heat.chance import words_of
from honeyhold.heat.harm import WAX_WORDS, word_for
from honeyhold.heat.parcel import GAP_FILM, PACK_KG_PER_M3, PACK_THICK_M, pack_parcel
from honeyhold.heat.places import transit_days
from honeyhold.heat.request import TRIPS_MOST, _not_too_many
from honeyhold.heat.stops import luck_of
from honeyhold.heat.weather import WeatherMemory
from honeyhold.heat.words import hours_words

Json = dict[str, Any]
MINNESOTA: Json = {"state": "MN", "lat": 46.8, "lon": -92.1}
IOWA: Json = {"state": "IA", "lat": 42.0, "lon": -93.6}
OREGON: Json = {"state": "OR", "lat": 45.5, "lon": -122.7}
ALASKA: Json = {"state": "AK", "lat": 61.2, "lon": -149.9}
HAWAII: Json = {"state": "HI", "lat": 21.3, "lon": -157.9}
YUKON_EDGE: Json = {"state": "AK", "lat": 64.8, "lon": -147.7}
GUAM: Json = {"state": "GU", "lat": 13.5, "lon": 144.8}


@pytest.mark.parametrize(("one", "other", "days"), [
    (MINNESOTA, MINNESOTA, (1, 2, 3)), (MINNESOTA, IOWA, (2, 3, 4)), (MINNESOTA, OREGON, (4, 5, 6)), (MINNESOTA, ALASKA, (5, 6, 7)),
    (OREGON, HAWAII, (5, 6, 7)), (ALASKA, YUKON_EDGE, (2, 3, 4)), (MINNESOTA, GUAM, (6, 7, 8)),
])  # fmt: skip
def test_the_days_on_the_way(one: Json, other: Json, days: tuple[int, int, int]) -> None:
    """Over the sea it takes six at least; within a far state it is no further than elsewhere. The days are common practice, no source."""
    assert transit_days(one, other) == transit_days(other, one) == days


@pytest.mark.parametrize(("permille", "words"), [
    (0, "under 1 chance in 100"), (9, "under 1 chance in 100"), (10, "1 chance in 100"), (12, "1 chance in 80"), (20, "1 chance in 50"),
    (34, "1 chance in 30"), (50, "1 chance in 20"), (100, "1 chance in 10"), (200, "1 chance in 5"),
])  # fmt: skip
def test_a_small_chance_is_said_as_the_nearest_plain_odds(permille: int, words: str) -> None:
    assert words_of(permille) == words


@pytest.mark.parametrize(("shares", "luck"), [
    ((0.149, 0.0, 0.149), (1, 10, 10)), ((0.15, 0.5, 0.15), (2, 13, 16)), ((0.75, 0.999, 0.92), (3, 15, 41)),
    ((0.5, 0.999, 0.919), (2, 15, 19)),
])  # fmt: skip
def test_the_luck_of_a_parcel_turns_at_its_shares(shares: tuple[float, float, float], luck: tuple[int, int, int]) -> None:
    """A day early, in time or late; taken in at once, in the evening, or on the next afternoon."""
    found = luck_of(shares, (1, 2, 3))
    assert (found.post_days, found.delivered_hour, found.collected_hour) == luck


@pytest.mark.parametrize(("chances", "word"), [
    ((20, 0, 0), 0), ((21, 0, 0), 1), ((600, 499, 0), 1), ((600, 500, 0), 2), ((900, 800, 500), 3),
])  # fmt: skip
def test_the_word_is_the_worst_that_is_an_even_chance(chances: tuple[int, int, int], word: int) -> None:
    assert word_for(chances, WAX_WORDS, 20) == WAX_WORDS[word]


@pytest.mark.parametrize(("field", "value"), [
    ("mass_g", 0), ("mass_g", 20_001), ("latent_kj_per_kg", 0), ("latent_kj_per_kg", 401), ("start_c", 1), ("start_c", -41),
])  # fmt: skip
def test_a_cold_pack_that_there_is_not_is_refused(field: str, value: float) -> None:
    """Dry ice too."""
    with pytest.raises(BadRequest, match=field):
        advise(ask("55811", "2027-07-26", dressings={"chilled": parcel(chill={**CHILL, field: value})}), WeatherMemory())


def test_what_is_too_much_to_work_out_is_refused() -> None:
    """Draws by days by parcels; one day at least, where none is asked for."""
    _not_too_many(400, 30, 1)
    _not_too_many(TRIPS_MOST, 0, 1)
    for asked in ((TRIPS_MOST + 1, 0, 1), (400, 30, 2), (TRIPS_MOST, 2, 1)):
        with pytest.raises(BadRequest, match=f"are {asked[0] * max(1, asked[1]) * asked[2]} trips"):
            _not_too_many(*asked)


def test_told_chances_are_put_together_at_their_limits() -> None:
    """1 in 50, 1 in 10, 3 in 10, 6 in 10: each limit belongs to the band below it."""
    told = (0, 20, 21, 100, 101, 300, 301, 600, 601, 1000)
    answer = calibration({"parcels": [{"told_permille": one, "arrived": "fine", "packed_on": "2027-07-01"} for one in told]})
    assert [(band["parcels"], band["harmed"]) for band in answer["bands"]] == [(2, 0)] * 5
    assert calibration({})["heard"] == 0 and calibration({"parcels": []})["bands"] == []


def test_a_cold_pack_lies_with_one_face_on_the_goods_and_one_on_the_wall() -> None:
    """450 g of it, by its thickness and density, is a face of so much; heat goes through both by the same film."""
    packed = pack_parcel(parcel(chill=CHILL))
    through = [watts_per_k for one, other, watts_per_k in packed.network.links if packed.pack in (one, other)]
    face_m2 = 0.45 / PACK_KG_PER_M3 / PACK_THICK_M
    assert through == pytest.approx([GAP_FILM * face_m2] * 2) and 0.005 < face_m2 < 0.05


@pytest.mark.parametrize(("first", "last", "said"), [
    (14, 17, "2 to 5 pm"), (11, 14, "11 am to 2 pm"), (12, 15, "noon to 3 pm"), (0, 3, "midnight to 3 am"), (22, 24, "10 pm to midnight"),
    (9, 12, "9 am to noon"), (23, 25, "11 pm to 1 am"), (24, 25, "midnight to 1 am"), (0, 12, "midnight to noon"),
])  # fmt: skip
def test_hours_of_the_clock_are_said_as_people_say_them(first: int, last: int, said: str) -> None:
    assert hours_words(first, last) == said


@pytest.mark.parametrize(("cool", "said"), [
    ({("plain", True): 20, ("plain", False): 20}, "wait for cooler weather: about WEEK 20"),
    ({("plain", True): 20, ("plain", False): 21}, "wait for cooler weather: about WEEK 21"),
    ({("plain", True): 20, ("plain", False): 22}, "wait for cooler weather: about WEEK 22, or WEEK 20 held at the post office counter"),
    ({("plain", True): 20}, "wait for cooler weather: about WEEK 20, held at the post office counter"),
    ({("lined", False): 9}, "wait for cooler weather: about WEEK 9"),
    ({}, "no week of the year is cool enough to mail this: offer pick-up"),
])  # fmt: skip
def test_when_it_is_cool_enough_is_said_of_the_cheapest_dressing_for_which_it_ever_is(
    cool: dict[tuple[str, bool], int], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the door, or sooner at the counter by two weeks at least; by weeks that are set by hand."""
    dressings = {"lined": {"cost_cents": 240}, "plain": {"cost_cents": 0}}
    asked_from: list[tuple[str, int, bool]] = []

    def first_cool(_weather: Any, dressed: Any, week: int, *, held: bool) -> int | None:
        asked_from.append((dressed, week, held))
        found = cool.get((dressed, held))
        return found if found is None or found >= week else None

    monkeypatch.setattr(advice, "_first_cool", first_cool)
    monkeypatch.setattr(advice, "_week", lambda _question, week: week)
    monkeypatch.setattr(advice.words, "about", lambda week: f"WEEK {week}")
    question = SimpleNamespace(hold_allowed=True, dressings=dressings)
    assert advice.none_words(question, None, {name: name for name in dressings}) == said  # type: ignore[arg-type]
    assert asked_from[0] == ("plain", 1, True)
    no_counter = SimpleNamespace(hold_allowed=False, dressings=dressings)
    advice.none_words(no_counter, None, {name: name for name in dressings})  # type: ignore[arg-type]
    assert asked_from[-1][2] is False
