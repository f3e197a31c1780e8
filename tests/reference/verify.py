"""The second pair of eyes. It knows the rules of a parcel (`server/honeyhold/packing/README.md`), not how a plan is searched for.

Written from the rules alone and sharing no code with the search: it reads the placements and measures them. Plans are written in
millimetres to a ten-thousandth, so lengths are compared with a slack of two thousandths of a millimetre.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import permutations
from math import ceil, floor
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import read_length
from honeyhold.packing.postage.example import RULES

SLACK = 0.002
CARRIED = 0.8
COLD_APART_MM = 6.0
G_PER_LB = 453.59237
Json = dict[str, Any]
Triple = tuple[float, float, float]


@dataclass(frozen=True)
class _Box:
    """One placement as told, with the row of its piece."""

    step: int
    row: Json
    cold: bool
    at: Triple
    size: Triple

    @property
    def end(self) -> Triple:
        return self.at[0] + self.size[0], self.at[1] + self.size[1], self.at[2] + self.size[2]

    @property
    def name(self) -> str:
        return f"{self.row['id']} (step {self.step})"

    def length(self, field: str) -> float:
        given = _mm(self.row.get(field) or 0)
        return max(given, COLD_APART_MM) if self.cold and field == "gap_mm" else given


def _mm(value: object) -> float:
    return float(read_length(value, "length"))


def _triple(values: object) -> Triple:
    if not isinstance(values, list | tuple) or len(values) != 3:
        raise BadRequest(f"{str(values)[:60]!r} is not three measures.", "Hand in a plan as packing.plan gave it.")
    return _mm(values[0]), _mm(values[1]), _mm(values[2])


def _cold_rows(request: Json) -> list[Json]:
    packs = (request.get("dressing") or {}).get("chill") or []
    return [{**row, "id": row.get("id") or f"cold pack {at + 1}"} for at, row in enumerate(packs)]


def _boxes(request: Json, parcel: Json, faults: list[str]) -> list[_Box]:
    rows = {row["id"]: (row, False) for row in request["pieces"]} | {row["id"]: (row, True) for row in _cold_rows(request)}
    boxes = []
    for step, put in enumerate(parcel["placements"], start=1):
        if put["piece"] not in rows:
            faults.append(f"step {step} packs {put['piece']!r}, which nobody ordered")
            continue
        row, cold = rows[put["piece"]]
        boxes.append(_Box(step, row, cold, _triple(put["at_mm"]), _triple(put["size_mm"])))
    return boxes


def _turned(box: _Box) -> bool:
    """Whether the placed sides are a permitted turn of the piece's own."""
    long, wide, high = _triple(box.row["size_mm"])
    turns = [(long, wide, high), (wide, long, high)] if box.row.get("upright") else list(permutations((long, wide, high)))
    return any(all(abs(mine - its) <= SLACK for mine, its in zip(box.size, turn, strict=True)) for turn in turns)


def _walls(box: _Box, inner: Triple, liner: float, reserve: float) -> list[str]:
    """The piece keeps its distance to each inner face."""
    wall, faults = box.length("wall_mm"), []
    for axis, (name, below, above) in enumerate((("left", 0.0, 0.0), ("back", 0.0, 0.0), ("bottom", 0.0, reserve))):
        if box.at[axis] < below + liner + wall - SLACK:
            faults.append(f"{box.name} is {box.at[axis]:g} mm from the {name}, less than liner {liner:g} + {wall:g} mm")
        if box.end[axis] > inner[axis] - liner - above - wall + SLACK:
            faults.append(f"{box.name} reaches {box.end[axis]:g} mm of {inner[axis]:g}, with liner, reserve and {wall:g} mm to keep")
    return faults


def _overlap(one: _Box, other: _Box, axis: int, apart: float = 0.0) -> bool:
    return one.at[axis] < other.end[axis] + apart - SLACK and other.at[axis] < one.end[axis] + apart - SLACK


def _over(one: _Box, other: _Box) -> bool:
    """Whether the two share any part of the floor."""
    return _overlap(one, other, 0) and _overlap(one, other, 1)


def _pairs(boxes: list[_Box]) -> list[str]:
    """Apart by the larger gap along some axis; and each set down before anything that lies over it."""
    faults = []
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            gap = max(one.length("gap_mm"), other.length("gap_mm"))
            if all(_overlap(one, other, axis, gap) for axis in range(3)):
                faults.append(f"{one.name} and {other.name} are closer than {gap:g} mm")
            if _over(one, other) and other.at[2] < one.at[2]:
                faults.append(f"{other.name} cannot be let down: {one.name} is already over it")
    return faults


def _standing(box: _Box, boxes: list[_Box], liner: float) -> list[str]:
    """At least 80 % of the base on the floor bed or on tops exactly one gap below."""
    if abs(box.at[2] - liner - box.length("wall_mm")) <= SLACK:
        return []
    carried = 0.0
    for other in boxes:
        gap = max(box.length("gap_mm"), other.length("gap_mm"))
        if other is not box and abs(other.end[2] + gap - box.at[2]) <= SLACK:
            wide, deep = (min(box.end[axis], other.end[axis]) - max(box.at[axis], other.at[axis]) for axis in (0, 1))
            carried += max(0.0, wide) * max(0.0, deep)
    share = carried / (box.size[0] * box.size[1])
    return [] if share >= CARRIED - 1e-4 else [f"{box.name} hangs: {share:.0%} of its base is carried"]


def _above(box: _Box, boxes: list[_Box]) -> list[_Box]:
    """Everything over any part of a piece, directly or through others."""
    found: list[_Box] = []
    waiting = [box]
    while waiting:
        lower = waiting.pop()
        for other in boxes:
            if other is not box and other not in found and other.at[2] > lower.at[2] and _over(lower, other):
                found.append(other)
                waiting.append(other)
    return found


def _loads(box: _Box, boxes: list[_Box]) -> list[str]:
    limit = box.row.get("bears_g")
    if limit is None:
        return []
    load = sum(float(other.row.get("mass_g") or 0) for other in _above(box, boxes))
    return [f"{box.name} bears {load:g} g, more than {limit:g} g"] if load > limit + 0.001 else []


def _cold_at_face(box: _Box, inner: Triple, liner: float, reserve: float) -> list[str]:
    keep = box.length("wall_mm") + liner
    tops = (inner[0], inner[1], inner[2] - reserve)
    touches = any(abs(box.at[axis] - keep) <= SLACK or abs(tops[axis] - keep - box.end[axis]) <= 2 * SLACK for axis in range(3))
    return [] if touches else [f"{box.name} is a cold pack and touches no face"]


def _close(name: str, told: float, found: float, slack: float) -> list[str]:
    return [] if abs(told - found) <= slack else [f"{name} is told as {told:g}, but is {found:g}"]


def _weight(request: Json, parcel: Json, carton: Json, boxes: list[_Box], inner: Triple) -> list[str]:
    """Void, filler and gross weight added up again."""
    dressing = request.get("dressing") or {}
    liner = _mm(dressing.get("liner_mm") or 0)
    inside = [max(0.0, side - 2 * liner) for side in inner]
    solid = sum(box.size[0] * box.size[1] * box.size[2] for box in boxes)
    void = max(0.0, inside[0] * inside[1] * inside[2] - solid) / 1e6
    filler = void * float(dressing.get("filler_g_per_l") or 0)
    faces = 2 * (inner[0] * inner[1] + inner[0] * inner[2] + inner[1] * inner[2]) / 1e6
    gross = float(carton.get("tare_g") or 0) + faces * float(dressing.get("liner_g_per_m2") or 0) + filler
    gross += sum(float(box.row.get("mass_g") or 0) for box in boxes)
    faults = _close("void_l", parcel["void_l"], void, 0.002) + _close("filler_g", parcel["filler_g"], filler, 1)
    faults += _close("gross_g", parcel["gross_g"], gross, 1)
    most = carton.get("max_gross_g")
    if most is not None and gross > float(most) + 0.01:
        faults.append(f"{gross:.0f} g is over the {most} g that {carton['id']} bears")
    united = carton.get("max_united_mm")
    if united and sum(read_length(side, "outer") for side in parcel["outer_mm"]) > read_length(united, "max_united_mm") + Fraction(1, 1000):
        faults.append(f"the sides of {carton['id']} together are over the {united} its board is certified for")
    return faults


def _row_of_the_day(posting: Json) -> Json:
    day = date.fromisoformat(posting["on"])
    rows = [row for row in posting.get("rules") or RULES if date.fromisoformat(row["from"]) <= day]
    rows = [row for row in rows if row.get("until") is None or day <= date.fromisoformat(row["until"])]
    if not rows:
        raise BadRequest(f"No mailing rule holds on {day}.", "Add a row that begins on or before that day.")
    return max(rows, key=lambda row: str(row["from"]))


def _posted(request: Json, parcel: Json, carton: Json) -> list[str]:
    """Girth, volumetric and charged weight worked out again from the outer sides."""
    outer = sorted(read_length(side, "outer") for side in parcel["outer_mm"])
    faults = _close("length_plus_girth_mm", parcel["length_plus_girth_mm"], float(outer[2] + 2 * (outer[0] + outer[1])), 0.001)
    posting = request.get("posting")
    if posting is None:
        return faults
    row, inches = _row_of_the_day(posting), [side / Fraction(254, 10) for side in outer]
    if inches[2] + 2 * (inches[0] + inches[1]) > row["max_length_girth_in"]:
        faults.append("length plus girth is over the mailing limit")
    if parcel["gross_g"] > row["max_lb"] * G_PER_LB + 1:
        faults.append("it is over the mailing limit for weight")
    volume = 1
    for side in inches:
        volume *= ceil(side) if row["rounding"] == "up" else floor(side + Fraction(1, 2))
    flat = carton.get("flat_cents") is not None
    by_volume = ceil(Fraction(volume) / Fraction(row["divisor"])) if volume > row["over_in3"] and not flat else None
    if parcel["volumetric_lb"] != by_volume:
        faults.append(f"volumetric weight is told as {parcel['volumetric_lb']}, but is {by_volume} lb")
    least = max(parcel["gross_g"] - 1, min(by_volume or 0, row["max_lb"]) * G_PER_LB)
    if parcel["charged_g"] < least - 0.5:
        faults.append(f"charged weight {parcel['charged_g']} g is less than {least:.0f} g")
    return faults


def _parcel_faults(request: Json, parcel: Json, carton: Json) -> list[str]:
    faults: list[str] = []
    dressing = request.get("dressing") or {}
    liner, reserve = _mm(dressing.get("liner_mm") or 0), _mm(dressing.get("reserve_top_mm") or 0)
    inner, boxes = _triple(carton["inner_mm"]), _boxes(request, parcel, faults)
    for box in boxes:
        if not _turned(box):
            faults.append(f"{box.name} has sides {box.size}, which is no permitted turn of {box.row['size_mm']}")
        faults += _walls(box, inner, liner, reserve)
        if box.cold:
            faults += _cold_at_face(box, inner, liner, reserve)
        if request.get("support", True) is not False:
            faults += _standing(box, boxes, liner) + _loads(box, boxes)
    faults += _pairs(boxes)
    for row in _cold_rows(request):
        found, wanted = sum(1 for box in boxes if box.row["id"] == row["id"]), row.get("count", 1)
        if found != wanted:
            faults.append(f"{found} of {wanted} {row['id']} are in the parcel")
    return faults + _weight(request, parcel, carton, boxes, inner) + _posted(request, parcel, carton)


def _whole_faults(request: Json, answer: Json, cartons: dict[str, Json]) -> list[str]:
    """Every piece packed once, no more cartons than there are; nothing packed needs a reason for every carton."""
    if not answer["parcels"]:
        told = {row["carton"] for row in answer["why_not"]}
        return [f"no parcels, and no reason against {name}" for name in list(cartons)[:40] if name not in told]
    faults = []
    for row in request["pieces"]:
        packed = sum(1 for parcel in answer["parcels"] for put in parcel["placements"] if put["piece"] == row["id"])
        if packed != row.get("count", 1):
            faults.append(f"{packed} of {row.get('count', 1)} {row['id']} are packed")
    for name, carton in cartons.items():
        used = sum(1 for parcel in answer["parcels"] if parcel["carton"] == name)
        if carton.get("in_stock") is not None and used > carton["in_stock"]:
            faults.append(f"{used} of {name} are used, {carton['in_stock']} are left")
    return faults


def verify(request: Json, answer: Json) -> list[str]:
    """Every fault of a plan in words; an empty list when it may be packed. Raises BadRequest when it cannot be read."""
    try:
        cartons = {row["id"]: row for row in request["cartons"]}
        faults = _whole_faults(request, answer, cartons)
        for number, parcel in enumerate(answer["parcels"], start=1):
            carton = cartons.get(parcel["carton"])
            found = _parcel_faults(request, parcel, carton) if carton else [f"nobody has a carton {parcel['carton']!r}"]
            faults += [f"parcel {number}: {fault}" for fault in found]
    except (KeyError, TypeError, AttributeError) as trouble:
        raise BadRequest(f"The plan cannot be read: {trouble!r}.", "Hand in a request and the answer packing.plan gave to it.") from trouble
    return faults
