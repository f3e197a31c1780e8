"""Which stories of tests/steps, and which listened-to tests of tests/heard, hold a function: by its name, and no measuring is needed."""

from __future__ import annotations

import ast
import json
from functools import cache
from pathlib import Path
from typing import Any, Final

ROOT = Path(__file__).resolve().parent.parent
HELD: Final = ROOT / "tests" / "steps" / "as_before.json"
TEST: Final = "tests/steps/test_as_before.py::test_every_function_does_what_it_did[{}]"
STORIES_MOST: Final = 3
LISTENED_TO: Final = ROOT / "tests" / "heard" / "as_before.json"
LISTENING_FILE: Final = "tests/heard/test_as_before.py"
LISTENING: Final = LISTENING_FILE + "::test_every_function_does_what_it_did[{}]"
LISTENING_MOST: Final = 2
LISTENING_S: Final = 15.0
"""What one of them is worth, where nobody has measured it."""


def stories_of(path: str, line: int) -> list[str]:
    """The tests that hold what the function around a line of `stock/lots.py` gives, those first that ask it once more, too."""
    names = functions_around(path, line)
    held = _held()
    asking = [story for story, kept in held.items() if any(f"{path} {name}" in kept["once more"] for name in names)]
    hearing = [story for story, kept in held.items() if any(f"{path} {name}" in kept["gave"] for name in names)]
    return [*[TEST.format(story) for story in dict.fromkeys((*asking, *hearing))][:STORIES_MOST], *_listening(path, names)]


def _listening(path: str, names: list[str]) -> list[str]:
    """Those first in which least else is heard: they are the shortest, and nearest to it."""
    found = [file for file, heard in _listened_to().items() if any(f"{path} {name}" in heard for name in names)]
    return [LISTENING.format(file) for file in sorted(found, key=lambda file: len(_listened_to()[file]))][:LISTENING_MOST]


def listening_to(path: str) -> list[str]:
    """The listened-to tests in which most functions of a file of the browser's, `web/store/log.js`, are heard."""
    begins = path.removeprefix("web/") + " "
    many = {file: sum(name.startswith(begins) for name in heard) for file, heard in _listened_to().items()}
    found = sorted((file for file, times in many.items() if times), key=lambda file: (-many[file], len(_listened_to()[file])))
    return [LISTENING.format(file) for file in found[:LISTENING_MOST]]


def functions_around(path: str, line: int) -> list[str]:
    """`Lot.words` and what is made inside another as `trace.<locals>.step`, the innermost first."""
    found: list[str] = []
    _around(_tree(path), line, "", found)
    return found[::-1]


def _around(node: ast.AST, line: int, inside: str, found: list[str]) -> None:
    for inner in ast.iter_child_nodes(node):
        if isinstance(inner, ast.ClassDef):
            _around(inner, line, f"{inside}{inner.name}.", found)
        elif isinstance(inner, ast.FunctionDef):
            if inner.lineno <= line <= (inner.end_lineno or 0):
                found.append(inside + inner.name)
                _around(inner, line, f"{inside}{inner.name}.<locals>.", found)
        else:
            _around(inner, line, inside, found)


@cache
def _tree(path: str) -> ast.Module:
    return ast.parse((ROOT / "server" / "honeyhold" / path).read_text("utf-8"))


@cache
def _held() -> dict[str, Any]:
    return json.loads(HELD.read_text("utf-8"))  # type: ignore[no-any-return]


@cache
def _listened_to() -> dict[str, Any]:
    return json.loads(LISTENED_TO.read_text("utf-8"))  # type: ignore[no-any-return]
