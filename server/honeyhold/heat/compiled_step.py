"""The product at the heart of every trip, written out for the usual sizes of a parcel's network.

A plain parcel of wax has four nodes, with a cold pack five, with honey six, with both seven. Written out, the
product takes a third of the time of the general one and gives the same bits, since the terms are added in the
same order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import mul

Stride = Callable[[Sequence[float], float, float], list[float]]


def stride_of(rows: Sequence[Sequence[float]]) -> Stride:
    """Give the function (state, air at start, air at end) -> state afterwards, for rows as `carry` gives."""
    return {4: _four, 5: _five, 6: _six, 7: _seven}.get(len(rows), _any)(rows)


def _any(rows: Sequence[Sequence[float]]) -> Stride:
    def stride(state: Sequence[float], start: float, end: float) -> list[float]:
        vector = [*state, start, end, 1.0]
        return [sum(map(mul, row, vector)) for row in rows]

    return stride


def _four(rows: Sequence[Sequence[float]]) -> Stride:
    a0, a1, a2, a3, a4, a5, a6 = rows[0]
    b0, b1, b2, b3, b4, b5, b6 = rows[1]
    c0, c1, c2, c3, c4, c5, c6 = rows[2]
    d0, d1, d2, d3, d4, d5, d6 = rows[3]

    def stride(state: Sequence[float], s: float, e: float) -> list[float]:
        t0, t1, t2, t3 = state
        return [
            a0 * t0 + a1 * t1 + a2 * t2 + a3 * t3 + a4 * s + a5 * e + a6,
            b0 * t0 + b1 * t1 + b2 * t2 + b3 * t3 + b4 * s + b5 * e + b6,
            c0 * t0 + c1 * t1 + c2 * t2 + c3 * t3 + c4 * s + c5 * e + c6,
            d0 * t0 + d1 * t1 + d2 * t2 + d3 * t3 + d4 * s + d5 * e + d6,
        ]

    return stride


def _five(rows: Sequence[Sequence[float]]) -> Stride:
    a0, a1, a2, a3, a4, a5, a6, a7 = rows[0]
    b0, b1, b2, b3, b4, b5, b6, b7 = rows[1]
    c0, c1, c2, c3, c4, c5, c6, c7 = rows[2]
    d0, d1, d2, d3, d4, d5, d6, d7 = rows[3]
    e0, e1, e2, e3, e4, e5, e6, e7 = rows[4]

    def stride(state: Sequence[float], s: float, e: float) -> list[float]:
        t0, t1, t2, t3, t4 = state
        return [
            a0 * t0 + a1 * t1 + a2 * t2 + a3 * t3 + a4 * t4 + a5 * s + a6 * e + a7,
            b0 * t0 + b1 * t1 + b2 * t2 + b3 * t3 + b4 * t4 + b5 * s + b6 * e + b7,
            c0 * t0 + c1 * t1 + c2 * t2 + c3 * t3 + c4 * t4 + c5 * s + c6 * e + c7,
            d0 * t0 + d1 * t1 + d2 * t2 + d3 * t3 + d4 * t4 + d5 * s + d6 * e + d7,
            e0 * t0 + e1 * t1 + e2 * t2 + e3 * t3 + e4 * t4 + e5 * s + e6 * e + e7,
        ]

    return stride


def _six(rows: Sequence[Sequence[float]]) -> Stride:
    a0, a1, a2, a3, a4, a5, a6, a7, a8 = rows[0]
    b0, b1, b2, b3, b4, b5, b6, b7, b8 = rows[1]
    c0, c1, c2, c3, c4, c5, c6, c7, c8 = rows[2]
    d0, d1, d2, d3, d4, d5, d6, d7, d8 = rows[3]
    e0, e1, e2, e3, e4, e5, e6, e7, e8 = rows[4]
    f0, f1, f2, f3, f4, f5, f6, f7, f8 = rows[5]

    def stride(state: Sequence[float], s: float, e: float) -> list[float]:
        t0, t1, t2, t3, t4, t5 = state
        return [
            a0 * t0 + a1 * t1 + a2 * t2 + a3 * t3 + a4 * t4 + a5 * t5 + a6 * s + a7 * e + a8,
            b0 * t0 + b1 * t1 + b2 * t2 + b3 * t3 + b4 * t4 + b5 * t5 + b6 * s + b7 * e + b8,
            c0 * t0 + c1 * t1 + c2 * t2 + c3 * t3 + c4 * t4 + c5 * t5 + c6 * s + c7 * e + c8,
            d0 * t0 + d1 * t1 + d2 * t2 + d3 * t3 + d4 * t4 + d5 * t5 + d6 * s + d7 * e + d8,
            e0 * t0 + e1 * t1 + e2 * t2 + e3 * t3 + e4 * t4 + e5 * t5 + e6 * s + e7 * e + e8,
            f0 * t0 + f1 * t1 + f2 * t2 + f3 * t3 + f4 * t4 + f5 * t5 + f6 * s + f7 * e + f8,
        ]

    return stride


def _seven(rows: Sequence[Sequence[float]]) -> Stride:
    a0, a1, a2, a3, a4, a5, a6, a7, a8, a9 = rows[0]
    b0, b1, b2, b3, b4, b5, b6, b7, b8, b9 = rows[1]
    c0, c1, c2, c3, c4, c5, c6, c7, c8, c9 = rows[2]
    d0, d1, d2, d3, d4, d5, d6, d7, d8, d9 = rows[3]
    e0, e1, e2, e3, e4, e5, e6, e7, e8, e9 = rows[4]
    f0, f1, f2, f3, f4, f5, f6, f7, f8, f9 = rows[5]
    g0, g1, g2, g3, g4, g5, g6, g7, g8, g9 = rows[6]

    def stride(state: Sequence[float], s: float, e: float) -> list[float]:
        t0, t1, t2, t3, t4, t5, t6 = state
        return [
            a0 * t0 + a1 * t1 + a2 * t2 + a3 * t3 + a4 * t4 + a5 * t5 + a6 * t6 + a7 * s + a8 * e + a9,
            b0 * t0 + b1 * t1 + b2 * t2 + b3 * t3 + b4 * t4 + b5 * t5 + b6 * t6 + b7 * s + b8 * e + b9,
            c0 * t0 + c1 * t1 + c2 * t2 + c3 * t3 + c4 * t4 + c5 * t5 + c6 * t6 + c7 * s + c8 * e + c9,
            d0 * t0 + d1 * t1 + d2 * t2 + d3 * t3 + d4 * t4 + d5 * t5 + d6 * t6 + d7 * s + d8 * e + d9,
            e0 * t0 + e1 * t1 + e2 * t2 + e3 * t3 + e4 * t4 + e5 * t5 + e6 * t6 + e7 * s + e8 * e + e9,
            f0 * t0 + f1 * t1 + f2 * t2 + f3 * t3 + f4 * t4 + f5 * t5 + f6 * t6 + f7 * s + f8 * e + f9,
            g0 * t0 + g1 * t1 + g2 * t2 + g3 * t3 + g4 * t4 + g5 * t5 + g6 * t6 + g7 * s + g8 * e + g9,
        ]

    return stride
