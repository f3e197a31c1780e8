"""Named numbers and what is taken where nobody says are changed only knowingly: how long, how many, how much, yes or no.

Most of them are bounds that no everyday house comes to, so no other test would notice that one moved.
"""

from __future__ import annotations

import ast
import importlib
import inspect
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from types import ModuleType
from typing import Any

SERVER = Path(__file__).resolve().parents[1] / "server" / "honeyhold"
PACKAGES = ("api", "house", "importing", "operations", "queries", "records", "replication")
KEPT = Path(__file__).with_name("limits.txt")
HEAD = "# Named numbers, and what is taken where nobody says. Where a change is meant, what tests/test_limits.py shows comes in here."
NOT_OURS = ("api.problems.NO_ROOM",)
"""Numbers of the system that it runs on."""
SIMPLE = (bool, int, float, timedelta)


def lines_of() -> list[str]:
    """A line a name, and a line a parameter."""
    found = []
    for path in sorted(path for package in PACKAGES for path in (SERVER / package).rglob("*.py")):
        name = ".".join(path.relative_to(SERVER.parent).with_suffix("").parts).removesuffix(".__init__")
        module = importlib.import_module(name)
        where = name.removeprefix("honeyhold.")
        found += [f"{where}.{one} {getattr(module, one)!r}" for one in _named(path) if _is_simple(getattr(module, one, None))]
        found += [f"{where}.{one}" for one in _defaults(module)]
    return [line for line in found if line.partition(" ")[0] not in NOT_OURS]


def _named(path: Path) -> Iterator[str]:
    """The names in capitals that a file gives."""
    for node in ast.parse(path.read_text("utf-8")).body:
        targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        for target in targets:
            yield from (one.id for one in ast.walk(target) if isinstance(one, ast.Name) and one.id.isupper())


def _is_simple(value: Any) -> bool:
    if isinstance(value, tuple | list):
        return any(map(_is_simple, value)) and all(isinstance(one, (*SIMPLE, str)) for one in value)
    if isinstance(value, dict):
        return any(map(_is_simple, value.values())) and all(isinstance(one, (*SIMPLE, str)) for one in (*value, *value.values()))
    return isinstance(value, SIMPLE)


def _defaults(module: ModuleType) -> Iterator[str]:
    """`House.new_code(days=3)` for every parameter that may be left out, of what the module defines."""
    for name, one in sorted(vars(module).items()):
        if getattr(one, "__module__", "") != module.__name__ or not (inspect.isfunction(one) or inspect.isclass(one)):
            continue
        called = sorted(vars(one).items()) if inspect.isclass(one) else [("", one)]
        for method, function in called:
            plain = inspect.unwrap(getattr(function, "__func__", function))
            if inspect.isfunction(plain) and plain.__module__ == module.__name__ or method == "__init__" and inspect.isfunction(plain):
                for parameter in inspect.signature(plain).parameters.values():
                    if isinstance(parameter.default, SIMPLE):
                        yield f"{name}{'.' if method else ''}{method}({parameter.name}={parameter.default!r})"


def test_what_is_a_number_stays_that_number() -> None:
    """Bounds, waits, sizes, and what a parameter is where it is left out."""
    now, kept = lines_of(), KEPT.read_text("utf-8").splitlines()[1:]
    assert len(kept) > 150
    assert [line for line in kept if line not in now] == [] == [line for line in now if line not in kept]
