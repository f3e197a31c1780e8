"""A carrier's table as people paste it: weights down, zones across, tabs or commas; each line told, nothing guessed."""

from __future__ import annotations

import pytest

from honeyhold.errors import BadRequest
from honeyhold.packing.postage.grid import read_grid
from honeyhold.quoting.postage import price_table

PASTED = (
    "Weight not over (lb)\tZones 1-2\tZone 3\tZone 4\n1\t$7.10\t7.40\t$8.00\n2\t$8.25\t\t9.15\n"
    "5 lb\t1,010.00\t11\tten\nheavy\t1\t2\t3\n8 oz\t5.05\t5.10\t5.2\n"
)


def by_place(text: str) -> dict[tuple[str, float], int]:
    """Cents by zone and weight."""
    return {(row["zone"], row["up_to_oz"]): row["cents"] for row in price_table({"csv": text})["prices"]}


def test_a_pasted_grid_is_read_cell_by_cell() -> None:
    """Two zones of one column, a unit over the weights and one beside a weight, dollars with and without their sign."""
    prices = by_place(PASTED)
    assert prices[("1", 16)] == prices[("2", 16)] == 710
    assert (prices[("3", 16)], prices[("4", 16)], prices[("1", 80)], prices[("3", 80)]) == (740, 800, 101_000, 1100)
    assert (prices[("2", 8)], prices[("4", 8)]) == (505, 520)
    assert ("3", 32) not in prices and ("4", 80) not in prices


def test_every_line_says_what_was_understood_or_why_not() -> None:
    """The heading, a good line, a line with one bad cell (its good ones count), a line that begins with no weight."""
    lines = {row["line"]: row for row in read_grid(PASTED)["lines"]}
    assert len(lines) == 6
    assert lines[1]["understood"] == "zones 1, 2, 3, 4; weights in lb"
    assert lines[2]["understood"] == "up to 1 lb, 4 zones, 1 to 4: $7.10 to $8.00" and lines[2]["why"] == ""
    assert "“ten” for zone 4 is no price" in lines[4]["why"] and lines[4]["understood"].startswith("up to 5 lb, 3 zones")
    assert "“heavy” is no weight" in lines[5]["why"] and lines[5]["understood"] == ""
    assert [row["line"] for row in read_grid(PASTED)["errors"]] == [4, 5]


@pytest.mark.parametrize("separator", ["\t", ",", ";"])
def test_the_separator_does_not_matter(separator: str) -> None:
    """The same prices from a spreadsheet's copy, from a file with commas, from one with semicolons."""
    rows = [["oz", "Zone 1", "Zone 2"], ["4", "4.10", "4.20"], ["8", "5.10", "5.20"]]
    text = "\r\n".join(separator.join(row) for row in rows)
    assert by_place(text) == {("1", 4): 410, ("2", 4): 420, ("1", 8): 510, ("2", 8): 520}


def test_a_weight_without_a_unit_is_not_guessed() -> None:
    """Neither over the weights nor beside them: pounds or ounces would be sixteen times apart."""
    told = price_table({"csv": "\tZone 1\tZone 2\n4\t4.10\t4.20\n"})
    assert told["prices"] == [] and "has no unit" in told["errors"][0]["why"]


def test_headings_above_the_zones_are_left_out_and_their_unit_heard() -> None:
    """A title and a date stand above many tables."""
    told = price_table({"csv": "Ground, weights in ounces\t\t\nfrom July\t\t\n\tZone 1\tZone 2\n4\t4.10\t4.20\n"})
    assert [row["cents"] for row in told["prices"]] == [410, 420] and told["prices"][0]["up_to_oz"] == 4
    assert [row["understood"] for row in told["lines"]][:2] == ["a heading, left out"] * 2


def test_what_is_kept_reads_back_as_the_same_prices() -> None:
    """The text that will be kept is the house's own form, whatever was pasted."""
    first = price_table({"csv": PASTED})
    again = price_table({"csv": first["csv"]})
    assert again["prices"] == first["prices"] and again["errors"] == []
    assert again["lines"][0]["understood"] == "ground, zone 1, up to 1 lb: $7.10"


def test_one_price_typed_by_hand_takes_the_place_of_its_like() -> None:
    """For a zone and weight that are there, another price; else one more; without a table the first."""
    table = price_table({"csv": PASTED})["csv"]
    changed = price_table({"csv": table, "add": {"zone": "3", "up_to_oz": 16, "cents": 799}})
    assert by_place(changed["csv"])[("3", 16)] == 799 and len(changed["prices"]) == len(price_table({"csv": table})["prices"])
    first = price_table({"csv": "", "add": {"zone": "7", "up_to_oz": 80, "cents": 1400}})
    assert [(row["zone"], row["cents"]) for row in first["prices"]] == [("7", 1400)]
    with pytest.raises(BadRequest, match="missing"):
        price_table({"csv": table, "add": {"zone": "12", "up_to_oz": 16, "cents": 799}})


@pytest.mark.parametrize(("line", "why"), [
    ("3 lb\t\t\t", "no price stands in this line"), ("3 lb\t-\tn/a\t", "no price stands in this line"),
    ("0 lb\t1\t2\t3", "“0 lb” is no weight of a parcel"), ("151 lb\t1\t2\t3", "“151 lb” is no weight of a parcel"),
    ("3 lb\t1\tten\t3", "“ten” for zone 3 is no price"), ("3 lb\tno\tnone\t", "“no” for zone 1 is no price; “none” for zone 3 is no price"),
])  # fmt: skip
def test_a_line_that_cannot_be_used_says_why(line: str, why: str) -> None:
    *_, told = read_grid(f"Weight\tZones 1-2\tZone 3\tZone 4\n{line}\n")["lines"]
    assert told["why"] == why


def test_the_heaviest_parcel_that_any_line_may_name() -> None:
    """150 pounds."""
    (told,) = read_grid("Weight\tZone 1\n150 lb\t99.00\n")["lines"][1:]
    assert told["why"] == "" and "150 lb" in told["understood"]


HEAD = "row,service,zone,up_to_oz,what,over,cents,example\n"


def test_a_zone_that_is_none_is_told_and_its_price_is_not_kept() -> None:
    """Zones go from 1 to 9; the table as this house keeps it is read no less strictly than a grid."""
    rows = ["x,16,,,710", "9,16,,,720", "0,16,,,730", ",16,,,740"]
    told = price_table({"csv": HEAD + "".join(f"price,ground,{row},\n" for row in rows)})
    assert [(row["zone"], row["cents"]) for row in told["prices"]] == [("9", 720)]
    assert [(row["line"], row["why"]) for row in told["errors"]] == [
        (2, "zone is 'x'. Give one of 1, 2, 3, 4, 5, 6, 7, 8, 9."), (4, "zone is '0'. Give one of 1, 2, 3, 4, 5, 6, 7, 8, 9."),
        (5, "zone is empty. Say which zone the price is for."),
    ]  # fmt: skip


def test_of_two_prices_for_the_same_the_first_is_kept_and_the_second_told() -> None:
    """As the house keeps it: another service, zone or weight is no second price of the same."""
    rows = ["ground,3,16,,,710", "ground,3,16,,,720", "ground,4,16,,,730", "ground,3,32,,,740", "air,3,16,,,750", "air,3,16,,,750"]
    told = price_table({"csv": HEAD + "".join(f"price,{row},\n" for row in rows)})
    assert [row["cents"] for row in told["prices"]] == [710, 730, 740, 750]
    assert [(row["line"], row["why"]) for row in told["errors"]] == [
        (3, "zone 3, up to 1 lb stands in line 2 already. Keep one of the two."),
        (7, "zone 3, up to 1 lb stands in line 6 already. Keep one of the two."),
    ]  # fmt: skip
    assert price_table({"csv": told["csv"]})["errors"] == []


def test_of_two_lines_of_a_grid_for_one_weight_the_first_is_kept() -> None:
    """Though one is written in ounces and the other in pounds; a zone that the first left empty is taken from the second."""
    told = price_table({"csv": "lb\tZones 1-2\tZone 3\n1\t7.10\t\n16 oz\t7.20\t7.40\n2\t8.10\t8.40\n"})
    assert {(row["zone"], row["up_to_oz"]): row["cents"] for row in told["prices"]} == {
        ("1", 16): 710, ("2", 16): 710, ("3", 16): 740, ("1", 32): 810, ("2", 32): 810, ("3", 32): 840,
    }  # fmt: skip
    twice = "; ".join(f"zone {zone}, up to 1 lb stands in line 2 already" for zone in (1, 2))
    assert [(row["line"], row["why"]) for row in told["errors"]] == [(3, twice)]
    assert told["lines"][2]["understood"] == "up to 1 lb, zone 3: $7.40"
