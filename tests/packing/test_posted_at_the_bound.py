"""Where a rule of mailing or of a price table turns, each met exactly and missed by the least there is."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.errors import BadRequest
from honeyhold.packing.postage.grid import MAX_LINES, _ounces, is_grid, read_grid, weight_said
from honeyhold.packing.postage.quote import quote
from honeyhold.packing.postage.table import COLUMNS, MAX_ROWS, read_prices

Json = dict[str, Any]
PRICES = [
    {"service": "ground", "zone": "near", "up_to_oz": 8, "cents": 500},
    {"service": "ground", "zone": "far", "up_to_oz": 8, "cents": 400},
    {"service": "air", "zone": "near", "up_to_oz": 8, "cents": 300},
]
FEES = [{"what": "longest_over_in", "over": 22, "cents": 400}, {"what": "volume_over_in3", "over": 1000, "cents": 900}]
HEAD = ",".join(COLUMNS)


def posted(outer_mm: list[Any], gross_g: float = 113, **table: Any) -> Json:
    """A parcel near by on the ground; 113 g are a hair less than four ounces."""
    posting = {"on": "2026-11-25", "zone": "near", "service": "ground", "prices": PRICES, **table}
    return quote({"outer_mm": outer_mm, "gross_g": gross_g, "posting": posting})


def test_only_the_prices_of_the_own_zone_and_service_count() -> None:
    assert (posted([100, 100, 100])["cents"], posted([100, 100, 100], service=None)["cents"]) == (500, 300)
    assert posted([100, 100, 100], zone="nowhere")["cents"] is None


@pytest.mark.parametrize(("outer", "fees"), [
    (["22 in", "8 in", "5 in"], []), (["22.01 in", "8 in", "5 in"], [{"what": "longest side over 22 in", "cents": 400}]),
    (["10 in", "10 in", "10 in"], []), (["10.01 in", "10 in", "10 in"], [{"what": "over 1000 cubic inches", "cents": 900}]),
])  # fmt: skip
def test_a_fee_is_due_beyond_its_measure(outer: list[str], fees: list[Json]) -> None:
    told = posted(outer, fees=FEES)
    assert (told["fees"], told["cents"]) == (fees, 500 + sum(fee["cents"] for fee in fees))


@pytest.mark.parametrize("wrong", [3, {"what": "rent", "over": 1, "cents": 1}])
def test_what_is_no_fee_is_refused(wrong: Any) -> None:
    with pytest.raises(BadRequest, match="posting.fees.0. is"):
        posted([100, 100, 100], fees=[wrong])


def test_what_is_not_charged_by_its_size_is_charged_by_its_ounces() -> None:
    told = posted([100, 100, 100])
    assert (told["volumetric_lb"], told["charged_oz"], told["charged_lb"]) == (None, 4, 1)


def test_of_two_reasons_not_to_mail_the_limit_is_told() -> None:
    """The limit is 70 lb (DMM 401.1.3), the table ends at half a pound."""
    short, heavy = posted([100, 100, 100], 500), posted([100, 100, 100], 32_000)
    assert (short["allowed"], short["why"]) == (False, "the price table ends below 2 lb")
    assert (heavy["allowed"], heavy["why"]) == (False, "70.55 lb is over the mailing limit of 70 lb")


@pytest.mark.parametrize("outer", [[100, 100], "123", [100, 100, 100, 100]])
def test_a_parcel_has_three_measures(outer: Any) -> None:
    with pytest.raises(BadRequest, match="not three measures"):
        posted(outer)


# The table as the house keeps it


def test_a_table_of_nothing_lacks_its_columns() -> None:
    with pytest.raises(BadRequest, match="lacks the columns row, service"):
        read_prices({"csv": ""})


def test_the_longest_table() -> None:
    rows = [f"price,ground,near,{ounces},,,700," for ounces in range(1, MAX_ROWS + 1)]
    assert len(read_prices({"csv": "\n".join([HEAD, *rows[1:]])})["prices"]) == MAX_ROWS - 1
    with pytest.raises(BadRequest, match=f"more than {MAX_ROWS} lines"):
        read_prices({"csv": "\n".join([HEAD, *rows])})


# The table as a carrier prints it


def test_the_longest_grid() -> None:
    rows = [f"{ounces} oz\t7.10" for ounces in range(1, MAX_LINES + 1)]
    assert len(read_grid("\n".join(["Weight\tZone 1", *rows[1:]]))["prices"]) == MAX_LINES - 1
    with pytest.raises(BadRequest, match=f"more than {MAX_LINES} lines"):
        read_grid("\n".join(["Weight\tZone 1", *rows]))


@pytest.mark.parametrize(("text", "is_one"), [
    ("", False), ("Weight\tZone 1\n", True), (f"{HEAD}\nprice,ground,Zone 1,16,,,700,\n", False),
])  # fmt: skip
def test_a_grid_names_zones_and_has_not_the_columns_of_the_house(text: str, is_one: bool) -> None:
    assert is_grid(text) == is_one


@pytest.mark.parametrize(("heading", "zones"), [
    ("Weight (oz)\t1\t2", {"1": 410, "2": 420}),  # two numbers over the prices are zones, though nobody says so
    ("oz\tZone 3\t", {"3": 410}),  # one is, where it is said
    ("Prices by zone\t\t\noz\t4\t5", {"4": 410, "5": 420}),  # a title that says zone names none
    ("Prices by zone, in oz\t\t\n\tZones 1-2\t3", {"1": 410, "2": 410, "3": 420}),
])  # fmt: skip
def test_which_line_names_the_zones(heading: str, zones: dict[str, int]) -> None:
    read = read_grid(f"{heading}\n4\t4.10\t4.20\n")
    assert {row["zone"]: row["cents"] for row in read["prices"]} == zones


@pytest.mark.parametrize("text", ["8 oz\t5\t6\n1 lb\t7\t8\n", "Weight (oz)\t1\n4\t4.10\n"])
def test_prices_beside_a_weight_and_a_single_number_are_no_zones(text: str) -> None:
    with pytest.raises(BadRequest, match="No line of it names the zones"):
        read_grid(text)


@pytest.mark.parametrize(("line", "cents"), [("1 lb\t7.10", [710]), ("1 lb\t7.10\t", [710]), ("1 lb\t7.10\t8", [710, 800])])
def test_a_line_that_ends_early_has_no_price_there(line: str, cents: list[int]) -> None:
    read = read_grid(f"Weight\tZone 1\tZone 2\n{line}\n")
    assert ([row["cents"] for row in read["prices"]], read["errors"]) == (cents, [])


def test_a_weight_may_be_a_fraction_and_one_over_nothing_is_none_and_spoils_no_other_line() -> None:
    read = read_grid("Weight\tZone 1\n1/0 lb\t9\n1/2 lb\t7.10\n")
    assert [(price["up_to_oz"], price["cents"]) for price in read["prices"]] == [(8, 710)]
    assert any("nothing can be divided by 0" in line["why"] for line in read["lines"])


@pytest.mark.parametrize(("ounces", "said"), [(0, "0 oz"), (15, "15 oz"), (16, "1 lb"), (17, "17 oz"), (24, "24 oz"), (32, "2 lb")])
def test_whole_pounds_are_said_as_pounds(ounces: int, said: str) -> None:
    assert weight_said(ounces) == said


@pytest.mark.parametrize(("cell", "unit", "ounces", "why"), [
    ("8", "oz", 8, ""), ("2 lb", "oz", 32, ""), ("2400 oz", "", 2400, ""), ("150 lb", "", 2400, ""), ("1/3 oz", "", 0.333, ""),
    ("0 oz", "", 0, "“0 oz” is no weight of a parcel"), ("2401 oz", "", 0, "“2401 oz” is no weight of a parcel"),
    ("1/0 lb", "", 0, "“1/0 lb” is no weight: nothing can be divided by 0"), ("8", "", 0, "“8” has no unit: write oz or lb beside it, or "
     "over the weights"),
    ("w" * 31, "oz", 0, f"“{'w' * 30}” is no weight: begin the line with one, such as 8 oz or 2 lb"),
])  # fmt: skip
def test_the_weight_that_a_line_begins_with(cell: str, unit: str, ounces: float, why: str) -> None:
    assert _ounces(cell, unit) == (ounces, why)


def test_a_price_of_a_grid_is_the_houses_own() -> None:
    (price,) = read_grid("Weight\tZone 1\n8 oz\t7.10\n")["prices"]
    assert (price["zone"], price["up_to_oz"], price["cents"], price["example"]) == ("1", 8, 710, False)
