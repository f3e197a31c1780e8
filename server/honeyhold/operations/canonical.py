"""The one way to write an operation down so that every device and the house get the same hash."""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any

from honeyhold.operations.errors import NotCanonical

LARGEST_EXACT = 2**53 - 1
"""The largest integer that JavaScript keeps exactly (ECMA-262, Number.MAX_SAFE_INTEGER)."""

DEPTH_MAX = 12
SURROGATE = re.compile("[\ud800-\udfff]")
KEY_REFUSED = re.compile("[\ud800-\udfff\U00010000-\U0010ffff]")


def canonical_json(value: Any) -> str:
    """Canonical JSON: keys sorted, no white space, characters unescaped where JSON allows it, no fractions.

    The result equals JavaScript's `JSON.stringify` of the value with sorted keys (RFC 8259 escapes only what it must).
    Raises `NotCanonical` for fractions, integers beyond 2**53 - 1, lone surrogates, keys outside the basic plane
    (the two languages would sort them differently) and anything deeper than twelve levels.
    """
    if not is_plain(value):
        _check(value, 0, "operation")
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def entry_hash(operation: dict[str, Any]) -> str:
    """The lower-case hex SHA-256 of the canonical JSON of an operation without its `hash`."""
    body = {key: value for key, value in operation.items() if key != "hash"}
    return hashlib.sha256(canonical_json(body).encode("utf-8")).hexdigest()


def is_plain(value: Any, depth: int = 0) -> bool:
    """Whether there is nothing in it that canonical JSON refuses; quick, without saying what or where."""
    kind = type(value)
    if kind is str:
        return bool(value.isascii() or SURROGATE.search(value) is None)
    if kind is int:
        return bool(-LARGEST_EXACT <= value <= LARGEST_EXACT)
    if value is None or kind is bool:
        return True
    if depth > DEPTH_MAX:
        return False
    if kind is dict:
        for key, item in value.items():
            if type(key) is not str or not (key.isascii() or KEY_REFUSED.search(key) is None) or not is_plain(item, depth + 1):
                return False
        return True
    if kind is list:
        return all(is_plain(item, depth + 1) for item in value)
    return False


def _check(value: Any, depth: int, where: str) -> None:
    if depth > DEPTH_MAX:
        raise NotCanonical(f"{where} is nested deeper than {DEPTH_MAX} levels.", "Send flatter rows.")
    if value is None or isinstance(value, bool):
        return
    if isinstance(value, str):
        _check_text(value, where)
    elif isinstance(value, int):
        if abs(value) > LARGEST_EXACT:
            raise NotCanonical(f"{where} is {value}, too large to be kept exactly.", "Send a smaller whole number.")
    elif isinstance(value, list):
        for index, item in enumerate(value):
            _check(item, depth + 1, f"{where}[{index}]")
    elif isinstance(value, dict):
        for key, item in value.items():
            _check_key(key, where)
            _check(item, depth + 1, f"{where}.{key}")
    else:
        raise NotCanonical(
            f"{where} is {value!r}: fractions are not kept.", "Send whole grams, cents, millimeters or units."
        )


def _check_text(value: str, where: str) -> None:
    if any(0xD800 <= ord(letter) <= 0xDFFF for letter in value):
        raise NotCanonical(f"{where} holds half a character (a lone surrogate).", "Type the text again.")


def _check_key(key: Any, where: str) -> None:
    if not isinstance(key, str) or any(ord(letter) > 0xFFFF or 0xD800 <= ord(letter) <= 0xDFFF for letter in key):
        raise NotCanonical(f"{where} has the name {key!r}, which cannot be sorted alike everywhere.", "Use plain names.")
