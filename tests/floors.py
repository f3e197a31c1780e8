"""The floors of the server: which package stands on which. Read from the imports; drawn in DEVELOPERS.md."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "server" / "honeyhold"
FLOORS: tuple[tuple[str, ...], ...] = (
    ("errors",),
    ("wire",),
    ("stock", "packing", "heat", "records"),
    ("quoting", "importing"),
    ("documents",),
    ("kernel",),
    ("operations",),
    ("replication",),
    ("queries",),
    ("house",),
    ("api",),
    ("app",),
)
"""From the ground up. A package imports itself and what lies on a floor below, nothing else of ours."""

MEANING = {
    "app": "the program: command line, server, certificates, backups by themselves, forecasts",
    "api": "the doors of HTTP: parse, call, answer",
    "house": "the honey house as one object: its records, clock, devices, quarantine, export",
    "queries": "reads: one consistent look at the records each",
    "replication": "exchange, changes, mirror, allocation, devices",
    "operations": "one operation into the records: schemas, kinds, rules, balances",
    "kernel": "the one door to the pure work, the same on the server and in the browser",
    "documents": "slip, labels, sheets, lists as HTML, one template a paper; `pdf.py` is its edge",
    "quoting": "what a caller is told: parcel, postage, trip, advice",
    "importing": "people out of files",
    "stock": "goods, lots, prices, restocking",
    "packing": "cartons, placements, partitions, postage, weighing",
    "heat": "weather, journey, harm, advice",
    "records": "tables, migrations, one way in",
    "wire": "JSON read field by field, dataclasses written as JSON",
    "errors": "the root of every error",
}


def imports() -> dict[str, set[str]]:
    """Package to the packages of ours that its files import, itself left out."""
    found: dict[str, set[str]] = defaultdict(set)
    for path in sorted(PACKAGE.rglob("*.py")):
        package = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            found[package] |= {name for name in _named(node) if name != package}
    return found


def _named(node: ast.AST) -> set[str]:
    """Packages of ours that one statement imports."""
    if isinstance(node, ast.Import):
        return {name.name.split(".")[1] for name in node.names if name.name.startswith("honeyhold.")}
    if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "honeyhold":
        parts = node.module.split(".")
        return {parts[1]} if len(parts) > 1 else {name.name for name in node.names}
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.fullmatch(r"honeyhold(\.\w+)+", node.value):
        return {node.value.split(".")[1]} & MEANING.keys()  # imported by its name when first asked for
    return set()


def drawn() -> str:
    """The picture of DEVELOPERS.md: a floor a line, the highest first, each package with what it stands on."""
    found = imports()
    lines = []
    for floor in reversed(FLOORS):
        for package in floor:
            below = ", ".join(name for names in FLOORS for name in names if name in found[package])
            lines.append(f"{package:12} {MEANING[package]}" + (f"\n{'':12} -> {below}" if below else ""))
    return "\n".join(lines)
