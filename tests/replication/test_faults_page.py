"""Every row of the page of faults names a test that is there."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "server/honeyhold/operations/FAULTS.md"
ROWS_LEAST = 30


def test_every_fault_names_a_test_that_is_there() -> None:
    rows = [line.split(" | ") for line in PAGE.read_text("utf-8").splitlines() if line.startswith("| ")][1:]
    rows = [row for row in rows if "---" not in row[0]]
    assert len(rows) >= ROWS_LEAST and all(len(row) == 3 for row in rows)
    named = [re.fullmatch(r"`(tests/[\w/]+\.py)::(test_\w+)` \|", row[2]) for row in rows]
    assert [row[0] for row, found in zip(rows, named, strict=True) if found is None] == []
    missing = [
        found.group(0) for found in named
        if found and not re.search(rf"^def {found.group(2)}\(", (ROOT / found.group(1)).read_text("utf-8"), re.MULTILINE)
    ]  # fmt: skip
    assert missing == []
