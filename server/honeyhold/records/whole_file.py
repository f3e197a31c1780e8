"""A small file written whole."""

from __future__ import annotations

import os
from pathlib import Path


def write_whole(file: Path, content: bytes) -> None:
    """The old content or the new, never a part of it, whenever the power goes; never readable by others. Raises OSError."""
    half = file.with_name(f"{file.name}.part")
    half.unlink(missing_ok=True)
    with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as opened:
        opened.write(content)
        opened.flush()
        os.fsync(opened.fileno())
    half.replace(file)
    onto_the_disk(file.parent)


def onto_the_disk(folder: Path) -> None:
    """Names that were given or taken away in a folder are on the disk; Windows opens no folder, and keeps names by itself."""
    if os.name == "nt":
        return
    place = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(place)
    finally:
        os.close(place)
