"""A small linear programme: the most of `worth` x, where `rows` x <= `limits` and x >= 0, by Dantzig's simplex method with a tableau.

The limits are 0 or more, so x = 0 is where it begins; each is raised a hair, and each by another, so that it cannot go round in circles
(Charnes, "Optimality and degeneracy in linear programming", Econometrica 20 (1952)). Only +, -, * and / are used, which round alike on
every device. The answer is near the best: whoever uses it must not take it for exact.
"""

from __future__ import annotations

from honeyhold.packing.model.container import Effort

HAIR = 1e-9
TURNS_MAX = 200
NUMBERS_A_STEP = 60  # so many numbers of the tableau are worked out in the time of a step


def maximize(worth: list[float], rows: list[list[float]], limits: list[float], effort: Effort) -> list[float]:
    """x, as far as `TURNS_MAX` exchanges lead. Raises EffortLimitReached."""
    many, slacks = len(worth), len(rows)
    tableau = [
        [*row, *(float(at == other) for other in range(slacks)), limit + HAIR * (at + 1)]
        for at, (row, limit) in enumerate(zip(rows, limits, strict=True))
    ]
    price = [*(-each for each in worth), *[0.0] * (slacks + 1)]
    basis = [many + at for at in range(slacks)]
    for _ in range(TURNS_MAX):
        enters = price.index(min(price[:-1]))
        leaves = _leaving(tableau, enters)
        if price[enters] > -HAIR or leaves < 0:
            break
        effort.spend(1 + len(tableau) * len(price) // NUMBERS_A_STEP)
        price = _exchange(tableau, price, enters, leaves)
        basis[leaves] = enters
    found = [0.0] * (many + slacks)
    for at, column in enumerate(basis):
        found[column] = tableau[at][-1]
    return found[:many]


def _leaving(tableau: list[list[float]], enters: int) -> int:
    """The row that is first used up as the column grows; -1 when none is."""
    ratios = [(row[-1] / row[enters], at) for at, row in enumerate(tableau) if row[enters] > HAIR]
    return min(ratios)[1] if ratios else -1


def _exchange(tableau: list[list[float]], price: list[float], enters: int, leaves: int) -> list[float]:
    """Makes the column 1 in its row and 0 in every other; the price row anew."""
    pivot = tableau[leaves][enters]
    tableau[leaves] = own = [each / pivot for each in tableau[leaves]]
    for at, row in enumerate(tableau):
        if at != leaves and row[enters]:
            tableau[at] = _less(row, own, row[enters])
    return _less(price, own, price[enters])


def _less(row: list[float], own: list[float], times: float) -> list[float]:
    return [one - times * other for one, other in zip(row, own, strict=True)]
