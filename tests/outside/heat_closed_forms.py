"""Textbook answers in closed form beside our solver's own: a lump, deep ground under a film, a melting front.

Where a textbook case lasts seconds, an hour stands for them: all heat capacities grow by 3600 s over the case's time, which leaves the
equation as it was.
"""

from __future__ import annotations

import math
from typing import Any

from honeyhold.heat.network import Network, Node, plain_node, run, temperatures_c


def lump_c() -> float:
    """Incropera Ex. 5.1: a sphere of time constant 1 s, from 25 C in gas at 200 C; after ln 175 = 5.165 s it is at 199 C."""
    network = Network([plain_node("bead", 3600 / math.log(175))], [], [(0, 1.0)])
    return temperatures_c(network, run(network, [25.0], [200.0, 200.0]), 0)[1]


def wall(depth_m: float, count: int, k: float, rho_c: float, film: float) -> tuple[Network, float]:
    """A wall of equal layers, 1 m2, the air at the first; with the conductance of half a layer."""
    layer = depth_m / count
    nodes = [plain_node(f"layer {i}", rho_c * layer) for i in range(count)]
    links = [(i, i + 1, k / layer) for i in range(count - 1)]
    half = 2 * k / layer
    return Network(nodes, links, [(0, 1 / (1 / film + 1 / half))]), half


def face_c(network: Network, states: list[list[float]], hour: int, air: float, half: float) -> float:
    """The temperature of the wall's face at an hour."""
    (_, through), *_ = network.air_links
    first = temperatures_c(network, states, 0)[hour]
    return first + through * (air - first) / half


def deep_ground_c() -> float:
    """Geankoplis 5.3-1, by our layers: h 11.36, alpha 4.65e-7, k 0.865, 15.6 C under air at -17.8 C for 5 h."""
    network, half = wall(0.8, 60, 0.865, 0.865 / 4.65e-7, 11.36)
    states = run(network, [15.6] * 60, [-17.8] * 6)
    return face_c(network, states, 5, -17.8, half)


def deep_ground_exact_c() -> float:
    """The same by the closed form of a semi-infinite body under a film (Carslaw and Jaeger): erfc(0) - exp(m^2) erfc(m) at the face."""
    m = 11.36 * math.sqrt(4.65e-7 * 5 * 3600) / 0.865
    return 15.6 + (-17.8 - 15.6) * (1 - math.exp(m * m) * math.erfc(m))


def neumann_lambda(stefan: float) -> float:
    """Root of sqrt(pi) l exp(l^2) erf(l) = Ste (Crank, Free and Moving Boundary Problems, eq. 3.14), by bisection."""
    low, high = 1e-6, 3.0
    while high - low > 1e-10:
        middle = (low + high) / 2
        if math.sqrt(math.pi) * middle * math.exp(middle**2) * math.erf(middle) < stefan:
            low = middle
        else:
            high = middle
    return low


def melted_mm(wall_c: float) -> tuple[float, float]:
    """Ice at 0 C under a wall for an hour: the front by our layers of 1 mm, and by Neumann's root."""
    latent, c, k, rho, layer, count = 336e3, 4184.0, 0.598, 1000.0, 0.001, 24
    mass = rho * layer
    corners = ((-mass * c, -1.0), (0.0, 0.0), (mass * latent, 0.0), (mass * (latent + c), 1.0))
    nodes = [Node(f"layer {i}", corners) for i in range(count)]
    network = Network(nodes, [(i, i + 1, k / layer) for i in range(count - 1)], [(0, 2 * k / layer)])
    last = run(network, [0.0] * count, [wall_c, wall_c], doublings=10)[-1]  # steps in which no layer melts whole
    ours = sum(min(1.0, max(0.0, h / (mass * latent))) for h in last) * layer * 1000
    return ours, 2000 * neumann_lambda(c * wall_c / latent) * math.sqrt(k / (rho * c) * 3600)


def closed_forms() -> dict[str, Any]:
    """Ours, the closed form and the difference of all three."""
    front, exact = melted_mm(25.0)
    ground, ground_exact = deep_ground_c(), deep_ground_exact_c()
    return {
        "lump_c": {"ours": round(lump_c(), 4), "exact": 199.0, "error_k": round(abs(lump_c() - 199.0), 4)},
        "deep_ground_c": {"ours": round(ground, 4), "exact": round(ground_exact, 4), "error_k": round(abs(ground - ground_exact), 4)},
        "melting_front_mm": {"ours": round(front, 3), "exact": round(exact, 3), "error_percent": round(100 * abs(front / exact - 1), 2)},
    }
