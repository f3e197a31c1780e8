"""Who ever belonged to the house, kept beside the records: so that a backup of yesterday does not forget a device of today.

One line of JSON a device, and one when it is declared lost; only ever added to. A restored house that did not know a device would
give its bars to others, take its mark for another, and refuse its token; a lost device would come to life again.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

FILE_NAME = "devices.jsonl"


def note(folder: Path, row: dict[str, Any]) -> None:
    """Adds a line, on the disk before it returns. Raises `OSError`."""
    path = folder / FILE_NAME
    torn = path.exists() and not path.read_bytes().endswith(b"\n")
    with path.open("ab") as file:
        file.write((b"\n" if torn else b"") + json.dumps(row, sort_keys=True).encode("utf-8") + b"\n")
        file.flush()
        os.fsync(file.fileno())


def known(folder: Path) -> dict[str, dict[str, Any]]:
    """Every device by id, with `lost` as it was last said; a line cut off by a power cut is left out."""
    found: dict[str, dict[str, Any]] = {}
    file = folder / FILE_NAME
    for line in file.read_bytes().splitlines() if file.exists() else ():
        try:
            row = json.loads(line)
            found.setdefault(row["id"], {}).update(row)
        except (ValueError, KeyError, TypeError):
            continue
    return {device: row for device, row in found.items() if {"name", "mark", "role", "token_hash"} <= row.keys()}
