"""A short digest of anything that can be written as JSON, for answers that are held to what they were."""

from __future__ import annotations

import json
from typing import Any
from zlib import crc32


def digest(what: object) -> str:
    """Eight letters that differ where it differs; no decimal beyond the ninth figure counts."""
    return f"{crc32(json.dumps(_rounded(what), sort_keys=True, default=str).encode()):08x}"


def _rounded(what: Any) -> Any:
    if isinstance(what, float):
        return float(f"{what:.9g}")
    if isinstance(what, dict):
        return {str(key): _rounded(value) for key, value in what.items()}
    return [_rounded(one) for one in what] if isinstance(what, list | tuple) else what
