"""What became of planted mistakes, kept in a file, a line each: a long run is done in pieces and summed up."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from mutants_planted import CAUGHT, Outcome, Verdict, equivalents
from mutants_sites import Site

LET_BY: Final = (Verdict.SURVIVED, Verdict.UNREACHED)
ONCE_CAUGHT: Final = {"it did not start": Verdict.UNKNOWN, "it came to no end": Verdict.ENDLESS}
"""What files that were begun earlier call caught, by how it was noticed."""


class Kept:
    """The file, or nothing but memory where none is named. The last line of a mistake counts."""

    def __init__(self, file: Path | None) -> None:
        self._file = file
        self._known: dict[str, Outcome] = {}
        self._equivalents = equivalents()
        for line in file.read_text("utf-8").splitlines() if file and file.exists() else ():
            row = json.loads(line)
            self._known[row["key"]] = Outcome(ONCE_CAUGHT.get(row["by"], Verdict(row["verdict"])), row["by"])

    def of(self, site: Site) -> Outcome | None:
        """What became of it, if it was planted."""
        known = self._known.get(site.key)
        survived = known is not None and known.verdict is Verdict.SURVIVED
        return Outcome(Verdict.EQUIVALENT) if survived and site.key in self._equivalents else known

    def add(self, site: Site, outcome: Outcome) -> Outcome:
        """Writes it down at once; gives what it counts as."""
        self._known[site.key] = outcome
        if self._file:
            with self._file.open("a", encoding="utf-8") as lines:
                lines.write(json.dumps({"key": site.key, "verdict": outcome.verdict.value, "by": outcome.by}, ensure_ascii=False) + "\n")
        return self.of(site) or outcome

    def sums(self, sites: Iterable[Site]) -> dict[str, Counter[str]]:
        """How many of these places came to which verdict, by package; `planted` counts all that were."""
        sums: dict[str, Counter[str]] = {}
        for site in sites:
            outcome = self.of(site)
            if outcome:
                sums.setdefault(site.package, Counter()).update(("planted", outcome.verdict.value))
        return sums


def in_words(sums: Counter[str]) -> str:
    """`25 planted: 20 of 22 caught (90.9 %), 1 of them by coming to no end; 1 equivalent, 2 unknown`."""
    endless, equivalent, unknown = (sums[one.value] for one in (Verdict.ENDLESS, Verdict.EQUIVALENT, Verdict.UNKNOWN))
    caught, counting = sum(sums[one.value] for one in CAUGHT), sums["planted"] - equivalent - unknown
    told = f"{sums['planted']} planted: {caught} of {counting} caught ({100 * caught / max(counting, 1):.1f} %)"
    return f"{told}, {endless} of them by coming to no end; {equivalent} equivalent, {unknown} unknown"
