"""A line on which nothing is lost and every worked-out answer is slow: held until it is let go, or for a while drawn from a seed."""

from __future__ import annotations

import http.client
import random
import threading

from browser.house_process import Gate, HouseProcess, _GateHandler

HELD_MOST_S = 300.0
"""A test that forgets to let go must not keep the server's threads for ever."""


class SlowLine(Gate):
    """`hold()` keeps every answer of the work back until `let_go()`; `draw(seed, most_s)` keeps each for a random while instead."""

    def __init__(self, house: HouseProcess) -> None:
        super().__init__(house)
        self.RequestHandlerClass = _SlowHandler
        self.answered: list[str] = []
        self._free = threading.Event()
        self._free.set()
        self._chance: random.Random | None = None
        self._most_s = 0.0
        self._turn = threading.Lock()

    def hold(self) -> None:
        """From now on no answer comes."""
        self._free.clear()

    def let_go(self) -> None:
        """All that was held comes, and what is asked from now on comes at once."""
        self._free.set()

    def draw(self, seed: int, most_s: float) -> None:
        """Each answer takes between nothing and so many seconds."""
        with self._turn:
            self._chance, self._most_s = random.Random(seed), most_s

    def wait_for_work(self) -> None:
        """Until this answer may go."""
        self._free.wait(HELD_MOST_S)
        with self._turn:
            pause_s = self._chance.uniform(0, self._most_s) if self._chance else 0.0
        if pause_s:
            threading.Event().wait(pause_s)


class _SlowHandler(_GateHandler):
    def _ask(self, gate: Gate, house: http.client.HTTPConnection, mishap: str | None) -> None:
        assert isinstance(gate, SlowLine)
        if self.path.startswith("/api/work/"):
            gate.wait_for_work()
        super()._ask(gate, house, mishap)
        gate.answered.append(self.path)
