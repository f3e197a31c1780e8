"""A screen to look at, and what is touched and filled in there."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]
Act = dict[str, Any]


def touch(words: str, nth: int = 0) -> Act:
    """The first key with these words, or another of those that say nothing else. Something must come of it."""
    return {"what": "touch", "given": [words, nth] if nth else [words], "still": False}


def still(act: Act) -> Act:
    """A touch of which nothing may come."""
    return {**act, "still": True}


def fill(name: str, value: str, nth: int = 0) -> Act:
    """A field by its name."""
    return {"what": "fill", "given": [name, value, nth] if nth else [name, value], "still": False}


def digits(number: str) -> list[Act]:
    """A number by the large keys."""
    return [touch(f"“{digit}” {digit}") for digit in number]


def at(place: str, *acts: Act, name: str = "") -> Json:
    """The room at a place, `bench/o1`."""
    room, *path = place.split("/")
    return {"name": name or place, "tag": f"{room}-room", "properties": {"path": path}, "acts": acts}


def alone(tag: str, *acts: Act, **properties: Any) -> Json:
    """One element by itself."""
    name = " ".join([tag, *(f"{name}={value}" for name, value in properties.items())])
    return {"name": f"{name} at work" if acts else name, "tag": tag, "properties": properties, "acts": acts}


def board(name: str, *acts: Act, **properties: Any) -> Json:
    """A board of the Settings."""
    return alone(f"{name}-board", *acts, **({"path": []} if name == "goods" else {}) | properties)
