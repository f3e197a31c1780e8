"""People as vCards (RFC 2426, the version that every address book reads): one text, a card after the other."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

FOLD_BYTES: Final = 75
"""No line of a card is longer; the rest goes on in the next, behind a space."""


def cards_of(people: Iterable[dict[str, Any]]) -> str:
    """A card for everybody who is shown and has a name or a number; who was joined to another is in that one's place."""
    shown = (person for person in people if not person["hidden"] and not person["same_as"] and (person["name"] or person["phone"]))
    return "".join(_card(person) for person in shown)


def _card(person: dict[str, Any]) -> str:
    first, _, last = person["name"].rpartition(" ")
    lines = ["BEGIN:VCARD", "VERSION:3.0", f"UID:{_text(person['id'])}", f"FN:{_text(person['name'] or person['phone'])}"]
    lines.append(f"N:{_text(last)};{_text(first)};;;")
    if person["phone"]:
        lines.append(f"TEL;TYPE=VOICE:{person['phone']}")
    if any(person[part] for part in ("street", "city", "state", "zip")):
        parts = ("unit", "street", "city", "state", "zip")
        lines.append(f"ADR:;{';'.join(_text(person[part]) for part in parts)};")
    if person["note"]:
        lines.append(f"NOTE:{_text(person['note'])}")
    return "".join(_folded(line) for line in [*lines, "END:VCARD"])


def _text(value: str) -> str:
    for sign in ("\\", ";", ","):
        value = value.replace(sign, f"\\{sign}")
    return value.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")


def _folded(line: str) -> str:
    """In pieces of at most 75 bytes; no letter is cut in two."""
    folded, room = "", FOLD_BYTES
    for letter in line:
        size = len(letter.encode())
        if size > room:
            folded, room = f"{folded}\r\n ", FOLD_BYTES - 1
        folded, room = folded + letter, room - size
    return folded + "\r\n"
