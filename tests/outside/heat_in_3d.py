"""A parcel in three dimensions: small cubes of filler and contents behind a board, explicit steps. It shares nothing with the network."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

FILLER = (0.06, 43_000.0)  # W/m K; J/m3 K: crumpled paper at 30 kg/m3 with its air
FILM, BOARD = 10.0, 0.07  # W/m2 K, W/m K


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
    step = 0.8 / np.max(sum(2 * k / side**2 for side in sides) / c + sum(2 * outer / side for side in sides) / c)
    steps = int(np.ceil(3600 / step))
    within, through = _ways(k, sides, outer)
    at, told, share = np.full(cells, start_c), [], 3600 / steps / c
    for begun, ended in zip(air_c, air_c[1:], strict=False):
        for index in range(steps):
            at += share * _inflow(at, within, through, begun + (ended - begun) * index / steps)
        told.append([float(at[piece].mean()) for piece in pieces])
    return [list(column) for column in zip(*told, strict=True)]


Part = tuple[slice | int, ...]
"""Some of the cubes, cut out of all."""
Within = list[tuple[Part, Part, np.ndarray]]
"""From which cubes to which of their neighbours, and how well: W/m3 K."""
Through = list[tuple[Part, np.ndarray]]
"""Which cubes stand at a wall, and how well heat comes through it."""


def _ways(k: np.ndarray, sides: Sequence[float], outer: float) -> tuple[Within, Through]:
    """All ways that heat may go, which stay as they are for the whole trip."""
    within: Within = []
    through: Through = []
    for axis, side in enumerate(sides):
        first, last = _cut(axis, slice(0, -1)), _cut(axis, slice(1, None))
        within.append((first, last, 2 * k[first] * k[last] / (k[first] + k[last]) / side**2))
        for face in (_cut(axis, 0), _cut(axis, -1)):
            through.append((face, 1 / (1 / outer + side / 2 / k[face]) / side))
    return within, through


def _cut(axis: int, part: slice | int) -> Part:
    cut: list[slice | int] = [slice(None)] * 3
    cut[axis] = part
    return tuple(cut)


def _inflow(at: np.ndarray, within: Within, through: Through, air_c: float) -> np.ndarray:
    """Heat into every cube, W/m3."""
    into = np.zeros_like(at)
    for first, last, well in within:
        flow = well * (at[last] - at[first])
        into[first] += flow
        into[last] -= flow
    for face, well in through:
        into[face] += well * (air_c - at[face])
    return into
