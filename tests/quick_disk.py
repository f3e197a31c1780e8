"""Where tests keep what they throw away: every commit waits for its disk, and in memory that disk is quick."""

from __future__ import annotations

from pathlib import Path
from typing import Final

MEMORY: Final = Path("/dev/shm")
QUICK_DISK: Final = MEMORY if MEMORY.is_dir() else None
"""A folder in memory, as `tempfile` takes it as `dir`; None where the machine has no such folder."""
