"""Lets a drawing through to the paper only if it is nothing but a drawing.

Everything else on a paper is escaped text; a drawing is markup, and may come from another device. It is read
as XML, and only shapes, words and patterns pass: no script, no picture or link from elsewhere, no event
attribute, no style that fetches.
"""

from __future__ import annotations

from xml.etree import ElementTree

from markupsafe import Markup

from honeyhold.errors import BadRequest

DRAWING_LENGTH_MAX = 400_000
NAMESPACE = "{http://www.w3.org/2000/svg}"
SHAPES = frozenset((
    "svg", "g", "defs", "symbol", "use", "clipPath", "pattern", "marker", "style",
    "path", "rect", "line", "polyline", "polygon", "circle", "ellipse",
    "text", "tspan", "title", "desc",
))  # fmt: skip


def safe_drawing(drawing: str, field: str) -> Markup:
    """The drawing as markup that needs no escaping; empty stays empty.

    Raises BadRequest naming what does not belong into a drawing.
    """
    if not drawing:
        return Markup("")
    if "<!" in drawing or "<?" in drawing:
        raise _refused(field, "holds a declaration, a comment or an instruction")
    try:
        root = ElementTree.fromstring(drawing)
    except ElementTree.ParseError as trouble:
        raise _refused(field, f"cannot be read ({trouble})") from None
    if _name(root) != "svg":
        raise _refused(field, f"starts with <{_name(root)}>")
    for element in root.iter():
        _check(element, field)
    return Markup(drawing)


def _check(element: ElementTree.Element, field: str) -> None:
    name = _name(element)
    if name not in SHAPES:
        raise _refused(field, f"holds <{name}>")
    if name == "style" and _reaches_out(element.text or ""):
        raise _refused(field, "holds a style that fetches something")
    for attribute, value in element.attrib.items():
        bare = attribute.rpartition("}")[2].casefold()
        if bare.startswith("on") or (bare == "href" and not value.startswith("#")) or _reaches_out(value):
            raise _refused(field, f"holds the attribute {bare}={value[:40]!r}")


def _reaches_out(style: str) -> bool:
    """Whether a style or an attribute fetches something: any url() but one to a part of the same drawing."""
    squeezed = "".join(style.casefold().split()).replace("'", "").replace('"', "")
    return squeezed.count("url(") != squeezed.count("url(#") or "@import" in squeezed or "\\" in squeezed


def _name(element: ElementTree.Element) -> str:
    return element.tag.removeprefix(NAMESPACE)


def _refused(field: str, why: str) -> BadRequest:
    remedy = "Send the drawing as packing.draw gave it, or leave it out."
    return BadRequest(f"{field} is not a plain drawing: it {why}.", remedy)
