"""The doors of documents: plain JSON in, `{"html", "title"}` out. Each paper's own module says what it reads."""

from __future__ import annotations

from typing import Any

from honeyhold.documents.care_card import care_card
from honeyhold.documents.counting_sheet import counting_sheet
from honeyhold.documents.gathering import gathered, print_gathering
from honeyhold.documents.heat_sheet import heat_sheet as print_heat_sheet
from honeyhold.documents.jar_label import jar_labels
from honeyhold.documents.label import label
from honeyhold.documents.order_gathering import gathering_of_orders
from honeyhold.documents.order_papers import label_of_order, papers_of_order
from honeyhold.documents.order_slip import slip_of_order
from honeyhold.documents.page import Printed
from honeyhold.documents.price_list import price_list
from honeyhold.documents.reading import Reader
from honeyhold.documents.recall import recall
from honeyhold.documents.receipt import receipt
from honeyhold.documents.slip import print_slip, read_slip
from honeyhold.documents.statement import statement
from honeyhold.documents.year import year_summary
from honeyhold.heat.atlas import Atlas
from honeyhold.quoting.request import read_call

Json = dict[str, Any]


def slip(request: Json, atlas: Atlas | None = None) -> Json:
    """The slip of an order from its rows."""
    return _told(slip_of_order(Reader(request), atlas))


def gathering(request: Json, atlas: Atlas | None = None) -> Json:
    """A day's gathering sheet from its orders' rows."""
    return _told(gathering_of_orders(Reader(request), atlas))


def label_of(request: Json, atlas: Atlas | None = None) -> Json:
    """The address labels of an order from its rows."""
    return _told(label_of_order(Reader(request), atlas))


def order_papers(request: Json, atlas: Atlas | None = None) -> Json:
    """Slip and labels of an order from its rows, its parcels worked out once: `{"slip", "label" or null, "no_label", "parcels"}`."""
    made = papers_of_order(Reader(request), atlas)
    return {"slip": made.slip.html, "label": made.label.html if made.label else None, "no_label": made.no_label, "parcels": made.parcels}


def slip_html(request: Json) -> Json:
    """The slip of what is told ready made."""
    return _told(print_slip(read_slip(Reader(request))))


def gathering_html(request: Json) -> Json:
    """The gathering sheet of what is told ready made."""
    reader = Reader(request)
    return _told(print_gathering(reader, gathered(reader)))


def label_html(request: Json) -> Json:
    """The address labels of an order."""
    return _told(label(Reader(request)))


def jar_labels_html(request: Json) -> Json:
    """Sheets of labels for jars or bars."""
    return _told(jar_labels(Reader(request)))


def receipt_html(request: Json) -> Json:
    """The receipt of an order."""
    return _told(receipt(Reader(request)))


def statement_html(request: Json) -> Json:
    """What one person owes."""
    return _told(statement(Reader(request)))


def counting_html(request: Json) -> Json:
    """What should lie on the shelf, to count by."""
    return _told(counting_sheet(Reader(request)))


def prices_html(request: Json) -> Json:
    """The price list for the wall."""
    return _told(price_list(Reader(request)))


def care_html(request: Json) -> Json:
    """Cards of how to keep honey and wax."""
    return _told(care_card(Reader(request)))


def year_html(request: Json) -> Json:
    """The year's summary."""
    return _told(year_summary(Reader(request)))


def recall_html(request: Json) -> Json:
    """The recall sheet of a lot."""
    return _told(recall(Reader(request)))


def heat_sheet(request: Json, atlas: Atlas) -> Json:
    """The heat sheet of an order; request: that of `quoting.call`, with `who`, `number` and `size`."""
    return _told(print_heat_sheet(Reader(request), read_call(request), atlas))


def _told(paper: Printed) -> Json:
    notes = {"notes": list(paper.notes)} if paper.notes else {}
    return {"html": paper.html, "title": paper.title, **notes}
