"""The pencil: textures, faces, numbers and a legend, written as SVG text."""

from __future__ import annotations

from dataclasses import dataclass

PAPER, INK, WAX, PROPOLIS, GLASS, SHADE = "#f4efe2", "#241c14", "#e2ae3f", "#8c2f1b", "#fffdf7", "#c98f22"
TEXT_PX, PAPER_TEXT_PX = 14, 19
"""How large numbers and words are, of 360: on a screen as wide as a phone, and on paper, where it is a third of the page."""

DEFINITIONS = (
    "<defs>"
    f'<pattern id="bench-glass" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    f'<rect width="7" height="7" fill="{GLASS}"/><path d="M0 0V7" stroke="{INK}" stroke-width="1"/></pattern>'
    f'<pattern id="bench-wax" width="12" height="8" patternUnits="userSpaceOnUse"><rect width="12" height="8" fill="{WAX}"/>'
    f'<path d="M1 2H5M7 6H11" stroke="{INK}" stroke-width=".9"/></pattern>'
    f'<pattern id="bench-cold" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="{GLASS}"/>'
    f'<circle cx="2" cy="2" r="1.3" fill="{INK}"/><circle cx="5.5" cy="5.5" r="1.3" fill="{INK}"/></pattern>'
    f'<pattern id="bench-liner" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="{PAPER}"/>'
    f'<path d="M0 6L4 2L8 6" fill="none" stroke="{INK}" stroke-width=".9"/></pattern>'
    "</defs>"
)


@dataclass(frozen=True)
class Piece:
    """One placement to draw, in millimetres from the carton's inner left back bottom corner."""

    number: int
    label: str
    texture: str
    x: float
    y: float
    z: float
    dx: float
    dy: float
    dz: float


Point = tuple[float, float]
FILLS = {
    "glass": ("url(#bench-glass)", GLASS, GLASS),
    "wax": ("url(#bench-wax)", WAX, SHADE),
    "plain": (PAPER, PAPER, PAPER),
    "cold": ("url(#bench-cold)", GLASS, GLASS),
}


class Canvas:
    """Shapes in the order they are laid down."""

    def __init__(self, text_px: int = TEXT_PX) -> None:
        self._parts: list[str] = []
        self.text_px = text_px

    @staticmethod
    def safe(words: str) -> str:
        """Text that may stand in SVG."""
        kept = "".join(sign for sign in words if sign >= " ")
        return kept.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")

    def text(self) -> str:
        """All that was drawn."""
        return "".join(self._parts)

    def face(self, points: list[Point], fill: str, width: float = 1.2, dash: str = "") -> None:
        """A filled outline."""
        path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(f'<path d="{path}" fill="{fill}" stroke="{INK}" stroke-width="{width:g}" stroke-linejoin="round"{dashed}/>')

    def lines(self, pairs: list[tuple[Point, Point]], width: float = 1.6, dash: str = "") -> None:
        """Straight lines."""
        path = "".join(f"M{a[0]:.1f} {a[1]:.1f}L{b[0]:.1f} {b[1]:.1f}" for a, b in pairs)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="{width:g}" stroke-linecap="round"{dashed}/>')

    def rectangle(self, x: float, y: float, wide: float, high: float, fill: str, width: float = 1.2, dash: str = "") -> None:
        """An upright rectangle."""
        self.face([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], fill, width, dash)

    def words(
        self,
        x: float,
        y: float,
        words: str,
        anchor: str = "start",
        weight: int = 400,
        colour: str = INK,
    ) -> None:
        """Words with a baseline at y."""
        self._parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{self.text_px}" text-anchor="{anchor}" font-weight="{weight}" '
            f'fill="{colour}">{self.safe(words)}</text>'
        )

    def number(self, x: float, y: float, words: str) -> None:
        """A packing number on a paper-coloured patch, centred, so that it reads over any texture."""
        larger = self.text_px / TEXT_PX
        half, high = (4.4 * len(words) + 3) * larger, 8 * larger
        self._parts.append(
            f'<rect x="{x - half:.1f}" y="{y - high:.1f}" width="{2 * half:.1f}" height="{2 * high:.1f}" rx="{high:.1f}" fill="{PAPER}" '
            f'stroke="{INK}" stroke-width=".8"/>'
        )
        self.words(x, y + 4.6 * larger, words, "middle", 700)

    def legend(self, left: float, top: float, wide: float, pieces: list[Piece], liner: bool) -> float:
        """Which texture is what, two to a row where they fit; the y below it."""
        rows = dict.fromkeys((piece.label, piece.texture) for piece in pieces)
        items = [(label, FILLS[texture][0]) for label, texture in rows] + ([("liner", "url(#bench-liner)")] if liner else [])
        x, y, larger = left, top, self.text_px / TEXT_PX
        for label, fill in items:
            shown = label if len(label) <= 40 else label[:39] + "…"
            need = (26 + 7.4 * len(shown) + 16) * larger
            if x > left and x + need > left + wide:
                x, y = left, y + 22 * larger
            self.rectangle(x, y, 18 * larger, 14 * larger, fill)
            self.words(x + 25 * larger, y + 12 * larger, shown)
            x += need
        return y + 18 * larger
