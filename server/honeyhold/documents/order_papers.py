"""All the papers of one order from its rows, its parcels worked out once: for one label, and for a day's pile."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from honeyhold.documents.label import labels
from honeyhold.documents.order_facts import ParcelFacts, parcel_facts
from honeyhold.documents.order_slip import slip_of_order, told_parcels, with_named_lots
from honeyhold.documents.page import Printed
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest
from honeyhold.heat.atlas import Atlas
from honeyhold.heat.words import packing


@dataclass(frozen=True)
class OrderPapers:
    """The slip, the labels (none, and why not, where the address is not whole) and the parcels as a gathering sheet is told them."""

    slip: Printed
    label: Printed | None
    no_label: str
    parcels: list[dict[str, Any]]


def label_of_order(request: Reader, atlas: Atlas | None = None) -> Printed:
    """The address labels; `request` as for the slip, and `label_size`. What has no parcel yet is one box.

    Raises BadRequest as the label does.
    """
    return labels(request, _boxes(request, told_parcels(with_named_lots(request), request, atlas)))


def papers_of_order(request: Reader, atlas: Atlas | None = None) -> OrderPapers:
    """Slip, labels and told parcels of an order that goes by mail; a pick-up has its slip alone. Raises BadRequest as the slip does.

    `request` as for the slip; `told` holds the parcels that an order of the same goods to the same place was told before: a day has many
    such, and planning is what takes time.
    """
    known = request.raw("told")
    told = parcel_facts(Reader({"parcels": known}, "told.")) if known else None
    parcels = told or told_parcels(with_named_lots(request), request, atlas)
    slip, label, why = slip_of_order(request, atlas, parcels), None, ""
    if request.mapping("order").raw("way") == "post":
        try:
            label = labels(request, _boxes(request, parcels))
        except BadRequest as trouble:  # the pile goes on without it
            why = str(trouble)
    return OrderPapers(slip, label, why, [_told(parcel) for parcel in parcels])


def _boxes(request: Reader, parcels: tuple[ParcelFacts, ...]) -> tuple[ParcelFacts, ...]:
    dressing = str(request.mapping("order").raw("dressing") or "plain")
    return parcels or (ParcelFacts(1, 1, "", "", packing(dressing), drawing=Markup(""), steps=(), dressing_id=dressing),)


def _told(parcel: ParcelFacts) -> dict[str, Any]:
    return {
        "part": parcel.part, "of": parcel.of, "carton_name": parcel.carton, "gross_words": parcel.gross, "dressing": parcel.dressing_id,
        "dressing_words": parcel.dressing, "svg": str(parcel.drawing), "steps": list(parcel.steps),
    }  # fmt: skip
