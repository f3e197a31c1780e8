"""Places, holidays, stops and the air on the way."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heat.asking import tables

from honeyhold.errors import BadRequest
from honeyhold.heat.air import Day, day_chain, hours_of
from honeyhold.heat.holidays import no_post, post_day_after, postal_holidays
from honeyhold.heat.places import distance_miles, place_of, read_places, transit_days, zone_between
from honeyhold.heat.stops import MAILBOXES, SURROUNDINGS, Luck, luck_of, stops_of
from honeyhold.heat.sun import STANDARD_HOURS, clock_hours


def test_the_tables_hold_the_same_prefixes_and_zones_that_are_known() -> None:
    places, climate = tables()
    assert len(places) == 916 and places.keys() == climate.keys()
    assert {row["tz"] for row in places.values()} <= STANDARD_HOURS.keys()
    assert all(low < high for row in climate.values() for low, high in zip(row["tn"], row["tx"], strict=True))


def test_a_prefix_that_is_missing_is_none_and_a_wrong_table_is_refused() -> None:
    assert place_of("09012", tables()[0]) is None  # military
    with pytest.raises(BadRequest, match="no column 'state'"):
        read_places("# note\nzip3,lat\n850,33\n")


def test_distances_and_zones() -> None:
    """Worked examples of the places notes: 701-372 466 miles, zone 4; 900-100 2,451, zone 8; 900-941 345,
    zone 4.
    """
    places, _ = tables()
    for a, b, miles, zone in (("701", "372", 466, 4), ("900", "100", 2451, 8), ("900", "941", 345, 4)):
        one, other = places[a], places[b]
        assert distance_miles(one["lat"], one["lon"], other["lat"], other["lon"]) == pytest.approx(
            miles, abs=2
        )
        assert zone_between(one, other) == zone_between(other, one) == zone
    assert transit_days(places["548"], places["998"])[1] >= 6


def test_eleven_holidays_with_the_weekend_rule() -> None:
    assert len(postal_holidays(2026)) == 11
    assert (
        no_post(date(2026, 7, 4)) == "Independence Day" and no_post(date(2026, 7, 3)) == ""
    )  # Saturday stays
    assert no_post(date(2023, 1, 2)) == "New Year's Day"  # Sunday moves
    assert no_post(date(2026, 7, 5)) == "Sunday"
    assert post_day_after(date(2026, 7, 3), 1) == date(2026, 7, 6)


@given(
    st.dates(date(2024, 1, 1), date(2034, 1, 1)), st.integers(0, 20), st.integers(1, 9),
    st.tuples(st.floats(0, 0.999), st.floats(0, 0.999)), st.booleans(),
)  # fmt: skip
def test_stops_follow_without_holes(
    day: date, hour: int, days: int, when: tuple[float, float], hold: bool
) -> None:
    on = post_day_after(day, 0)
    luck = luck_of((0.5, *when), (days, days, days))
    stops = stops_of(on, hour, luck, "metal_sun", hold)
    assert stops[0].from_hour == 0 and stops[-1].name == "home"
    assert all(
        a.to_hour == b.from_hour and a.to_hour > a.from_hour for a, b in zip(stops, stops[1:], strict=False)
    )
    assert ("mailbox" in {stop.name for stop in stops}) <= (not hold)
    delivered = on + timedelta(hours=hour + stops[-1].from_hour)
    assert no_post(delivered) == "" or luck.collected_hour > 24


def test_sunday_is_spent_lying_still() -> None:
    friday, monday = date(2026, 7, 24), date(2026, 7, 20)
    luck = Luck(2, 12, 17)
    spans = [stops_of(on, 15, luck, "metal_sun")[-1].to_hour for on in (monday, friday)]
    assert spans[1] - spans[0] == 24


def test_gains_at_a_clear_afternoon_lie_in_their_bands() -> None:
    """900 W/m2: metal box +8 to +18 K, van load space +12 to +20 K (a parcel in six tenths of it), shaded
    porch up to +3 K.

    The bands are our own reading of press reports and one reader's log: a design guess.
    """
    gain = {name: 900 * around.sun_k_per_w_m2 for name, around in {**MAILBOXES, **SURROUNDINGS}.items()}
    assert 8 <= gain["metal_sun"] < gain["metal_dark_sun"] <= 18
    assert 12 <= gain["van"] / 0.6 <= 20
    assert 0 <= gain["porch_shade"] <= 3 and gain["indoors"] == 0


def test_clocks_show_summer_time_where_and_when_they_do() -> None:
    assert clock_hours("America/Chicago", date(2026, 3, 7)) == -6
    assert (
        clock_hours("America/Chicago", date(2026, 3, 8))
        == clock_hours("America/Chicago", date(2026, 10, 31))
        == -5
    )
    assert clock_hours("America/Chicago", date(2026, 11, 1)) == -6
    assert clock_hours("America/Phoenix", date(2026, 7, 1)) == -7
    with pytest.raises(BadRequest, match="Europe/Oslo"):
        clock_hours("Europe/Oslo", date(2026, 7, 1))


@settings(max_examples=30)
@given(st.lists(st.floats(-3, 3), min_size=4, max_size=8), st.integers(0, 1))
def test_hours_stay_within_their_days_and_join_without_a_jump(z: list[float], summer: int) -> None:
    days = [Day(30.0, 18.0, 3.0)] * len(z)
    hours = hours_of(days, z, summer)
    assert len(hours) == 24 * len(z)
    highs = [30 + 3 * number for number in z]
    for index, high in enumerate(highs):
        day = hours[24 * index + 8 : 24 * index + 24]
        tomorrow = min(18 + 2.4 * z[min(index + 1, len(z) - 1)], highs[min(index + 1, len(z) - 1)])
        assert max(day) <= max(high, tomorrow) + 1e-9  # a night may be warmer than the day before it
    steps = [abs(b - a) for a, b in zip(hours[20:-24], hours[21:-24], strict=False)]
    assert max(steps) < 0.25 * (max(highs) - min(highs) + 12 + 9)


def test_days_hang_together() -> None:
    first = day_chain([[1.0, 0.0, 0.0]])[0]
    assert first == pytest.approx([1.0, 0.65, 0.4225])
