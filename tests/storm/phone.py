"""A device that can die: everything it knows is on a disk of its own, and it starts again from what was written there."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from datetime import datetime

from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import Json, Transport

KEPT = (
    "identity", "share_held", "mirror", "cursor", "epoch", "log", "prior", "answered", "refused_before", "places", "read_to",
    "expects", "short", "orders_counted",
)  # fmt: skip
"""What the device's one database holds; all of it is written in one go, as the browser's transactions do."""

OLD_NAME = "called"
"""What a person's name was called in entries of an app that was not updated (see `world.py`)."""


class PhoneDied(RuntimeError):
    """The device stopped: nothing after this moment happened on it."""


class Phone(DeviceClient):
    """`dies` = (how many more times it writes, "before" or "after" the write): there it stops."""

    def __init__(
        self, identity: Json, transport: Transport, new_id: Callable[[], str], clock: Callable[[], datetime], disk: bytes | None = None
    ) -> None:
        super().__init__(identity, transport, new_id, clock)
        self.dies: tuple[int, str] | None = None
        self.asked_back: dict[str, int] = {}
        self.old_app = False
        if disk is not None:
            for name, value in pickle.loads(disk).items():
                setattr(self, name, value)
        self.disk = disk or b""
        self._save()

    def again(self) -> Phone:
        """The same device, switched on again: it knows what was on its disk and nothing else."""
        reborn = Phone(self.identity, self.transport, self.new_id, self.clock, self.disk)
        reborn.old_app = self.old_app
        return reborn

    def twin(self) -> Phone:
        """Another phone with the same disk: a backup put back, or a store carried over."""
        twin = self.again()
        assert twin.log is not self.log
        return twin

    def write(self, kind: str, rows: list[Json], spent: dict[str, int] | None = None) -> Json:
        """One entry; on the disk before the act is told to anybody."""
        if self.old_app and kind == "note_person":
            rows = [{OLD_NAME if key == "name" else key: value for key, value in row.items()} for row in rows]
        operation = super().write(kind, rows, spent)
        self._commit()
        return operation

    def version_of(self, kind: str) -> int:
        """What this app writes: an old one writes the version before."""
        newest = super().version_of(kind)
        return newest - 1 if self.old_app and kind == "note_person" else newest

    def _begin(self) -> None:
        super()._begin()
        self._commit()

    def _begin_again(self) -> None:
        super()._begin_again()
        self._commit()

    def _hear(self, answer: Json) -> None:
        super()._hear(answer)
        self.asked_back = answer["ask_back"]
        self._commit()

    def _commit(self) -> None:
        """The one place where the disk changes, and where the device may stop just before or just after."""
        if self.dies is not None:
            left, moment = self.dies
            self.dies = (left - 1, moment)
            if left <= 1:
                if moment == "after":
                    self._save()
                raise PhoneDied(moment)
        self._save()

    def _save(self) -> None:
        self.disk = pickle.dumps({name: getattr(self, name) for name in KEPT})
