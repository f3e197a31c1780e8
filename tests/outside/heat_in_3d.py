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
    at, told = np.full(cells, start_c), []
    for begun, ended in zip(air_c, air_c[1:], strict=False):
        for index in range(steps):
            at = at + 3600 / steps / c * _inflow(at, k, sides, outer, begun + (ended - begun) * index / steps)
        told.append([float(at[piece].mean()) for piece in pieces])
    return [list(column) for column in zip(*told, strict=True)]


def _inflow(at: np.ndarray, k: np.ndarray, sides: Sequence[float], outer: float, air_c: float) -> np.ndarray:
    """Heat into every cube, W/m3."""
    into = np.zeros_like(at)
    for axis, side in enumerate(sides):
        low, high = np.take(at, range(at.shape[axis] - 1), axis), np.take(at, range(1, at.shape[axis]), axis)
        one, two = np.take(k, range(at.shape[axis] - 1), axis), np.take(k, range(1, at.shape[axis]), axis)
        flow = 2 * one * two / (one + two) * (high - low) / side**2
        first, last = [slice(None)] * 3, [slice(None)] * 3
        first[axis], last[axis] = slice(0, -1), slice(1, None)
        into[tuple(first)] += flow
        into[tuple(last)] -= flow
        for end in (0, -1):
            face: list[slice | int] = [slice(None)] * 3
            face[axis] = end
            edge = 1 / (1 / outer + side / 2 / k[tuple(face)])
            into[tuple(face)] += edge * (air_c - at[tuple(face)]) / side
    return into
