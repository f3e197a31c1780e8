"""What a crop gives: wax from cappings, bars from wax, honey left in cappings, and whether a press would pay.

Weigh, never assume: every default here is replaced by the house's own weighings as soon as there are some.
"""

from __future__ import annotations

from math import comb, floor
from typing import Any

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, number, table, whole
from honeyhold.stock.units import money_words, weight_words
from honeyhold.stock.words import count_words

CAPPINGS_PERCENT = {"low": 1.0, "middle": 1.7, "high": 2.0}  # wax of the honey's weight; beekeeping handbooks
MELT_LOSS_PERCENT = 5.0  # left behind as dross from clean cappings, 3 to 8 (common practice, no source)
BAR_MG = 28_850  # an ounce, 28.350 g, and half a gram given away so that no bar is light
PRESS_PERCENT = {
    "low": 70.0,
    "middle": 80.0,
    "high": 90.0,
}  # of what no longer drips (common practice, no source)
POUR_MAX = 10_000


def bars_from_wax(wax_g: float, bar_mg: int = BAR_MG) -> int:
    """Whole bars from clean wax, `bar_mg` milligrams of wax to a bar, giveaway included."""
    return floor(round(wax_g * 1000 / bar_mg, 9))


def wax_for_bars_g(bars: int, bar_mg: int = BAR_MG) -> float:
    """Clean wax in grams for so many bars."""
    return bars * bar_mg / 1000


def clean_wax_g(honey_g: float, cappings_percent: float, loss_percent: float = MELT_LOSS_PERCENT) -> float:
    """Clean wax from the cappings of so much honey: honey x cappings x (1 - loss)."""
    return honey_g * cappings_percent / 100 * (1 - loss_percent / 100)


def _range(request: Request, field: str, default: dict[str, float], most: float) -> dict[str, float]:
    """A range {low, middle, high} from a single number, from a dictionary, or the default; in that order of
    size.
    """
    given = request.get(field)
    if given is None:
        return default
    if isinstance(given, int | float):
        value = number(request, field, least=0, most=most)
        return {"low": value, "middle": value, "high": value}
    parts = table(request, field)
    low, high = (number(parts, end, least=0, most=most) for end in ("low", "high"))
    middle = number(parts, "middle", least=0, most=most, default=(low + high) / 2)
    if not low <= middle <= high:
        raise UnreadableField(field, dict(parts), "low, middle and high in that order")
    return {"low": low, "middle": middle, "high": high}


def season_yield(request: Request) -> dict[str, Any]:
    """Wax and bars to expect from a crop.

    `{"honey_g", "cappings_percent"?: number or {low, middle?, high}, "loss_percent"?: 5, "wax_per_unit_mg"?:
    28850}` -> `{"wax_g": {low, middle, high}, "bars": {low, middle, high}, "words"}`. Raises UnreadableField.
    """
    honey_g = number(request, "honey_g", least=0, most=1e9)
    loss = number(request, "loss_percent", least=0, most=100, default=MELT_LOSS_PERCENT)
    bar_mg = whole(request, "wax_per_unit_mg", least=1, default=BAR_MG)
    cappings = _range(request, "cappings_percent", CAPPINGS_PERCENT, 100)
    wax = {end: clean_wax_g(honey_g, percent, loss) for end, percent in cappings.items()}
    bars = {end: bars_from_wax(mass, bar_mg) for end, mass in wax.items()}
    words = f"About {weight_words(wax['middle'])} of clean wax, {bars['middle']:,} bars"
    if bars["low"] != bars["high"]:
        words += f"; {bars['low']:,} to {bars['high']:,} until your own cappings are weighed"
    return {"wax_g": {end: round(mass, 2) for end, mass in wax.items()}, "bars": bars, "words": words + "."}


def honey_in_cappings(request: Request) -> dict[str, Any]:
    """Honey that stayed in drained cappings, from two weighings: drained mass - wax / (1 - loss) - dirt.

    `{"drained_g", "wax_g", "loss_percent"?: 5, "dirt_g"?: 0}` -> `{"honey_g", "percent_of_drained",
    "words"}`. Raises UnreadableField; also when the wax would weigh more than the cappings it came from.
    """
    drained = number(request, "drained_g", least=1, most=1e8)
    wax = number(request, "wax_g", least=0, most=1e8)
    loss = number(request, "loss_percent", least=0, most=99, default=MELT_LOSS_PERCENT)
    honey = drained - wax / (1 - loss / 100) - number(request, "dirt_g", least=0, most=1e8, default=0)
    if honey < 0:
        raise UnreadableField("wax_g", wax, f"a mass that fits into {weight_words(drained)} of cappings")
    percent = 100 * honey / drained
    words = f"{weight_words(honey)} of honey stayed in {weight_words(drained)} of cappings, {percent:.0f} %."
    return {"honey_g": round(honey, 1), "percent_of_drained": round(percent, 1), "words": words}


def chance_of_good(poured: int, good: int, good_percent: float) -> float:
    """The chance that at least `good` of `poured` bars come without a speck (binomial)."""
    p = good_percent / 100
    return min(1.0, sum(comb(poured, k) * p**k * (1 - p) ** (poured - k) for k in range(good, poured + 1)))


def pours_needed(good: int, good_percent: float, pour_units: int = 10, service_percent: float = 95) -> int:
    """Whole pours so that at least `good` bars come out well with the chance asked for.

    Raises UnreadableField when more than 10,000 bars would have to be poured.
    """
    poured = -(-good // pour_units) * pour_units
    # far more than a guess away from the mean nothing is searched: start near it
    poured = max(poured, int(good * 100 / good_percent) // pour_units * pour_units)
    while good > 0:
        if poured > POUR_MAX:
            raise UnreadableField("good bars", good, f"what comes out of {POUR_MAX:,} poured bars")
        if round(chance_of_good(poured, good, good_percent), 9) >= service_percent / 100:
            break
        poured += pour_units
    return poured // pour_units


def pours_for_good_bars(request: Request) -> dict[str, Any]:
    """How many pours give so many bars without specks.

    `{"good_bars", "speck_percent"?: 6, "pour_units"?: 10, "service_percent"?: 95, "wax_per_unit_mg"?: 28850}`
    -> `{"pours", "poured", "chance_percent", "wax_needed_g", "words"}`. Specked bars are melted again. Raises
    UnreadableField.
    """
    good = whole(request, "good_bars", most=POUR_MAX)
    specks = number(request, "speck_percent", least=0, most=90, default=6)
    pour_units = whole(request, "pour_units", least=1, most=1000, default=10)
    service = number(request, "service_percent", least=1, most=99.9, default=95)
    pours = pours_needed(good, 100 - specks, pour_units, service)
    poured = pours * pour_units
    chance = 100 * chance_of_good(poured, good, 100 - specks)
    wax = wax_for_bars_g(poured, whole(request, "wax_per_unit_mg", least=1, default=BAR_MG))
    words = (
        f"{count_words(pours, 'pour', 'pours')} of {pour_units}, {weight_words(wax)} of wax, for {good} good."
    )
    return {
        "pours": pours,
        "poured": poured,
        "chance_percent": round(chance, 1),
        "wax_needed_g": round(wax, 1),
        "words": words,
    }


def present_value(price: float, per_year: float, years: int, interest_percent: float) -> float:
    """- price + the sum of per_year / (1 + r)^t for t = 1 .. years; the price today is not discounted."""
    r = interest_percent / 100
    return -price + sum(per_year / (1 + r) ** t for t in range(1, years + 1))


def would_a_press_pay(request: Request) -> dict[str, Any]:
    """Would a cappings press pay, with a range, because what it recovers is a guess until it stands in the
    house.

    `{"price_cents", "gallons_lost": number or {low, middle?, high}, "recovered_percent"?: number or {...}
    (70, 80, 90), "honey_cents_per_gallon"?: 10000, "upkeep_cents_per_year"?: 1500, "interest_percent"?: 6,
    "years"?: 5}` -> `{"per_year_cents": {...}, "payback_years": {... or null}, "worth_cents": {...}, "words",
    "assumed": [sentences]}`. `worth_cents` is the present value after `years`. Raises UnreadableField.
    """
    price = whole(request, "price_cents", least=1)
    gallons = _range(request, "gallons_lost", {}, 100_000)
    if not gallons:
        raise UnreadableField("gallons_lost", None, "the gallons left in the cappings of a year")
    part = _range(request, "recovered_percent", PRESS_PERCENT, 100)
    honey = whole(request, "honey_cents_per_gallon", default=10_000)
    upkeep = whole(request, "upkeep_cents_per_year", default=1_500)
    interest = number(request, "interest_percent", least=0, most=100, default=6)
    years = whole(request, "years", least=1, most=50, default=5)
    yearly = {end: gallons[end] * part[end] / 100 * honey - upkeep for end in ("low", "middle", "high")}
    worth = {end: present_value(price, gain, years, interest) for end, gain in yearly.items()}
    payback = {end: round(price / gain, 4) if gain > 0 else None for end, gain in yearly.items()}
    share = f"{part['low']:g}" if part["low"] == part["high"] else f"{part['low']:g} to {part['high']:g}"
    return {
        "per_year_cents": {end: round(gain) for end, gain in yearly.items()},
        "payback_years": payback,
        "worth_cents": {end: round(value) for end, value in worth.items()},
        "words": _press_words(payback, worth, years),
        "assumed": [
            f"{share} % of what no longer drips is recovered; weigh it in the first season.",
            f"The honey sells for {money_words(honey)} a gallon; honey melted off hot does not.",
            "Pressed honey is foamy and settles longer.",
            "Your hours and the jars are not counted.",
        ],
    }


def _press_words(payback: dict[str, float | None], worth: dict[str, float], years: int) -> str:
    fast, slow = payback["high"], payback["low"]
    if fast is None:
        return "No: it would cost more to keep than it brings in."
    if slow is None:
        return f"Perhaps: at best it pays in {fast:.1f} years, at worst never."
    time = f"{fast:.1f}" if f"{fast:.1f}" == f"{slow:.1f}" else f"{fast:.1f} to {slow:.1f}"
    if worth["low"] > 0:
        return f"Yes: paid back in {time} years."
    if worth["high"] <= 0:
        return f"Not within {years} years: it takes {time} years, interest not counted."
    return f"Perhaps: paid back in {time} years, but within {years} years only if it goes well."
