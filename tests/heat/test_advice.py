"""The whole chain, asked as a person would ask it."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heat.asking import BARS, CHILL, JARS, LINER, ask, end, parcel

from honeyhold.errors import BadRequest
from honeyhold.heat import advise, harm, trip
from honeyhold.heat.chance import Numbers
from honeyhold.heat.holidays import post_day_after
from honeyhold.heat.journey import Dressed
from honeyhold.heat.network import run, temperatures_c
from honeyhold.heat.parcel import pack_parcel
from honeyhold.heat.request import check
from honeyhold.heat.weather import Weather


def rank(answer: dict[str, Any]) -> tuple[int, int]:
    return harm.SEVERITY[answer["asked"]["verdict"]], answer["asked"]["chance_permille"]


def test_plain_paper_to_phoenix_in_july_is_flagged_and_duluth_in_october_is_not() -> None:
    phoenix = advise(ask("85001", "2026-07-20"))
    assert not phoenix["asked"]["harmless"] and phoenix["asked"]["chance_permille"] > 300
    assert phoenix["asked"]["when"]["air_f"] > 105
    assert phoenix["advice"]["hold"] and phoenix["advice"]["dressing"] == "chilled"  # three sheds in ten stand open there
    austin = advise(ask("78704", "2026-07-20"))
    assert not austin["asked"]["harmless"] and austin["advice"]["hold"]
    assert (austin["advice"]["dressing"], austin["advice"]["extra_cents"]) == ("plain", 0)  # held is free, before a cold pack
    nowhere = advise({**ask("85001", "2026-07-20"), "hold_allowed": False})
    assert nowhere["advice"] is None and nowhere["none_words"].split()[:5] == ["wait", "for", "cooler", "weather:", "about"]
    assert nowhere["none_words"].split()[-1] in ("October", "November", "December")
    duluth = advise(ask("55811", "2026-10-14"))
    assert duluth["asked"]["verdict"] == "firm" and duluth["asked"]["harmless"]
    assert duluth["advice"]["words"] == "send it Wednesday, plain" and duluth["none_words"] == ""


def test_the_answer_is_plain_json_and_the_same_twice() -> None:
    request = ask("78704", "2026-07-22", [BARS, JARS])
    answer = advise(request)
    assert json.loads(json.dumps(answer)) == answer == advise(json.loads(json.dumps(request)))
    assert advise({**request, "seed": 2}) != answer


def test_the_asked_cell_and_the_trip_agree_with_the_table() -> None:
    request = ask("04609", "2026-07-27", [BARS, JARS], asked_dressing="lined")
    answer = advise(request)
    (cell,) = (
        cell for cell in answer["table"][0]["cells"] if cell["dressing"] == "lined" and not cell["hold"]
    )
    for name in ("verdict", "chance_permille", "harmless"):
        assert answer["asked"][name] == cell[name] == trip(request)[name]


def test_a_cell_that_is_too_cool_to_matter_is_judged_as_if_it_had_been_worked_out() -> None:
    answer = advise(ask("55811", "2026-10-14", [BARS, JARS]))
    (cell,) = (c for c in answer["table"][0]["cells"] if c["dressing"] == "plain" and not c["hold"])
    assert (cell["verdict"], cell["chance_permille"]) == (
        answer["asked"]["verdict"],
        answer["asked"]["chance_permille"],
    )


@pytest.mark.parametrize(
    ("origin", "target", "missing"), [("54843", "09012", "09012"), ("00000", "55811", "00000")]
)
def test_an_unknown_prefix_is_an_answer(origin: str, target: str, missing: str) -> None:
    request = {**ask(target, "2026-07-20"), "from": end(origin)}
    answer = advise(request)
    assert answer["known"] is False and answer["asked"] is None and missing in answer["unknown"][0]
    assert trip(request)["known"] is False


def test_a_day_without_post_is_closed_and_never_advised() -> None:
    answer = advise(ask("55811", "2026-07-03", days=3))
    assert [row["closed"] for row in answer["table"]] == ["", "Independence Day, no mail", "Sunday, no mail"]
    assert answer["table"][1]["cells"] == []
    late = advise(ask("55811", "2026-07-04", days=3))
    assert "it leaves Monday" in late["asked"]["words"]
    assert late["advice"]["leave_on"] == "2026-07-06"


def test_the_advice_is_the_cheapest_harmless_cell() -> None:
    answer = advise({**ask("55811", "2026-07-22"), "hold_allowed": False, "wait_cents_per_day": 0})
    found = answer["advice"]
    safe = [
        (c["cost_cents"], row["leave_on"]) for row in answer["table"] for c in row["cells"] if c["harmless"]
    ]
    assert safe and (found["extra_cents"], found["leave_on"]) == min(safe)
    assert found["chance_permille"] <= 20 and not found["hold"]
    for row in answer["table"]:
        assert {cell["hold"] for cell in row["cells"]} == {False}


def test_a_house_that_accepts_more_gets_the_plainer_advice() -> None:
    strict, easy = (advise({**ask("78704", "2026-07-22"), "accept_permille": accept}) for accept in (5, 600))
    assert easy["advice"]["extra_cents"] == 0 and easy["advice"]["dressing"] == "plain"
    assert strict["advice"] is None or strict["advice"]["extra_cents"] > 0 or strict["advice"]["hold"]


def test_held_at_the_counter_is_never_worse_than_the_mailbox() -> None:
    for row in advise(ask("37201", "2026-07-20", [BARS, JARS]))["table"]:
        chance = {(c["dressing"], c["hold"]): c["chance_permille"] for c in row["cells"]}
        assert all(chance[name, True] <= chance[name, False] for name in ("plain", "lined", "chilled"))


def chance_of(to: str, **more: Any) -> int:
    answer = advise({**ask(to, "2026-08-03"), **more})
    return int(answer["asked"]["chance_permille"])


def test_a_darker_or_sunnier_box_is_worse() -> None:
    boxes = ("indoors", "porch_shade", "metal_shade", "metal_sun", "metal_dark_sun")
    chances = [chance_of("43201", mailbox=box) for box in boxes]
    assert chances == sorted(chances) and chances[0] < chances[-1]


def test_a_cold_pack_helps_a_day_not_five() -> None:
    """In steady 38 C air a pack keeps bars at least 8 K cooler for half a day, and after five days not by
    half a degree.
    """

    def wax_c(chill: dict[str, Any] | None) -> list[float]:
        packed = pack_parcel(parcel(liner=LINER, chill=chill))
        assert packed.wax is not None
        return temperatures_c(
            packed.network, run(packed.network, packed.start_c(24), [38.0] * 121), packed.wax
        )

    lined, chilled = wax_c(None), wax_c(CHILL)
    assert lined[12] - chilled[12] > 8
    assert lined[120] - chilled[120] < 0.5


def test_a_cold_pack_is_worth_more_on_a_short_way() -> None:
    """Spent, it still is half a kilogram of water, which slows a light parcel; but two days away it does far
    more.
    """

    def left(to: str) -> float:
        rows = advise(ask(to, "2026-07-20", leave_hour=9, thresholds={"wax_mark_c": 39.0}))["table"]
        chance = {(c["dressing"], c["hold"]): c["chance_permille"] for c in rows[0]["cells"]}
        return float(chance["chilled", False] / chance["lined", False])

    near, far = left("55401"), left("33101")
    assert near < far / 2  # Minneapolis, two days; Miami, five


@settings(max_examples=12, deadline=None)
@given(
    to=st.sampled_from(["55811", "04609", "98101", "43201", "78704"]),
    month=st.integers(1, 12),
    warmer=st.floats(0.5, 8),
    dressing=st.sampled_from(["plain", "lined", "chilled"]),
)
def test_a_hotter_place_never_gets_a_milder_verdict(
    to: str, month: int, warmer: float, dressing: str
) -> None:
    request = ask(to, f"2026-{month:02d}-14", [BARS, JARS], days=1, asked_dressing=dressing, draws=15)
    hotter = {**request, "to": end(to, warmer)}
    assert rank(advise(hotter)) >= rank(advise(request))


def test_low_and_high_properties_bracket_the_verdict() -> None:
    wax = advise(ask("85001", "2026-06-15"))["asked"]["wax"]
    order = harm.WAX_WORDS.index
    assert order(wax["verdict_low"]) <= order(wax["verdict"]) <= order(wax["verdict_high"])


def forecast(high: float, issued: str = "2026-07-20T06:00") -> dict[str, Any]:
    days = [
        {"day": f"2026-07-{20 + step}", "max_c": high, "min_c": high - 11, "sky_percent": 10}
        for step in range(7)
    ]
    return {"issued": issued, "from": days, "to": days}


def test_a_forecast_moves_the_answer_and_is_named() -> None:
    request = ask("78704", "2026-07-20", days=1)
    normal, cool, hot = (
        advise({**request, "forecast": given}) for given in (None, forecast(18), forecast(42))
    )
    assert (
        cool["asked"]["chance_permille"]
        < normal["asked"]["chance_permille"]
        < hot["asked"]["chance_permille"]
    )
    assert normal["basis"] == "monthly normals"
    assert hot["basis"] == "forecast of 20 July 6 am, then monthly normals"


def test_an_old_forecast_is_put_aside_and_said_so() -> None:
    request = ask("55811", "2026-07-20", days=1)
    answer = advise({**request, "forecast": forecast(36, "2026-07-16T06:00")})
    assert answer["basis"] == "monthly normals" and any("4 days old" in told for told in answer["unknown"])
    assert answer["asked"] == advise(request)["asked"]


def test_the_house_may_set_its_own_thresholds() -> None:
    request = ask("43201", "2026-07-20", days=1)
    wary = advise({**request, "thresholds": {"wax_mark_c": 39.0}})
    assert wary["asked"]["chance_permille"] > advise(request)["asked"]["chance_permille"]


def test_celsius_houses_are_told_celsius() -> None:
    asked = advise(ask("85001", "2026-07-20", unit="C"))["asked"]
    assert 40 < asked["when"]["air_c"] < 62 and asked["words"].endswith("°C.")


def test_honey_alone_and_dressings_of_any_name() -> None:
    request = ask(
        "55811", "2026-10-14", dressings={"paper": parcel([JARS]), "wool": parcel([JARS], liner=LINER)}
    )
    answer = advise(request)
    assert answer["asked"]["wax"] is None and answer["asked"]["honey"]["verdict"] == "steady"
    assert answer["asked"]["verdict"] == "steady" and answer["asked"]["dressing"] == "paper"


def test_cautions_go_with_cold_packs_and_cold_places() -> None:
    assert any("cold pack" in told for told in advise(ask("55811", "2026-07-20"))["notes"])
    assert any("bloom" in told for told in advise(ask("55811", "2026-01-12"))["notes"])


def test_the_trip_by_the_hour() -> None:
    answer = trip(ask("85001", "2026-07-20", [BARS, JARS]))
    count = answer["hours"] + 1
    assert len(answer["air"]) == len(answer["around"]) == len(answer["wax"]["median"]) == count
    for good in ("wax", "honey"):
        triple = zip(answer[good]["low"], answer[good]["median"], answer[good]["high"], strict=True)
        assert all(low <= middle <= high for low, middle, high in triple)
    assert [stop["name"] for stop in answer["stops"]][:3] == ["van", "depot", "road"]
    assert answer["stops"][-1]["to_hour"] == answer["hours"] and answer["error_k"] < 0.05
    assert answer["start"] == "2026-07-20T15:00" and answer["nights"][0] == [5, 15]
    assert trip({**ask("85001", "2026-07-20"), "hold": True})["stops"][-2]["name"] == "counter"


BAD: list[tuple[dict[str, Any], str]] = [
    ({"asked_day": "20 July"}, "asked_day is '20 July'"),
    ({"leave_days": ["2026-07-20"] * 40}, "leave_days is"),
    ({"dressings": {}}, "dressings is empty"),
    ({"asked_dressing": "silk"}, "asked_dressing is 'silk'"),
    ({"mailbox": "mars"}, "mailbox is 'mars'"),
    ({"unit": "K"}, "unit is 'K'"),
    ({"draws": 2}, "draws is 2"),
    ({"leave_hour": 9.5}, "leave_hour is 9.5"),
    ({"accept_permille": True}, "accept_permille is True"),
    ({"from": "54843"}, "from is '54843'"),
    ({"thresholds": {"wax_boils_c": 1}}, "wax_boils_c"),
    ({"forecast": {"issued": "soon"}}, "forecast.issued"),
    (
        {"forecast": {"issued": "2026-07-20T06:00", "to": [{"day": "2026-07-21", "max_c": 10, "min_c": 20}]}},
        "above",
    ),
    ({"dressings": {"plain": parcel(outer_mm=[210, 160])}}, "outer_mm"),
    ({"dressings": {"plain": parcel([{**BARS, "kind": "soap"}])}}, "kind is 'soap'"),
    ({"dressings": {"plain": parcel([{**BARS, "units": 0}])}}, "units is 0"),
    ({"dressings": {"plain": parcel(liner={"thickness_mm": 10})}}, "conductivity is None"),
    (
        {"dressings": {"plain": parcel(chill={**CHILL, "start_c": -78.5})}},
        "start_c is -78.5",
    ),  # dry ice: not offered
]


@pytest.mark.parametrize(("more", "seen"), BAD)
def test_a_bad_request_names_the_field_and_the_value(more: dict[str, Any], seen: str) -> None:
    with pytest.raises(BadRequest) as trouble:
        advise({**ask("55811", "2026-07-20"), **more})
    assert seen in str(trouble.value) and trouble.value.remedy


def test_a_glance_at_a_quarter_of_the_draws_never_changes_what_is_harmless() -> None:
    """Sixty invented parcels to the hottest places: where harm is plain from sixteen draws, all sixty-four agree.

    The chance told differs by up to 0.16 (half of them by less than 0.06); the word and what is harmless do not.
    """
    numbers, prefixes = Numbers(5), ["850", "852", "853", "889", "890", "922", "857", "797", "787"]
    glances, apart = [0, 0], []
    for turn in range(60):
        may_hold = turn % 2 == 1
        to = prefixes[numbers.whole() % len(prefixes)] + "01"
        on = post_day_after(date(2026, 5, 15) + timedelta(days=numbers.whole() % 130), 0)
        request = ask(to, on.isoformat(), [BARS] if numbers.whole() % 2 else [BARS, JARS], hold_allowed=may_hold)
        question = check({**request, "thresholds": {"wax_mark_c": 41.0 if may_hold else 40.0}})
        weather = Weather(question)
        for name in question.dressings:
            dressed = Dressed(question, name)
            glance = dressed._plain(weather, on, list(dressed._glanced(weather, on).values()))
            if glance is None:
                continue
            glances[may_hold] += 1
            # Held is told only where it may be.
            for rough, full in list(zip(glance, dressed.judged_fully(weather, on), strict=True))[: 1 + may_hold]:
                assert rough.harmless == full.harmless and rough.word == full.word
                assert abs(rough.permille - full.permille) <= 160
                apart.append(abs(rough.permille - full.permille))
    assert glances[0] > 15 and glances[1] > 3 and sorted(apart)[len(apart) // 2] < 60


def test_what_is_kept_of_a_way_never_changes_its_answer() -> None:
    request = ask("85281", "2026-10-20", [BARS], days=3)
    first = advise(request)
    for other in ("33101", "98101", "04609"):
        advise(ask(other, "2026-10-20", [BARS], days=2))
    assert advise(request) == first
    warmer = {**request, "forecast": forecast(36, "2026-10-20T06:00")}
    advise(warmer)
    assert advise(request) == first
