"""The key that opens the figures and the deep health to whoever keeps the server."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from honeyhold.records.errors import RecordsTrouble

LETTERS_LEAST: Final = 16


def watch_key_in(file: Path | None) -> str:
    """The key in a file; empty where none is named. Raises `RecordsTrouble` where it cannot be read or holds too little to be one."""
    if file is None:
        return ""
    try:
        key = file.read_text("utf-8-sig").strip()
    except (OSError, UnicodeDecodeError):
        raise RecordsTrouble(f"{file} cannot be read.", "Name a text file that holds the key alone.") from None
    if len(key) < LETTERS_LEAST or not key.isascii() or len(key.split()) > 1:
        raise RecordsTrouble(f"What {file} holds is no key.", f"Use at least {LETTERS_LEAST} plain letters and digits in one word.")
    return key
