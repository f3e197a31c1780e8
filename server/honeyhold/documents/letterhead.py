"""The house as it stands at the head of a paper: name, address, telephone, mail."""

from __future__ import annotations

import re
from typing import Any

from honeyhold.documents import reading
from honeyhold.stock.people import address_lines

Json = dict[str, Any]


def house_facts(request: Json) -> Json:
    """`{name, demo, address_lines, postal_lines, phone, email, returns_words, closing_words}` of the sender.

    A demo says so before its name, and so on every page.
    The address stands twice: as the house writes it, and in the manner of Publication 28 for a label. Raises
    BadRequest when there is no name.
    """
    house = reading.mapping(request, "house")
    written = {key: reading.text(house, key, "house.") for key in ("street", "unit", "city", "state", "zip")}
    demo = house.get("demo") is True
    name = ("DEMO: " if demo else "") + reading.text(house, "name", "house.", needed=True)
    return {
        "name": name,
        "demo": demo,
        "address_lines": plain_address(written),
        "postal_lines": address_lines({**written, "name": name}),
        "phone": phone_words(reading.text(house, "phone", "house.")),
        "email": reading.text(house, "email", "house."),
        "returns_words": reading.text(house, "returns_words", "house."),
        "closing_words": reading.text(house, "closing_words", "house."),
    }


def plain_address(written: Json) -> list[str]:
    """Street and place as a person spells them, without the gaps of what is missing."""
    delivery = ", ".join(part for part in (written["street"], written["unit"]) if part)
    state = " ".join(part for part in (written["state"], written["zip"]) if part)
    place = ", ".join(part for part in (written["city"], state) if part)
    return [line for line in (delivery, place) if line]


def phone_words(phone: str) -> str:
    """A number of the North American plan as 715-555-0109; any other as it is kept."""
    parts = re.fullmatch(r"\+1(\d{3})(\d{3})(\d{4})", phone)
    return "-".join(parts.groups()) if parts else phone
