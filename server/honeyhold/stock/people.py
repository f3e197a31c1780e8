"""A caller's number and address: read back in groups, and as the lines of an address block.

Numbers are kept as E.164 texts such as "+17155550123" (importing/phones.py reads them). Addresses follow USPS Publication
28, chapter 2: capitals, one left margin, recipient, delivery line, last line, two spaces before the ZIP code.
"""

from __future__ import annotations

import re

from honeyhold.stock.errors import UnreadableField, UnreadableText
from honeyhold.stock.reading import Request, text


def _parts(e164: str) -> list[str]:
    if not isinstance(e164, str) or not re.fullmatch(r"\+[1-9]\d{6,14}", e164, re.ASCII):
        raise UnreadableField("phone", e164, 'a number like "+17155550123"')
    if re.fullmatch(r"\+1\d{10}", e164):
        return [e164[2:5], e164[5:8], e164[8:]]
    digits = e164[1:]
    groups = [digits[place : place + 3] for place in range(0, len(digits), 3)]
    if len(groups[-1]) == 1:  # nobody reads a lone last digit: 3 3 1 becomes 3 4
        groups[-2:] = [groups[-2] + groups[-1]]
    return ["+" + groups[0], *groups[1:]]


def phone_words(e164: str) -> str:
    """The number as written: "715-555-0123". Raises UnreadableField."""
    return "-".join(_parts(e164))


def zip_text(value: object) -> str:
    """A ZIP code as text, "04609" or "04609-1234". A number is refused: it has already lost its zero.

    Raises UnreadableText.
    """
    found = (
        re.fullmatch(r"\s*(\d{5})(?:[- ]?(\d{4}))?\s*", value, re.ASCII) if isinstance(value, str) else None
    )
    if not found:
        raise UnreadableText(
            "a ZIP code", value, 'Write five digits as text, like "04609", or nine like "04609-1234".'
        )
    return found[1] + (f"-{found[2]}" if found[2] else "")


_UNIT_WORDS = {
    "APARTMENT": "APT", "SUITE": "STE", "BUILDING": "BLDG", "FLOOR": "FL", "DEPARTMENT": "DEPT",
    "ROOM": "RM", "SPACE": "SPC",
}  # fmt: skip
_UNITS = {
    "APT",
    "STE",
    "BLDG",
    "FL",
    "UNIT",
    "RM",
    "DEPT",
    "LOT",
    "SPC",
    "BOX",
    "PH",
    "BSMT",
    "LOWR",
    "UPPR",
    "#",
}


def _capitals(words: str) -> str:
    """Capitals without punctuation, but for hyphens, slashes in fractions, "&" and "#" (Publication 28,
    section 222).
    """
    return " ".join(re.sub(r"[^\w\s#&/'-]", " ", words.upper()).replace("'", "").split())


def _unit_words(unit: str) -> str:
    """The unit as it ends the delivery line; "#" stands before it when its kind was not said (213)."""
    words = _capitals(unit).replace("#", "# ").split()
    if not words:
        return ""
    words[0] = _UNIT_WORDS.get(words[0], words[0])
    return " ".join(words if words[0] in _UNITS else ["#", *words])


def address_lines(request: Request) -> list[str]:
    """The lines of the address block, top to bottom: recipient, delivery line, city and state and ZIP code.

    Fields `name`, `street`, `unit`, `city`, `state`, `zip`, all text; empty ones leave no gap. Two spaces
    stand before the ZIP code. Military mail keeps APO, FPO or DPO as its city and AA, AE or AP as its state.
    Raises UnreadableField for a state that is not two letters, UnreadableText for a ZIP code that is none.
    """
    said = {
        field: text(request, field, default="")
        for field in ("name", "street", "unit", "city", "state", "zip")
    }
    state = _capitals(said["state"])
    if state and not re.fullmatch(r"[A-Z]{2}", state):
        raise UnreadableField("state", said["state"], "two letters like WI")
    zip_code = zip_text(said["zip"]) if said["zip"].strip() else ""
    delivery = " ".join(part for part in (_capitals(said["street"]), _unit_words(said["unit"])) if part)
    place = " ".join(part for part in (_capitals(said["city"]), state) if part)
    last = "  ".join(part for part in (place, zip_code) if part)
    return [line for line in (_capitals(said["name"]), delivery, last) if line]
