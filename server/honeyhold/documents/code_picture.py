"""A code's modules as a picture: which are dark is worked out elsewhere, by a library; here it is only drawn."""

from __future__ import annotations

from markupsafe import Markup

from honeyhold.documents.reading import Reader

SIDE_MAX = 60
QUIET = 4
"""Modules left white around it (ISO/IEC 18004)."""


def code_picture(request: Reader) -> Markup:
    """The picture of `code`, rows of 0 and 1 as texts; empty where there is none. Raises BadRequest when it is no square of these."""
    rows = request.texts("code")
    if not rows:
        return Markup()
    square = len(rows) <= SIDE_MAX and all(len(row) == len(rows) and set(row) <= {"0", "1"} for row in rows)
    if not square:
        raise request.wrong("code", f"a square of at most {SIDE_MAX} rows of 0 and 1")
    side = len(rows) + 2 * QUIET
    dark = "".join(f"M{x + QUIET} {y + QUIET}h1v1h-1z" for y, row in enumerate(rows) for x, module in enumerate(row) if module == "1")
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="Code for the search" viewBox="0 0 {side} {side}"'
        ' shape-rendering="crispEdges"><path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path d="{dark}"/></svg>'
    ).format(side=side, dark=dark)
