"""The line between a device and the house, with everything that goes wrong on it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from storm.world import World

Json = dict[str, Any]

FAULTS = ("ask lost", "answer lost", "said twice", "comes late", "first half only", "second half only", "another's page", "crash")
FAULT_CHANCE = 0.4


class Crash(RuntimeError):
    """The house stops in the middle of a write."""


class Line:
    """A transport for a device. Calm, it only carries JSON; otherwise every other exchange or so goes wrong."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.calm = False
        self.late: list[tuple[str, Json]] = []
        self.forced: str | None = None
        self.asleep: dict[str, int] = {}
        """Devices that are out of reach, by token, and for how many more requests of anybody."""

    def mirror(self, token: str) -> Json:
        """The mirror, as JSON carries it; it may be lost too."""
        self._must_be_awake(token)
        if not self.calm and self.forced is None and self.world.rng.random() < FAULT_CHANCE:
            self.world.fired["mirror lost"] += 1
            raise OSError("mirror lost")
        answer: Json = json.loads(json.dumps(self.world.house.mirror(token)))
        return answer

    def exchange(self, token: str, ask: Json) -> Json:
        """One round trip, or OSError when the device cannot know what happened."""
        self._must_be_awake(token)
        ask = json.loads(json.dumps(ask))
        fault = self._fault()
        if fault is None:
            return self._carry(token, ask)
        self.world.fired[fault] += 1
        if fault == "said twice":
            self._carry(token, ask)
            return self._carry(token, ask)
        if fault == "another's page":
            return {"protocol": 1, "request": "sign in to this network"}
        if fault == "answer lost":
            self._carry(token, ask)
        elif fault == "comes late":
            self.late.append((token, ask))
        elif fault in ("first half only", "second half only"):
            middle = len(ask["operations"]) // 2
            part = ask["operations"][:middle] if fault == "first half only" else ask["operations"][middle:]
            self._carry(token, {**ask, "operations": part})
        elif fault == "crash":
            statements = self.world.rng.randrange(1, self.world.rng.choice((20, 80, 400)))
            self.world.crash_while(lambda: self.world.unheard(token, ask), statements)
        raise OSError(fault)

    def sleeps(self, token: str, requests: int) -> None:
        """A device is out of reach for so many requests of anybody."""
        self.asleep[token] = requests

    def _must_be_awake(self, token: str) -> None:
        self.asleep = {one: left - 1 for one, left in self.asleep.items() if left > 0}
        if token in self.asleep and not self.calm:
            raise OSError("asleep")

    def deliver_late(self) -> None:
        """One ask of long ago arrives after all (in any order); nobody hears the answer."""
        if self.late:
            token, ask = self.late.pop(self.world.rng.randrange(len(self.late)))
            self.world.unheard(token, ask)

    def _carry(self, token: str, ask: Json) -> Json:
        answer: Json = json.loads(json.dumps(self.world.house.exchange(token, ask)))
        return answer

    def _fault(self) -> str | None:
        if self.forced is not None:
            fault, self.forced = self.forced, None
            return fault if fault in FAULTS else None
        rng = self.world.rng
        return None if self.calm or rng.random() > FAULT_CHANCE else rng.choice(FAULTS)
