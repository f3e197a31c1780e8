"""The same network handed to SciPy's stiff integrator: enthalpies by the same curves, steps chosen by it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.integrate import solve_ivp

from honeyhold.heat.network import HOUR_S, Network


def temperature_by_radau(
    network: Network, start_c: Sequence[float], air_c: Sequence[float], index: int
) -> list[float]:
    """One node's temperature at every hour mark by the Radau method (order 5), tolerance 1e-7, hour by hour.
    """
    nodes = network.nodes
    corners = [
        (np.array([c[0] for c in node.corners]), np.array([c[1] for c in node.corners])) for node in nodes
    ]

    def temperatures(state: np.ndarray) -> np.ndarray:
        found = np.empty(len(nodes))
        for at, (enthalpy, degrees) in enumerate(corners):
            piece = int(np.clip(np.searchsorted(enthalpy, state[at]) - 1, 0, len(enthalpy) - 2))
            slope = (degrees[piece + 1] - degrees[piece]) / (enthalpy[piece + 1] - enthalpy[piece])
            found[at] = degrees[piece] + slope * (state[at] - enthalpy[piece])
        return found

    def flow(seconds: float, state: np.ndarray) -> np.ndarray:
        now = temperatures(state)
        air = float(np.interp(seconds, marks, air_c))
        rates = np.zeros(len(nodes))
        for i, j, conductance in network.links:
            passed = conductance * (now[i] - now[j])
            rates[i] -= passed
            rates[j] += passed
        for i, conductance in network.air_links:
            rates[i] += conductance * (air - now[i])
        return rates

    marks = np.arange(len(air_c)) * HOUR_S
    state = np.array([node.enthalpy_j(t) for node, t in zip(nodes, start_c, strict=True)])
    series = [float(temperatures(state)[index])]
    for first, last in zip(marks, marks[1:], strict=False):
        solved = solve_ivp(flow, (first, last), state, method="Radau", rtol=1e-7, atol=1e-2)
        state = solved.y[:, -1]
        series.append(float(temperatures(state)[index]))
    return series
