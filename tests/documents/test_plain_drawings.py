"""What a drawing may hold that is put into a paper, and what is said of one that holds more."""

from __future__ import annotations

import pytest

from honeyhold.documents.drawing import safe_drawing
from honeyhold.errors import BadRequest

DECLARED = "it holds a declaration, a comment or an instruction."
FETCHES = "it holds a style that fetches something."


@pytest.mark.parametrize("inside", [
    "", "<style/>", "<style>path { fill: red }</style>",
    '<style>path { fill: url("#a") }</style>', "<style>path { fill: URL( '#a') }</style>",
    '<use href="#a"/>', '<path fill="url(#a)" stroke="url(#b)"/>', "<g><text><tspan>on</tspan></text></g>",
], ids=[*"abcdefgh"])  # fmt: skip
def test_what_points_at_the_drawing_itself_is_taken_as_it_is(inside: str) -> None:
    drawing = f"<svg>{inside}</svg>"
    assert safe_drawing(drawing, "svg") == drawing


def test_no_drawing_is_none() -> None:
    assert safe_drawing("", "svg") == ""


REFUSED = {
    "a comment": ("<svg><!-- a --></svg>", DECLARED),
    "an instruction": ("<?xml version='1.0'?><svg/>", DECLARED),
    "no svg": ("<g><svg/></g>", "it starts with <g>."),
    "another namespace": ('<svg xmlns="urn:a"/>', "it starts with <{urn:a}svg>."),
    "a script": ("<svg><script/></svg>", "it holds <script>."),
    "deep inside": ("<svg><g><g><image/></g></g></svg>", "it holds <image>."),
    "imports": ("<svg><style>@IMPORT 'a'</style></svg>", FETCHES),
    "fetches": ("<svg><style>path { fill: url(a) }</style></svg>", FETCHES),
    "fetches beside its own": ("<svg><style>a { b: url(#a) } c { d: url(e) }</style></svg>", FETCHES),
    "hides what it fetches": ("<svg><style>a { b: \\75rl(a) }</style></svg>", FETCHES),
    "does something": ('<svg><g ONclick="go()"/></svg>', "it holds the attribute onclick='go()'."),
    "leads elsewhere": ('<svg><use HREF="a#b"/></svg>', "it holds the attribute href='a#b'."),
    "says much": (f'<svg><g onclick="{"x" * 50}"/></svg>', f"it holds the attribute onclick='{'x' * 40}'."),
    "an attribute fetches": ('<svg><g fill="url( &apos;a&apos; )"/></svg>', "it holds the attribute fill=\"url( 'a' )\"."),
}


@pytest.mark.parametrize("which", REFUSED)
def test_what_is_more_than_a_drawing_is_refused_and_why(which: str) -> None:
    drawing, why = REFUSED[which]
    with pytest.raises(BadRequest) as refused:
        safe_drawing(drawing, "parcel.svg")
    assert str(refused.value) == f"parcel.svg is not a plain drawing: {why}"
    assert refused.value.remedy == "Send the drawing as packing.draw gave it, or leave it out."


def test_what_cannot_be_read_is_refused_with_where() -> None:
    with pytest.raises(BadRequest, match=r"it cannot be read \(no element found: line 1, column 5\)"):
        safe_drawing("<svg>", "svg")
