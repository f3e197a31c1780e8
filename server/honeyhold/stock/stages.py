"""The stages of honey and wax by weight: each is a good of kind `bulk`, counted in grams, with lots of its own.

Honey goes from the extractor into buckets and from there into jars. Cappings are drained, melted, dipped off the water,
screened twice, and poured; specked bars come back. A step passes grams on to the next stage (reasons `passed` and
`came`, to the gram), what goes into something sold is `used`, what is gone for good is `lost` or `fed` to the bees.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Stage:
    """One stage: its good, what it is called, what it is made of (`honey`, `cappings`, `wax`), the letter of its lots."""

    good: str
    name: str
    group: str
    letter: str


STAGES: tuple[Stage, ...] = (
    Stage("honey_bulk", "honey in buckets", "honey", "H"),
    Stage("honey_residue", "honey from the cappings", "honey", "R"),
    Stage("cappings", "drained cappings", "cappings", "K"),
    Stage("wax_melted", "first melt", "wax", "M"),
    Stage("wax_dipped", "dipped wax", "wax", "D"),
    Stage("wax_coarse", "coarse screened wax", "wax", "S"),
    Stage("wax_fine", "fine screened wax", "wax", "F"),
    Stage("wax_back", "specks to melt again", "wax", "X"),
)
"""In the order in which the material goes through the house."""

GROUPS = ("honey", "cappings", "wax")

STEPS_TO_POUR: dict[str, tuple[str, ...]] = {
    "wax_fine": (),
    "wax_coarse": ("fine screen",),
    "wax_dipped": ("coarse screen", "fine screen"),
    "wax_melted": ("dip", "coarse screen", "fine screen"),
    "wax_back": ("melt", "coarse screen", "fine screen"),
    "cappings": ("first melt", "dip", "coarse screen", "fine screen"),
}
"""What has to be done with each before it can be poured."""


def goods_of(group: str) -> tuple[str, ...]:
    """The goods of one group, in the order of the stages."""
    return tuple(stage.good for stage in STAGES if stage.group == group)
