"""What a crop gives: wax from cappings, bars from wax, honey left in cappings, and whether a press would pay.

Weigh, never assume: every default here is replaced by the house's own weighings as soon as there are some.
"""

from __future__ import annotations

from bisect import bisect_left
from math import floor
from typing import Any

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, number, table, whole
from honeyhold.stock.units import money_words

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


def chance_of_good(poured: int, good: int, good_percent: float) -> float:
    """The chance that at least `good` of `poured` bars come without a speck (binomial).

    Each count's weight is the one's before it times (n - k) / (k + 1) * p / (1 - p), from the likeliest count outwards: the coefficients
    themselves are past what a float holds from about a thousand bars on.
    """
    p = good_percent / 100
    if p >= 1:
        return float(poured >= good)
    odds, likeliest = p / (1 - p), int((poured + 1) * p)
    weights = [0.0] * likeliest + [1.0] + [0.0] * (poured - likeliest)
    for k in range(likeliest, poured):
        weights[k + 1] = weights[k] * (poured - k) / (k + 1) * odds
    for k in range(likeliest, 0, -1):
        weights[k - 1] = weights[k] * k / (poured - k + 1) / odds
    return sum(weights[good:]) / sum(weights)


def pours_needed(good: int, good_percent: float, pour_units: int = 10, service_percent: float = 95) -> int:
    """Whole pours so that at least `good` bars come out well with the chance asked for.

    Raises UnreadableField when more than 10,000 bars would have to be poured.
    """
    if good <= 0:
        return 0

    def enough(pours: int) -> bool:
        return round(chance_of_good(pours * pour_units, good, good_percent), 9) >= service_percent / 100

    # the chance grows with every pour: from near the mean in steps that double, then halved in between
    few = max(-(-good // pour_units), int(good * 100 / good_percent) // pour_units)
    most, step = POUR_MAX // pour_units, 1
    if few > most or not enough(most):
        raise UnreadableField("good bars", good, f"what comes out of {POUR_MAX:,} poured bars")
    many = few
    while not enough(many):
        few, many, step = many + 1, min(most, many + step), 2 * step
    return few + bisect_left(range(few, many), True, key=enough)


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
        paid = f"at best it pays in {fast:.1f} years, at worst never."
        return f"Not within {years} years: {paid}" if fast > years else f"Perhaps: {paid}"
    time = f"{fast:.1f}" if f"{fast:.1f}" == f"{slow:.1f}" else f"{fast:.1f} to {slow:.1f}"
    if worth["low"] > 0:
        return f"Yes: paid back in {time} years."
    if worth["high"] <= 0:
        return f"Not within {years} years: it takes {time} years, interest not counted."
    return f"Perhaps: paid back in {time} years, but within {years} years only if it goes well."
