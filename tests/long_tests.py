"""Which tests are long: `long_tests.txt` names them, with why a part of them is enough on every other day."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

BUT = "but "


@dataclass(frozen=True)
class LongTests:
    """Whole files, tests with all their parameters, or a test with one of them; and which of these stay all the same."""

    named: frozenset[str]
    kept: frozenset[str]

    @classmethod
    def read(cls, file: Path) -> LongTests:
        """One name a line, `house/test_moving.py::test_a[b]`; a line that begins with `#` says why."""
        lines = [line for line in file.read_text("utf-8").splitlines() if line and not line.startswith("#")]
        kept = frozenset(line.removeprefix(BUT) for line in lines if line.startswith(BUT))
        return cls(frozenset(line for line in lines if not line.startswith(BUT)), kept)

    def holds(self, test: str) -> bool:
        """Whether this test is one of them."""
        return test not in self.kept and not self.named.isdisjoint(_names(test))

    def unknown(self, tests: set[str]) -> list[str]:
        """What is listed of the files that these tests are of, and is none of them."""
        known = {name for test in tests for name in _names(test)}
        return sorted(name for name in self.named | self.kept if name.partition("::")[0] in known and name not in known)


def _names(test: str) -> set[str]:
    """The test by itself, with all parameters, and its file."""
    return {test, test.partition("[")[0], test.partition("::")[0]}
