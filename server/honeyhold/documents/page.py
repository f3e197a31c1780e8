"""The template engine and the sizes of paper.

Templates are this package's own data, read through the import system: they work from a folder and from inside
a zip alike.
"""

from __future__ import annotations

import pkgutil
from dataclasses import dataclass
from functools import cache

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup


@dataclass(frozen=True)
class Paper:
    """A size of paper and the type that stays readable on it."""

    css_size: str
    css_margin: str
    body_pt: float


SIZES: dict[str, Paper] = {
    # 8.5 by 11 inches; 210 by 297 and 148 by 210 mm (ISO 216)
    "letter": Paper("8.5in 11in", "0.75in 0.75in 0.6in", 12),
    "a4": Paper("210mm 297mm", "19mm 19mm 16mm", 12),
    "a5": Paper("148mm 210mm", "16mm 12mm 14mm", 10.5),
}
LABEL = Paper("4in 6in", "0", 12)


@dataclass(frozen=True)
class Printed:
    """A finished paper: HTML that stands alone, and what it is called."""

    html: str
    title: str
    notes: tuple[str, ...] = ()
    """What whoever prints it should know."""


def printed(template: str, title: str, **facts: object) -> Printed:
    """The finished paper. Every text is escaped on its way in; a missing name raises."""
    return Printed(_engine().get_template(template).render(title=title, **facts), title)


def css_text(words: str) -> Markup:
    """Words as a quoted CSS string in which no character can end the string, the style or the page."""
    plain = (letter.isascii() and letter.isalnum() for letter in words)
    safe = "".join(
        letter if is_plain else f"\\{ord(letter):06x} " for letter, is_plain in zip(words, plain, strict=True)
    )
    return Markup(f'"{safe}"')


@cache
def _engine() -> Environment:
    engine = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    engine.filters["css_text"] = css_text
    return engine


def _template(name: str) -> str | None:
    try:
        data = pkgutil.get_data("honeyhold.documents", f"templates/{name}")
    except OSError:
        return None
    return None if data is None else data.decode("utf-8")
