"""Seeded numbers, the normal law, and chances as a person says them.

The numbers come from one explicit seed by integer arithmetic, so that they are the same in every build of
Python.
"""

from __future__ import annotations

from math import erf, erfc, exp, log, pi, sqrt

MASK = (1 << 64) - 1
SQRT_2_PI = sqrt(2 * pi)
NICE_ODDS = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100)
# permille from which the saying holds, highest first
LIKELY = (
    (990, "over 99 chances in 100"),
    (970, "49 chances in 50"),
    (935, "19 chances in 20"),
    (850, "9 chances in 10"),
    (775, "4 chances in 5"),
    (710, "3 chances in 4"),
    (600, "2 chances in 3"),
)


class Numbers:
    """A small generator: the 64-bit mix of Steele, Lea and Flood, "Fast splittable pseudorandom number
    generators", OOPSLA 2014.
    """

    def __init__(self, seed: int) -> None:
        self.state = seed & MASK

    def whole(self) -> int:
        """Give the next 64-bit whole number."""
        self.state = (self.state + 0x9E3779B97F4A7C15) & MASK
        mixed = self.state
        mixed = ((mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        mixed = ((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB) & MASK
        return mixed ^ (mixed >> 31)


def normal_share_below(z: float) -> float:
    """Give the share of a standard normal law below `z`."""
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


LEAST_PERMILLE, MOST_PERMILLE = 2, 998  # what so many draws can tell of the far ends


def logit_of(permille: int) -> float:
    """Give a chance on the logistic scale; the far ends are taken as 2 and 998 permille."""
    share = min(MOST_PERMILLE, max(LEAST_PERMILLE, permille)) / 1000
    return log(share / (1 - share))


def share_at(logit: float) -> float:
    """Give the chance 0..1 at a mark of the logistic scale."""
    return 1 / (1 + exp(-logit)) if logit >= 0 else exp(logit) / (1 + exp(logit))


def shifted_permille(permille: int, shift_permille: int) -> int:
    """Give a chance with a house's own offset (thousandths of the logistic scale) laid on; what is sure stays sure."""
    if shift_permille == 0 or permille in (0, 1000):
        return permille
    return round(1000 * share_at(logit_of(permille) + shift_permille / 1000))


def normal_quantile(share: float) -> float:
    """Give the z below which `share` (0 < share < 1) of a standard normal law lies, to 1e-8.

    Starts from Abramowitz and Stegun 26.2.23 (good to 4.5e-4) and takes Newton's steps from there.
    """
    tail = min(share, 1 - share)
    root = sqrt(-2 * log(tail))
    z = root - (2.515517 + root * (0.802853 + root * 0.010328)) / (1 + root * (1.432788 + root * (0.189269 + root * 0.001308)))
    for _ in range(2):
        z -= (tail - erfc(z / sqrt(2)) / 2) * SQRT_2_PI * exp(z * z / 2)
    return round(z if share >= 0.5 else -z, 8)


def words_of(permille: int) -> str:
    """Say a chance in permille as a person does ("1 chance in 60", "9 chances in 10", "under 1 chance in 100"); whole numbers decide,
    so every build agrees.
    """
    if permille < 10:
        return "under 1 chance in 100"
    for least, saying in LIKELY:
        if permille >= least:
            return saying
    nearest = min(NICE_ODDS[1:], key=lambda odds: (abs(1000 * 1000 // odds - 1000 * permille), odds))
    return f"1 chance in {nearest}"
