"""Orders for the bench's tests: the house's own goods and cartons, and generated ones."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

Json = dict[str, Any]


def bar(count: int = 10, **other: Any) -> Json:
    """A one-ounce wax bar, wrapped."""
    return {
        "id": "bar",
        "label": "wax bar",
        "count": count,
        "size_mm": [76, 38, 11],
        "mass_g": 30,
        "mass_sd_g": 1,
        "texture": "wax",
        **other,
    }


def jar(count: int = 1, **other: Any) -> Json:
    """A 12 oz jar: stands, is glass, carries nothing."""
    return {
        "id": "jar", "label": "12 oz jar", "count": count, "size_mm": [72, 72, 118], "mass_g": 550, "mass_sd_g": 8,
        "upright": True, "glass": True, "wall_mm": 25, "gap_mm": 25, "bears_g": 0, **other,
    }  # fmt: skip


def carton(long: float, wide: float, high: float, **other: Any) -> Json:
    """A carton by its inner inches, named by them."""
    name = f"{long:g}x{wide:g}x{high:g}"
    return {"id": name, "inner_mm": [f"{long} in", f"{wide} in", f"{high} in"], "tare_g": 100, **other}


def house_cartons() -> list[Json]:
    """The four sizes on the shed's shelf."""
    return [carton(6, 4, 4), carton(8, 6, 4), carton(10, 8, 6), carton(12, 12, 8)]


def order(*pieces: Json, cartons: list[Json] | None = None, **other: Any) -> Json:
    """A request for packing.plan."""
    boxes = house_cartons() if cartons is None else cartons
    return {"pieces": list(pieces), "cartons": boxes, "dressing": {"filler_g_per_l": 30}, **other}


def _piece(number: int, row: tuple[list[int], int, bool, int, int, int | None, int]) -> Json:
    size, count, upright, wall, gap, bears, mass = row
    return {
        "id": f"piece {number}", "count": count, "size_mm": size, "upright": upright, "wall_mm": wall, "gap_mm": gap,
        "bears_g": bears, "mass_g": mass, "mass_sd_g": 1,
    }  # fmt: skip


_sides = st.lists(st.integers(8, 150), min_size=3, max_size=3)
_rows = st.tuples(
    _sides, st.integers(1, 5), st.booleans(), st.sampled_from([0, 0, 10, 50]), st.sampled_from([0, 0, 6, 25]),
    st.sampled_from([None, None, 0, 400]), st.integers(1, 900),
)  # fmt: skip
_inches = st.sampled_from(["4 in", "5 1/8 in", "6 in", "8 5/8 in", "10 in", "12 in", "220 mm", 304.8])
_cold = st.lists(st.fixed_dictionaries({"size_mm": st.just([100, 60, 20]), "mass_g": st.just(150)}), max_size=1)


@st.composite
def orders(draw: st.DrawFn) -> Json:
    """Any small order: pieces of any sort, cartons of any shape, dressing with liner, reserve and cold packs."""
    rows = draw(st.lists(_rows, min_size=1, max_size=4))
    boxes = draw(st.lists(st.tuples(_inches, _inches, _inches, st.sampled_from([None, 1, 3])), min_size=1, max_size=4))
    return {
        "pieces": [_piece(number, row) for number, row in enumerate(rows)],
        "cartons": [
            {"id": f"carton {at}", "inner_mm": list(sides), "tare_g": 90, "in_stock": stock, "max_gross_g": 9000, "cost_cents": 10 * at}
            for at, (*sides, stock) in enumerate(boxes)
        ],
        "dressing": {
            "liner_mm": draw(st.sampled_from([0, 0, 12, "3/8 in"])), "liner_g_per_m2": 300, "filler_g_per_l": 30,
            "reserve_top_mm": draw(st.sampled_from([0, 15])), "chill": draw(_cold),
        },
        "posting": draw(st.sampled_from([None, {"on": "2026-11-25"}])),
        "support": draw(st.sampled_from([True, True, False])),
        "seconds": 0.1,
    }  # fmt: skip
