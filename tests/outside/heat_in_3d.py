"""A parcel in three dimensions: small cubes of filler and contents behind a board. It shares nothing with the network.

Steps by Crank and Nicolson (1947): half of what flows at the beginning of a step, half of what flows at its end; the equations of a step
are the same every time, and solved by SciPy. By explicit steps of a few seconds a piece is as warm within 0.003 K.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import splu

FILLER = (0.06, 43_000.0)  # W/m K; J/m3 K: crumpled paper at 30 kg/m3 with its air
FILM, BOARD = 10.0, 0.07  # W/m2 K, W/m K
STEPS = 6
"""Of one hour."""


Box = tuple[Sequence[float], Sequence[float], tuple[float, float]]  # corner, size in mm; its (W/m K, J/m3 K)


def pieces_c(
    room_mm: Sequence[float], board_mm: float, boxes: Sequence[Box], air_c: Sequence[float], start_c: float = 24.0, cube_mm: float = 12.0
) -> list[list[float]]:
    """The mean temperature of every piece at every hour."""
    cells = [max(3, round(side / cube_mm)) for side in room_mm]
    sides = [side / 1000 / count for side, count in zip(room_mm, cells, strict=True)]
    k, c = np.full(cells, FILLER[0]), np.full(cells, FILLER[1])
    pieces = []
    for corner, size, matter in boxes:
        spans = []
        for at, length, side in zip(corner, size, sides, strict=True):
            first = round(at / 1000 / side)
            spans.append(slice(first, max(first + 1, round((at + length) / 1000 / side))))
        pieces.append(tuple(spans))
        volume = np.prod([(span.stop - span.start) * side for span, side in zip(spans, sides, strict=True)])
        k[pieces[-1]], c[pieces[-1]] = matter[0], matter[1] * np.prod(size) * 1e-9 / volume  # the mass of the piece is kept
    outer = 1 / (1 / FILM + board_mm / 1000 / BOARD)
    within, through = _ways(k, sides, outer)
    holds = diags_array(c.ravel() * STEPS / 3600)
    before, after = holds + within / 2, splu((holds - within / 2).tocsc(), permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
    now = np.full(k.size, start_c)
    told = []
    for begun, ended in zip(air_c, air_c[1:], strict=False):
        for index in range(STEPS):
            now = after.solve(before @ now + through * (begun + (ended - begun) * (index + 0.5) / STEPS))
        told.append([float(now.reshape(cells)[piece].mean()) for piece in pieces])
    return [list(column) for column in zip(*told, strict=True)]


Part = tuple[slice | int, ...]
"""Some of the cubes, cut out of all."""


def _ways(k: np.ndarray, sides: Sequence[float], outer: float) -> tuple[csc_array, np.ndarray]:
    """What comes into every cube, W/m3, for each kelvin of every other and its own; and for each kelvin of the air outside."""
    number = np.arange(k.size).reshape(k.shape)
    to, out_of, well = [], [], []
    through = np.zeros(k.shape)
    for axis, side in enumerate(sides):
        first, last = _cut(axis, slice(0, -1)), _cut(axis, slice(1, None))
        between = (2 * k[first] * k[last] / (k[first] + k[last]) / side**2).ravel()
        one, other = number[first].ravel(), number[last].ravel()
        to += [one, other, one, other]
        out_of += [other, one, one, other]
        well += [between, between, -between, -between]
        for face in (_cut(axis, 0), _cut(axis, -1)):
            through[face] += 1 / (1 / outer + side / 2 / k[face]) / side
    of_itself = number.ravel()
    places = (np.concatenate([*to, of_itself]), np.concatenate([*out_of, of_itself]))
    return csc_array((np.concatenate([*well, -through.ravel()]), places), shape=(k.size, k.size)), through.ravel()


def _cut(axis: int, part: slice | int) -> Part:
    cut: list[slice | int] = [slice(None)] * 3
    cut[axis] = part
    return tuple(cut)
