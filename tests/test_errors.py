"""Whoever is told no is told what to do: the words, the remedy and the facts of every error that Honeyhold makes by itself.

Method: each is made of the same plain facts, and what it says is held line by line in errors.txt. After a change of words write it anew and
read the difference:

    .venv/bin/python -c "import sys; sys.path.insert(0, 'tests'); import test_errors as t; t.KEPT.write_text(t.said_by_all(), 'utf-8')"
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import honeyhold
from honeyhold.errors import HoneyholdError
from honeyhold.records.timelines import Place

KEPT = Path(__file__).with_name("errors.txt")
FACTS: dict[str, Any] = {
    "str": "alder", "int": 3, "float": 2.5, "bool": True, "object": 7, "list[str]": ["W26-204-1", "W26-205-1"], "Path": Path("records"),
    "Path | None": Path("notes"), "OSError": OSError(98, "Address already in use"), "Place": Place("7012", "00000003"),
    "dict[str, Any]": {"units": ["Not a valid integer."]}, "list[str] | None": ["one"],
}  # fmt: skip
BY_NAME = {"newest": "00000004"}
"""Of a text that is not any text."""


def every_error() -> list[type[HoneyholdError]]:
    """All of them, by name."""
    for module in pkgutil.walk_packages(honeyhold.__path__, "honeyhold."):  # an error counts when it is known
        importlib.import_module(module.name)
    return sorted(set(_below(HoneyholdError)), key=lambda one: (one.__module__, one.__qualname__))


def _below(above: type[HoneyholdError]) -> Iterator[type[HoneyholdError]]:
    for one in above.__subclasses__():
        if one.__module__.startswith("honeyhold."):
            yield one
            yield from _below(one)


def said_by(kind: type[HoneyholdError]) -> str:
    """Made of the facts above: its code and status, what it says, and what else it carries."""
    wanted = [one for name, one in inspect.signature(kind.__init__).parameters.items() if name != "self"]
    error = kind(**{one.name: BY_NAME.get(one.name, FACTS[str(one.annotation)]) for one in wanted})
    carries = ", ".join(f"{name}={value}" for name, value in sorted(vars(error).items()) if name != "remedy")
    return f"{kind.__name__} [{kind.code} {kind.status}] {error} | {error.remedy} | {carries}"


def said_by_all() -> str:
    """A line each."""
    return "".join(f"{' '.join(said_by(kind).split())}\n" for kind in every_error())


def test_every_error_says_what_it_said() -> None:
    assert said_by_all().splitlines() == KEPT.read_text("utf-8").splitlines()


def test_who_is_told_no_is_told_what_to_do() -> None:
    """Where the words are the error's own."""
    own = [kind for kind in every_error() if "__init__" in vars(kind)]
    silent = [kind.__name__ for kind in own if len(str(said_by(kind).split(" | ")[1])) < len("Wait.")]
    assert silent == [] and len(own) > 15
