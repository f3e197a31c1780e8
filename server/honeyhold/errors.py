"""The root of every error that Honeyhold raises on purpose."""

from __future__ import annotations


class HoneyholdError(Exception):
    """Something the person can understand and act on.

    `code` is a short stable name (part of the interface: it ends the problem's URN), `remedy` says what to do.
    Subclasses add the facts as attributes and a built-in parent that says what sort of trouble it is.
    """

    code = "trouble"
    status = 400

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.remedy = remedy


class BadRequest(HoneyholdError, ValueError):
    """What was handed in cannot be read or makes no sense; the message names the field and the value seen."""

    code = "bad-request"
