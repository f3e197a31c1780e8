"""Goal: no order of events oversells. Method: Hypothesis chooses what each device does and how each exchange goes wrong."""

from __future__ import annotations

import tempfile
from pathlib import Path
from random import Random

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from quick_disk import QUICK_DISK
from storm.acts import ACTS, count_down
from storm.line import FAULTS
from storm.world import World

DEVICES = st.integers(0, 2)
WRITTEN = sorted(set(ACTS) - {"exchange", "ask for share"})
"""Acts that write something down; exchanges have a rule of their own."""


class Devices(RuleBasedStateMachine):
    """Three devices and a house; every checker of the storm looks after every step, and again when all was heard."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory(dir=QUICK_DISK)
        self.world = World(0, Path(self.folder.name))

    @rule(device=DEVICES, name=st.sampled_from(WRITTEN + ["promise"] * 8), seed=st.integers(0, 2**32))
    def act(self, device: int, name: str, seed: int) -> None:
        self.world.rng = Random(seed)
        ACTS[name][0](self.world, self.world.phones[device])

    @rule(device=DEVICES, seed=st.integers(0, 2**32))
    def count_down(self, device: int, seed: int) -> None:
        self.world.rng = Random(seed)
        count_down(self.world, self.world.phones[device])

    @rule(device=DEVICES, fault=st.sampled_from(["none", *FAULTS]), wants=st.booleans())
    def exchange(self, device: int, fault: str, wants: bool) -> None:
        self.world.line.calm = True
        self.world.line.forced = fault
        self.world.exchange(self.world.phones[device], {"bar": 12, "jar": 9} if wants else None)
        self.world.line.forced = None

    @rule()
    def something_late_arrives(self) -> None:
        self.world.line.deliver_late()

    @rule()
    def restart(self) -> None:
        self.world.restart()

    @invariant()
    def every_checker_agrees(self) -> None:
        self.world.look()

    def teardown(self) -> None:
        try:
            self.world.heal()
        finally:
            self.world.close()
            self.folder.cleanup()


TestInterleavings = Devices.TestCase
TestInterleavings.settings = settings(
    max_examples=15, stateful_step_count=25, deadline=None, suppress_health_check=list(HealthCheck)
)
