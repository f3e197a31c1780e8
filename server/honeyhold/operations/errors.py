"""What the house answers when an operation or a device cannot be taken as it is."""

from __future__ import annotations

from honeyhold.errors import HoneyholdError

ALREADY = "Already undone"
"""What a second undo of an act is told begins with this: devices say it quietly, for there is nothing to do."""
ALREADY_PROMISED = "Already promised"
"""The same of a standing order that was confirmed on two devices."""


class Refused(HoneyholdError, ValueError):
    """An operation the house will not land. The answer is stored and never changes; trying again is a new operation."""

    code = "refused"
    status = 409


class NotCanonical(Refused, TypeError):
    """Something that has no canonical JSON: a fraction, a lone surrogate, a number too large to be exact."""

    code = "not-canonical"


class UnknownDevice(HoneyholdError, PermissionError):
    """No device of this house carries that token."""

    code = "unknown-device"
    status = 401


class DeviceLost(HoneyholdError, PermissionError):
    """The device was declared lost; what it sent was kept apart for the keeper.

    `kept`: the ids of those entries. `forget`: a verified backup holds all that it ever sent, it need keep nothing any more. `epoch`: the
    house's; in a new one it may lack what it kept apart before, and all is to be offered again.
    """

    code = "device-lost"
    status = 403

    def __init__(self, message: str, remedy: str, kept: list[str] | None = None, forget: bool = False, epoch: str = "") -> None:
        super().__init__(message, remedy)
        self.kept = kept or []
        self.forget = forget
        self.epoch = epoch


class NoRoomApart(HoneyholdError, RuntimeError):
    """So much of one device is kept apart already that no more is taken; the device keeps the rest."""

    code = "no-room-apart"
    status = 507

    def __init__(self, number: int) -> None:
        super().__init__(
            f"{number} late entries of this device wait to be settled: no more are taken in.",
            "On an owner's device, under Settings, settle what waits; this device keeps the rest and sends it then.",
        )


class KeeperOnly(HoneyholdError, PermissionError):
    """A helper's device asked for something only a keeper may do."""

    code = "keeper-only"
    status = 403


class WrongCode(HoneyholdError, PermissionError):
    """The enrolment code is wrong, used or too old."""

    code = "wrong-code"
    status = 403


class NoSuchThing(HoneyholdError, LookupError):
    """What was asked for by its id is not in the records."""

    code = "not-found"
    status = 404
