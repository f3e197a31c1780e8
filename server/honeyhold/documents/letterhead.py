"""The house as it stands at the head of a paper: name, address, telephone, mail."""

from __future__ import annotations

import re
from dataclasses import dataclass

from honeyhold.documents.reading import Reader
from honeyhold.stock.people import address_lines


@dataclass(frozen=True)
class Address:
    """Where somebody lives, as they spell it; what is missing is empty."""

    street: str
    unit: str
    city: str
    state: str
    zip: str

    def plain(self) -> list[str]:
        """Street and place as a person spells them, without the gaps of what is missing."""
        delivery = ", ".join(part for part in (self.street, self.unit) if part)
        state = " ".join(part for part in (self.state, self.zip) if part)
        place = ", ".join(part for part in (self.city, state) if part)
        return [line for line in (delivery, place) if line]

    def postal(self, name: str) -> list[str]:
        """In the manner of Publication 28."""
        return address_lines({
            "name": name, "street": self.street, "unit": self.unit, "city": self.city, "state": self.state, "zip": self.zip,
        })  # fmt: skip


@dataclass(frozen=True)
class HouseFacts:
    """The sender. The address stands twice: as the house writes it, and in the manner of Publication 28 for a label."""

    name: str
    demo: bool
    address_lines: list[str]
    postal_lines: list[str]
    phone: str
    email: str
    returns_words: str
    closing_words: str
    slip_prices: bool


def house_facts(request: Reader, nameless: str = "") -> HouseFacts:
    """The sender of a request. A demo says so before its name, and so on every page. Raises BadRequest when there is no name."""
    house = request.mapping("house")
    demo, address = house.raw("demo") is True, address_of(house)
    name = ("DEMO: " if demo else "") + (house.text("name", needed=not nameless) or nameless)
    return HouseFacts(
        name=name,
        demo=demo,
        address_lines=address.plain(),
        postal_lines=address.postal(name),
        phone=phone_words(house.text("phone")),
        email=house.text("email"),
        returns_words=house.text("returns_words"),
        closing_words=house.text("closing_words"),
        slip_prices=house.raw("slip_prices") is True,
    )


def address_of(holder: Reader) -> Address:
    """The address in an object's own fields."""
    return Address(holder.text("street"), holder.text("unit"), holder.text("city"), holder.text("state"), holder.text("zip"))


def phone_words(phone: str) -> str:
    """A number of the North American plan as 715-555-0109; any other as it is kept."""
    parts = re.fullmatch(r"\+1(\d{3})(\d{3})(\d{4})", phone)
    return "-".join(parts.groups()) if parts else phone
