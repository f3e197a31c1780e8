"""A season by weight: honey in and where it went, wax in and where it went, to the gram.

All is added up from sums of movements by good, reason and year, the same on a device as in the house. Honey in is what
the extractor gave and what the cappings gave up; wax in is what the first melt gave. What is in jars and bars is what
was used for them, so the giveaway above the net weight shows. The balances handed in are kept separately (by lot), so
`missing_g` is a check: it is nothing unless a sum is wrong.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.honey import GALLON_ML, honey_density_g_per_ml
from honeyhold.stock.reading import Request, rows, text, whole
from honeyhold.stock.stages import GROUPS, goods_of
from honeyhold.stock.units import money_words, weight_words
from honeyhold.stock.words import joined, sentence
from honeyhold.stock.yields import would_a_press_pay

GRAMS_MAX = 10**12
BROUGHT = ("made", "bought", "opening")
OUTSIDE = ("spoiled", "gift", "sold", "gone", "broken", "specked")
HONEY_WATER_PERCENT = 17.5  # for gallons when no lot says better; gallon and pound differ by less than one percent

Sums = dict[tuple[str, str], int]


def _sums(request: Request, season: int) -> tuple[Sums, dict[str, int]]:
    """Grams of the season by (good, reason), and what was carried over from earlier years by good."""
    now: Sums = {}
    before: dict[str, int] = {}
    for row in rows(request, "moved"):
        good, reason = text(row, "good"), text(row, "reason")
        year, units = whole(row, "year", most=9999), whole(row, "units", least=-GRAMS_MAX, most=GRAMS_MAX)
        if year == season:
            now[good, reason] = now.get((good, reason), 0) + units
        elif year < season:
            before[good] = before.get(good, 0) + units
    return now, before


def _balances(request: Request, season: int) -> dict[str, int]:
    """What lies there at the end of the season: today's balances less what moved in later years."""
    left: dict[str, int] = {}
    for row in rows(request, "balances"):
        good = text(row, "good")
        left[good] = left.get(good, 0) + whole(row, "units", least=-GRAMS_MAX, most=GRAMS_MAX)
    for row in rows(request, "moved"):
        if row["year"] > season:
            left[row["good"]] = left.get(row["good"], 0) - row["units"]
    return left


def _group(group: str, now: Sums, before: Mapping[str, int], left: Mapping[str, int]) -> dict[str, Any]:
    goods = goods_of(group)

    def total(*reasons: str) -> int:
        return sum(now.get((good, reason), 0) for good in goods for reason in reasons)

    crossing = total("came", "passed")  # from stage to stage inside a group it is nothing
    made, lost = -total("used"), -total("lost")
    taken_in = total(*BROUGHT) + max(0, crossing)
    start, end = sum(before.get(good, 0) for good in goods), sum(left.get(good, 0) for good in goods)
    out = made + max(0, -crossing) + lost - total("fed") - total(*OUTSIDE)
    return {
        "in_g": taken_in,
        "start_g": start,
        "made_g": made,
        "passed_g": max(0, -crossing),
        "fed_g": -total("fed"),
        "lost_g": lost,
        "other_g": -total(*OUTSIDE),
        "counted_g": total("counted"),
        "balances": [{"good": good, "grams": left[good]} for good in goods if left.get(good)],
        "left_g": end,
        "missing_g": start + taken_in + total("counted") - out - end,
    }


def _sold_net_g(request: Request, now: Sums, kind: str) -> tuple[int, int]:
    """Net grams of what was made of one kind and sold by the piece, and the pieces."""
    net = units = 0
    for row in rows(request, "goods"):
        if row.get("kind") == kind:
            made = sum(now.get((text(row, "id"), reason), 0) for reason in ("poured", "bottled", "made"))
            units += made
            net += made * whole(row, "net_g", default=0)
    return net, units


def _price_cents_per_kg(request: Request, kind: str) -> int:
    """The least one gets for a kilogram of it: the price of the largest jar or block. 0 when nothing of it is sold."""
    prices = [
        whole(row, "price_cents", default=0) * 1000 // net
        for row in rows(request, "goods")
        if row.get("kind") == kind and row.get("sold", True) and (net := whole(row, "net_g", default=0)) and row.get("price_cents")
    ]
    return min(prices, default=0)


def _left_in_wax(request: Request, sums: Mapping[str, Any], now: Sums) -> dict[str, Any]:
    """Honey that came off the cappings and never reached a jar at its price, and wax that went with the dross, in money."""
    came = now.get(("honey_residue", "came"), 0)
    honey_rate, wax_rate = _price_cents_per_kg(request, "honey"), _price_cents_per_kg(request, "wax")
    wax_lost = int(sums["wax"]["lost_g"])
    return {
        "honey_g": came,
        "honey_cents": came * honey_rate // 1000,
        "wax_lost_g": wax_lost,
        "wax_lost_cents": wax_lost * wax_rate // 1000,
        "cappings_lost_g": sums["cappings"]["lost_g"],
        "honey_cents_per_kg": honey_rate,
    }


def _says(name: str, part: Mapping[str, Any], into: str) -> str:
    """One sentence: what came in and where it is."""
    went = [
        (part["made_g"], f"in {into}"), (part["passed_g"], "passed on to melting"), (part["left_g"], "still here"),
        (part["fed_g"], "fed to the bees"), (part["lost_g"], "lost"), (part["other_g"], "given away, sold or spoiled"),
    ]  # fmt: skip
    words = joined([f"{weight_words(grams)} {where}" for grams, where in went if grams > 0])
    came = part["in_g"] + part["start_g"]
    counted = part["counted_g"]
    more = f"; counting found {weight_words(abs(counted))} {'more' if counted > 0 else 'less'}" if counted else ""
    return sentence(f"{name}: {weight_words(came)} in" + (f", {words}" if words else "") + more)


def season_sums(request: Request) -> dict[str, Any]:
    """The sums of one season.

    `{"season": year, "goods": [{"id", "kind", "net_g"?, "price_cents"?, "sold"?}], "moved": [{"good", "reason", "year",
    "units"}], "balances": [{"good", "units"}]}` (all lots of today) -> for each of `honey`, `cappings`, `wax`: `{"in_g",
    "start_g" (from earlier years), "made_g" (in jars or bars), "passed_g", "fed_g", "lost_g", "other_g", "counted_g",
    "balances": [{"good", "grams"}], "left_g", "missing_g"}`; `in + start + counted = made + passed + fed + lost + other +
    left + missing`. Besides `jars` and `bars`: `{"units", "net_g", "giveaway_g"}`, `left_in_wax` (honey and wax in grams
    and cents), `closes`, `words`. Raises UnreadableField.
    """
    season = whole(request, "season", least=1900, most=9999)
    now, before = _sums(request, season)
    left = _balances(request, season)
    sums = {group: _group(group, now, before, left) for group in GROUPS}
    answer: dict[str, Any] = {"season": season, **sums}
    for name, kind in (("jars", "honey"), ("bars", "wax")):
        net, units = _sold_net_g(request, now, kind)
        answer[name] = {"units": units, "net_g": net, "giveaway_g": sums[kind]["made_g"] - net if sums[kind]["made_g"] else 0}
    answer["left_in_wax"] = _left_in_wax(request, sums, now)
    answer["closes"] = all(part["missing_g"] == 0 for part in sums.values())
    answer["words"] = [
        _says("Honey", sums["honey"], "jars"),
        _says("Cappings", sums["cappings"], "jars"),
        _says("Wax", sums["wax"], "bars and blocks"),
    ]
    return answer


def press_from_season(request: Request) -> dict[str, Any]:
    """Would a press pay, from a season's own weighings.

    `{"season_sums": answer of season_sums, "price_cents", "upkeep_cents_per_year"?, "years"?, "interest_percent"?,
    "recovered_percent"?, "water_percent"?}` -> the answer of `yields.would_a_press_pay` and `{"gallons_lost",
    "honey_cents_per_gallon", "from"}`. The honey is what came off the cappings in the season. Raises UnreadableField,
    also when no cappings were melted or no honey has a price.
    """
    sums = request.get("season_sums")
    if not isinstance(sums, Mapping) or not isinstance(sums.get("left_in_wax"), Mapping):
        raise UnreadableField("season_sums", sums, "the answer of season_sums")
    left = sums["left_in_wax"]
    grams, rate = whole(left, "honey_g", most=GRAMS_MAX), whole(left, "honey_cents_per_kg")
    if not grams or not rate:
        raise UnreadableField("honey_g", grams, "honey weighed off the cappings of a season, and a jar with a price")
    water = request.get("water_percent") or HONEY_WATER_PERCENT
    gallon_g = honey_density_g_per_ml(float(water)) * GALLON_ML
    cents = round(rate * gallon_g / 1000)
    fields = ("price_cents", "upkeep_cents_per_year", "years", "interest_percent", "recovered_percent")
    asked = {field: request[field] for field in fields if request.get(field) is not None}
    answer = would_a_press_pay({**asked, "gallons_lost": grams / gallon_g, "honey_cents_per_gallon": cents})
    return {
        **answer,
        "gallons_lost": round(grams / gallon_g, 2),
        "honey_cents_per_gallon": cents,
        "from": f"{weight_words(grams)} came off the cappings this season, "
        f"{money_words(grams * rate // 1000)} at the price of your largest jar.",
    }
