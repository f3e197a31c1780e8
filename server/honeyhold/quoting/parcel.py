"""From what a caller wants to the parcel it makes: pieces and cartons for packing, and its plan in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from fractions import Fraction
from math import ceil

from honeyhold.errors import BadRequest
from honeyhold.packing.model.measures import G_PER_OZ, say_weight
from honeyhold.packing.model.plan import PackingPlan, PackingStep, ParcelPlan
from honeyhold.packing.model.request import Carton, Dressing, PackingRequest, Piece
from honeyhold.packing.plan import LIFT_G, TOO_HEAVY, plan_parcels
from honeyhold.quoting.kept import kept_plan
from honeyhold.quoting.postage import NONE_HOLDS, postage_of
from honeyhold.quoting.protection import dressing_figures, named, used_up
from honeyhold.quoting.quote import NamedRefusal, Quote, QuotedParcel
from honeyhold.quoting.request import CallRequest, Good
from honeyhold.stock.units import mailing_weight_words

GLASS_OVER_LIQUID_ML = 118
"""Four US fluid ounces: above this a liquid in a breakable container is packed three times over (postal rule 601.3.4)."""

BAG_G, SOAK_G_PER_100_ML = 6, 15
"""The leakproof bag around each such jar, and paper to soak up what is in it, which the cushioning is part of: common practice, no
source; weigh your own."""


def thrice_packed(good: Good) -> bool:
    """Whether a good is a liquid of more than four fluid ounces, which the post wants packed three times over."""
    return good.liquid_ml > GLASS_OVER_LIQUID_ML


def soak_g(good: Good) -> int:
    """The paper that soaks up all that one such piece holds, in whole grams; nothing for all others."""
    return round(good.liquid_ml * SOAK_G_PER_100_ML / 100) if thrice_packed(good) else 0


def pieces_of(request: CallRequest) -> tuple[Piece, ...]:
    """The pieces that have to stand in a carton: one group a good, wrapped as the good's measures say.

    Mailed, a liquid that is packed three times over weighs its bag too. Raises BadRequest when a good is unknown or was never measured.
    """
    units: dict[str, int] = {}
    for line in request.lines:
        units[line.good] = units.get(line.good, 0) + line.units
    return tuple(_piece(_known(request.goods, good), count, request.is_mailed) for good, count in units.items() if count > 0)


def packing_request(request: CallRequest, dressing: str) -> PackingRequest:
    """What packing is asked for one dressing; with a carton chosen by hand no other is looked at."""
    figures = dressing_figures(request.house, dressing)
    return PackingRequest(
        pieces=pieces_of(request),
        cartons=tuple(carton for carton in request.cartons if request.carton in (None, carton.id)),
        dressing=Dressing(
            liner_mm=figures["liner_mm"],
            liner_g_per_m2=figures["liner_mm"] * figures.get("liner_kg_per_m3", 0),
            liner_cents=figures["cost_cents"],
            chill=(_cold_pack(figures),) if "pack_g" in figures else (),
            filler_g_per_l=figures["filler_g_per_l"],
        ),
        posting=request.prices.posting if request.prices else None,
        seconds=request.seconds,
        unit="mm" if request.house.length_unit == "mm" else "in",
    )


def quote_of(request: CallRequest, dressing: str) -> Quote:
    """The parcels of an order in one dressing, in words. Raises BadRequest where nothing is wanted or a good was never measured."""
    question = packing_request(request, dressing)
    if not question.pieces:
        raise BadRequest("Nothing to pack: no line has any units.", "Say what is wanted first.")
    found = plan_parcels(question)
    if not found.parcels and question.posting:
        question = replace(question, posting=None)  # a price table that ends too soon must not keep a parcel from being packed
        found = plan_parcels(question)
    parcels = _in_words(request, found, question)
    price = postage_of(parcels, request.prices, request.prices_unknown)
    return Quote(
        ok=bool(parcels),
        words=_words(parcels) if parcels else NONE_HOLDS,
        parcels=parcels,
        proved=found.proved,
        said=found.said,
        why_not=tuple(NamedRefusal(one.carton, _name(one.carton, question.cartons), one.why) for one in found.why_not),
        cautions=(*_lacking(request, dressing), *cautions(request, parcels)),
        dressing=dressing,
        dressing_words=named(request.house, dressing),
        cost_cents=found.cost_cents,
        bench=replace(question, posting=None),
        posting_cents=price.posting_cents,
        posting_words=price.posting_words,
        posting_unknown=price.posting_unknown,
    )


def _lacking(request: CallRequest, dressing: str) -> list[str]:
    """What the chosen dressing needs and the house has counted down to none."""
    gone = used_up(request.house, dressing)
    return [f"There is no {' and no '.join(gone)} left by your count: count again under Settings, or choose another way."] if gone else []


def cautions(request: CallRequest, parcels: Iterable[ParcelPlan]) -> list[str]:
    """What belongs to these contents and nothing else; local rules and the carrier's come first."""
    inside, said = request.ordered(), []
    if any(good.kind == "honey" for good in inside):
        said.append("Honey is not for babies under 12 months.")
    if any(thrice_packed(good) for good in inside):
        said.append(
            "Liquid over 4 fl oz: cushion it with enough to soak it all up, seal it in a second leakproof bag, "
            "then a strong carton. Ask the post office what holds today."
        )
    if any(parcel.gross_g > LIFT_G for parcel in parcels):
        said.append(TOO_HEAVY)
    return said


def posting_off(request: CallRequest) -> str:
    """Why honey may not be posted yet, or nothing: rules for home-bottled honey differ, and only the keeper can ask their state."""
    honey = any(good.kind == "honey" for good in request.ordered())
    if not request.is_mailed or not honey or request.house.posting_honey_asked:
        return ""
    return (
        "Mailing honey is off: some states forbid mailing what was bottled at home. Ask yours once, then say so "
        "under Settings, your honey house."
        " Until then they may pick it up, or the order waits."
    )


def _known(goods: Mapping[str, Good], wanted: str) -> Good:
    good = goods.get(wanted)
    if good is None:
        raise BadRequest(f"The good {wanted!r} is not among those sent.", "Send the rows of every good in the order.")
    if not good.is_measured:
        name = good.name or wanted
        raise BadRequest(f"{name} was never measured.", "Measure length, width and height with lid and wrap, under Settings.")
    return good


def _piece(good: Good, count: int, posted: bool) -> Piece:
    return Piece(
        id=good.id,
        count=count,
        size_mm=(good.length_mm, good.width_mm, good.height_mm),
        mass_g=good.packed_g + (BAG_G if posted and thrice_packed(good) else 0),
        mass_sd_g=good.gross_sd_mg / 1000,
        upright=good.upright,
        glass=good.glass,
        wall_mm=good.wall_mm,
        gap_mm=good.gap_mm,
        bears_g=good.bears_g,
        label=_one_of(good),
        texture="glass" if good.glass else "wax" if good.kind == "wax" else "plain",
    )


def _one_of(good: Good) -> str:
    """What one of it is called: packing makes several of it by itself. `short` is written for several ("bars")."""
    return good.short.removesuffix("s") if good.short else good.name or good.id


def _cold_pack(figures: Mapping[str, int]) -> Piece:
    return Piece(
        id="cold_pack",
        size_mm=(figures["pack_length_mm"], figures["pack_width_mm"], figures["pack_height_mm"]),
        mass_g=figures["pack_g"],
        label="cold pack",
        texture="cold",
    )


def _in_words(request: CallRequest, found: PackingPlan, question: PackingRequest) -> tuple[QuotedParcel, ...]:
    liquids = {good.id: soak_g(good) for good in request.goods.values() if request.is_mailed and thrice_packed(good)}
    soaked = [_soaked(parcel, liquids, question.unit) for parcel in found.parcels]
    return tuple(_told(parcel, number, len(soaked), question) for number, parcel in enumerate(soaked, 1))


def soaking_words(needed_g: int, unit: str = "in") -> str:
    """How much paper soaks it all up: grams, or ounces rounded up as finely as they are said, for less would not be enough."""
    if unit == "mm":
        return say_weight(needed_g, unit)
    ounces = Fraction(needed_g) / G_PER_OZ
    return say_weight((ceil(ounces * 10) / Fraction(10) if ounces < 16 else ceil(ounces)) * G_PER_OZ, unit)


def _soaked(parcel: ParcelPlan, liquids: Mapping[str, int], unit: str) -> ParcelPlan:
    """Where the cushioning is too little to soak up a parcel's liquids, paper is added until it is enough."""
    needed_g = sum(units * liquids.get(good, 0) for good, units in parcel.contents.items())
    if not needed_g:
        return parcel
    added_g = max(0, needed_g - round(parcel.filler_g))
    paper = soaking_words(needed_g, unit)
    step = f"First: each jar over 4 fl oz into its own leakproof bag, with paper around it to soak it all up ({paper} in all)."
    return replace(
        parcel,
        gross_g=parcel.gross_g + added_g,
        filler_g=parcel.filler_g + added_g,
        steps=(step, *parcel.steps),
        step_rows=(PackingStep(step, None, None, 1), *parcel.step_rows),
    )


def _told(parcel: ParcelPlan, number: int, of: int, question: PackingRequest) -> QuotedParcel:
    # the cautions say what is too heavy, for all boxes at once
    parcel = replace(parcel, notes=tuple(note for note in parcel.notes if note != TOO_HEAVY))
    name = parcel.label or parcel.carton
    return QuotedParcel(
        **{field.name: getattr(parcel, field.name) for field in fields(parcel)},
        part=number,
        of=of,
        carton_name=name,
        gross_words=mailing_weight_words(round(parcel.gross_g)),
        kept=kept_plan(parcel, name, question),
    )


def _words(parcels: tuple[QuotedParcel, ...]) -> str:
    if len(parcels) == 1:
        return f"carton {parcels[0].carton_name}, {parcels[0].gross_words}"
    each = "; ".join(f"{parcel.carton_name}, {parcel.gross_words}" for parcel in parcels)
    return f"{len(parcels)} parcels: {each}"


def _name(carton: str, cartons: tuple[Carton, ...]) -> str:
    return next((one.label for one in cartons if one.id == carton), carton)
