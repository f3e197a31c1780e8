"""The packing slip from the rows of an order: what is packed is read, what is only promised is planned; then all goes to the paper."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from honeyhold.documents.drawing import safe_drawing
from honeyhold.documents.order_facts import ParcelFacts, receiver
from honeyhold.documents.page import Printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.slip import print_slip, read_slip
from honeyhold.errors import BadRequest
from honeyhold.heat.atlas import Atlas
from honeyhold.heat.words import packing
from honeyhold.quoting.kept import drawing_of, read_kept
from honeyhold.quoting.pictures import drawings
from honeyhold.quoting.postage import with_prices
from honeyhold.quoting.request import CallRequest, read_call
from honeyhold.stock.units import mailing_weight_words
from honeyhold.wire import Fields

NO_NAME = "Our honey house"
"""What the slip says of a house that has not written its name under Settings yet."""

NUMBER = re.compile(r"^\d+\.\s*")  # the paper numbers its steps itself


def slip_of_order(request: Reader, atlas: Atlas | None = None, parcels: tuple[ParcelFacts, ...] | None = None) -> Printed:
    """One order's slip; `parcels` where they are worked out already.

    `request`: `house`, `order`, `person` (or null), `lines` (`good` row, `units`, `sure`, `lots`), `parcels` (rows kept when it was
    packed), `cartons` (rows with `in_stock`), `size`, `today`. What goes by post and has no carton that holds it is told without
    a drawing, and so is what was never measured. Raises BadRequest as the paper does.
    """
    order = request.mapping("order")
    heat = [words for words in (order.text("heat"), _kept_words(order)) if words]
    told = with_named_lots(request)
    parcels = told_parcels(told, request, atlas) if parcels is None else parcels
    return print_slip(replace(read_slip(told, parcels, heat, NO_NAME), cautions=()))


def with_named_lots(order: Reader) -> Reader:
    """The order with those lots alone that have a name."""
    lines = [{**line.held, "lots": [lot.held for lot in line.objects("lots") if lot.raw("lot")]} for line in order.objects("lines")]
    return Reader({**order.held, "lines": lines}, order.where)


def told_parcels(order: Reader, shared: Reader, atlas: Atlas | None) -> tuple[ParcelFacts, ...]:
    """An order's parcels as a paper tells them: carton, weight, one drawing and its steps. None for what does not go by post.

    `shared` has the house, its cartons and the day. Parcels that are packed are told from their rows alone; only what is still promised
    is planned.
    """
    row = order.mapping("order")
    if row.raw("way") != "post":
        return ()
    packed = [parcel for parcel in order.objects("parcels") if parcel.raw("packed_on")]
    if packed:
        return tuple(_packed(parcel, len(packed), shared) for parcel in sorted(packed, key=lambda parcel: parcel.units("part")))
    asked = _asked(order, row, shared)
    return _planned(with_prices(asked, atlas)) if asked.lines else ()


def _asked(order: Reader, row: Reader, shared: Reader) -> CallRequest:
    """The order as it is asked to be planned, with what is sure of it."""
    lines = order.objects("lines")
    return read_call({
        "goods": [line.raw("good") for line in lines],
        "cartons": shared.raw("cartons"),
        "house": shared.raw("house"),
        "lines": [{"good": line.mapping("good").raw("id"), "units": line.raw("sure")} for line in lines if line.raw("sure")],
        "way": row.raw("way"),
        "dressing": row.raw("dressing"),
        "view": "oblique",
        "to": {"zip": receiver(order).raw("zip") or ""},
        "leave_on": row.raw("leave_on"),
        "today": shared.raw("today"),
        "carton": order.raw("carton"),
    })  # fmt: skip


def _kept_words(order: Reader) -> str:
    """What was done against heat, for who packs and who receives."""
    dressed = {"lined": f"Against heat: {packing('lined')}.", "chilled": f"Against heat: {packing('chilled')}; it may sweat."}
    held = "Held at the post office for pick-up." if order.raw("hold_at_counter") else ""
    return " ".join(part for part in (dressed.get(str(order.raw("dressing")), ""), held) if part)


def _packed(row: Reader, of: int, shared: Reader) -> ParcelFacts:
    """A packed parcel as its row keeps it: by eye there is no more than its carton, and its weight once it was weighed."""
    plan = read_kept(Fields.of(row.raw("plan") or {}, "parcel.plan"))
    weight_g, dressing = row.raw("scale_g") or row.raw("gross_g"), row.raw("dressing") or "plain"
    unit = str(shared.mapping("house").raw("length_unit") or "in")
    return ParcelFacts(
        part=row.units("part"),
        of=of,
        carton=plan.name or _carton_name(row, shared),
        gross=mailing_weight_words(weight_g) if weight_g else "",
        dressing=packing(dressing),
        drawing=safe_drawing(drawing_of(plan, unit, "oblique") if plan.placements else "", "parcel.plan"),
        steps=_unnumbered(plan.steps),
        dressing_id=dressing,
    )


def _carton_name(row: Reader, shared: Reader) -> str:
    """The name of the carton it went into: by the row that the house sent along, else by the cartons of today."""
    own = row.mapping_or_none("carton_row")
    listed = [own] if own else [carton for carton in shared.objects("cartons") if carton.raw("id") == row.raw("carton")]
    return str(listed[0].raw("name") or "") if listed else ""


def _planned(asked: CallRequest) -> tuple[ParcelFacts, ...]:
    """The parcels as they are planned and drawn."""
    try:
        quote, svgs = drawings(asked)
    except BadRequest:  # a good that nobody measured yet: the slip is needed all the same
        return ()
    return tuple(
        ParcelFacts(
            part=parcel.part,
            of=parcel.of,
            carton=parcel.carton_name,
            gross=parcel.gross_words,
            dressing=packing(asked.dressing),
            drawing=safe_drawing(svg, "drawing"),
            steps=_unnumbered(parcel.steps),
            dressing_id=asked.dressing,
        )
        for parcel, svg in zip(quote.parcels, svgs, strict=True)
    )


def _unnumbered(steps: Sequence[str]) -> tuple[str, ...]:
    return tuple(NUMBER.sub("", step) for step in steps)
