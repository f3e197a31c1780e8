"""What posting costs by the house's own table: which zone, which row, said plainly, and never without a table."""

from __future__ import annotations

from typing import Any

import pytest
from tests.quoting.test_call import asked

from honeyhold.errors import BadRequest
from honeyhold.kernel import atlas, work
from honeyhold.quoting.parcel import soaking_words
from honeyhold.quoting.postage import price_table, zone_to

Json = dict[str, Any]
TABLE = """row,service,zone,up_to_oz,what,over,cents,example
price,ground,2,16,,,610,
price,ground,2,80,,,950,
price,ground,8,16,,,900,
price,ground,8,80,,,1900,
fee,,,,longest_over_in,22,400,
"""
MEMPHIS, NORWALK = "38001", "06401"


def a_call(**more: Any) -> Json:
    """Ten bars and a jar to Duluth, from a house that keeps no price table."""
    call = asked({"bar": 10, "jar_12": 1}, "55811", **more)
    return {**call, "house": {key: value for key, value in call["house"].items() if key != "posting_prices"}}


def with_table(**more: Any) -> Json:
    """A call to Duluth whose house keeps a price table."""
    call = a_call(**more)
    return {**call, "house": {**call["house"], "posting_prices": TABLE}}


def test_a_published_look_up_of_a_zone_is_met_within_one() -> None:
    """A meter maker's worked look-up in the Postal Service's chart of 2014: from 380 to 064 is zone 6. By distance it comes out as 5.

    That is why the words say "by distance", and why the keeper's own figure always goes before the table's.
    """
    assert zone_to(MEMPHIS, NORWALK, atlas()) in (5, 6)


def test_a_place_that_is_not_in_the_table_has_no_zone() -> None:
    assert zone_to(MEMPHIS, "00000", atlas()) is None


def test_the_price_follows_zone_and_weight_and_says_whose_table_it_is() -> None:
    call = with_table()
    parcel = work("quoting.parcel", call)["parcel"]
    zone = zone_to(call["house"]["zip"], call["to"]["zip"], atlas())
    assert zone == 2 and parcel["parcels"][0]["gross_g"] > 16 * 28.35
    assert parcel["posting_cents"] == 950
    assert parcel["posting_words"] == "mailing $9.50 by your table (zone 2 by distance)"


def test_no_table_no_price_and_the_same_parcel() -> None:
    plain, priced = work("quoting.parcel", a_call())["parcel"], work("quoting.parcel", with_table())["parcel"]
    assert plain["posting_cents"] is None and plain["posting_words"] == "price of mailing not known: you have no price table yet"
    assert plain["parcels"][0]["carton"] == priced["parcels"][0]["carton"]


def test_a_table_that_ends_too_soon_keeps_nothing_from_being_packed() -> None:
    call = with_table()
    call["house"]["posting_prices"] = "\n".join(line for line in TABLE.splitlines() if ",80," not in line) + "\n"
    parcel = work("quoting.parcel", call)["parcel"]
    assert parcel["ok"] and parcel["posting_cents"] is None
    assert parcel["posting_unknown"] == f"no price for {parcel['parcels'][0]['gross_words']} to zone 2 in your table"
    assert parcel["posting_words"] == f"price of mailing not known: {parcel['posting_unknown']}"


@pytest.mark.parametrize(("change", "why"), [
    ({"to": {"zip": "73101"}}, "no zone 5 in your table"),
    ({"to": {"zip": ""}}, "no ZIP for this order"),
    ({"to": {}}, "no ZIP for this order"),
    ({"to": {"zip": "00012"}}, "no place is known for ZIP 00012"),
    ({"house": {"posting_prices": TABLE}}, "your own ZIP is missing under Settings"),
    ({"house": {"zip": "54843"}}, "you have no price table yet"),
    ({"house": {"zip": "54843", "posting_prices": "hello"}}, "your price table cannot be read"),
])  # fmt: skip
def test_a_price_that_is_not_known_says_why(change: Json, why: str) -> None:
    """Never a silent $0.00: the zone, the ZIP or the table that is missing is named, and the parcel is planned all the same."""
    parcel = work("quoting.parcel", {**with_table(), **change})["parcel"]
    assert parcel["ok"] and parcel["posting_cents"] is None
    assert (parcel["posting_unknown"], parcel["posting_words"]) == (why, f"price of mailing not known: {why}")


def test_what_is_fetched_costs_no_posting() -> None:
    assert work("quoting.parcel", with_table(way="pick_up"))["parcel"] is None


def test_the_picture_and_the_call_plan_the_same_parcel() -> None:
    call = with_table()
    assert work("quoting.parcel_picture", call)["words"] == work("quoting.parcel", call)["parcel"]["words"]


def test_a_carton_chosen_by_hand_is_the_only_one_looked_at() -> None:
    call = with_table()
    usual = work("quoting.parcel", call)["parcel"]["parcels"][0]["carton"]
    others = [row["id"] for row in call["cartons"] if row["id"] != usual]
    told = {name: work("quoting.parcel", {**call, "carton": name})["parcel"] for name in others}
    assert all(answer["ok"] or answer["why_not"] for answer in told.values())
    assert {parcel["carton"] for answer in told.values() for parcel in answer["parcels"]} <= set(others)
    assert any(answer["ok"] for answer in told.values())
    assert not all(answer["ok"] for answer in told.values())


def test_the_example_has_every_zone_and_says_that_it_is_one() -> None:
    table = price_table({"csv": None})
    assert table["zones"] == [str(zone) for zone in range(1, 10)] and table["errors"] == []
    assert all(row["example"] for row in table["prices"])
    by_zone = {zone: [row["cents"] for row in table["prices"] if row["zone"] == zone] for zone in table["zones"]}
    assert by_zone["1"] == by_zone["4"] != by_zone["5"] == by_zone["9"], "near up to zone 4, far beyond"
    assert price_table({"csv": table["csv"]})["prices"] == table["prices"]


def test_a_bad_line_is_told_by_its_number_and_left_out() -> None:
    table = price_table({"csv": TABLE + "price,ground,2,heavy,,,1,\n"})
    assert [row["line"] for row in table["errors"]] == [7] and len(table["prices"]) == 4
    assert "heavy" not in table["csv"]


@pytest.mark.parametrize("zone", ["1", "9"])
def test_a_price_typed_by_hand_stands_in_the_place_of_the_old_one(zone: str) -> None:
    """The same zone and weight: the new price; every other line stays."""
    before = price_table({"csv": ""})
    after = price_table({"csv": before["csv"], "add": {"zone": zone, "up_to_oz": 16, "cents": 777}})
    changed = [row for row in after["prices"] if row not in before["prices"]]
    assert [(row["zone"], row["up_to_oz"], row["cents"], row["example"]) for row in changed] == [(zone, 16, 777, False)]
    assert len(after["prices"]) == len(before["prices"])


@pytest.mark.parametrize("up_to_oz", [0.5, 1])
def test_the_lightest_that_is_mailed_may_have_a_price(up_to_oz: float) -> None:
    table = price_table({"csv": TABLE, "add": {"zone": "2", "up_to_oz": up_to_oz, "cents": 500}})
    assert [row["cents"] for row in table["prices"] if row["up_to_oz"] == up_to_oz] == [500]


@pytest.mark.parametrize("typed", [
    {"zone": "0"}, {"zone": "10"}, {"zone": None}, {"up_to_oz": 0}, {"up_to_oz": "16"}, {"up_to_oz": None}, {"cents": None}, {"cents": "5"},
])  # fmt: skip
def test_a_price_that_is_half_typed_is_refused(typed: Json) -> None:
    """A zone that there is not, no weight, no price: said, and nothing is kept."""
    with pytest.raises(BadRequest, match="Zone, weight or price is missing"):
        price_table({"csv": TABLE, "add": {"zone": "2", "up_to_oz": 16, "cents": 500, **typed}})


def test_what_is_no_table_is_refused() -> None:
    with pytest.raises(BadRequest, match="columns"):
        price_table({"csv": "hello"})


@pytest.mark.parametrize(
    ("needed_g", "unit", "told"),
    [(106, "in", "3.8 oz"), (453, "in", "1 lb"), (454, "in", "1 lb 1 oz"), (467, "in", "1 lb 1 oz"), (467, "mm", "467 g")],
)
def test_paper_that_soaks_it_up_is_never_told_too_little(needed_g: int, unit: str, told: str) -> None:
    assert soaking_words(needed_g, unit) == told
