"""The two views of a parcel: from above, layer by layer, and obliquely from the front right."""

from __future__ import annotations

from fractions import Fraction

from honeyhold.packing.drawing.canvas import FILLS, PAPER, Canvas, Piece, Point
from honeyhold.packing.model.measures import say_in, say_mm

LAYER_GAP = 26.0
SAME_LEVEL_MM = 2.0


class _Eye:
    """Where a point of the carton falls on the paper: x to the right and down, y to the left and down, z up."""

    def __init__(self, room: tuple[float, float, float], left: float, top: float, wide: float) -> None:
        long, across, high = room
        self.scale = min(wide / ((long + across) * 0.87), 300 / ((long + across) * 0.5 + high))
        drawn = (long + across) * 0.87 * self.scale
        self.x = left + (wide - drawn) / 2 + across * 0.87 * self.scale
        self.y = top + high * self.scale
        self.bottom = self.y + (long + across) * 0.5 * self.scale

    def at(self, x: float, y: float, z: float) -> Point:
        """Paper coordinates of a point in millimetres."""
        return self.x + (x - y) * 0.87 * self.scale, self.y + (x + y) * 0.5 * self.scale - z * self.scale


def _before(one: Piece, other: Piece) -> bool:
    """Whether `one` is certainly behind `other` for this eye (left of it, behind it or under it)."""
    slack = 0.01
    return one.x + one.dx <= other.x + slack or one.y + one.dy <= other.y + slack or one.z + one.dz <= other.z + slack


def _back_to_front(pieces: list[Piece]) -> list[Piece]:
    """Painter's order: a piece is painted once nothing that must be behind it is left; a ring of pieces is cut at the farthest."""
    left, painted = list(pieces), list[Piece]()
    while left:
        ready = [
            piece for piece in left if not any(_before(other, piece) and not _before(piece, other) for other in left if other is not piece)
        ]
        following = min(ready or left, key=lambda piece: piece.x + piece.y + piece.z)
        painted.append(following)
        left.remove(following)
    return painted


def _box(canvas: Canvas, eye: _Eye, piece: Piece) -> None:
    top, side, front = FILLS[piece.texture]
    x, y, z = piece.x, piece.y, piece.z
    end_x, end_y, end_z = x + piece.dx, y + piece.dy, z + piece.dz
    canvas.face(
        [eye.at(x, y, end_z), eye.at(end_x, y, end_z), eye.at(end_x, end_y, end_z), eye.at(x, end_y, end_z)],
        top,
    )
    canvas.face(
        [eye.at(x, end_y, end_z), eye.at(end_x, end_y, end_z), eye.at(end_x, end_y, z), eye.at(x, end_y, z)],
        side,
    )
    canvas.face(
        [eye.at(end_x, y, end_z), eye.at(end_x, end_y, end_z), eye.at(end_x, end_y, z), eye.at(end_x, y, z)],
        front,
    )


def draw_oblique(
    canvas: Canvas,
    pieces: list[Piece],
    room: tuple[float, float, float],
    liner: float,
    left: float,
    top: float,
    wide: float,
) -> float:
    """The open carton with its pieces; returns the y below it."""
    eye = _Eye(room, left, top, wide)
    long, across, high = room
    floor = [eye.at(0, 0, 0), eye.at(long, 0, 0), eye.at(long, across, 0), eye.at(0, across, 0)]
    canvas.face(floor, "url(#bench-liner)" if liner else "#eae2cf", 1.4)
    back = [
        (eye.at(0, 0, 0), eye.at(0, 0, high)),
        (eye.at(long, 0, 0), eye.at(long, 0, high)),
        (eye.at(0, across, 0), eye.at(0, across, high)),
        (eye.at(0, 0, high), eye.at(long, 0, high)),
        (eye.at(0, 0, high), eye.at(0, across, high)),
    ]
    canvas.lines(back, 1.8)
    ordered = _back_to_front(pieces)
    for piece in ordered:
        _box(canvas, eye, piece)
    canvas.lines(
        [
            (eye.at(long, across, 0), eye.at(long, across, high)),
            (eye.at(long, 0, high), eye.at(long, across, high)),
            (eye.at(0, across, high), eye.at(long, across, high)),
        ],
        1.2,
        "5 4",
    )
    _top_numbers(canvas, eye, pieces)
    return eye.bottom + 6


SPOTS = ((0.5, 0.5), (0.25, 0.75), (0.75, 0.25), (0.75, 0.75), (0.25, 0.25), (0.12, 0.88), (0.88, 0.12), (0.88, 0.88), (0.12, 0.12))
"""Where on its top a piece's number may stand, as shares of its length and width: the middle where it can be seen."""


def _outline(eye: _Eye, piece: Piece) -> list[Point]:
    """The six corners of a piece as this eye sees it, around."""
    x, y, z = piece.x, piece.y, piece.z
    end_x, end_y, end_z = x + piece.dx, y + piece.dy, z + piece.dz
    corners = [(x, y, end_z), (end_x, y, end_z), (end_x, y, z), (end_x, end_y, z), (x, end_y, z), (x, end_y, end_z)]
    return [eye.at(*corner) for corner in corners]


def _inside(point: Point, outline: list[Point]) -> bool:
    """Whether a point lies in a convex outline."""
    turns = [
        (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
        for a, b in zip(outline, [*outline[1:], outline[0]], strict=True)
    ]
    return all(turn >= 0 for turn in turns) or all(turn <= 0 for turn in turns)


def _seen_spots(eye: _Eye, piece: Piece, pieces: list[Piece]) -> list[Point]:
    """The spots of a piece's top that nothing in front of it or upon it hides, the middle first."""
    hiding = [_outline(eye, other) for other in pieces if other is not piece and not _before(other, piece)]
    spots = [eye.at(piece.x + piece.dx * along, piece.y + piece.dy * across, piece.z + piece.dz) for along, across in SPOTS]
    return [spot for spot in spots if not any(_inside(spot, outline) for outline in hiding)]


def _top_numbers(canvas: Canvas, eye: _Eye, pieces: list[Piece]) -> None:
    """Numbers on the tops that can be seen, left out where they would crowd one another (the layers show every one)."""
    taken: list[Point] = []
    wide, high = canvas.text_px * 24 / 13, canvas.text_px * 17 / 13
    for piece in sorted(pieces, key=lambda piece: -piece.z - piece.dz):
        seen = _seen_spots(eye, piece, pieces)
        spot = next((one for one in seen if all(abs(one[0] - x) > wide or abs(one[1] - y) > high for x, y in taken)), None)
        if spot:
            taken.append(spot)
            canvas.number(*spot, str(piece.number))


def layers_of(pieces: list[Piece]) -> list[list[Piece]]:
    """Runs of pieces, in packing order, whose bottoms are level (less than 2 mm apart)."""
    layers: list[list[Piece]] = []
    for piece in sorted(pieces, key=lambda piece: piece.number):
        if layers and abs(piece.z - layers[-1][0].z) < SAME_LEVEL_MM:
            layers[-1].append(piece)
        else:
            layers.append([piece])
    return layers


def _like(one: list[Piece], other: list[Piece]) -> bool:
    """Whether two layers look the same from above and can share one picture."""

    def outline(layer: list[Piece]) -> list[tuple[float, ...]]:
        return sorted((round(piece.x, 1), round(piece.y, 1), round(piece.dx, 1), round(piece.dy, 1)) for piece in layer)

    return outline(one) == outline(other) and {piece.label for piece in one} == {piece.label for piece in other}


def _pile(numbers: list[int]) -> str:
    """ "1·3·5", "1…5" for a pile of neighbours, "1·3…9" for one that takes every second."""
    if len(numbers) <= 3:
        return "·".join(str(number) for number in numbers)
    return f"{numbers[0]}…{numbers[-1]}" if numbers[1] == numbers[0] + 1 else f"{numbers[0]}·{numbers[1]}…{numbers[-1]}"


def _marks(layers: list[list[Piece]]) -> list[tuple[Piece, str]]:
    """Each outline of the first layer with its numbers: one piece, or a pile of alike layers from bottom to top."""
    marked = []
    for piece in layers[0]:
        numbers = [other.number for layer in layers for other in layer if abs(other.x - piece.x) < 0.1 and abs(other.y - piece.y) < 0.1]
        marked.append(
            (
                piece,
                _pile(numbers),
            )
        )
    return marked


def _number_in(canvas: Canvas, taken: list[Point], corner: Point, wide: float, high: float, words: str) -> None:
    """A number in an outline: in the middle, or along its longer side where the middle is taken by a neighbour's."""
    spots = [0.5, 0.2, 0.8, 0.35, 0.65]
    for part in spots:
        x = corner[0] + wide * (part if wide >= high else 0.5)
        y = corner[1] + high * (part if high > wide else 0.5)
        if all(abs(x - other[0]) > 10 + 9 * len(words) or abs(y - other[1]) > 16 for other in taken):
            break
    taken.append((x, y))
    canvas.number(x, y, words)


def _captions(layers: list[list[list[Piece]]], unit: str) -> list[str]:
    say = say_in if unit == "in" else say_mm
    captions = []
    for pile in layers:
        numbers = [piece.number for layer in pile for piece in layer]
        run = f"{min(numbers)} to {max(numbers)}" if len(numbers) > 1 else str(numbers[0])
        level = pile[0][0].z
        where = "on the bottom" if level < 0.5 else f"{say(Fraction(round(level * 10), 10))} up"
        captions.append(f"{run}: {where}" + (f", {len(pile)} layers alike" if len(pile) > 1 else ""))
    return captions


def _piles(pieces: list[Piece]) -> list[list[list[Piece]]]:
    piles: list[list[list[Piece]]] = []
    for layer in layers_of(pieces):
        if piles and _like(piles[-1][-1], layer):
            piles[-1].append(layer)
        else:
            piles.append([layer])
    return piles


def draw_layers(
    canvas: Canvas,
    pieces: list[Piece],
    room: tuple[float, float, float],
    liner: float,
    left: float,
    top: float,
    wide: float,
    unit: str,
) -> float:
    """One plan per layer from above, the back wall on top; what is already there is outlined faintly. Returns the y below."""
    scale = min(wide / room[0], 240 / room[1])
    long, across = room[0] * scale, room[1] * scale
    piles = _piles(pieces)
    done: list[Piece] = []
    for pile, caption in zip(piles, _captions(piles, unit), strict=True):
        canvas.words(left, top + 12, caption, "start", 700)
        y, x = top + 20, left + (wide - long) / 2
        canvas.rectangle(x, y, long, across, "url(#bench-liner)" if liner else PAPER, 2)
        if liner:
            canvas.rectangle(
                x + liner * scale,
                y + liner * scale,
                long - 2 * liner * scale,
                across - 2 * liner * scale,
                PAPER,
                0.8,
            )
        for piece in done:
            if piece.z + piece.dz > pile[0][0].z + 0.5 or pile[0][0].z > 0.5:
                canvas.rectangle(
                    x + piece.x * scale,
                    y + piece.y * scale,
                    piece.dx * scale,
                    piece.dy * scale,
                    "none",
                    0.8,
                    "2 3",
                )
        for piece, _ in _marks(pile):
            canvas.rectangle(
                x + piece.x * scale,
                y + piece.y * scale,
                piece.dx * scale,
                piece.dy * scale,
                FILLS[piece.texture][0],
                1.4,
            )
        taken: list[Point] = []
        for piece, words in _marks(pile):
            corner = (x + piece.x * scale, y + piece.y * scale)
            _number_in(canvas, taken, corner, piece.dx * scale, piece.dy * scale, words)
        done += [piece for layer in pile for piece in layer]
        top = y + across + LAYER_GAP - 8
    return top
