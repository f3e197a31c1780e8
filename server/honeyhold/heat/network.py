"""Heat flowing between a few lumps, with melting, solved by an implicit step that cannot blow up.

The state of a node is its enthalpy in joules above 0 degrees C; its temperature follows from a line of
straight pieces (a melting piece is flat or nearly flat). While no node changes its piece the network is
linear, so that one matrix carries it over a whole hour: sixteen implicit steps multiplied into one. An hour
in which a node changes its piece is halved again and again down to the step in which that happens.

The step is TR-BDF2 (Bank et al. 1985, IEEE Trans. Electron Devices 32, 1992; coefficients after Hosea and
Shampine 1996): second order, L-stable. Because enthalpy is the state, no heat is lost or made when something
melts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import sqrt

from honeyhold.heat.compiled_step import Stride, stride_of

Matrix = list[list[float]]
Watch = list[tuple[int, float, float]]  # node, lowest and highest enthalpy of its piece

GAMMA = 2 - sqrt(2)
HOUR_S = 3600.0
DOUBLINGS = 4  # 2**4 steps of 225 s make an hour


@dataclass(frozen=True)
class Node:
    """One lump: corner points (enthalpy J, temperature C) of its curve, in rising order; the end pieces go on
    beyond their corners.
    """

    name: str
    corners: tuple[tuple[float, float], ...]

    def piece_of(self, enthalpy_j: float) -> int:
        """Give the index of the curve's piece that holds an enthalpy."""
        if len(self.corners) == 2:
            return 0
        piece = 0
        while piece < len(self.corners) - 2 and enthalpy_j > self.corners[piece + 1][0]:
            piece += 1
        return piece

    def line(self, piece: int) -> tuple[float, float]:
        """Give (offset C, slope C/J): temperature = offset + slope x enthalpy on that piece."""
        (h_low, t_low), (h_high, t_high) = self.corners[piece], self.corners[piece + 1]
        slope = (t_high - t_low) / (h_high - h_low)
        return t_low - slope * h_low, slope

    def bounds(self, piece: int) -> tuple[float, float]:
        """Give the enthalpies between which a piece holds; the outer pieces have no outer end."""
        low = -1e30 if piece == 0 else self.corners[piece][0]
        high = 1e30 if piece == len(self.corners) - 2 else self.corners[piece + 1][0]
        return low, high

    def temperature_c(self, enthalpy_j: float) -> float:
        """Give the temperature at an enthalpy."""
        offset, slope = self.line(self.piece_of(enthalpy_j))
        return offset + slope * enthalpy_j

    def enthalpy_j(self, temperature_c: float) -> float:
        """Give the enthalpy at a temperature; at a melting point, that of the solid."""
        for piece in range(len(self.corners) - 1):
            (h_low, t_low), (_, t_high) = self.corners[piece], self.corners[piece + 1]
            last = piece == len(self.corners) - 2
            if (temperature_c <= t_high or last) and t_high > t_low:
                return h_low + (temperature_c - t_low) / self.line(piece)[1]
        raise AssertionError("the last piece of a curve must rise")


def plain_node(name: str, heat_capacity_j_per_k: float) -> Node:
    """Give a node that only warms: heat capacity in J/K."""
    return Node(name, ((0.0, 0.0), (heat_capacity_j_per_k, 1.0)))


@dataclass
class Network:
    """Nodes, links between them (i, j, W/K) and links to the air around (i, W/K)."""

    nodes: list[Node]
    links: list[tuple[int, int, float]]
    air_links: list[tuple[int, float]]
    _strides: dict[tuple[tuple[int, ...], int, int], tuple[Stride, Watch]] = field(default_factory=dict)
    _carried: dict[tuple[tuple[int, ...], int, int], Matrix] = field(default_factory=dict)

    def carry(self, pieces: tuple[int, ...], doublings: int, times: int) -> Matrix:
        """Give the matrix that carries the state over 2**times steps of HOUR_S / 2**doublings each.

        Rows act on the enthalpies followed by (air at the start, air at the end, 1); air runs in a straight
        line between. Kept once made.
        """
        key = (pieces, doublings, times)
        if key not in self._carried:
            if times == 0:
                self._carried[key] = _one_step(*self._linear(pieces), HOUR_S / 2**doublings)
            else:
                self._carried[key] = _twice(self.carry(pieces, doublings, times - 1))
        return self._carried[key]

    def stride(self, pieces: tuple[int, ...], doublings: int, times: int) -> tuple[Stride, Watch]:
        """Give the function that does what `carry` says, and the bounds within which its result holds.

        Kept once made.
        """
        key = (pieces, doublings, times)
        if key not in self._strides:
            melting = [i for i, node in enumerate(self.nodes) if len(node.corners) > 2]
            watch = [(i, *self.nodes[i].bounds(pieces[i])) for i in melting]
            self._strides[key] = (stride_of(self.carry(*key)), watch)
        return self._strides[key]

    def _linear(self, pieces: tuple[int, ...]) -> tuple[Matrix, list[float], list[float]]:
        """Give dH/dt = rates H + air u + still for the pieces named."""
        count = len(self.nodes)
        lines = [node.line(piece) for node, piece in zip(self.nodes, pieces, strict=True)]
        flow = [[0.0] * count for _ in range(count)]
        for i, j, conductance in self.links:
            flow[i][i] -= conductance
            flow[j][j] -= conductance
            flow[i][j] += conductance
            flow[j][i] += conductance
        air = [0.0] * count
        for i, conductance in self.air_links:
            flow[i][i] -= conductance
            air[i] += conductance
        rates = [[flow[i][j] * lines[j][1] for j in range(count)] for i in range(count)]
        still = [sum(flow[i][j] * lines[j][0] for j in range(count)) for i in range(count)]
        return rates, air, still


def _solve(matrix: Matrix, right: Matrix) -> Matrix:
    """Solve matrix x = right for several right sides (Gauss with row exchange)."""
    size = len(matrix)
    rows = [matrix[i][:] + right[i][:] for i in range(size)]
    for column in range(size):
        best = max(range(column, size), key=lambda i: abs(rows[i][column]))
        rows[column], rows[best] = rows[best], rows[column]
        pivot = rows[column][column]
        rows[column] = [value / pivot for value in rows[column]]
        for i in range(size):
            factor = rows[i][column]
            if i != column and factor:
                rows[i] = [value - factor * over for value, over in zip(rows[i], rows[column], strict=True)]
    return [row[size:] for row in rows]


def _one_step(rates: Matrix, air: list[float], still: list[float], step_s: float) -> Matrix:
    """Give one TR-BDF2 step as rows acting on (H, air at start, air at end, 1)."""
    size = len(rates)
    half = GAMMA * step_s / 2
    implicit = [[float(i == j) - half * rates[i][j] for j in range(size)] for i in range(size)]
    first = [
        [float(i == j) + half * rates[i][j] for j in range(size)]
        + [half * air[i] * (2 - GAMMA), half * air[i] * GAMMA, 2 * half * still[i]]
        for i in range(size)
    ]
    middle = _solve(implicit, first)
    new, old = 1 / (GAMMA * (2 - GAMMA)), (1 - GAMMA) ** 2 / (GAMMA * (2 - GAMMA))
    second = []
    for i in range(size):
        row = [new * value for value in middle[i]]
        row[i] -= old
        row[size + 1] += half * air[i]
        row[size + 2] += half * still[i]
        second.append(row)
    return _solve(implicit, second)


def _twice(step: Matrix) -> Matrix:
    """Join two equal steps into one of double length, the air running straight from its start to its end."""
    size = len(step)
    joined = []
    for row in step:
        homogeneous = [sum(row[k] * step[k][j] for k in range(size)) for j in range(size)]
        # The air at the joint is the mean of both ends: half of each step's joint coefficient goes to either
        # end.
        through_start = sum(row[k] * (step[k][size] + step[k][size + 1] / 2) for k in range(size))
        through_end = sum(row[k] * step[k][size + 1] / 2 for k in range(size))
        still = sum(row[k] * step[k][size + 2] for k in range(size)) + row[size + 2]
        joined.append([*homogeneous, through_start + row[size] / 2, through_end + row[size] / 2 + row[size + 1], still])
    return joined


def run(network: Network, start_c: Sequence[float], air_c: Sequence[float], doublings: int = DOUBLINGS) -> list[list[float]]:
    """Carry a network through hourly air temperatures and give the enthalpies (J) at every hour mark, the
    start included.

    `start_c` are the nodes' temperatures at the first mark, `air_c` the air around at each mark (straight
    between marks).
    """
    nodes = network.nodes
    state = [node.enthalpy_j(t) for node, t in zip(nodes, start_c, strict=True)]
    pieces = tuple([node.piece_of(h) for node, h in zip(nodes, state, strict=True)])
    hour, watch = network.stride(pieces, doublings, doublings)
    states = [state]
    for start, end in zip(air_c, air_c[1:], strict=False):
        after = hour(state, start, end)
        for i, low, high in watch:
            if not low <= after[i] <= high:
                after, pieces = _part(network, state, pieces, (start, end), (doublings, doublings))
                hour, watch = network.stride(pieces, doublings, doublings)
                break
        state = after
        states.append(state)
    return states


def _part(
    network: Network,
    state: list[float],
    pieces: tuple[int, ...],
    air: tuple[float, float],
    depth: tuple[int, int],
) -> tuple[list[float], tuple[int, ...]]:
    """Carry a state over 2**times small steps (`depth` = doublings, times).

    Where a node leaves its piece on the way, halve down to the step in which it does.
    """
    doublings, times = depth
    stride, watch = network.stride(pieces, doublings, times)
    after = stride(state, *air)
    for i, low, high in watch:
        if not low <= after[i] <= high:
            break
    else:
        return after, pieces
    if times == 0:
        return after, tuple([node.piece_of(h) for node, h in zip(network.nodes, after, strict=True)])
    middle = (air[0] + air[1]) / 2
    state, pieces = _part(network, state, pieces, (air[0], middle), (doublings, times - 1))
    return _part(network, state, pieces, (middle, air[1]), (doublings, times - 1))


def temperatures_c(network: Network, states: Sequence[Sequence[float]], index: int) -> list[float]:
    """Give one node's temperature at every mark of a run."""
    node = network.nodes[index]
    offset, slope = node.line(0)
    top = node.bounds(0)[1]
    enthalpies = [state[index] for state in states]
    return [offset + slope * h if h <= top else node.temperature_c(h) for h in enthalpies]


def halving_error_k(network: Network, start_c: Sequence[float], air_c: Sequence[float], index: int) -> float:
    """Estimate the solver's own error for one node: the largest change, in K, when every step is halved."""
    coarse = temperatures_c(network, run(network, start_c, air_c), index)
    fine = temperatures_c(network, run(network, start_c, air_c, DOUBLINGS + 1), index)
    return max(abs(a - b) for a, b in zip(coarse, fine, strict=True))
