"""Dividing an order among several cartons at the least cost, exactly.

Lazy: the cheapest division is worked out as if everything went in, then its parcels are tried; what does not go in is struck out, and
the cheapest division is worked out again. Two questions take turns. What is the cheapest division of parcels that go in (a parcel that
the effort did not settle is left out)? And is any division cheaper if what is not settled goes in after all? Where the second finds
none, the first is the optimum: everything cheaper was struck out by limits, bounds or searches. Where it finds one, its doubtful parcels
are tried harder.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from honeyhold.packing.fit import FITS, UNKNOWN
from honeyhold.packing.model.container import EffortLimitReached
from honeyhold.packing.model.problem import LinedCarton
from honeyhold.packing.partition.best_first import Cheapest, Way
from honeyhold.packing.partition.choice import CartonSelection, Counts, Parcel
from honeyhold.packing.partition.lower_bound import ENDLESS, Floor

FIRST_STEPS, TIMES_HARDER = 4_000, 4
"""What a parcel is tried with at first, and how much more each time that it turns out to matter."""


@dataclass
class _Partition:
    """The two questions about one order, and what was found so far."""

    selection: CartonSelection
    whole: Counts
    floor: Floor
    searches: dict[tuple[bool, tuple[str, ...]], Cheapest] = field(default_factory=dict)

    def cheapest(self, hopeful: bool, best: Way | None) -> Way | None:
        """The cheapest division within stock that beats `best`; cartons are counted only once they turn out to be scarce."""
        scarce: tuple[LinedCarton, ...] = ()
        while True:
            key = hopeful, tuple(carton.id for carton in scarce)
            if key not in self.searches:
                self.searches[key] = Cheapest(self.selection, self.floor, hopeful, scarce)
            found = self.searches[key].divide(self.whole, best[0] if best else ENDLESS)
            more = tuple(
                carton
                for carton in self.selection.problem.cartons
                if found and carton.in_stock is not None and sum(used is carton for _, used in found[1]) > carton.in_stock
            )
            if not more:
                return found
            scarce += more

    def try_each(self, found: Way) -> bool:
        """Tries the parcels of a division that were not tried yet, up to the first that does not go in; whether any was."""
        fresh = [(counts, carton) for counts, carton in found[1] if (counts, carton.id) not in self.selection.verdicts]
        for counts, carton in fresh:
            if self.selection.verdict_within(counts, carton, FIRST_STEPS).state != FITS:
                break
        return bool(fresh)

    def try_harder(self, hoped: Way) -> None:
        """Tries what is doubtful in a division that would be cheaper with more effort. Raises EffortLimitReached."""
        selection = self.selection
        for counts, carton in hoped[1]:
            before = selection.verdicts.get((counts, carton.id))
            if before is not None and before.state != UNKNOWN:
                continue
            tried = selection.steps_tried.get((counts, carton.id), 0) if before else 0
            if selection.effort.left <= tried * 3 // 2:
                raise EffortLimitReached
            verdict = selection.verdict_within(counts, carton, max(FIRST_STEPS, TIMES_HARDER * tried))
            if verdict.state == FITS and before is not None:
                self._start_over_without_doubt()
            if verdict.state != FITS:
                return

    def _start_over_without_doubt(self) -> None:
        """What was left out as doubtful goes in after all: the divisions without it are not the cheapest any more."""
        for key in [key for key in self.searches if not key[0]]:
            del self.searches[key]

    def settle(self, best: Way | None) -> tuple[Way | None, bool]:
        """The cheapest division, `best` (of parcels that go in) if none is cheaper, and whether that is proved."""
        try:
            while True:
                found = self.cheapest(False, best)
                if found:
                    if not self.try_each(found):
                        best = found
                    continue
                hoped = self.cheapest(True, best) if self._doubts() else None
                if hoped is None:
                    return best, True
                self.try_harder(hoped)
        except EffortLimitReached:
            return best, False

    def _doubts(self) -> bool:
        return any(verdict.state == UNKNOWN for verdict in self.selection.verdicts.values())


def several_parcels(selection: CartonSelection, whole: Counts, single: list[Parcel]) -> tuple[list[Parcel], bool]:
    """Parcels at the least cost (none when no division works), and whether that is proved; `single` holds all in one, where known."""
    known: Way | None = None
    if single:
        carton = single[0].figures.carton
        known = selection.cost(whole, carton), [(whole, carton)]
    selection.sparing = True
    found, proved = _Partition(selection, whole, Floor(selection)).settle(known)
    if found is None:
        return [], proved
    return [Parcel(counts, selection.figures_of(counts, carton), selection.verdict(counts, carton)) for counts, carton in found[1]], proved
