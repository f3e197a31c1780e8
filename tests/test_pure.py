"""The pure packages stay pure: no clock, no disk, no network, no chance, no strangers, no state of a module.

Goal: `stock`, `packing`, `heat` and `quoting` run unchanged on the server and in a browser and give the same
answer for the same question for ever; `documents` may use Jinja2 besides, and only its `pdf.py` touches the
world. Method: read every file's syntax tree; nothing is imported or run. Each rule is shown to catch a
planted breach.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGES = Path(__file__).resolve().parent.parent / "server" / "honeyhold"
PURE = ("stock", "packing", "heat", "quoting")
DOCUMENTS = "documents"
EDGES = {"documents/pdf.py"}
HONEYHOLD_BELOW = {
    "stock": {"errors", "stock"},
    "packing": {"errors", "wire", "packing"},
    "heat": {"errors", "wire", "heat"},
    "quoting": {"errors", "wire", "stock", "packing", "heat", "quoting"},
    "documents": {"errors", "wire", "stock", "packing", "heat", "quoting", "documents"},
}
STRANGERS_ALLOWED = {DOCUMENTS: {"jinja2", "markupsafe"}}

WORLD_NAMES = """
    asyncio builtins concurrent ctypes dbm fileinput ftplib getpass glob http imaplib importlib io
    locale logging mmap multiprocessing os pathlib platform poplib posix pty resource runpy sched
    secrets select selectors shelve shutil signal smtplib socket socketserver sqlite3 ssl subprocess
    sys tempfile threading time urllib uuid webbrowser xmlrpc zoneinfo
"""
WORLD = set(WORLD_NAMES.split())
CLOCK_CALLS = {"now", "today", "utcnow", "localtime", "gmtime"}
BUILTINS_FORBIDDEN = {"open", "input", "print", "exec", "eval", "compile", "__import__", "breakpoint"}


def _imports(tree: ast.AST) -> Iterator[tuple[int, str, list[str]]]:
    """(line, module, names taken from it); a relative import is named with its dots."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for name in node.names:
                yield node.lineno, name.name, []
        elif isinstance(node, ast.ImportFrom):
            yield node.lineno, "." * node.level + (node.module or ""), [name.name for name in node.names]


def _import_breaches(package: str, tree: ast.AST) -> Iterator[str]:
    for line, module, names in _imports(tree):
        parts = module.split(".")
        if module.startswith("."):
            yield f"line {line}: relative import {module!r}; name the package in full"
        elif parts[0] == "honeyhold":
            for below in {parts[1]} if len(parts) > 1 else set(names) or {"(all of honeyhold)"}:
                if below not in HONEYHOLD_BELOW[package]:
                    yield f"line {line}: {package} may not look up to honeyhold.{below}"
        elif parts[0] in WORLD:
            yield f"line {line}: {module} touches the world outside"
        elif parts[0] not in sys.stdlib_module_names and parts[0] not in STRANGERS_ALLOWED.get(
            package, set()
        ):
            yield f"line {line}: {module} is not of the standard library"
        elif module == "random" and set(names) - {"Random"}:
            yield f"line {line}: chance without a seed: {names}"


def _random_names(tree: ast.AST) -> tuple[set[str], set[str]]:
    """Names under which the module `random`, and its class `Random`, are known in the file."""
    modules, classes = set(), set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            modules |= {name.asname or name.name for name in node.names if name.name == "random"}
        elif isinstance(node, ast.ImportFrom) and node.module == "random":
            classes |= {name.asname or name.name for name in node.names if name.name == "Random"}
    return modules, classes


def _call_breaches(tree: ast.AST) -> Iterator[str]:
    modules, classes = _random_names(tree)
    for node in ast.walk(tree):
        owner = node.value.id if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) else ""
        if isinstance(node, ast.Attribute) and owner in modules and node.attr != "Random":
            yield f"line {node.lineno}: random.{node.attr} draws from a state shared by all"
        if isinstance(node, ast.Name) and node.id in BUILTINS_FORBIDDEN:
            yield f"line {node.lineno}: {node.id} touches the world outside"
        if not isinstance(node, ast.Call):
            continue
        called = node.func
        name = (
            called.attr
            if isinstance(called, ast.Attribute)
            else called.id
            if isinstance(called, ast.Name)
            else ""
        )
        if isinstance(called, ast.Attribute) and name in CLOCK_CALLS:
            yield f"line {node.lineno}: .{name}() reads a clock"
        seeded = bool(node.args or node.keywords)
        from_module = isinstance(called, ast.Attribute) and name == "Random"
        if not seeded and (from_module or name in classes):
            yield f"line {node.lineno}: Random() without a seed takes its chance from the machine"


MUTABLE = {"dict", "list", "set", "defaultdict", "deque", "Counter", "OrderedDict", "bytearray"}
MEMOS = {"_of_year", "_engine"}
"""Pure functions that may remember what they gave: it is never changed after, and the memo is safe among threads."""


def _state_breaches(tree: ast.Module) -> Iterator[str]:
    """State of a module: an empty container at its top, which only fills to remember; `global`; a memo that is not on the list."""
    for node in tree.body:
        value = node.value if isinstance(node, ast.Assign | ast.AnnAssign) else None
        empty = isinstance(value, ast.List | ast.Set) and not value.elts or isinstance(value, ast.Dict) and not value.keys
        called = value.func.id if isinstance(value, ast.Call) and isinstance(value.func, ast.Name) else ""
        made = called == "defaultdict" or (called in MUTABLE and isinstance(value, ast.Call) and not value.args)
        if empty or made:
            yield f"line {node.lineno}: a container that is filled later is state, shared by every thread"
    for node in ast.walk(tree):
        if isinstance(node, ast.Global):
            yield f"line {node.lineno}: global {', '.join(node.names)} is state, shared by every thread"
        if isinstance(node, ast.FunctionDef) and node.name not in MEMOS:
            for decorator in node.decorator_list:
                name = ast.unparse(decorator).partition("(")[0].rpartition(".")[2]
                if name in ("cache", "lru_cache"):
                    yield f"line {node.lineno}: {node.name} remembers what it gave, shared by every thread"


def breaches(package: str, source: str) -> list[str]:
    """Everything in `source` that a file of `package` may not do."""
    tree = ast.parse(source)
    return [*_import_breaches(package, tree), *_call_breaches(tree), *_state_breaches(tree)]


def breaches_in(root: Path, packages: tuple[str, ...]) -> list[str]:
    """All breaches in the Python files of `packages` under `root`, edges excepted."""
    found = []
    for package in packages:
        for file in sorted((root / package).rglob("*.py")):
            name = file.relative_to(root).as_posix()
            if name not in EDGES:
                found += [
                    f"{name}, {breach}" for breach in breaches(package, file.read_text(encoding="utf-8"))
                ]
    return found


@pytest.mark.parametrize("package", [*PURE, DOCUMENTS])
def test_package_is_pure(package: str) -> None:
    assert list((PACKAGES / package).rglob("*.py")), f"no files of {package} were read"
    assert breaches_in(PACKAGES, (package,)) == []


PLANTED = {
    "clock module": "import time",
    "clock inside a function": "def f():\n    from time import monotonic\n    return monotonic()",
    "now": "from datetime import datetime\nx = datetime.now()",
    "today": "import datetime\nx = datetime.date.today()",
    "disk by builtin": "x = open('book.txt')",
    "disk by renamed builtin": "o = open\nx = o('book.txt')",
    "disk by path": "from pathlib import Path",
    "os renamed": "import os as weather",
    "io": "from io import open as read",
    "network": "import urllib.request",
    "socket": "import socket",
    "processes": "import subprocess",
    "chance from the module": "import random\nx = random.random()",
    "chance renamed": "import random as dice\nx = dice.choice([1])",
    "chance imported by name": "from random import choice",
    "seeding the shared state": "import random\nrandom.seed(1)",
    "Random without a seed": "import random\nx = random.Random()",
    "Random by name without a seed": "from random import Random as Dice\nx = Dice()",
    "the machine's chance": "import random\nx = random.SystemRandom()",
    "a stranger": "import numpy as np",
    "looking up": "from honeyhold.records import models",
    "looking up by the root": "from honeyhold import operations",
    "relative": "from . import shelf",
    "import by a string": "x = __import__('os')",
    "import by machinery": "import importlib",
    "code from text": "x = eval('1')",
    "speaking": "print('hello')",
    "a memory of the module": "kept = []",
    "a typed memory of the module": "kept: dict[str, int] = {}",
    "a memory made by call": "from collections import defaultdict\nkept = defaultdict(list)",
    "a global": "count = 0\ndef f():\n    global count\n    count = 1",
    "a memo": "from functools import lru_cache\n@lru_cache(maxsize=8)\ndef made(seed: int) -> list[int]:\n    return [seed]",
    "a memo by its module": "import functools\n@functools.cache\ndef made(seed):\n    return [seed]",
}


@pytest.mark.parametrize("name", PLANTED)
def test_planted_breach_is_caught(name: str) -> None:
    assert breaches("stock", PLANTED[name])


def test_planted_file_is_caught(tmp_path: Path) -> None:
    for package in PURE:
        (tmp_path / package / "deep").mkdir(parents=True)
        (tmp_path / package / "good.py").write_text("from math import exp\n", encoding="utf-8")
    assert breaches_in(tmp_path, PURE) == []
    (tmp_path / "heat" / "deep" / "bad.py").write_text("import time\n", encoding="utf-8")
    assert breaches_in(tmp_path, PURE) == ["heat/deep/bad.py, line 1: time touches the world outside"]


@pytest.mark.parametrize(
    "source",
    [
        "from datetime import date\nx = date.fromisoformat('2026-07-20')",
        "import random\nx = random.Random(7).random()",
        "from random import Random\nx = Random(7)",
        "from honeyhold.errors import BadRequest",
        "from honeyhold.stock.shelf import pick_lots",
        "import json, math, re",
        "class Jar:\n    def open(self):\n        return 1\nx = Jar().open()",
    ],
)
def test_pure_source_passes(source: str) -> None:
    assert breaches("stock", source) == []


def test_documents_may_use_templates_and_only_its_edge_may_more(tmp_path: Path) -> None:
    assert breaches("documents", "from jinja2 import Environment\nfrom markupsafe import Markup") == []
    assert breaches("stock", "from jinja2 import Environment")
    assert breaches("documents", "import weasyprint")
    (tmp_path / "documents").mkdir()
    (tmp_path / "documents" / "pdf.py").write_text("import weasyprint\n", encoding="utf-8")
    assert breaches_in(tmp_path, ("documents",)) == []
    (tmp_path / "documents" / "slip.py").write_text("import weasyprint\n", encoding="utf-8")
    assert len(breaches_in(tmp_path, ("documents",))) == 1
