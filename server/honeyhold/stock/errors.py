"""What can go wrong when the trade's arithmetic reads what it is handed."""

from __future__ import annotations

from honeyhold.errors import BadRequest, HoneyholdError


class UnreadableField(BadRequest):
    """A field is missing, of the wrong sort or out of bounds; `field` names it, `value` is what was seen."""

    code = "unreadable-field"

    def __init__(self, field: str, value: object, wanted: str) -> None:
        super().__init__(
            f"Cannot use {field}: found {value!r}, wanted {wanted}.", f"Give {field} as {wanted}."
        )
        self.field = field
        self.value = value


class UnreadableText(BadRequest):
    """Words typed or heard that do not make a weight, a number, a day ...; `text` is what was seen."""

    code = "unreadable-text"

    def __init__(self, what: str, text: object, remedy: str) -> None:
        super().__init__(f"Cannot read {text!r} as {what}. {remedy}", remedy)
        self.what = what
        self.text = text


class LotLoop(HoneyholdError, ValueError):
    """A lot is its own source, directly or by way of others; `loop` is the ring of lots."""

    code = "lot-loop"

    def __init__(self, loop: list[str]) -> None:
        ring = " from ".join(loop)
        super().__init__(
            f"These lots are made from each other: {ring}.",
            "Open the newest of them and take the wrong source out; re-melted specks are a new lot.",
        )
        self.loop = loop
