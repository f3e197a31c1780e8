"""The receipt of one order: what it was told to cost, what was paid, and what is still owed."""

from __future__ import annotations

from honeyhold.documents.costs import cost_facts
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import order_facts, person_facts
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import day_words

NO_NAME = "Our honey house"


def receipt(request: Reader) -> Printed:
    """The receipt from `house` (settings), `order`, `person` (or null), `lines` (`good` row, `units`, `price_cents`, `steps`,
    `total_cents`), `paid_cents`, `tracking` (`number`, `link` or empty),
    `size` (`letter`, `a4` or `a5`), `today`. Raises BadRequest naming the field that cannot be read.
    """
    house, order, person = house_facts(request, NO_NAME), order_facts(request), person_facts(request)
    today = request.day("today")
    return printed(
        "receipt.html",
        f"Receipt {order.number} for {person.name}",
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        order=order,
        person=person,
        day=day_words(today) if today else "",
        costs=cost_facts(request),
        tracking=[_tracking(one) for one in request.objects("tracking")],
        running_head=f"{house.name} · receipt {order.number} · {person.name}",
    )


def _tracking(parcel: Reader) -> dict[str, str]:
    """A parcel's number with its carrier and, where the owner gave a pattern for it, the address of the carrier's page."""
    link = parcel.text("link")
    return {"number": parcel.text("number", needed=True), "link": link if link.startswith("https://") else ""}
