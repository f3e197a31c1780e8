"""A season looked back on beside the one before: what was sold week by week, what came in, what is owed, who waited, what was put right.

Sums of money are those of the books (`stock.ledger`): a sale counts in the week it left. A season is a calendar year; its weeks are
those of ISO 8601, so that week stands beside week; days of January that belong to the last week of the year before are told with the
first week, and days of December that belong to the next year's first week with the last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any, Final

from honeyhold.stock.ledger import Entry, Row, journal, left_on, sold_lines
from honeyhold.stock.pricing import line_total, order_total
from honeyhold.stock.reading import Request, rows, text, whole
from honeyhold.stock.units import money_words
from honeyhold.stock.words import count_words, joined, sentence

BOOKED: Final = ("order", "line", "movement", "payment", "adjustment")
"""Tables whose rows are handed in as they travel."""
BOOKS: Final = {
    "sold_cents": ("sales", -1), "mailing_cents": ("mailing", -1), "tax_cents": ("sales tax", -1), "taken_off_cents": ("taken off", 1),
}  # fmt: skip
"""Sums of a season that are an account's, and the side it grows on."""

Tables = Mapping[str, list[Row]]


def looking_back(request: Request) -> dict[str, Any]:
    """Two seasons side by side.

    `{"season": year, "goods": [{"id", "name", "plural"}], "order", "line", "movement", "payment", "adjustment": rows of both seasons,
    "waited": [{"order", "units", "cents"}] (what could not be promised at once), "held": [order ids] (parcels kept for a cool spell),
    "went_without": [{"good", "units", "cents", "on"}]}` -> `{"season", "now", "before": sums of a season, "goods": [{"id", "name",
    "units", "cents", "before_units", "before_cents"}], "weeks": [{"week", "monday", "cents", "before_cents", "units": [{"good",
    "units"}]}], "words"}`. Sums of a season: `orders`, `by_mail`, `sold_cents`, `mailing_cents`, `tax_cents`, `taken_off_cents`,
    `received_cents`, `owed_cents`; `waited`, `given_up` and `went_without` with `calls`, `units` and `cents` each; `held`; `again`
    and `taken_off`: [{"why", "orders", "cents"}]. Raises UnreadableField.
    """
    season = whole(request, "season", least=1900, most=9999)
    tables: Tables = {name: list(rows(request, name)) for name in BOOKED}
    sold = sold_lines(tables)
    orders = {row["id"]: row for row in tables["order"]}
    names = {text(row, "id"): text(row, "plural", default="") or text(row, "name", default="") for row in rows(request, "goods")}
    entries = journal({**tables, "till": []})
    now, before = (_season(year, request, tables, sold, entries) for year in (season, season - 1))
    return {
        "season": season, "now": now, "before": before, "goods": _by_good(season, names, orders, sold),
        "weeks": _weeks(season, orders, sold), "words": _words(season, now, before),
    }  # fmt: skip


def _season(year: int, request: Request, tables: Tables, sold: Mapping[str, list[Row]], entries: Iterable[Entry]) -> dict[str, Any]:
    """The sums of one season."""
    here = {row["id"]: row for row in tables["order"] if row["id"] in sold and _is_in(left_on(row), year)}
    taken = {row["id"]: row for row in tables["order"] if _is_in(row["taken_on"], year)}
    booked: dict[str, int] = defaultdict(int)
    for entry in entries:
        if _is_in(entry["on"], year):
            for account, cents in entry["sides"].items():
                booked[account] += cents
    waited = [row for row in rows(request, "waited", optional=True) if row["order"] in taken]
    return {
        "orders": len(here), "by_mail": sum(row["way"] == "post" for row in here.values()),
        **{name: sign * booked[account] for name, (account, sign) in BOOKS.items()},
        "received_cents": sum(row["cents"] for row in tables["payment"] if _is_in(row["on"], year)),
        "owed_cents": _owed(tables, here, sold),
        "waited": _calls(waited),
        "given_up": _calls([row for row in waited if taken[row["order"]]["state"] == "let_go"]),
        "went_without": _calls([row for row in rows(request, "went_without", optional=True) if _is_in(row["on"], year)]),
        "held": sum(order in taken for order in request.get("held", ())),
        "again": _again(tables, taken),
        "taken_off": _taken_off(_booked_off(tables, sold, year)),
    }  # fmt: skip


def _is_in(day: str, year: int) -> bool:
    return day.startswith(f"{year:04}-")


def _owed(tables: Tables, here: Mapping[str, Row], sold: Mapping[str, list[Row]]) -> int:
    """What is still owed for what left in the season; who paid too much takes nothing off it."""
    paid: dict[str, int] = defaultdict(int)
    adjusted: dict[str, int] = defaultdict(int)
    for name, sums in (("payment", paid), ("adjustment", adjusted)):
        for row in tables[name]:
            sums[row["order"]] += row["cents"]
    return sum(
        max(0, order_total({**row, "adjusted_cents": adjusted[order]}, sold[order]) - paid[order]) for order, row in here.items()
    )


def _calls(found: list[Row]) -> dict[str, int]:
    """How many calls, how much, and its worth."""
    return {"calls": len(found), "units": sum(row["units"] for row in found), "cents": sum(row["cents"] for row in found)}


def _again(tables: Tables, taken: Mapping[str, Row]) -> list[dict[str, Any]]:
    """Orders that went at no charge, by why, with what their goods cost on the order they stand for."""
    lines: dict[str, list[Row]] = defaultdict(list)
    for row in tables["line"]:
        lines[row["order"]].append(row)
    found: dict[str, list[int]] = defaultdict(list)
    for order in taken.values():
        if order.get("free_for") and order["state"] != "let_go":
            prices = {row["good"]: line_total(row) / row["units"] for row in lines[order.get("replaces") or ""] if row["units"]}
            found[order["free_for"]].append(round(sum(row["units"] * prices.get(row["good"], 0) for row in lines[order["id"]])))
    return [{"why": why, "orders": len(worth), "cents": sum(worth)} for why, worth in sorted(found.items())]


def _booked_off(tables: Tables, sold: Mapping[str, list[Row]], year: int) -> list[Row]:
    """What was taken off orders that left, by the day the books have it: not before the sale."""
    left = {row["id"]: left_on(row) for row in tables["order"] if row["id"] in sold}
    return [row for row in tables["adjustment"] if row["order"] in left and _is_in(max(row["on"], left[row["order"]]), year)]


def _taken_off(adjustments: list[Row]) -> list[dict[str, Any]]:
    """Money taken off prices, by why; nothing where all of it was put back on."""
    found: dict[str, list[Row]] = defaultdict(list)
    for row in adjustments:
        found[row["why"]].append(row)
    summed = [
        {"why": why, "orders": len({row["order"] for row in theirs}), "cents": -sum(row["cents"] for row in theirs)}
        for why, theirs in sorted(found.items())
    ]
    return [row for row in summed if row["cents"]]


def _by_good(
    season: int, names: Mapping[str, str], orders: Mapping[str, Row], sold: Mapping[str, list[Row]]
) -> list[dict[str, Any]]:  # fmt: skip
    """Units and money of each good in both seasons, the most money first."""
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for order, lines in sold.items():
        year = int(left_on(orders[order])[:4])
        if year in (season, season - 1):
            at = 0 if year == season else 2
            for line in lines:
                sums[line["good"]][at] += line["units"]
                sums[line["good"]][at + 1] += line_total(line)
    found = [
        {"id": good, "name": names.get(good, good), "units": units, "cents": cents, "before_units": earlier, "before_cents": earlier_cents}
        for good, (units, cents, earlier, earlier_cents) in sums.items() if units or earlier
    ]  # fmt: skip
    return sorted(found, key=lambda row: (-row["cents"], -row["before_cents"], row["name"]))


def _weeks(season: int, orders: Mapping[str, Row], sold: Mapping[str, list[Row]]) -> list[dict[str, Any]]:
    """Every ISO week of the season with what goods brought in it, beside the same week of the season before."""
    cents: dict[tuple[int, int], int] = defaultdict(int)
    units: dict[tuple[int, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for order, lines in sold.items():
        year, week = _week_of(date.fromisoformat(left_on(orders[order])))
        cents[year, week] += sum(map(line_total, lines))
        for line in lines:
            units[year, week][line["good"]] += line["units"]
    return [
        {"week": week, "monday": str(_monday(season, week)), "cents": cents[season, week], "before_cents": _before(cents, season, week),
         "units": [{"good": good, "units": many} for good, many in sorted(units[season, week].items()) if many]}
        for week in range(1, weeks_of(season) + 1)
    ]  # fmt: skip


def _week_of(day: date) -> tuple[int, int]:
    """The season of a day and its week in it."""
    year, week, _ = day.isocalendar()
    return day.year, 1 if year < day.year else weeks_of(day.year) if year > day.year else week


def weeks_of(year: int) -> int:
    """52 or 53: 28 December is always in the last week of its year (ISO 8601)."""
    return date(year, 12, 28).isocalendar().week


def _before(cents: Mapping[tuple[int, int], int], season: int, week: int) -> int:
    """What the same week brought in a year before; a 53rd week that this season has not goes with the last."""
    last = weeks_of(season)
    more = cents.get((season - 1, 53), 0) if week == last == 52 else 0
    return cents.get((season - 1, week), 0) + more


def _monday(year: int, week: int) -> date:
    """The Monday of an ISO week: 4 January is always in week 1."""
    first = date(year, 1, 4)
    return first + timedelta(days=7 * (week - 1) - first.weekday())


def _words(season: int, now: Mapping[str, Any], before: Mapping[str, Any]) -> list[str]:
    """What the picture says, for who listens."""
    said = [_sold_words(str(season), now)]
    if before["orders"]:
        said.append(_sold_words(f"{season - 1}", before))
    if now["owed_cents"]:
        said.append(sentence(f"{money_words(now['owed_cents'])} of what left in {season} is still owed"))
    waits = [
        f"{count_words(now[name]['calls'], 'call', 'calls')} {how}, worth {money_words(now[name]['cents'])}"
        for name, how in (("waited", "had to wait"), ("given_up", "waited and gave up"), ("went_without", "went without"))
        if now[name]["calls"]
    ]
    return [*said, *([sentence(joined(waits))] if waits else [])]


def _sold_words(season: str, sums: Mapping[str, Any]) -> str:
    if not sums["orders"]:
        return f"{season}: nothing was sold."
    orders, worth = count_words(sums["orders"], "order", "orders"), money_words(sums["sold_cents"])
    return sentence(f"{season}: {orders} left, {sums['by_mail'] or 'none'} of them by mail, for {worth} without mailing and tax")
