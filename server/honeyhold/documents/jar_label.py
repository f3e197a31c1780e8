"""Labels for jars and bars on a sheet of labels: what it is, the owner's own words and picture, how much, which lot, who made it.

What goes on honey's label in a state is for that state to say; these are the common parts (name of the food, net quantity, maker's name
and place: 21 CFR 101.3, 101.5, 101.7), and the caution about infants is never left out where there is honey. The net quantity stands
alone in the lowest part of the label, in letters as high as the panel asks for, as much room above it as they are high (101.7 e, f, i).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from markupsafe import Markup

from honeyhold.documents.cautions import holds_honey
from honeyhold.documents.label_grid import LabelGrid, Spot, read_grid
from honeyhold.documents.letterhead import HouseFacts, house_facts
from honeyhold.documents.net_quantity import net_words, type_height_mm
from honeyhold.documents.order_facts import good_facts
from honeyhold.documents.page import Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.typesetting import POINTS_PER_MM, X_HEIGHT, height_pt, width_pt
from honeyhold.errors import BadRequest

LABELS_MOST = 2000
WORDS_MOST = 400
PICTURE_MOST = 120_000
PADDING_MM = Fraction(3, 2)
GAP_MM = Fraction(3, 2)
INFANTS = "Honey is not for babies under 12 months."
SMALL_PRINT_MM = Fraction("25.4") / 16
"""How high a small o of the other words should stand (21 CFR 101.2 c)."""
TYPES = ((22, 12, 9.2), (18, 11, 9.2), (15, 10, 9.2), (12, 9.2, 9.2), (11, 8, 8), (10, 7, 7), (9, 6, 6), (8, 5.2, 5.2))
"""Title, own words and small print in points, the largest that fits is taken."""
PICTURE = re.compile(r"data:image/(png|jpeg);base64,[A-Za-z0-9+/]+={0,2}")


@dataclass(frozen=True)
class LabelWords:
    """What stands on each of the labels."""

    title: str
    words: str
    caution: str
    maker: str
    lot: str
    net: tuple[str, str]
    picture: Markup


@dataclass(frozen=True)
class Setting:
    """The sizes it is set in: points, and the picture's side in millimeters."""

    title_pt: float
    words_pt: float
    small_pt: float
    net_pt: float
    net_room_pt: float
    picture_mm: float


def jar_labels(request: Reader) -> Printed:
    """A sheet or more of labels.

    `request`: `house`, `sheet` (the setting `label_sheet`), `good` (row), `title` and `words` (the owner's own; without a title the
    good's name), `picture` (a PNG or JPEG as a data address, or empty), `lot` (or empty), `count`, `first` (the place of the first free
    label on a sheet that was begun), `trial` (frames and numbers alone, to hold against a sheet). Raises BadRequest naming what cannot be
    read, or what does not fit.
    """
    grid = read_grid(request.mapping("sheet"))
    first = request.units("first", least=1) if request.raw("first") is not None else 1
    if first > grid.on_a_sheet:
        raise request.wrong("first", f"one of the sheet's {grid.on_a_sheet} labels")
    if request.raw("trial") is True:
        return _sheets(grid, list(grid.spots(grid.on_a_sheet)), "Test sheet for labels", trial=True)
    words = _words(request, house_facts(request, "Our honey house"))
    sizes = _set(words, request.mapping("good"), grid)
    count = request.units("count", least=1)
    if count > LABELS_MOST:
        raise request.wrong("count", f"at most {LABELS_MOST}")
    spots = list(grid.spots(count, first))
    made = _sheets(grid, spots, f"Labels, {words.title}", words=words, sizes=sizes)
    return Printed(made.html, made.title, tuple(_notes(sizes, words)))


def _sheets(grid: LabelGrid, spots: list[Spot], title: str, **facts: object) -> Printed:
    sheets = [[spot for spot in spots if spot.sheet == number] for number in range(spots[-1].sheet + 1)]
    told: dict[str, object] = {"trial": False, "words": None, "sizes": None, **facts}
    return printed("jar_label.html", title, paper=grid.paper, grid=grid, sheets=sheets, running_head="", mm=_mm, **told)


def _words(request: Reader, house: HouseFacts) -> LabelWords:
    row = request.mapping("good")
    good, lot = good_facts(row), request.text("lot")
    net_g = row.raw("net_g")
    if good.unit == "g" or not isinstance(net_g, int) or net_g <= 0:
        raise BadRequest(f"Nobody wrote how much is in a {good.name}.", "Write its net weight under Settings, Measures.")
    return LabelWords(
        title=request.text("title", most=WORDS_MOST) or good.name[:1].upper() + good.name[1:],
        words=request.text("words", most=WORDS_MOST),
        caution=INFANTS if holds_honey(good) else "",
        maker=", ".join([house.name, *house.address_lines]),
        lot=f"Lot {lot}" if lot else "",
        net=net_words(net_g),
        picture=_picture(request),
    )


def _picture(request: Reader) -> Markup:
    """The picture's address, which can hold nothing but a picture."""
    address = request.text("picture", most=PICTURE_MOST)
    if address and not PICTURE.fullmatch(address):
        raise BadRequest("The picture is no PNG or JPEG.", "Choose another picture under Settings, Papers and labels.")
    return Markup(address)


def _set(words: LabelWords, row: Reader, grid: LabelGrid) -> Setting:
    """The largest type in which all of it fits. Raises BadRequest when none does."""
    width, height = (float(side - 2 * PADDING_MM) * POINTS_PER_MM for side in (grid.width, grid.height))
    letter_pt = float(type_height_mm(_panel_mm2(row, grid))) * POINTS_PER_MM
    net_pt = letter_pt / X_HEIGHT
    net_lines = 1 if width_pt(_joined(words.net), net_pt, bold=True) <= width else 2
    room = height - net_pt * 1.1 * net_lines - letter_pt
    side = min(width * 0.36, room) if words.picture else 0
    for title_pt, words_pt, small_pt in TYPES:
        beside = width - (side + float(GAP_MM) * POINTS_PER_MM if side else 0)
        top = height_pt(words.title, title_pt, beside, bold=True) + height_pt(words.words, words_pt, beside)
        small = height_pt(words.caution, small_pt, beside, bold=True) + height_pt(f"{words.maker} \u00b7 {words.lot}", small_pt, beside)
        if top + small <= room:
            return Setting(title_pt, words_pt, small_pt, net_pt, letter_pt, side / POINTS_PER_MM)
    remedy = "Write fewer words of your own, leave the picture out, or take larger labels."
    raise BadRequest("That does not fit on a label of this size.", remedy)


def _panel_mm2(row: Reader, grid: LabelGrid) -> Fraction:
    """The panel that is seen: two fifths round a jar, the face of a bar (21 CFR 101.1); the label itself where nothing was measured."""
    length, width, height = (_side_mm(row, f"{side}_mm") for side in ("length", "width", "height"))
    if not (length and width and height):
        return grid.width * grid.height
    if row.raw("upright"):
        return Fraction(0.4 * pi) * max(length, width) * height
    sides = sorted((length, width, height))
    return sides[1] * sides[2]


def _side_mm(row: Reader, key: str) -> Fraction:
    """A side of a good, 0 where it was not measured. Raises BadRequest."""
    side = row.raw(key) or 0
    if isinstance(side, bool) or not isinstance(side, int | float) or side < 0:
        raise row.wrong(key, "a length in mm")
    return Fraction(side)


def _joined(net: tuple[str, str]) -> str:
    """ "Net Wt 12 oz (340 g)", "Net Wt 24 oz (1 lb 8 oz) 680 g" """
    inch_pound, metric = net
    return f"{inch_pound} {metric}" if inch_pound.endswith(")") else f"{inch_pound} ({metric})"


def _notes(sizes: Setting, words: LabelWords) -> Iterator[str]:
    small_o_mm = sizes.small_pt * X_HEIGHT / POINTS_PER_MM
    if words.caution and small_o_mm < float(SMALL_PRINT_MM) - 0.01:
        yield "The small print is smaller than 1/16 inch, for want of room: put the rest on a label of its own, or take larger labels."


def _mm(length: Fraction | float) -> str:
    return f"{float(length):.3f}mm"
