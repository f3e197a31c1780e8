"""A short digest of anything that can be written as JSON, for answers that are held to what they were."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from zlib import crc32

_remembering: list[dict[str, str]] = []


def digest(what: object) -> str:
    """Eight letters that differ where it differs; no decimal beyond the ninth figure counts."""
    said = f"{crc32(json.dumps(_rounded(what), sort_keys=True, default=str).encode()):08x}"
    for made in _remembering:
        made[said] = json.dumps(_rounded(what), sort_keys=True, default=str, indent=1, ensure_ascii=False)
    return said


@contextmanager
def remembered() -> Iterator[dict[str, str]]:
    """What is made into a digest meanwhile, by its digest, for whoever wants to read what changed."""
    made: dict[str, str] = {}
    _remembering.append(made)
    try:
        yield made
    finally:
        _remembering.remove(made)


def _rounded(what: Any) -> Any:
    if isinstance(what, float):
        return float(f"{what:.9g}")
    if isinstance(what, dict):
        return {str(key): _rounded(value) for key, value in what.items()}
    return [_rounded(one) for one in what] if isinstance(what, list | tuple) else what
