"""Papers as PDF. What makes the PDF is imported when the first paper is asked for."""

from __future__ import annotations

import segno
from flask import Blueprint, Response, request

from honeyhold.api.access import the_device, the_house
from honeyhold.api.effort import the_effort
from honeyhold.documents.doors import slip
from honeyhold.errors import BadRequest
from honeyhold.kernel import atlas

door = Blueprint("papers", __name__)

SIZES = ("letter", "a4", "a5")


@door.get("/api/papers/slip/<order>.pdf")
def slip_pdf(order: str) -> Response:
    """The packing slip of one order."""
    the_device()
    size = request.args.get("size", "letter")
    if size not in SIZES:
        raise BadRequest(f"There is no paper of size {size!r}.", f"Ask for one of {', '.join(SIZES)}.")
    rows, places = {**the_house().slip_request(order, size), "code": code_rows(f"HONEYHOLD:ORDER:{order}")}, atlas()
    made = the_effort().spend(lambda: slip(rows, places))
    from honeyhold.documents.pdf import pdf_bytes

    answer = Response(pdf_bytes(made["html"]), content_type="application/pdf")
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Content-Disposition"] = f'inline; filename="slip-{order[-8:]}.pdf"'
    return answer


def code_rows(words: str) -> list[str]:
    """A QR code's modules, row by row: it opens the order where a device of this house reads it, and tells nobody else anything."""
    return ["".join("1" if module else "0" for module in row) for row in segno.make(words, error="m", micro=False).matrix]
