"""Whatever is made, counted and taken back, in the house's own records: honey and wax close to the gram, on the device too.

The expected totals are kept by the test itself, act by act, not taken from the sums under test.
"""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from demo_seed.client.device import DeviceClient
from demo_seed.goods_of_stages import stage_good_rows
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from honeyhold.house.house import House
from honeyhold.records.models import LotBalance
from honeyhold.replication.mirror import moved_sums
from honeyhold.stock.season import season_sums
from honeyhold.stock.stages import STAGES
from quick_disk import QUICK_DISK
from replication.houses import DAY, MONDAY, device

GOODS = [{"id": "bar", "kind": "wax", "net_g": 28}, {"id": "jar", "kind": "honey", "net_g": 454}]
LETTERS = {stage.good: stage.letter for stage in STAGES}
WAX = ["wax_melted", "wax_dipped", "wax_coarse", "wax_fine", "wax_back"]
GRAMS = st.integers(1, 50_000)


class Season(RuleBasedStateMachine):
    """A device in a real house; every act is an operation, and some are taken back."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(dir=QUICK_DISK))
        self.house = House.open(self.folder / "data", now=lambda: MONDAY)
        goods = [{"table": "good", "name": row["id"], "sold": True, "unit": "each", **row} for row in GOODS]
        self.house.write("set_good", [*goods, *stage_good_rows()])
        self.hand: DeviceClient = device(self.house)
        self.acts: list[tuple[dict[str, Any], Counter[str]]] = []
        self.expected: Counter[str] = Counter()
        self.codes = 0
        self.undone: dict[str, Counter[str]] = {}

    def teardown(self) -> None:
        assert self.house.check() == []
        self.house.close()
        shutil.rmtree(self.folder)

    def lot(self, good: str) -> dict[str, Any]:
        self.codes += 1
        return {"id": f"{LETTERS.get(good, 'W')}26-201-{self.codes}", "good": good, "made_on": DAY}

    def did(self, **totals: int) -> None:
        """Notes what the last entry should have changed."""
        self.acts.append((self.hand.log[-1], Counter(totals)))
        self.expected.update(totals)

    @rule(honey=GRAMS, cappings=GRAMS)
    def extract(self, honey: int, cappings: int) -> None:
        bucket, capped = self.lot("honey_bulk"), self.lot("cappings")
        self.hand.make([bucket, capped], [("honey_bulk", bucket["id"], honey, "made"), ("cappings", capped["id"], cappings, "made")])
        self.did(honey_in=honey, cappings_in=cappings, honey_left=honey, cappings_left=cappings)

    @rule(wax=GRAMS, honey=GRAMS, lost=st.integers(1, 300))
    def melt(self, wax: int, honey: int, lost: int) -> None:
        cake, residue = self.lot("wax_melted"), self.lot("honey_residue")
        rows = [("cappings", None, -wax - honey, "passed"), ("cappings", None, -lost, "lost"),
                ("wax_melted", cake["id"], wax, "came"), ("honey_residue", residue["id"], honey, "came")]  # fmt: skip
        self.hand.make([cake, residue], rows)
        self.did(cappings_passed=wax + honey, cappings_lost=lost, cappings_left=-wax - honey - lost, honey_in=honey, honey_left=honey,
                 wax_in=wax, wax_left=wax)  # fmt: skip

    @rule(at=st.integers(0, 2), grams=GRAMS, lost=st.integers(1, 300))
    def screen(self, at: int, grams: int, lost: int) -> None:
        to = self.lot(WAX[at + 1])
        self.hand.make([to], [(WAX[at], None, -grams, "passed"), (WAX[at], None, -lost, "lost"), (to["good"], to["id"], grams, "came")])
        self.did(wax_lost=lost, wax_left=-lost)

    @rule(bars=st.integers(1, 100), grams=GRAMS, specks=st.integers(1, 300))
    def pour(self, bars: int, grams: int, specks: int) -> None:
        lot, back = self.lot("bar"), self.lot("wax_back")
        rows = [("wax_fine", None, -grams, "used"), ("wax_fine", None, -specks, "passed"), ("wax_back", back["id"], specks, "came"),
                ("bar", lot["id"], bars, "poured")]  # fmt: skip
        self.hand.make([lot, back], rows)
        self.did(wax_made=grams, wax_left=-grams, bars=bars)

    @rule(jars=st.integers(1, 100), grams=GRAMS, lost=st.integers(1, 300), good=st.sampled_from(["honey_bulk", "honey_residue"]))
    def bottle(self, jars: int, grams: int, lost: int, good: str) -> None:
        lot = self.lot("jar")
        self.hand.make([lot], [(good, None, -grams, "used"), (good, None, -lost, "lost"), ("jar", lot["id"], jars, "bottled")])
        self.did(honey_made=grams, honey_lost=lost, honey_left=-grams - lost, jars=jars)

    @rule(grams=GRAMS)
    def feed(self, grams: int) -> None:
        self.hand.count([("honey_residue", None, -grams, "fed")])
        self.did(honey_fed=grams, honey_left=-grams)

    @rule(good=st.sampled_from(WAX), grams=st.integers(-500, 500).filter(bool))
    def count(self, good: str, grams: int) -> None:
        self.hand.count([(good, None, grams, "counted")])
        self.did(wax_counted=grams, wax_left=grams)

    @rule(which=st.integers(0, 30))
    def take_back(self, which: int) -> None:
        if self.acts:
            operation, totals = self.acts.pop(which % len(self.acts))
            self.hand.take_back(operation)
            self.undone[self.hand.log[-1]["id"]] = totals
            self.expected.subtract(totals)

    @rule()
    def share(self) -> None:
        self.hand.exchange()
        for told in self.hand.needs_you:
            assert "is still there" in told["why"], told  # what was made of it since is undone first: the undoing never was
            self.expected.update(self.undone.pop(told["id"], Counter()))

    def told(self, answer: dict[str, Any]) -> None:
        """The sums against the test's own totals."""
        assert answer["closes"]
        names = {"in": "in_g", "made": "made_g", "lost": "lost_g", "fed": "fed_g", "left": "left_g", "passed": "passed_g",
                 "counted": "counted_g"}  # fmt: skip
        for group in ("honey", "cappings", "wax"):
            for word, field in names.items():
                assert answer[group][field] == self.expected[f"{group}_{word}"], (group, word)
        assert (answer["bars"]["units"], answer["jars"]["units"]) == (self.expected["bars"], self.expected["jars"])

    @invariant()
    def the_device_closes(self) -> None:
        view = self.hand.view
        moved = [{"good": good, "reason": why, "year": year, "units": units} for (good, why, year), units in view.moved.items()]
        balances = [{"good": good, "units": units} for (good, _), units in view.lots.items()]
        self.told(season_sums({"season": 2026, "goods": GOODS, "moved": moved, "balances": balances}))

    @invariant()
    def the_house_closes_once_it_has_heard(self) -> None:
        if self.hand.in_hand:
            return
        with self.house.records.read():
            moved, balances = moved_sums(self.house.records), self.house.records.dicts(LotBalance.select())
        self.told(season_sums({"season": 2026, "goods": GOODS, "moved": moved, "balances": balances}))


Season.TestCase.settings = settings(max_examples=30, stateful_step_count=25, deadline=None)
TestSeasonCloses = Season.TestCase
