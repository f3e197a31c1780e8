"""Where the program says what others may do with what it makes on a disk, it says: nothing.

Every command sets the mask of its process besides (`house/test_restoring.py` looks at what comes of it); a folder that a program makes for
the house in a process of another sort is private by what is said here. Method: every such place in the server is read.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

SERVER = Path(__file__).resolve().parents[1] / "server" / "honeyhold"
RIGHTS = {"mkdir": 0o700, "touch": 0o600, "open": 0o600}
"""By what makes it, what its owner may do; nobody else may do anything."""


def made() -> Iterator[tuple[str, str, int]]:
    """Where, by what, and with which rights."""
    for file in sorted(SERVER.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
                of_os_open = ast.unparse(node.func) == "os.open" and len(node.args) == 3
                given = node.args[2:] if of_os_open else [one.value for one in node.keywords if one.arg == "mode"]
                for rights in given:
                    if isinstance(rights, ast.Constant) and isinstance(rights.value, int):
                        yield f"{file.relative_to(SERVER).as_posix()}:{node.lineno}", node.func.attr, rights.value


def test_nobody_else_may_look() -> None:
    """And all three ways of making something are found."""
    found = list(made())
    assert [one for one in found if one[2] != RIGHTS[one[1]]] == []
    assert {what for _, what, _ in found} == set(RIGHTS) and len(found) > 15
