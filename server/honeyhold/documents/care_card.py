"""The care card, to lie in the box or beside the till: what honey and wax ask of whoever takes them home.

Honey sets and becomes liquid again in a warm bath, wax softens in heat and gets a bloom: common practice to say, no source. Under 110 °F
is where bottlers warm it too; above 140 °F for two hours it is spoiled (a bee club's page). That wax is melted over water and that water
never goes on burning wax is said by several safety pages. For infants see cautions.py.
"""

from __future__ import annotations

from honeyhold.documents.cautions import INFANTS
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.page import SIZES, Paper, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest

NO_NAME = "Our honey house"
HONEY = (
    "Keep the lid on and the jar at room temperature, out of the sun.",
    "Honey crystallizes by and by. It is not spoiled: it spreads well that way.",
    "To make it liquid, loosen the lid and stand the jar in warm water, no hotter than 110 °F, until it is clear. Do not boil it.",
)
WAX = (
    "Keep wax cool: a hot car, a sunny sill or a mailbox in summer softens it.",
    "A white film comes with time and is harmless. Rub it off with a soft cloth.",
    "Melt it over water, never straight on the flame, and stay with it. Never put water on burning wax: lay a lid on it.",
)
SHEETS = {"letter": ("8.5in 11in", 4), "a4": ("210mm 297mm", 4), "a5": ("148mm 210mm", 1)}
"""Paper, and how many cards are cut out of it."""


def care_card(request: Reader) -> Printed:
    """Cards from `house`, `honey` and `wax` (true for what they are to speak of), `size`. Raises BadRequest when they speak of neither."""
    house, size = house_facts(request, NO_NAME), request.choice("size", {name: name for name in SIZES}, "letter")
    honey, wax = request.raw("honey") is True, request.raw("wax") is True
    if not honey and not wax:
        raise BadRequest("There is neither honey nor wax to care for.", "Write what you sell under Settings first.")
    css_size, count = SHEETS[size]
    return printed(
        "care.html",
        "Care card",
        paper=Paper(css_size, "0", 10.5 if count > 1 else 14),
        house=house,
        count=count,
        size=css_size.split(),
        honey=HONEY if honey else (),
        wax=WAX if wax else (),
        infants=INFANTS.words if honey else "",
        running_head="",
    )
