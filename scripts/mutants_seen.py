"""Mistakes that tests once let by, kept in `tests/seen_mistakes.txt`, planted again one by one for `scripts/mutants --seen`."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent
LIST: Final = ROOT / "tests" / "seen_mistakes.txt"


@dataclass(frozen=True)
class Seen:
    """One of them."""

    title: str
    path: str
    old: str
    new: str
    by: tuple[str, ...]
    """Tests or folders of tests that are to catch it."""

    def mutated(self) -> str:
        """The whole file with the mistake in it. Raises ValueError when what it changes does not stand there exactly once."""
        text = (ROOT / self.path).read_text("utf-8")
        if text.count(self.old) != 1:
            raise ValueError(f"{self.title}: {self.path} holds {text.count(self.old)} times\n{self.old}")
        return text.replace(self.old, self.new)


def seen_mistakes() -> list[Seen]:
    """All of the list, in its order."""
    blocks = [block.splitlines() for block in LIST.read_text("utf-8").split("\n\n")]
    return [_read([line for line in block if line]) for block in blocks if not block[0].startswith("#")]


def _read(lines: list[str]) -> Seen:
    title, path, *changes, by = lines
    old, new = ("\n".join(line[1:] for line in changes if line[0] == sign) for sign in "-+")
    return Seen(title, path, old, new, tuple(by.removeprefix("by ").split()))
