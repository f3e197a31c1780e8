"""The shelf as a picture: bars in rows of ten as they left the mould, jars lot by lot.

Hatched is promised, solid is free, solid with a thick outline is this device's share (sure without signal); a
broken outline is promised but not there. With many units one mark stands for ten, a hundred, ...; a mark that
is shared between two states is cut in proportion.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, rows, whole
from honeyhold.stock.run_down import run_down_picture
from honeyhold.stock.svg import INK, PROPOLIS, WAX, WIDTH, box, hatching, label, path, picture
from honeyhold.stock.words import count_words, good_of, sentence

__all__ = ["run_down_picture", "shelf_picture"]

MARKS_MAX = 300  # more marks than this cannot be counted by eye on a phone
GAP = 4.0
LEGEND_HEIGHT = 24.0


@dataclass
class _Group:
    """Marks under one heading: all bars, or the jars of one lot. `states` is a run of (state, units)."""

    heading: str
    states: list[tuple[str, int]]

    @property
    def units(self) -> int:
        return sum(units for _, units in self.states)


@dataclass
class _Ink:
    """Path data collected by texture, so that hundreds of bars are a handful of elements."""

    outline: list[str] = field(default_factory=list)
    solid: list[str] = field(default_factory=list)
    hatch: list[str] = field(default_factory=list)
    thick: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)

    def elements(self) -> list[str]:
        dashes = ' stroke-dasharray="4 3"'
        return [
            path("".join(self.solid), "wax", fill=WAX),
            path("".join(self.hatch), "hatch", stroke=INK, width=1.4),
            path("".join(self.outline), "ink", stroke=INK, width=1),
            path("".join(self.thick), "thick", stroke=INK, width=3.6),
            path("".join(self.missing), "warn", stroke=PROPOLIS, width=1.8, more=dashes),
        ]


def _jar_outline(x: float, y: float, width: float, height: float) -> str:
    """A jar seen from the side: a lid narrower than its body."""
    lid, inset = height * 0.22, width * 0.14
    return box(x + inset, y, width - 2 * inset, lid) + box(x, y + lid, width, height - lid)


def _mark(ink: _Ink, state: str, place: tuple[float, float, float, float], *, jar: bool) -> None:
    """One mark or one part of a mark, in the texture of its state."""
    x, y, width, height = place
    lid = height * 0.22 if jar else 0.0
    body = (x, y + lid, width, height - lid)
    outline = _jar_outline(*place) if jar else box(*place)
    if state == "missing":
        ink.missing.append(outline)
        return
    ink.outline.append(outline)
    if state == "promised":
        ink.hatch.append(hatching(*body))
    else:
        ink.solid.append(box(*body))
    if state == "share":
        inner = (x + 1.3, y + lid + 1.3, max(0.4, width - 2.6), height - lid - 2.6)
        ink.thick.append(box(*inner))


def _draw_group(ink: _Ink, group: _Group, top: float, row: int, scale: int, *, jar: bool) -> float:
    """Draw the marks of a group from `top` down, `row` to a line; the y below them."""
    pitch = WIDTH / row
    width = min(pitch - GAP, 40.0)
    lines = ceil(ceil(group.units / scale) / row)
    tallest = 22.0 if lines <= 10 else 14.0  # thirty rows must still be seen at one glance
    height = min(width * 1.15, 34.0) if jar else max(10.0, min(tallest, width * 0.7))
    position = 0  # units drawn so far: a mark holds `scale` of them
    for state, units in group.states:
        left = units
        while left > 0:
            mark, used = divmod(position, scale)
            take = min(left, scale - used)
            x = mark % row * pitch + GAP / 2 + width * used / scale
            y = top + mark // row * (height + 6.0)
            _mark(ink, state, (x, y, width * take / scale, height), jar=jar)
            position += take
            left -= take
    return top + lines * (height + 6.0)


def _bars(state: dict[str, int]) -> list[_Group]:
    order = ("promised", "share", "free", "missing")
    return [_Group("", [(name, state[name]) for name in order if state[name] > 0])]


def _jars_by_lot(state: dict[str, int], lots: list[tuple[str, int]]) -> list[_Group]:
    """Spread the states over the lots: the oldest lot leaves first, so the promised jars are its."""
    runs = [[name, state[name]] for name in ("promised", "share", "free") if state[name] > 0]
    groups = []
    for lot, units in lots:
        group, left = _Group(f"{lot}: {units:,}", []), units
        while left > 0 and runs:
            take = min(left, int(runs[0][1]))
            group.states.append((str(runs[0][0]), take))
            left -= take
            runs[0][1] = int(runs[0][1]) - take
            if not runs[0][1]:
                runs.pop(0)
        groups.append(group)
    if state["missing"] > 0:
        groups.append(_Group("promised, not there", [("missing", state["missing"])]))
    return groups


def _lots(request: Request, on_hand: int) -> list[tuple[str, int]]:
    """Lots with something on them as (code, units), cut to what is on hand, the rest as "lot not known"."""
    lots, left = [], max(0, on_hand)
    for row in rows(request, "lots", optional=True):
        units = min(left, whole(row, "units", least=-10_000_000))
        if units > 0 and row.get("lot"):
            lots.append((str(row["lot"]), units))
            left -= units
    if left:
        lots.append(("lot not known", left))
    return lots


def _legend(state: dict[str, int], top: float, *, jar: bool) -> list[str]:
    """A sample of every texture in the picture, with its word; marks in the legend are the marks of the
    picture.
    """
    words = {"promised": "promised", "share": "sure on this device", "free": "free", "missing": "not there"}
    ink, parts, x = _Ink(), [], 2.0
    for name, word in words.items():
        if state[name] > 0:
            size = (x, top + 3, 14.0, 16.0) if jar else (x, top + 5, 20.0, 13.0)
            _mark(ink, name, size, jar=jar)
            parts.append(label(x + size[2] + 5, top + 16, word, kind="quiet"))
            x += size[2] + 16 + 6.9 * len(word)
    return ink.elements() + parts


def _shelf_words(
    names: tuple[str, str], state: dict[str, int], on_hand: int, promised: int, scale: int
) -> str:
    """The picture in words, the same facts in the same order."""
    free = max(0, on_hand - promised)
    words = [
        sentence(f"{count_words(max(0, on_hand), *names)} on the shelf, {promised:,} promised, {free:,} free")
    ]
    if state["share"]:
        words.append(f"{state['share']:,} of the free ones are sure on this device without signal.")
    if state["missing"]:
        words.append(f"{state['missing']:,} promised but not there: see whose promise is short.")
    if scale > 1:
        words.append(f"Each mark stands for {scale:,}.")
    return " ".join(words)


def shelf_picture(request: Request) -> dict[str, str]:
    """The picture of one good on the shelf, and the same in words.

    Wax (a good of kind `wax`, or of no kind) is drawn as bars in rows, anything else as jars by lot, oldest
    lot first as the lots are handed in. Shapes: README.md. Raises UnreadableField.
    """
    names = good_of(request)
    on_hand = whole(request, "on_hand", least=-10_000_000)
    promised = whole(request, "promised", default=0)
    row = whole(request, "row", least=1, most=40, default=10)
    here = max(0, on_hand)
    kept = min(here, promised)
    share = min(here - kept, whole(request, "share", default=0))
    state = {"promised": kept, "share": share, "free": here - kept - share, "missing": promised - kept}
    kind = request["good"].get("kind") or "wax"
    if not isinstance(kind, str):
        raise UnreadableField("kind", kind, 'text such as "wax" or "honey"')
    jar = kind != "wax"
    groups = _jars_by_lot(state, _lots(request, on_hand)) if jar else _bars(state)
    scale = 1
    while sum(-(-group.units // scale) for group in groups) > max(MARKS_MAX, len(groups)):
        scale *= 10
    ink, parts, top = _Ink(), [], 2.0
    for group in groups:
        if group.heading:
            parts.append(label(2, top + 14, group.heading, bold=True))
            top += 20
        top = _draw_group(ink, group, top, row, scale, jar=jar) + (6 if group.heading else 0)
    if not here and not state["missing"]:
        parts.append(label(2, top + 18, f"No {names[1]} on the shelf.", size=16))
        top += 26
    if scale > 1:
        parts.append(label(2, top + 14, f"Each mark is {scale:,} {names[1]}.", bold=True))
        top += 22
    words = _shelf_words(names, state, on_hand, promised, scale)
    parts = ink.elements() + parts + _legend(state, top, jar=jar)
    title = sentence(f"{names[1]} on the shelf").rstrip(".")
    return {"svg": picture(top + LEGEND_HEIGHT, title, words, parts), "words": words}
