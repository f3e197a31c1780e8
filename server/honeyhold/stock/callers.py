"""How many callers to expect, learned from the record of sales.

The rate of callers is a gamma guess that every day of the record sharpens, recent days more than old ones;
weekdays differ, busy days come unasked (rushes.py), and the coming weeks differ from the past ones as they did a
year ago. With this little data
every factor is drawn towards one by a few make-believe callers (common practice, no source; the numbers are
named below).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from honeyhold.stock.busy_days import Rushes, learn_rushes
from honeyhold.stock.days import parse_day
from honeyhold.stock.demand import compound_gamma_poisson, mean_size, read_sizes
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, rows, whole

HALF_LIFE_DAYS = 28.0  # of how many call: a sale four weeks old tells half as much as one today
HABIT_HALF_LIFE_DAYS = 180.0  # of which weekday, and how many each: habits change slowly
PRIOR_CALLERS, PRIOR_DAYS = 0.5, 1.0  # before any sale: a caller every other day, easily overruled
STEADY_CALLERS = 4.0  # make-believe callers that draw weekday and season towards "no difference"
SIZE_CALLERS = 3.0  # make-believe callers who want the usual sizes, gone after fifteen real ones
USUAL_SIZES = {"5": 0.6, "10": 0.4}
CALLERS_LEAST, DAYS_LEAST = 4, 14  # a shorter record is none
FAR_ABOVE = 2  # a single sale of more than so many times the next largest tells nothing of what will be asked for
YEAR_DAYS = 364  # a year in whole weeks, so weekdays meet weekdays
SEASON_DAYS = 28
SEASON_MAX = 3.0  # nobody plans on more than three times as many callers because of one good week


@dataclass(frozen=True)
class Callers:
    """The expected callers: rate ~ gamma(`shape`, 1 / `days`) a day, times the factor of the day."""

    shape: float
    days: float
    weekday: tuple[float, ...]
    season: float
    sizes: dict[int, float]
    rushes: Rushes = Rushes(0.0)
    seen: int = 0  # callers in the record
    days_seen: int = 0  # days it is long, today included
    left_out: int | None = None  # units of the one sale far above all others, which is not reckoned with

    @property
    def is_record(self) -> bool:
        """Whether there is enough of a record to reckon with; else every figure would be the guess before any sale."""
        return self.seen >= CALLERS_LEAST and self.days_seen >= DAYS_LEAST

    def exposure(self, first: date, days: int) -> float:
        """`days` days from `first` on, counted in ordinary days of the record."""
        return self.season * sum(self.weekday[(first + timedelta(days=n)).weekday()] for n in range(days))

    def per_day(self) -> float:
        """Callers on an ordinary coming day."""
        return self.shape / self.days * self.season

    def units(self, first: date, days: int, units_max: int) -> list[float]:
        """Chance of 0 .. units_max units wanted within `days` days from `first` on: without and with a rush, mixed."""
        rush = self.rushes.chance_within(days)
        plain, busy = (
            compound_gamma_poisson(self.shape, exposure / self.days, self.sizes, units_max)
            for exposure in self.rushes.exposures(self.exposure(first, days), days)
        )
        return [(1 - rush) * p + rush * q for p, q in zip(plain, busy, strict=True)] if rush else plain

    def units_mean(self, first: date, days: int) -> float:
        """The mean of the same."""
        rush = self.rushes.chance_within(days)
        plain, busy = self.rushes.exposures(self.exposure(first, days), days)
        return self.shape * ((1 - rush) * plain + rush * busy) / self.days * mean_size(self.sizes)


def _read_sales(request: Request, today: date) -> list[tuple[date, int]]:
    """Sales up to today as (day, units); later ones are slips of a device's clock and are refused."""
    sales = []
    for row in rows(request, "sales"):
        day = parse_day(row.get("on"), "sales.on")
        if day > today:
            raise UnreadableField("sales.on", day.isoformat(), f"a day up to {today.isoformat()}")
        sales.append((day, whole(row, "units", least=1, most=100_000)))
    return sorted(sales)


def _season(sales: Sequence[tuple[date, int]], since: date, today: date) -> float:
    """How the coming four weeks compared with the four before them, a year ago; 1 without such a record."""
    then = today - timedelta(days=YEAR_DAYS)
    if since > then - timedelta(days=SEASON_DAYS):
        return 1.0
    before = sum(timedelta(0) < then - day <= timedelta(days=SEASON_DAYS) for day, _ in sales)
    after = sum(timedelta(0) <= day - then < timedelta(days=SEASON_DAYS) for day, _ in sales)
    return min(SEASON_MAX, max(1 / SEASON_MAX, (after + STEADY_CALLERS) / (before + STEADY_CALLERS)))


def one_far_above(sizes: Sequence[int], usual: Mapping[int, float]) -> tuple[int, int] | None:
    """The one sale far above all others, and the next largest (or the largest usual size) in its place; None without such a sale.

    Two like it are no chance any more: they count.
    """
    if not sizes:
        return None
    *others, largest = sorted(sizes)
    next_to_it = max([*others[-1:], *usual])
    return (largest, next_to_it) if largest > FAR_ABOVE * next_to_it else None


def _sizes(request: Request, sales: Sequence[tuple[date, int]], today: date) -> dict[int, float]:
    usual = read_sizes(request.get("order_sizes") or USUAL_SIZES)
    make_believe = max(0.0, SIZE_CALLERS - len(sales) / 5)
    counts = {units: make_believe * part for units, part in usual.items()}
    far = one_far_above([units for _, units in sales], usual)
    for day, sold in sales:
        units = far[1] if far and sold == far[0] else sold
        counts[units] = counts.get(units, 0.0) + _weight(day, today, HABIT_HALF_LIFE_DAYS)
    if not sum(counts.values()) > 1e-9:  # a record so old that it weighs nothing
        return usual
    return read_sizes(counts, "sales.units")


def _weight(day: date, today: date, half_life_days: float = HALF_LIFE_DAYS) -> float:
    return float(0.5 ** ((today - day).days / half_life_days))


def _weekdays(counts: Mapping[date, int], days: Sequence[date], today: date) -> list[float]:
    """How busy each weekday is against the mean of the week, drawn towards one."""
    called, seen = [0.0] * 7, [0.0] * 7
    for day in days:
        weight = _weight(day, today, HABIT_HALF_LIFE_DAYS)
        called[day.weekday()] += weight * counts.get(day, 0)
        seen[day.weekday()] += weight
    rate = sum(called) / sum(seen) if sum(seen) else 0.0
    factor = [(c + STEADY_CALLERS) / (d * rate + STEADY_CALLERS) for c, d in zip(called, seen, strict=True)]
    return [7 * f / sum(factor) for f in factor]


def learn(request: Request) -> Callers:
    """What the record in `sales` (one row a caller: `on`, `units`) says about the callers to come.

    `counting_since` is the first day of the record, else the day of the first sale: days without a caller
    count too. `order_sizes` are the usual sizes before there is a record. Today is not over: its callers
    tell of sizes, not yet of the rate, unless there is no other day. Raises UnreadableField.
    """
    today = parse_day(request.get("today"), "today")
    sales = _read_sales(request, today)
    since = sales[0][0] if sales else today
    if request.get("counting_since") is not None:
        since = min(since, parse_day(request["counting_since"], "counting_since"))
    first_ago = 0 if since == today else 1
    span = min((today - since).days, 3650) + 1 if sales or since < today else 0
    days = [today - timedelta(days=ago) for ago in range(first_ago, span)]
    counts: dict[date, int] = {}
    for day, _ in sales:
        counts[day] = counts.get(day, 0) + 1
    factor = _weekdays(counts, days, today)
    far = one_far_above([units for _, units in sales], read_sizes(request.get("order_sizes") or USUAL_SIZES))
    weights = [_weight(day, today) for day in days]
    called = sum(weight * counts.get(day, 0) for weight, day in zip(weights, days, strict=True))
    exposure = sum(weight * factor[day.weekday()] for weight, day in zip(weights, days, strict=True))
    return Callers(
        shape=PRIOR_CALLERS + called,
        days=PRIOR_DAYS + exposure,
        weekday=tuple(factor),
        season=_season(sales, since, today),
        sizes=_sizes(request, sales, today),
        rushes=learn_rushes(counts, tuple(factor), since, today),
        seen=len(sales),
        days_seen=(today - since).days + 1,
        left_out=far[0] if far else None,
    )
