"""The numbers behind every draw: what decides most comes from a Sobol sequence, all else from a seeded generator.

Sobol 1967 (USSR Comput. Math. Math. Phys. 7, 86); first direction numbers of Joe and Kuo 2008 (SIAM J. Sci. Comput. 30, 2635). The
first 2**k points of it fill the unit cube evenly, so that more draws go on where fewer ended. The seed shifts it by exclusive-or,
which keeps it even and makes the mean over seeds right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from honeyhold.heat.air import day_chain
from honeyhold.heat.chance import Numbers, normal_quantile

BITS = 32
# A polynomial's degree, its inner coefficients as bits, and the first odd numbers, for the second dimension and on.
POLYNOMIALS = (
    (1, 0, (1,)), (2, 1, (1, 3)), (3, 1, (1, 3, 1)), (3, 2, (1, 1, 1)), (4, 1, (1, 1, 3, 3)), (4, 4, (1, 3, 5, 13)),
    (5, 2, (1, 1, 5, 5, 17)), (5, 4, (1, 1, 5, 5, 5)),
)  # fmt: skip
DIMENSIONS = 1 + len(POLYNOMIALS)
MINOR_BITS = 6  # what matters little is drawn as one of so many equal parts of its law
MINOR_PARTS = 1 << MINOR_BITS
PARTS = tuple(normal_quantile((part + 0.5) / MINOR_PARTS) for part in range(MINOR_PARTS))


def _directions(degree: int, inner: int, first: Sequence[int]) -> tuple[int, ...]:
    """Give the direction numbers of one dimension, scaled to whole numbers of BITS bits."""
    odd = list(first)
    for k in range(degree, BITS):
        value = odd[k - degree] ^ (odd[k - degree] << degree)
        for step in range(1, degree):
            if inner >> (degree - 1 - step) & 1:
                value ^= odd[k - step] << step
        odd.append(value)
    return tuple(number << (BITS - 1 - k) for k, number in enumerate(odd))


DIRECTIONS = (tuple(1 << (BITS - 1 - k) for k in range(BITS)), *(_directions(*row) for row in POLYNOMIALS))


def sobol_point(index: int) -> list[int]:
    """Give a point of the sequence as whole numbers below 2**BITS, one a dimension (in Gray code order)."""
    bits = index ^ (index >> 1)
    point = [0] * DIMENSIONS
    place = 0
    while bits:
        if bits & 1:
            point = [value ^ row[place] for value, row in zip(point, DIRECTIONS, strict=True)]
        bits >>= 1
        place += 1
    return point


@dataclass(frozen=True)
class Sample:
    """The numbers of one draw. Even numbers lie in 0..1; days are normal numbers, each on its own: that of arrival, the one before it
    and the one after it first, then the others at the destination and at the origin.
    """

    on_way: float
    hour: float
    home: float
    cover: float
    sunny: float
    airy: float
    arrival: tuple[float, float, float]
    target: tuple[float, ...]
    origin: tuple[float, ...]

    def target_days(self, count: int, arrival: int) -> list[float]:
        """Give a normal number for each day at the destination; all days hang on that of arrival (the `arrival`-th)."""
        days = list(self.target[:count])
        for step, number in zip((0, -1, 1), self.arrival, strict=True):
            if 0 <= arrival + step < count:
                days[arrival + step] = number
        return day_chain([days], min(arrival, count - 1))[0]

    def origin_days(self, count: int) -> list[float]:
        """Give a normal number for each day at the origin, from the day of leaving on."""
        return day_chain([list(self.origin[:count])])[0]


class Samples:
    """The samples of one seed, each made when it is first asked for."""

    def __init__(self, seed: int, days: int) -> None:
        numbers = Numbers(seed)
        self._shifts = [numbers.whole() >> (64 - BITS) for _ in range(DIMENSIONS)]
        self._seed, self._days = numbers.whole(), days
        self._made: dict[int, Sample] = {}

    def __getitem__(self, index: int) -> Sample:
        if index not in self._made:
            self._made[index] = self._make(index)
        return self._made[index]

    def _make(self, index: int) -> Sample:
        point = [value ^ shift for value, shift in zip(sobol_point(index), self._shifts, strict=True)]
        arrival, airy, sunny, before, on_way, hour, home, cover, after = [(value + 0.5) / 2.0**BITS for value in point]
        numbers = Numbers(self._seed + index)
        minor = [tuple(_minor(numbers, self._days)) for _ in range(2)]
        heat = (normal_quantile(arrival), normal_quantile(before), normal_quantile(after))
        return Sample(on_way, hour, home, cover, sunny, airy, heat, minor[0], minor[1])


def _minor(numbers: Numbers, count: int) -> list[float]:
    """Give so many rough normal numbers, ten from each whole number."""
    made: list[float] = []
    while len(made) < count:
        bits = numbers.whole()
        made += [PARTS[(bits >> shift) % MINOR_PARTS] for shift in range(4, 64, MINOR_BITS)]
    return made[:count]
