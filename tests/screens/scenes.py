"""Scenes on one device: what an element says where the main computer and Python answer so and so, act by act."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from screens.in_node import played_in_node
from screens.rows import NOW, OWNER

Json = dict[str, Any]
LONGEST_S = 60


ANSWERS = ("doors", "worked", "status", "keeps", "took", "shares")


def scene(tag: str, *acts: Json, **more: Any) -> Json:
    """One element. `doors`: what the main computer says next, by door; `worked`: what Python says, by name; `keeps`: what the device kept,
    by name; `took`: what the mirror told of lots; `shares`: "yes" or "not after all". What is else in `more` are its properties."""
    told: Json = {name: more.pop(name) for name in ANSWERS if name in more}
    return {"tag": tag, "acts": acts, "properties": more, **told}


def says(body: Any, status: int = 200) -> Json:
    """One answer of the main computer's."""
    return {"body": body, "status": status}


def played(scenes: list[Json], rows: list[Json], identity: Json = OWNER, **kept: Any) -> list[Json]:
    """Of each scene `said` (before, and after each act), `wrote`, `asked` (which doors), `given_to` (each work), `effects`
    and `printed`."""
    asked = {"now": NOW, "kept": {"rows": rows, "identity": identity, **kept}, "scenes": scenes}
    told: list[Json] = played_in_node(Path(__file__).with_name("scenes.mjs"), asked, LONGEST_S)
    return told
