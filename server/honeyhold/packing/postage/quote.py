"""Posting figures by a dated table: length plus girth, volumetric and charged weight, limits, fees and price.

Everything that decides is an exact fraction of an inch or an ounce; the sides are the carton's outer ones.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import ceil, floor
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import G_PER_LB, G_PER_OZ, MM_PER_IN, read_length, read_number
from honeyhold.packing.postage.example import RULES

Outer = tuple[Fraction, Fraction, Fraction]
FEES = ("longest_over_in", "volume_over_in3")


def round_off(value: Fraction, digits: int = 0) -> Fraction:
    """To the nearest; a next digit of 5 or more raises (DMM 604.7.0, formerly P013: 3.376 -> 3.38, 3.374 -> 3.37)."""
    return Fraction(floor(value * 10**digits + Fraction(1, 2)), 10**digits)


def round_up(value: Fraction, digits: int = 0) -> Fraction:
    """Any further digit raises (DMM 604.7.0: 3.3701 -> 3.38); an exact figure stays."""
    return Fraction(ceil(value * 10**digits), 10**digits)


def length_plus_girth(sides: Outer) -> Fraction:
    """Longest side plus the distance round the other two, in the unit given (Quick Service Guide 201e)."""
    small, middle, longest = sorted(sides)
    return longest + 2 * (small + middle)


@dataclass(frozen=True)
class Rule:
    """One dated row of limits. `until` is the last day it holds, None when open."""

    begins: date
    until: date | None
    rounding: str
    divisor: Fraction
    over_in3: Fraction
    max_lb: Fraction
    max_length_girth_in: Fraction
    source: str


@dataclass(frozen=True)
class Posting:
    """The table as it stands on one day for one zone and service."""

    on: date
    rule: Rule
    prices: tuple[tuple[Fraction, int], ...]  # (up to oz, cents), ascending; empty when there are no prices
    fees: tuple[tuple[str, Fraction, int], ...]
    note: str


@dataclass(frozen=True)
class Quote:
    """One parcel's posting figures; `cents` None when the table has no prices for it."""

    allowed: bool
    why: str
    volumetric_lb: int | None
    charged_oz: int
    charged_lb: int
    charged_g: int
    cents: int | None
    fees: tuple[tuple[str, int], ...]


def _day(value: object, name: str) -> date:
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        raise BadRequest(f"{name} is {str(value)[:40]!r}, which is no day.", 'Write it like "2026-07-12".') from None


def _rule(row: object, name: str) -> Rule:
    if not isinstance(row, dict):
        raise BadRequest(f"{name} is {str(row)[:40]!r}, not a row of limits.", "See the shipped table for its shape.")
    rounding = row.get("rounding")
    if rounding not in ("up", "off"):
        raise BadRequest(f'{name}.rounding is {rounding!r}, neither "up" nor "off".', 'Give "up" or "off".')
    until = row.get("until")
    numbers = [read_number(row.get(key), f"{name}.{key}") for key in ("divisor", "over_in3", "max_lb", "max_length_girth_in")]
    if not numbers[0]:
        raise BadRequest(f"{name}.divisor is 0.", "Give the cubic inches that count as one pound.")
    return Rule(
        _day(row.get("from"), f"{name}.from"),
        None if until is None else _day(until, f"{name}.until"),
        rounding,
        numbers[0],
        numbers[1],
        numbers[2],
        numbers[3],
        str(row.get("source", "")),
    )


def rule_on(rules: list[Any] | None, on: date) -> Rule:
    """The row in force on a day: the latest that has begun and not ended. Raises BadRequest when there is none."""
    rows = [_rule(row, f"posting.rules[{at}]") for at, row in enumerate(RULES if rules is None else rules)]
    ruling = [row for row in rows if row.begins <= on and (row.until is None or on <= row.until)]
    if not ruling:
        raise BadRequest(
            f"No row of the posting rules holds on {on.isoformat()}.",
            "Add a row that begins on or before that day.",
        )
    return max(ruling, key=lambda row: row.begins)


def _prices(rows: object, service: object, zone: object) -> tuple[tuple[Fraction, int], ...]:
    if rows is None:
        return ()
    if not isinstance(rows, list):
        raise BadRequest(f"posting.prices is {str(rows)[:40]!r}, not a list.", "Hand in the rows of the price table.")
    found: dict[Fraction, int] = {}
    for at, row in enumerate(rows):
        if not isinstance(row, dict):
            raise BadRequest(
                f"posting.prices[{at}] is {str(row)[:40]!r}, not a row.",
                "See the shipped table for its shape.",
            )
        if str(row.get("zone")) == str(zone) and (service is None or row.get("service") == service):
            up_to = read_number(row.get("up_to_oz"), f"posting.prices[{at}].up_to_oz")
            cents = read_number(row.get("cents"), f"posting.prices[{at}].cents")
            found[up_to] = min(int(cents), found.get(up_to, int(cents)))
    return tuple(sorted(found.items()))


def _fees(rows: object) -> tuple[tuple[str, Fraction, int], ...]:
    fees = []
    for at, row in enumerate(rows if isinstance(rows, list) else []):
        if not isinstance(row, dict) or row.get("what") not in FEES:
            raise BadRequest(f"posting.fees[{at}] is {str(row)[:60]!r}.", f"Its `what` is one of {', '.join(FEES)}.")
        fees.append(
            (
                str(row["what"]),
                read_number(row.get("over"), f"posting.fees[{at}].over"),
                int(read_number(row.get("cents"), f"posting.fees[{at}].cents")),
            )
        )
    return tuple(sorted(fees))


def read_posting(table: Mapping[str, Any]) -> Posting:
    """The table for its own day, zone and service; without `rules` the shipped limits hold. Raises BadRequest."""
    on = _day(table.get("on"), "posting.on")
    rules = table.get("rules")
    if rules is not None and not isinstance(rules, list):
        raise BadRequest(
            f"posting.rules is {str(rules)[:40]!r}, not a list.",
            "Hand in the rows of the rule table, or leave it out.",
        )
    prices = _prices(table.get("prices"), table.get("service"), table.get("zone"))
    note = "" if prices or not table.get("prices") else f"The price table has no row for zone {table.get('zone')!r}."
    if prices and any(isinstance(row, dict) and row.get("example") is True for row in table["prices"]):
        note = "The mailing prices are only examples: put in your own."
    return Posting(on, rule_on(rules, on), prices, _fees(table.get("fees")), note)


def volumetric_lb(sides_in: Outer, rule: Rule) -> int | None:
    """Pounds by volume: sides rounded by the row's way, the product tested against its threshold, divided, rounded up. None below it."""
    rounder = round_up if rule.rounding == "up" else round_off
    product = rounder(sides_in[0]) * rounder(sides_in[1]) * rounder(sides_in[2])
    return ceil(product / rule.divisor) if product > rule.over_in3 else None


def _fee_cents(sides_in: Outer, fees: tuple[tuple[str, Fraction, int], ...]) -> tuple[tuple[str, int], ...]:
    """Of the rows of one sort only the highest one that is exceeded counts."""
    measured = {"longest_over_in": max(sides_in), "volume_over_in3": sides_in[0] * sides_in[1] * sides_in[2]}
    due: dict[str, tuple[str, int]] = {}
    for what, over, cents in fees:
        if measured[what] > over:
            words = f"longest side over {float(over):g} in" if what == "longest_over_in" else f"over {float(over):g} cubic inches"
            due[what] = (words, cents)
    return tuple(due.values())


def _limits(sides_in: Outer, gross_g: Fraction, rule: Rule) -> str:
    girth = length_plus_girth(sides_in)
    if gross_g > rule.max_lb * G_PER_LB:
        return f"{float(gross_g / G_PER_LB):.2f} lb is over the mailing limit of {float(rule.max_lb):g} lb"
    if girth > rule.max_length_girth_in:
        return f"length plus girth {float(girth):g} in is over the mailing limit of {float(rule.max_length_girth_in):g} in"
    return ""


def judge(outer_mm: Outer, gross_g: Fraction, posting: Posting, flat_cents: int | None = None) -> Quote:
    """A parcel's posting figures. A flat-price carton pays `flat_cents` whatever it weighs, within the limits."""
    sides = (outer_mm[0] / MM_PER_IN, outer_mm[1] / MM_PER_IN, outer_mm[2] / MM_PER_IN)
    why = _limits(sides, gross_g, posting.rule)
    by_volume = None if flat_cents is not None else volumetric_lb(sides, posting.rule)
    capped = min(by_volume or 0, ceil(posting.rule.max_lb))
    gross_oz = ceil(gross_g / G_PER_OZ)
    charged_lb = max(ceil(gross_g / G_PER_LB), capped)
    charged_oz = max(gross_oz if gross_oz <= 16 and not capped else 16 * ceil(gross_g / G_PER_LB), 16 * capped)
    fees = () if flat_cents is not None else _fee_cents(sides, posting.fees)
    cents = flat_cents
    if flat_cents is None and posting.prices:
        row = next(
            (price for up_to, price in posting.prices if max(gross_g / G_PER_OZ, Fraction(16 * capped)) <= up_to),
            None,
        )
        if row is None:
            why = why or f"the price table ends below {charged_lb} lb"
        cents = None if row is None else row + sum(fee for _, fee in fees)
    return Quote(not why, why, by_volume, charged_oz, charged_lb, round(charged_oz * G_PER_OZ), cents, fees)


def quote(request: dict[str, Any]) -> dict[str, Any]:
    """`packing.postage`: see README.md. Raises BadRequest."""
    sides = request.get("outer_mm") if isinstance(request, dict) else None
    if not isinstance(sides, list | tuple) or len(sides) != 3:
        raise BadRequest(
            f"outer_mm is {str(sides)[:60]!r}, not three measures.",
            "Give length, width and height of the outside.",
        )
    outer = (
        read_length(sides[0], "outer_mm[0]"),
        read_length(sides[1], "outer_mm[1]"),
        read_length(sides[2], "outer_mm[2]"),
    )
    table = request.get("posting")
    if not isinstance(table, dict):
        raise BadRequest(f"posting is {str(table)[:60]!r}, not a table.", "Hand in at least the day, as `on`.")
    posting = read_posting(table)
    flat = request.get("flat_cents")
    found = judge(
        outer,
        read_number(request.get("gross_g"), "gross_g"),
        posting,
        None if flat is None else int(read_number(flat, "flat_cents")),
    )
    return {
        "allowed": found.allowed,
        "why": found.why,
        "volumetric_lb": found.volumetric_lb,
        "charged_lb": found.charged_lb,
        "charged_oz": found.charged_oz,
        "charged_g": found.charged_g,
        "cents": found.cents,
        "fees": [{"what": what, "cents": cents} for what, cents in found.fees],
        "length_plus_girth_in": round(float(length_plus_girth(outer) / MM_PER_IN), 3),
        "note": posting.note,
        "rule": {
            "from": posting.rule.begins.isoformat(),
            "rounding": posting.rule.rounding,
            "divisor": float(posting.rule.divisor),
            "source": posting.rule.source,
        },
    }
