"""What honey, wax and glass ask of whoever opens the box.

The infant caution is never left out of a paper that goes with honey: honey may hold spores of *Clostridium
botulinum* and is not for children under one year, heated or not (public health institute of Quebec; from
memory, the United States' CDC and FDA say the same). That wax softens in heat and glass may break is common
practice to say, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from honeyhold.quoting.request import Good


@dataclass(frozen=True)
class Caution:
    """A sentence to print, and the marks by which we see that somebody has already said it."""

    words: str
    marks: tuple[str, ...]

    def said_in(self, sentences: list[str]) -> bool:
        """True when one of the sentences holds all the marks."""
        return any(all(mark in sentence.casefold() for mark in self.marks) for sentence in sentences)


INFANTS = Caution("Honey is not for babies under 12 months, not even a taste.", ("honey", "12 months"))
WAX = Caution(
    "Wax may soften in heat: bring the parcel in from a hot mailbox soon, and keep it cool.",
    ("wax", "soften"),
)
GLASS = Caution("Glass: open the box upright. If a jar is broken, throw its honey away.", ("glass",))


def cautions_for(goods: Sequence[Good], said: list[str]) -> list[str]:
    """The cautions that belong to these goods, then the house's own; none of ours twice."""
    ours = []
    if any(holds_honey(good) for good in goods):
        ours.append(INFANTS)
    if any(holds_wax(good) for good in goods):
        ours.append(WAX)
    if any(good.glass for good in goods):
        ours.append(GLASS)
    return [caution.words for caution in ours if not caution.said_in(said)] + said


def holds_honey(good: Good) -> bool:
    """Whether the infant caution belongs: kind `honey`, or a name that says honey."""
    return good.kind == "honey" or "honey" in good.name.casefold()


def holds_wax(good: Good) -> bool:
    """Whether heat can soften it: kind `wax`, or a name that says wax."""
    return good.kind == "wax" or "wax" in good.name.casefold()
