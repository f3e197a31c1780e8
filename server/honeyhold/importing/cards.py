"""People out of a vCard file: versions 3 and 4 (RFC 2426, RFC 6350), and 2.1 as older telephones save it.

Only what a honey house keeps is read: names, numbers, one address, notes. A card that is cut off or has lines that are none gives what
can be read of it, and says so.
"""

from __future__ import annotations

import quopri
import re
from typing import Any

Json = dict[str, Any]
CARDS_MAX = 8000
ESCAPED = re.compile(r"\\([\\,;nN:])")
ADDRESS_PARTS = 7  # post office box, extended, street, town, region, code, country


def is_cards(text: str) -> bool:
    """Whether the text is a vCard file."""
    return text.lstrip("\ufeff \r\n\t")[:11].upper() == "BEGIN:VCARD"


def cards_of(text: str) -> list[tuple[int, Json, str]]:
    """(line it begins at, what it says, what is wrong with it) of every card."""
    found: list[tuple[int, Json, str]] = []
    begun, card, bad = 0, _empty(), 0
    for number, line in _unfolded(text):
        name, parameters, value = _split(line)
        if name == "BEGIN":
            if begun:
                found.append((begun, card, "the card is cut off"))
            begun, card, bad = number, _empty(), 0
        elif name == "END" and begun:
            found.append((begun, card, f"{bad} of its lines cannot be read" if bad else ""))
            begun = 0
        elif begun and name:
            _take(card, name, parameters, value)
        elif begun and line.strip():
            bad += 1
    if begun:
        found.append((begun, card, "the card is cut off"))
    return found[:CARDS_MAX]


def _empty() -> Json:
    return {"name": "", "first": "", "last": "", "company": "", "phones": [], "street": "", "unit": "", "city": "", "state": "", "zip": "",
            "email": "", "note": ""}  # fmt: skip


def _unfolded(text: str) -> list[tuple[int, str]]:
    """Lines with their numbers, a line that goes on (after white space, or quoted-printable's "=") joined to the one before."""
    lines: list[tuple[int, str]] = []
    for number, line in enumerate(text.lstrip("\ufeff").splitlines(), 1):
        begun, before = lines[-1] if lines else (number, "")
        if before.endswith("=") and "QUOTED-PRINTABLE" in before.upper():
            lines[-1] = (begun, before[:-1] + line.lstrip())
        elif lines and line[:1] in (" ", "\t"):
            lines[-1] = (begun, before + line[1:])
        else:
            lines.append((number, line))
    return lines


def _split(line: str) -> tuple[str, str, str]:
    """Name without its group, parameters, value; empty where the line is none. A colon in a quoted parameter divides nothing."""
    found = re.match(r'((?:[^":]|"[^"]*")+):(.*)$', line)
    if not found:
        return "", "", ""
    name, _, parameters = found[1].partition(";")
    name = name.rpartition(".")[2].strip().upper()
    return (name if re.fullmatch(r"[A-Z0-9-]+", name) else ""), parameters.lower(), _plain(found[2], parameters)


def _plain(value: str, parameters: str) -> str:
    if "quoted-printable" not in parameters.lower():
        return value.strip()
    data = quopri.decodestring(value.encode("latin-1", "replace"))
    try:
        return data.decode("utf-8").strip()
    except UnicodeDecodeError:
        return data.decode("windows-1252", "replace").strip()


def _parts(value: str) -> list[str]:
    return [_text(part) for part in re.split(r"(?<!\\);", value)]


def _text(value: str) -> str:
    return " ".join(ESCAPED.sub(lambda found: " " if found[1] in "nN" else found[1], value).split())


def _take(card: Json, name: str, parameters: str, value: str) -> None:
    if name == "FN":
        card["name"] = card["name"] or _text(value)
    elif name == "N":
        last, first = (*_parts(value), "", "")[:2]
        card["first"], card["last"] = first, last
    elif name == "ORG":
        card["company"] = card["company"] or _parts(value)[0]
    elif name == "TEL" and "fax" not in parameters:
        number = re.sub(r"^tel:", "", _text(value)).partition(";")[0]
        card["phones"].insert(0 if "pref" in parameters else len(card["phones"]), number)
    elif name == "ADR" and (not card["street"] or "pref" in parameters):
        box, more, street, city, state, code, _country = (*_parts(value), *[""] * ADDRESS_PARTS)[:ADDRESS_PARTS]
        card |= {"street": street or box, "unit": more, "city": city, "state": state, "zip": code}
    elif name in ("EMAIL", "NOTE"):
        field = name.lower()
        card[field] = card[field] or _text(value)
