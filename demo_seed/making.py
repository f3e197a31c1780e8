"""The season before the week: two extractions, jars, creamed honey, and cappings on their way to bars, every gram accounted for.

Weights are invented, of the size such a house sees (common practice, no source).
"""

from __future__ import annotations

from typing import Any

from demo_seed.client.device import DeviceClient

POUND_G = 453.59237
STEPS = (("wax_melted", "wax_dipped", "D"), ("wax_dipped", "wax_coarse", "S"), ("wax_coarse", "wax_fine", "F"))


def pounds(amount: float) -> int:
    """Whole grams."""
    return round(amount * POUND_G)


def _lot(story: Any, kind: str, offset: int, run: str | None, good: str, sources: list[str], **measures: int) -> dict[str, Any]:
    code = story.lot(kind, offset, run)
    return {"id": code, "good": good, "made_on": story.day(offset).isoformat(), "sources": sources, "measures": measures}


def extract(story: Any, hand: DeviceClient, offset: int, honey_lb: int, capped_lb: int, **measures: int) -> None:
    """A day at the extractor: honey into buckets, cappings left to drain. Cappings carry the day of their extraction."""
    honey, capped = pounds(honey_lb), pounds(capped_lb)
    bucket = _lot(story, "H", offset, "A", "honey_bulk", [], honey_g=honey, buckets=-(-honey_lb // 60), **measures)
    drained = _lot(story, "K", offset, None, "cappings", [bucket["id"]], drained_g=capped)
    rows = [("honey_bulk", bucket["id"], honey, "made"), ("cappings", drained["id"], capped, "made")]
    hand.make([bucket, drained], rows, on=story.day(offset))


def bottle(
    story: Any, hand: DeviceClient, kind: str, offset: int, source: str, jars: dict[str, int], used_g: int, lost_g: int
) -> None:  # fmt: skip
    """From a bucket into jars or tubs."""
    first = next(iter(jars))
    lot = _lot(story, kind, offset, "1", first, [source], honey_g=used_g, lost_g=lost_g)
    rows = [("honey_bulk", source, -used_g, "used"), ("honey_bulk", source, -lost_g, "lost")]
    hand.make([lot], [*rows, *((good, lot["id"], units, "bottled") for good, units in jars.items())], on=story.day(offset))


def melt_and_screen(
    story: Any, hand: DeviceClient, offset: int, capped: str, wax_g: int, honey_g: int, lost_g: int, losses_g: tuple[int, int, int]
) -> str:  # fmt: skip
    """Cappings melted, dipped and screened twice; the code of what can be poured."""
    day = story.day(offset)
    cake = _lot(story, "M", offset, "1", "wax_melted", [capped])
    residue = _lot(story, "R", offset, "1", "honey_residue", [capped])
    rows = [
        ("cappings", capped, -wax_g - honey_g, "passed"), ("cappings", capped, -lost_g, "lost"),
        ("wax_melted", cake["id"], wax_g, "came"), ("honey_residue", residue["id"], honey_g, "came"),
    ]  # fmt: skip
    hand.make([cake, residue], rows, on=day)
    at, left = cake["id"], wax_g
    for (good, following, letter), lost in zip(STEPS, losses_g, strict=True):
        lot = _lot(story, letter, offset + 1, "1", following, [at])
        left -= lost
        rows = [(good, at, -left, "passed"), (good, at, -lost, "lost"), (following, lot["id"], left, "came")]
        hand.make([lot], rows, on=story.day(offset + 1))
        at = lot["id"]
    return str(at)


def pour(story: Any, hand: DeviceClient, offset: int, fine: str, units: int, specked: int, used_g: int, back_g: int) -> None:
    """Bars out of the moulds: the good ones to the shelf, the specked ones back to be melted."""
    measures = {"pours": (units + specked) // 10, "poured": units + specked, "specked": specked, "cool_s": 2340, "fan": 0, "wax_g": used_g}
    bars = _lot(story, "W", offset, "1", "bar", [fine], **measures)
    lots, rows = [bars], [("wax_fine", fine, -used_g, "used"), ("bar", bars["id"], units, "poured")]
    if back_g:
        specks = _lot(story, "X", offset, "1", "wax_back", [fine], specked=specked)
        lots.append(specks)
        rows += [("wax_fine", fine, -back_g, "passed"), ("wax_back", specks["id"], back_g, "came")]
    hand.make(lots, rows, on=story.day(offset))


def season_so_far(story: Any, hand: DeviceClient) -> None:
    """From the first extraction to the Monday of the story."""
    basswood, road = story.lot("H", -20, "A"), story.lot("H", -2, "A")
    extract(story, hand, -20, 460, 22, supers=14, water_permille=174, color_mm=38)
    bottle(story, hand, "J", -18, basswood, {"jar_16": 60, "jar_12": 36}, used_g=39_790, lost_g=450)
    bottle(story, hand, "C", -11, basswood, {"tub": 24}, used_g=6_880, lost_g=120)
    fine = melt_and_screen(story, hand, -6, story.lot("K", -20, None), pounds(7.8), 5_900, 541, (58, 30, 20))
    hand.count([("honey_residue", story.lot("R", -6, "1"), -4_000, "fed")], on=story.day(-5))
    pour(story, hand, -4, fine, units=30, specked=2, used_g=866, back_g=58)
    blocks = _lot(story, "B", -4, "1", "block", [fine], wax_g=1_820)
    hand.make([blocks], [("wax_fine", fine, -1_820, "used"), ("block", blocks["id"], 4, "poured")], on=story.day(-4))
    extract(story, hand, -2, 420, 24, supers=13, water_permille=179, color_mm=46)
    bottle(story, hand, "J", 0, road, {"quart": 20}, used_g=27_400, lost_g=250)
