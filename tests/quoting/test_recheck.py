"""Orders asked again in the morning: told what changed and what to do, silent while what was told still stands."""

from __future__ import annotations

from typing import Any

import pytest
from tests.quoting.test_call import MONDAY_IN_JULY, MONDAY_IN_OCTOBER, SETTINGS, asked

from honeyhold import kernel
from honeyhold.heat.harm import THRESHOLDS

NOW = f"{MONDAY_IN_JULY}T12:00:00Z"
TUESDAY = "2027-07-27"


def row(high: int, prefix: str) -> dict[str, Any]:
    days = [{"day": f"2027-07-{26 + step:02d}", "max_tenths": high, "min_tenths": high - 120, "sky_percent": 20} for step in range(6)]
    days += [{"day": f"2027-08-{1 + step:02d}", "max_tenths": high, "min_tenths": high - 120, "sky_percent": 20} for step in range(2)]
    return {"id": prefix, "service": "A sky", "issued": f"{MONDAY_IN_JULY}T09:00:00Z", "fetched_at": NOW, "days": days}


def again(high: int | None, told: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    """Hale's ten bars to Duluth for Tuesday, under a forecast of so many tenths of a degree."""
    forecasts = {} if high is None else {prefix: row(high, prefix) for prefix in ("548", "558", "557")}
    request = asked({"bar": 10}, "55811", TUESDAY)
    now = {"today": MONDAY_IN_JULY, "now": NOW, "forecasts": forecasts, "who": "Ruth Hale", "told": told}
    return kernel.work("quoting.recheck", {**request, **now, **more})


def told(harmless: bool, permille: int, dressing: str = "plain", **more: Any) -> dict[str, Any]:
    verdict = "firm" if harmless else "dented"
    return {
        "on": "2027-07-22", "leave_on": TUESDAY, "dressing": dressing, "hold": False, "verdict": verdict,
        "chance_permille": permille, "harmless": harmless, "basis": "monthly normals", **more,
    }  # fmt: skip


def test_a_forecast_that_turned_hot_says_what_to_do_now() -> None:
    found = again(350, told(True, 12))
    assert found["change"] == "worse" and found["words"].startswith("Hale's Tuesday parcel: now ") and found["do"]
    assert found["told"]["harmless"] is False and "forecast of 3 hours ago" in found["told"]["basis"]
    follow = again(350, found["told_then"], **found["do"])
    assert {name: follow["told"][name] for name in ("leave_on", "dressing", "hold", "chance_permille", "harmless")} == {
        name: found["told_then"][name] for name in ("leave_on", "dressing", "hold", "chance_permille", "harmless")
    }
    assert follow["heat"]["harmless"] and follow["change"] == ""


def test_what_still_stands_is_not_told_again() -> None:
    for high, before in ((150, told(True, 0)), (350, again(350, told(True, 12))["told"])):
        assert again(high, before)["words"] == ""


def test_a_risk_taken_knowingly_is_told_only_when_it_grows() -> None:
    mild = again(350, told(True, 12))["told"]
    assert mild["harmless"] is False
    assert again(354, mild)["change"] == "" and again(430, mild)["change"] == "worse"
    grown = again(350, told(True, 12))["told"]
    for before, change in ((grown["chance_permille"] - 150, "worse"), (grown["chance_permille"] - 149, "")):
        assert again(350, {**grown, "chance_permille": before})["change"] == change


@pytest.mark.parametrize("before", [{"leave_on": "2027-07-28"}, {"dressing": "lined"}, {"hold": True}])
def test_a_risk_told_of_another_day_packing_or_place_was_not_told_of_this_one(before: dict[str, Any]) -> None:
    """As great as it was, it is the risk of a parcel that nobody was told of."""
    known = again(350, told(True, 12))["told"]
    assert known["harmless"] is False and again(350, known)["change"] == ""
    assert again(350, {**known, **before})["change"] == "worse"


def test_a_liner_that_is_not_needed_any_more_is_given_up_with_a_margin() -> None:
    found = again(150, told(True, 4, "lined"), dressing="lined")
    assert found["change"] == "better" and found["words"] == "Hale's Tuesday parcel: now plain will do."
    assert found["do"]["dressing"] == "plain"


def test_an_order_that_was_never_told_of_heat_is_told_only_of_harm() -> None:
    assert again(150, None)["change"] == "" and again(390, None)["change"] == "worse"


@pytest.mark.parametrize(("cell", "held_already", "words"), [
    ({"dressing": "plain", "hold": True}, False, "now hold it at the post office counter."),
    ({"dressing": "lined", "hold": True}, False, "now pad it and hold it at the post office counter."),
    ({"dressing": "chilled", "hold": True}, False, "now pad it, add a cold pack and hold it at the post office counter."),
    ({"dressing": "lined", "hold": True}, True, "now pad it."),
    ({"dressing": "lined", "hold": False}, True, "now pad it."),
    ({"dressing": "plain", "hold": False}, False, "now send it as it is."),
])  # fmt: skip
def test_what_is_to_be_done_is_said_of_what_is_not_done_yet(
    cell: dict[str, Any], held_already: bool, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To hold a parcel is said to whoever does not hold it already. Heat's own answer is made up here: one way is safe."""
    safe = {"harmless": True, "chance_permille": 3, "cost_cents": 100, **cell}
    harm = {"verdict": "dented", "chance_permille": 400, "harmless": False}
    asked_now = {"leave_on": TUESDAY, "dressing": "plain", "hold": held_already, **harm}
    answer = {"known": True, "basis": "made up", "asked": asked_now, "table": [{"leave_on": TUESDAY, "cells": [safe]}]}
    monkeypatch.setattr("honeyhold.quoting.recheck.advise", lambda *_: answer)
    found = again(None, told(True, 3, hold=held_already), hold_at_counter=held_already)
    assert found["words"] == f"Hale's Tuesday parcel: {words}"
    assert found["do"] == {"leave_on": TUESDAY, "dressing": cell["dressing"], "hold_at_counter": cell["hold"], "hold_for_cool": False}


@pytest.mark.parametrize(("held_already", "held_cents", "words", "held"), [
    (False, 60, "now pad it.", False),  # what it takes to collect a parcel is worth more than forty cents
    (False, 40, "now hold it at the post office counter.", True),
    (True, 60, "now send it as it is.", True),  # whoever collects it anyway saves them
])  # fmt: skip
def test_a_way_to_the_counter_is_worth_its_price_to_whoever_does_not_go_there_anyway(
    held_already: bool, held_cents: int, words: str, held: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two ways are safe: padded for a dollar, or as it is and held. Heat's own answer is made up here."""
    safe = {"harmless": True, "chance_permille": 3}
    held_plain = {"dressing": "plain", "hold": True, "cost_cents": held_cents, **safe}
    cells = [{"dressing": "lined", "hold": False, "cost_cents": 100, **safe}, held_plain]
    harm = {"verdict": "dented", "chance_permille": 400, "harmless": False}
    asked_now = {"leave_on": TUESDAY, "dressing": "plain", "hold": held_already, **harm}
    answer = {"known": True, "basis": "made up", "asked": asked_now, "table": [{"leave_on": TUESDAY, "cells": cells}]}
    monkeypatch.setattr("honeyhold.quoting.recheck.advise", lambda *_: answer)
    found = again(None, told(True, 3, hold=held_already), hold_at_counter=held_already)
    assert (found["words"], found["do"]["hold_at_counter"]) == (f"Hale's Tuesday parcel: {words}", held)


def test_where_nothing_helps_it_is_to_wait() -> None:
    house = {**SETTINGS, "hold_allowed": False}
    request = asked({"bar": 10}, "85281", TUESDAY, today=MONDAY_IN_JULY, who="Dez Ito", told=told(True, 3), house=house)
    found = kernel.work("quoting.recheck", request)
    assert found["words"].startswith("Ito's Tuesday parcel: now wait for cooler weather: about") and found["proposed"] is None
    assert found["do"] == {"leave_on": None, "hold_at_counter": False, "hold_for_cool": True, "dressing": "plain"}


def test_an_order_that_waits_for_cool_gets_a_day_or_is_told_when() -> None:
    cool = again(160, {}, leave_on=None, hold_for_cool=True)
    assert cool["change"] == "cool" and cool["proposed"] and "it may go" in cool["words"] and cool["do"]["hold_for_cool"] is False
    house = {**SETTINGS, "hold_allowed": False}
    request = asked({"bar": 10}, "85281", MONDAY_IN_JULY, hold_for_cool=True, who="Ruth Hale", house=house)
    hot = kernel.work("quoting.recheck", {**request, "leave_on": None})
    assert hot["change"] == "" and hot["words"].startswith("Hale's parcel waits: cooler weather: about")
    october = asked({"bar": 10}, "55811", MONDAY_IN_OCTOBER, hold_for_cool=True, who="")
    assert kernel.work("quoting.recheck", {**october, "leave_on": None})["words"].startswith("A parcel waits for cool: it may go ")


@pytest.mark.parametrize("zip_code", ["", "00000"])
def test_where_nothing_is_known_nothing_is_told(zip_code: str) -> None:
    request = asked({"bar": 10}, zip_code, TUESDAY, who="Ruth Hale", told=told(True, 3))
    assert kernel.work("quoting.recheck", request) == {
        "change": "", "words": "", "do": None, "told": told(True, 3), "told_then": None, "heat": None, "proposed": None,
    }  # fmt: skip


def test_held_at_the_counter_is_told_as_such() -> None:
    request = asked({"bar": 10, "jar_12": 1}, "78704")
    door, held = (kernel.work("quoting.call", {**request, "hold_at_counter": hold}) for hold in (False, True))
    assert held["told"]["hold"] is True and held["heat"]["chance_permille"] < door["heat"]["chance_permille"]
    cell = next(c for c in door["days"][0]["cells"] if c["dressing"] == "plain" and c["hold"])
    assert held["heat"]["chance_permille"] == cell["chance_permille"]


def test_every_limit_can_be_told_with_its_source_and_what_the_house_made_of_it() -> None:
    found = kernel.work("heat.limits", {"house": {**SETTINGS, "thresholds": {"wax_mark_c": 421}}})["limits"]
    first = found[0]
    assert (first["name"], first["tenths"], first["usual_tenths"]) == ("wax_mark_c", 421, 430) and "JECFA" in first["source"]
    assert len(found) == len(THRESHOLDS) and all(one["words"] and one["source"] and one["tenths"] > 0 for one in found)


def test_of_what_goes_into_no_carton_any_more_nothing_new_is_said() -> None:
    """What was told before stays told, however hot it has become."""
    found = again(350, told(True, 12), cartons=[])
    assert (found["words"], found["change"], found["heat"]) == ("", "", None) and not found["do"]
    assert found["told"]["chance_permille"] == 12
