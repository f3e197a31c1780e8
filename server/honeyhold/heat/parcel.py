"""The parcel as a network of lumps: wall, inside, cold pack, wax, honey.

Air -- wall (board) -- inside (filler, air, half the liner) -- skin and core of the wax, skin and core of the
honey; a cold pack lies between the inside and the contents. Each property has a slow, a usual and a quick
value, because sources differ or are missing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from honeyhold.heat.network import Network, Node, plain_node


@dataclass(frozen=True)
class Properties:
    """What the materials are taken to be. `quick` values let heat in faster, `slow` ones hold it off."""

    board_w_per_m_k: float
    wax_j_per_kg_k: float
    wax_latent_j_per_kg: float
    wax_w_per_m_k: float
    honey_j_per_kg_k: float
    honey_w_per_m_k: float
    surface_share: float  # surface of the bundle of contents over that of a cube of the same volume


# Board: Cekon, Struhala, Slavik 2017, J. Renew. Mater. (0.05-0.12). Wax heat 2.0-2.5 kJ/kg K and conductivity
# 0.25: from memory, hence the spread; wax melting heat 206 kJ/kg over 38-68 C: DSC value in a 2025 review of
# bio phase-change materials (ChemSusChem), others 140-240. Honey 2.26-2.51 kJ/kg K, 0.54 W/m K at 17 % water:
# club notes and trade sheet that agree. Surface of the bundle: our own estimate.
SLOW = Properties(0.05, 2500, 240e3, 0.26, 2510, 0.55, 1.05)
USUAL = Properties(0.07, 2200, 206e3, 0.25, 2400, 0.54, 1.2)
QUICK = Properties(0.12, 2000, 140e3, 0.24, 2260, 0.53, 1.6)

OUTER_FILM = 10.0  # W/m2K: convection 4 (TARCOG 2006) and radiation 6.1 (4 eps sigma T^3 at 310 K, eps 0.9)
GAP_FILM = 7.5  # W/m2K across an empty gap: still convection 2 and radiation 5.5
FILLER_W_PER_M_K = 0.06  # crumpled paper, from memory
GLASS_J_PER_KG_K = 840.0  # soda-lime glass, from memory
PAPER_J_PER_KG_K = 1400.0  # common practice
FOAM_KG_PER_M3 = 30.0
# Melting is spread over the DSC range 38-68 C, most of it near the top: (temperature, share melted). The knee
# is common practice.
WAX_MELTED = ((38.0, 0.0), (52.0, 0.2), (68.0, 1.0))
WAX_LIQUID_J_PER_KG_K = 2500.0
WAX_KG_PER_M3, HONEY_KG_PER_M3, PACK_KG_PER_M3 = 960.0, 1420.0, 1000.0
ICE_J_PER_KG_K, WATER_J_PER_KG_K = 2101.0, 4218.0  # appendix of thermodynamic properties of water and ice
PACK_MELTS_C = 0.0
PACK_THICK_M = 0.025
# A body with half its mass in skin and half in core: conductances k A / L times these, L = volume / surface
# (from a cube's layers).
SKIN_TO_CORE, FACE_TO_SKIN = 0.6, 2.9
FACING_SHARE = 1 / 6  # bars and jars in one carton: a face of the smaller bundle lies against the other; our own estimate


@dataclass
class Packed:
    """A parcel ready to be carried through hours: its network and which nodes to look at (None where there is
    no such good).
    """

    network: Network
    wax: int | None
    honey: int | None
    pack: int | None
    pack_start_c: float

    def start_c(self, house_c: float) -> list[float]:
        """Give every node's temperature on leaving: that of the house, the pack that of the freezer."""
        return [self.pack_start_c if index == self.pack else house_c for index in range(len(self.network.nodes))]


def wax_node(name: str, mass_kg: float, properties: Properties) -> Node:
    """Give a lump of wax whose melting heat is spread over the melting range."""
    solid, latent = mass_kg * properties.wax_j_per_kg_k, mass_kg * properties.wax_latent_j_per_kg
    melting = [(solid * at + latent * share, at) for at, share in WAX_MELTED]
    enthalpy, top = melting[-1]
    return Node(name, ((0.0, 0.0), *melting, (enthalpy + mass_kg * WAX_LIQUID_J_PER_KG_K, top + 1.0)))


def pack_node(mass_kg: float, latent_j_per_kg: float) -> Node:
    """Give a cold pack: ice, melting at 0 C, water. Enthalpy 0 is ice at 0 C."""
    latent = mass_kg * latent_j_per_kg
    return Node(
        "pack",
        (
            (-mass_kg * ICE_J_PER_KG_K * 40, -40.0),
            (0.0, PACK_MELTS_C),
            (latent, PACK_MELTS_C),
            (latent + mass_kg * WATER_J_PER_KG_K, 1.0),
        ),
    )


@dataclass(frozen=True)
class _Good:
    """Everything of one kind in the parcel, as one bundle."""

    kind: str
    mass_kg: float
    surface_m2: float
    length_m: float  # volume over surface
    glass_kg: float = 0.0


def _bundle(contents: Sequence[Mapping[str, Any]], kind: str, share: float) -> _Good | None:
    pieces = [piece for piece in contents if piece["kind"] == kind]
    mass_kg = sum(piece["units"] * piece["mass_g"] for piece in pieces) / 1000
    if mass_kg <= 0:
        return None
    volume = sum(piece["units"] * piece["length_mm"] * piece["width_mm"] * piece["height_mm"] for piece in pieces) * 1e-9
    surface = share * 6 * volume ** (2 / 3)
    glass_kg = sum(piece["units"] * (piece.get("glass_g") or 0) for piece in pieces) / 1000
    return _Good(kind, mass_kg, surface, volume / surface, glass_kg)


class _Builder:
    """Collects nodes and links while a parcel is put together."""

    def __init__(self) -> None:
        self.nodes: list[Node] = []
        self.links: list[tuple[int, int, float]] = []

    def add(self, node: Node) -> int:
        """Take a node in and give its index."""
        self.nodes.append(node)
        return len(self.nodes) - 1


def _in_row(*resistances_k_per_w: float) -> float:
    """Give the conductance, W/K, of resistances one behind the other."""
    return 1 / sum(resistances_k_per_w)


def _surface_m2(sides_m: Sequence[float]) -> float:
    length, width, height = sides_m
    return 2 * (length * width + length * height + width * height)


def _gap(sides_m: Sequence[float], goods: Sequence[_Good]) -> float:
    """Give the mean width, m, of the room between contents and wall: free volume over the mean of both
    surfaces.
    """
    length, width, height = sides_m
    free = length * width * height - sum(good.surface_m2 * good.length_m for good in goods)
    around = (_surface_m2(sides_m) + sum(good.surface_m2 for good in goods)) / 2
    return max(0.004, free / around)


def pack_parcel(parcel: Mapping[str, Any], properties: Properties = USUAL) -> Packed:
    """Build the network of a parcel as described in the README (checked by `request.check`)."""
    sides = [side / 1000 for side in parcel["outer_mm"]]
    board = parcel["board_mm"] / 1000
    liner = parcel["liner"]
    liner_m = liner["thickness_mm"] / 1000 if liner else 0.0
    room = [max(0.01, side - 2 * (board + liner_m)) for side in sides]
    outside, inside = _surface_m2(sides), _surface_m2(room)
    goods = [good for kind in ("wax", "honey") if (good := _bundle(parcel["contents"], kind, properties.surface_share))]
    half_gap = _gap(room, goods) / 2
    filled = parcel["filler_g"] > 0
    gap_film = FILLER_W_PER_M_K / half_gap if filled else 2 * GAP_FILM
    build = _Builder()
    wall = build.add(plain_node("wall", max(1.0, parcel["carton_g"] / 1000 * PAPER_J_PER_KG_K)))
    foam_kg = FOAM_KG_PER_M3 * liner_m * (outside + inside) / 2
    still_air = 1200 * room[0] * room[1] * room[2]
    inner = build.add(plain_node("inside", (parcel["filler_g"] / 1000 + foam_kg / 2) * PAPER_J_PER_KG_K + still_air))
    lining = liner_m / (liner["conductivity"] * (outside + inside) / 2) if liner else 0.0
    build.links.append(
        (
            wall,
            inner,
            _in_row(board / (2 * properties.board_w_per_m_k * outside), lining, 1 / (gap_film * inside)),
        )
    )
    facing = FACING_SHARE * min(good.surface_m2 for good in goods) if len(goods) > 1 else 0.0
    skins = {good.kind: _add_good(build, good, inner, (gap_film, facing), properties) for good in goods}
    if facing:
        build.links.append((skins["wax"], skins["honey"], gap_film * facing))
    pack = _add_pack(build, parcel["chill"], inner, goods, skins)
    outer = _in_row(1 / (OUTER_FILM * outside), board / (2 * properties.board_w_per_m_k * outside))
    network = Network(build.nodes, build.links, [(wall, outer)])
    start_c = parcel["chill"]["start_c"] if pack is not None else 0.0
    return Packed(network, skins.get("wax"), skins.get("honey"), pack, start_c)


def _add_good(build: _Builder, good: _Good, inner: int, around: tuple[float, float], properties: Properties) -> int:
    """Add skin and core of one good and give the skin's index; `around` is the film of the gap, W/m2K, and the surface that faces the
    other good, m2.
    """
    gap_film, facing = around
    half_kg = good.mass_kg / 2
    if good.kind == "wax":
        conductivity = properties.wax_w_per_m_k
        skin, core = (build.add(wax_node(f"wax {part}", half_kg, properties)) for part in ("skin", "core"))
    else:
        conductivity = properties.honey_w_per_m_k
        heat = half_kg * properties.honey_j_per_kg_k + good.glass_kg / 2 * GLASS_J_PER_KG_K
        skin, core = (build.add(plain_node(f"honey {part}", heat)) for part in ("skin", "core"))
    through = conductivity * good.surface_m2 / good.length_m
    build.links.append((inner, skin, _in_row(1 / (gap_film * (good.surface_m2 - facing)), 1 / (FACE_TO_SKIN * through))))
    build.links.append((skin, core, SKIN_TO_CORE * through))
    return skin


def _add_pack(
    build: _Builder,
    chill: Mapping[str, Any] | None,
    inner: int,
    goods: Sequence[_Good],
    skins: Mapping[str, int],
) -> int | None:
    """Add the cold pack, one face to the inside, the other to the contents, and give its index."""
    if not chill:
        return None
    mass_kg = chill["mass_g"] / 1000
    pack = build.add(pack_node(mass_kg, chill["latent_kj_per_kg"] * 1000))
    face = mass_kg / PACK_KG_PER_M3 / PACK_THICK_M
    build.links.append((pack, inner, GAP_FILM * face))
    whole = sum(good.surface_m2 for good in goods)
    for good in goods:
        build.links.append((pack, skins[good.kind], GAP_FILM * face * good.surface_m2 / whole))
    return pack
