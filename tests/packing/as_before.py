"""What each part of the bench says of the same few orders, in a line each: found or refused, by how many steps, and a digest of the rest.

Steps are counted, not timed, and nothing is drawn by chance: the same order is packed the same way by a phone and by the main computer, of
this version and of the last one. A line that changes is therefore an answer that changes, or a search that looks at more than it did. Where
that is meant, look at what became of it (`scripts/bench_packing` for speed, a slip for a picture) and write the lines anew:

    .venv/bin/python -m tests.packing.as_before

A digest says nothing of what it is made of: `-m tests.packing.as_before plans cold` prints that line as it is
now, and all that is behind it.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, Final

from tests.digests import digest, remembered
from tests.packing.orders import bar, carton, house_cartons, jar, order

from honeyhold.packing.doors import plan
from honeyhold.packing.drawing.parcel import draw
from honeyhold.packing.exact.bounds import cannot_be, too_long_in_file
from honeyhold.packing.exact.exhaustive import search_all
from honeyhold.packing.exact.patterns import grid_of
from honeyhold.packing.exact.portfolio import places_in
from honeyhold.packing.exact.positions import Positions, Search
from honeyhold.packing.exact.scales import scales_of
from honeyhold.packing.exact.separation import search_pairs
from honeyhold.packing.fit import core, fit
from honeyhold.packing.heuristic.beam_search import fill
from honeyhold.packing.heuristic.blocks import build_blocks
from honeyhold.packing.heuristic.constructive import construct
from honeyhold.packing.heuristic.many_pieces import _Packed as Packed
from honeyhold.packing.heuristic.many_pieces import _start, pack_many
from honeyhold.packing.heuristic.overhang import fill_overhanging
from honeyhold.packing.heuristic.randomized import construct_randomized
from honeyhold.packing.model.container import Effort, EffortLimitReached
from honeyhold.packing.model.problem import ItemType, Sides, problem_of
from honeyhold.packing.model.request import read_request
from honeyhold.packing.postage.example import EXAMPLE_CSV
from honeyhold.packing.postage.quote import quote
from honeyhold.packing.postage.table import read_prices
from honeyhold.packing.weighing.scale import learn_mass, weigh_check

Json = dict[str, Any]
Asked = tuple[Sides, tuple[ItemType, ...], list[int]]
FILE: Final = Path(__file__).with_suffix(".json")


def mixed(seed: int, most: int, cold: bool = False) -> Json:
    """Up to three kinds of pieces with gaps, walls, uprights and what bears little, and a carton that is about full."""
    chance = Random(seed)
    pieces: list[Json] = []
    even, gaps = (5, [0, 0, 5]) if most < 20 or seed % 2 == 0 else (1, [0, 0, 3, 7, 11])
    for number in range(chance.randint(1, 3)):
        gap = chance.choice(gaps)
        pieces.append({
            "id": f"p{number}", "count": chance.randint(1, max(1, most // 3)),
            "size_mm": [chance.randint(20 // even, 60 // even) * even for _ in range(3)],
            "upright": chance.random() < 0.3, "gap_mm": gap, "wall_mm": chance.choice([0, gap]), "mass_g": chance.randint(1, 40) * 10,
            "bears_g": chance.choice([None, None, 0, 500]), "glass": gap > 0, "mass_sd_g": 1,
        })  # fmt: skip
    volume = sum(row["count"] * row["size_mm"][0] * row["size_mm"][1] * row["size_mm"][2] for row in pieces)
    room = volume * chance.uniform(0.9, 2.2)
    long = max(20, round(room ** (1 / 3) * chance.uniform(0.9, 1.5) / 5) * 5)
    wide = max(20, round((room / long) ** 0.5 / 5) * 5)
    box = {"id": "box", "inner_mm": [long, wide, max(20, round(room / long / wide / 5) * 5)], "tare_g": 80}
    dressing = {"filler_g_per_l": 30, "chill": [{"size_mm": [40, 30, 10], "mass_g": 90}] if cold else []}
    return {"pieces": pieces, "cartons": [box], "dressing": dressing}


def asked_of(request: Json) -> Asked:
    """Room, kinds (cold packs among them) and counts."""
    wanted = problem_of(read_request(request))
    kinds = wanted.items + wanted.chill
    return wanted.cartons[0].room, kinds, [kind.count for kind in kinds]


def searched(search: Callable[[Effort], object], steps: int = 3_000) -> str:
    """Whether it found something, in how many steps, and what."""
    effort = Effort(steps)
    try:
        found = search(effort)
    except EffortLimitReached:
        return "not settled"
    return "none" + f" in {effort.used}" if found is None else f"found in {effort.used}, {digest(found)}"


FEW: Final = [*range(40)]
MANY: Final = [*range(100, 150), 191]
FITTED: Final = [*FEW, 49, 52, 63, 76, 98, 99]
"""With some that are refused for reasons that are rare."""
SEARCHED: Final = {181: 9, 214: 9, 223: 9, 317: 9, 357: 9, 395: 9}
"""Refused by nothing but a search: as small as those of `FEW`, though numbered among the many."""


def pieces_of(seed: int) -> int:
    """Of how many pieces about the order of that number is."""
    return SEARCHED.get(seed, 9 if seed < 100 else 60)


def _exact(say: Callable[[Asked, Effort], object], steps: int = 3_000, seeds: Iterable[int] = FEW) -> dict[str, str]:
    said = {}
    for seed in seeds:
        asked = asked_of(mixed(seed, pieces_of(seed)))
        said[str(seed)] = searched(partial(say, asked), steps)
    return said


def _fitted(support: bool, seeds: Iterable[int], steps: int, cold: bool = False) -> dict[str, str]:
    said = {}
    for seed in seeds:
        asked, effort = asked_of(mixed(seed, pieces_of(seed), cold)), Effort(steps)
        result = fit(*asked, support, effort)
        held = core(asked[1], asked[2], asked[0], result, Effort(20_000)) if result.state == "never" else ()
        said[str(seed)] = f"{result.state} {result.by} {result.part} {held} in {effort.used}, {digest(result.placements)}"
    return said


def _scales(asked: Asked, effort: Effort) -> object:
    grid = grid_of(*asked, effort)
    return [grid.points, [(scale.weights, scale.need, scale.room) for scale in scales_of(grid, effort)]]


def _by_place(first: int | None, scales: int) -> Callable[[Asked, Effort], object]:
    def search(asked: Asked, effort: Effort) -> object:
        grid = grid_of(*asked, Effort(10**6))
        return Search(Positions(grid, scales_of(grid, Effort(10**6)), effort), first, scales).run()

    return search


def _portfolio(asked: Asked, effort: Effort) -> object:
    places = places_in(*asked, effort)
    return "overfilled" if places.overfilled else places.look_about(effort) if places.positions else "too many"


def _filled(percent: int | None) -> Callable[[Asked, Effort], object]:
    def search(asked: Asked, effort: Effort) -> object:
        kinds = tuple(at for at, count in enumerate(asked[2]) if count)
        begun = _start(*asked, kinds[:1], Packed(), True)
        if begun is None:
            return "nothing"
        state = fill(begun, effort) if percent is None else fill_overhanging(begun, effort, percent)
        return [state.volume, state.left, effort.used]

    return search


def _blocks(asked: Asked, effort: Effort) -> object:
    begun = _start(*asked, tuple(range(len(asked[1]))), Packed(), True)
    return begun and build_blocks(begun.goods, begun.counts, begun.ground.sides, (60, 200), effort)


def _bounds() -> dict[str, str]:
    """In which rooms, ever a little smaller, the bounds refuse an order, and in which of them for its pieces in single file."""
    said = {}
    for seed in [*FEW, *range(40, 60)]:
        (long, wide, high), kinds, counts = asked_of(mixed(seed, 9))
        rooms = [(long * part // 100, wide * part // 100, high * part // 100) for part in (*range(130, 78, -4), 70)]
        refused = ((cannot_be(kinds, counts, room), too_long_in_file(kinds, counts, room)) for room in rooms)
        said[str(seed)] = "".join("f" if in_file else "x" if never else "." for never, in_file in refused)
    return said


PRICES: Final = [
    {"service": "ground", "zone": "near", "up_to_oz": up_to, "cents": cents}
    for up_to, cents in ((8, 500), (16, 700), (32, 900), (80, 1100), (160, 1500), (1120, 5000))
]
POSTED: Final[Json] = {"on": "2026-11-25", "zone": "near", "service": "ground", "prices": PRICES}
TUB: Final[Json] = {"id": "tub", "label": "tub", "size_mm": [90, 90, 70], "mass_g": 310, "upright": True, "wall_mm": 10, "gap_mm": 10}
COLD: Final[Json] = {"liner_mm": 10, "liner_g_per_m2": 300, "filler_g_per_l": 30,
                     "chill": [{"id": "pack", "size_mm": [150, 100, 20], "mass_g": 300}]}  # fmt: skip


def orders() -> dict[str, Json]:
    """Whole orders, as they come from the bench."""
    priced = [{**box, "cost_cents": 40 + 35 * at, "in_stock": 3} for at, box in enumerate(house_cartons())]
    return {
        "ten bars": order(bar()),
        "a jar and bars": order(bar(12), jar(1)),
        "bars and jars with postage": order(bar(30), jar(2), cartons=priced, posting=POSTED),
        "cold": {**order(bar(6), jar(2), cartons=[carton(14, 12, 9)], posting={"on": "2026-11-25"}), "dressing": COLD},
        "two parcels": order(jar(4), bar(3), cartons=[carton(8, 8, 8), carton(6, 6, 6)], posting=POSTED),
        "too large": order(bar(2, size_mm=[400, 60, 60]), cartons=house_cartons()),
        "too heavy": order(jar(2, mass_g=6000), cartons=[carton(12, 12, 8, max_gross_g=9000), carton(10, 8, 6, max_gross_g=2000)]),
        "many": order(bar(90), {**TUB, "count": 4}, cartons=priced),
        "long names": order(
            bar(4, label="wax bar of the old press, wrapped in brown paper"), jar(1, label="12 oz jar of honey of the lindens at the shed"),
        ),
        "in millimetres": {**order(bar(7), {**TUB, "count": 1}, cartons=priced), "unit": "mm"},
        **{f"mixed {seed}": {**mixed(seed, 12), "seconds": 0.2} for seed in (3, 7, 11, 19, 23, 31)},
    }  # fmt: skip


def _plans() -> dict[str, str]:
    said = {}
    for name, request in orders().items():
        answer = plan(request)
        cartons = ", ".join(parcel["carton"] for parcel in answer["parcels"]) or "no parcel"
        said[name] = f"{cartons}; {'proved' if answer['proved'] else 'found'}, {digest(answer)}"
    return said


def _drawings() -> dict[str, str]:
    said = {}
    for name in ("a jar and bars", "cold", "two parcels", "many", "long names", "mixed 7"):
        request = orders()[name]
        for at, parcel in enumerate(plan(request)["parcels"]):
            for view in ("oblique", "layers", "both"):
                said[f"{name} {at} {view}"] = digest(draw({**request, "parcel": parcel, "view": view}))
    return said


def _weighed() -> dict[str, str]:
    """What the scale says of a parcel that is right, light, heavy, or one piece off, with and without an empty carton weighed before."""
    request = order(bar(10), jar(1), cartons=[carton(12, 12, 8)])
    parcel = plan(request)["parcels"][0]
    asked = {"parcel": parcel, "pieces": request["pieces"]}
    said = {}
    for off in (-580, -551, -31, -12, 0, 9, 29, 61, 550):
        for more in ({}, {"empty_g": 700, "division_g": 2}, {"empty_g": 700, "division_g": 20, "unit": "mm"}):
            begun = 1550 if more else parcel["gross_g"]
            told = weigh_check({**asked, "scale_g": begun + off, **more})
            said[f"{off} g, {more}"] = f"{told['verdict']} {told['suspects'][:1]} {digest(told)}"
    for rows in ([(10, 300), (10, 303), (5, 149)], [(10, 300), (10, 302), (10, 270), (1, 30)], [(1, 31)], []):
        learned = learn_mass({"mass_g": 29, "mass_sd_g": 2, "weighings": [{"count": count, "net_g": net} for count, net in rows]})
        said[f"learned of {rows}"] = json.dumps(learned)
    return said


def _posted() -> dict[str, str]:
    """What parcels of all sizes and weights cost to mail, by the example's prices and by a carton's own."""
    table = read_prices({"csv": EXAMPLE_CSV})
    said = {}
    where = {"zone": table["prices"][-1]["zone"], "service": table["prices"][0]["service"], **table}
    for inches in ((6, 4, 4), (12, 12, 8), (12, 12, 12), (19, 13, 7), (12.1, 12, 12.1), (22.2, 8, 8), (31, 6, 5), (36, 24, 24)):
        for grams in (90, 453.6, 454, 4000, 31_800):
            for on, flat in (("2026-11-25", None), ("2026-11-25", 1070), ("2026-07-11", None), ("2026-07-12", None)):
                posting = {**where, "on": on}
                told = quote({"outer_mm": [f"{side} in" for side in inches], "gross_g": grams, "flat_cents": flat, "posting": posting})
                said[f"{inches}, {grams} g, {on}, {flat}"] = f"{told['cents']} {told['why']} {digest(told)}"
    return said


def _divided() -> dict[str, str]:
    """Orders that need two parcels or more, out of cartons that are scarce, dear or weak, with prices and without."""
    said = {}
    for seed in range(24):
        chance = Random(seed)
        pieces = [
            {"id": f"p{at}", "size_mm": [chance.choice([30, 50, 60, 75, 100]) for _ in range(3)], "count": chance.randint(1, 3),
             "upright": chance.random() < 0.3, "gap_mm": chance.choice([0, 5]), "mass_g": chance.randint(5, 60) * 10}
            for at in range(chance.randint(2, 4))
        ]  # fmt: skip
        cartons = [
            {"id": f"c{at}", "inner_mm": [chance.choice([60, 100, 130, 160]) for _ in range(3)], "cost_cents": chance.randint(30, 200),
             "in_stock": chance.choice([None, 1, 2]), "tare_g": 50, "max_gross_g": chance.choice([None, 700])}
            for at in range(chance.randint(2, 4))
        ]  # fmt: skip
        posting = POSTED if chance.random() < 0.5 else None
        answer = plan({"pieces": pieces, "cartons": cartons, "posting": posting, "support": chance.random() < 0.5, "seconds": 0.2})
        went = ", ".join(parcel["carton"] for parcel in answer["parcels"]) or "no way"
        said[str(seed)] = f"{went}; {answer['cost_cents']} cents in {answer['seconds']} s, {answer['proved']}, {digest(answer)}"
    return said


LINES: Final[dict[str, Callable[[], dict[str, str]]]] = {
    "over all packings": lambda: _exact(lambda asked, effort: search_all(*asked, effort)),
    "over all packings, by every rule": lambda: _exact(lambda asked, effort: search_all(*asked, effort, True), 1_500),
    "over pairs": lambda: _exact(lambda asked, effort: search_pairs(*asked, effort), 1_500),
    "scales": lambda: _exact(_scales, 20_000),
    "over places": lambda: _exact(_by_place(None, 9), 3_000),
    "over places, axis by axis": lambda: _exact(_by_place(2, 1), 3_000),
    "ways in turn": lambda: _exact(_portfolio, 20_000),
    "bounds": _bounds,
    "let down": lambda: _exact(lambda asked, effort: construct(*asked, True, effort, 40)),
    "let down, the ways drawn": lambda: _exact(lambda asked, effort: construct_randomized(*asked, True, effort), 2_000),
    "blocks": lambda: _exact(_blocks, 20_000, MANY),
    "filled": lambda: _exact(_filled(None), 2_000, MANY),
    "filled, four fifths carried": lambda: _exact(_filled(80), 2_000, MANY),
    "many pieces": lambda: _exact(lambda asked, effort: pack_many(*asked, True, effort), 6_000, MANY),
    "whether it goes in": lambda: _fitted(True, [*FITTED, *SEARCHED], 6_000) | _fitted(True, MANY[:6], 12_000),
    "whether it goes in, cold": lambda: _fitted(True, [*FEW[:12], *SEARCHED], 6_000, True),
    "whether it goes in, support forgotten": lambda: _fitted(False, [*FITTED, *SEARCHED], 6_000),
    "plans": _plans,
    "drawings": _drawings,
    "weighed": _weighed,
    "posted": _posted,
    "divided": _divided,
}


if __name__ == "__main__":
    if len(sys.argv) > 2:
        with remembered() as made:
            line = LINES[sys.argv[1]]()[sys.argv[2]]
        print(line, *(f"{said}: {what}" for said, what in made.items() if said in line), sep="\n")
    else:
        FILE.write_text(json.dumps({name: say() for name, say in LINES.items()}, indent=1) + "\n", "utf-8")
