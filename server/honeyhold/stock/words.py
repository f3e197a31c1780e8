"""Counts and lists in plain words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from honeyhold.stock.errors import UnreadableField


def good_names(good: object) -> tuple[str, str]:
    """Name and plural of a good. Without a plural the name serves for both. Raises UnreadableField."""
    if not isinstance(good, Mapping) or not isinstance(good.get("name"), str) or not good["name"].strip():
        raise UnreadableField("good", good, "a good with its name")
    plural = good.get("plural") or good["name"]
    if not isinstance(plural, str):
        raise UnreadableField("plural", plural, "text")
    return good["name"], plural


def count_words(units: int, one: str, many: str) -> str:
    """ "1 bar", "10 bars", "no bars", "1,200 bars"."""
    return f"{f'{units:,}' if units else 'no'} {one if abs(units) == 1 else many}"


def joined(words: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def sentence(words: str) -> str:
    """The words with a capital first letter and a full stop."""
    words = words.strip()
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "?", "!")) else ".")


def good_of(request: Mapping[str, Any]) -> tuple[str, str]:
    """Name and plural of the good in `request["good"]`."""
    return good_names(request.get("good"))
