"""Goal: a field of a table is in none of its descriptions forgotten; method: `rows.py` beside the browser's types and the README."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from demo_seed.client.defaults import MODELS, defaults_of

from goods.in_node import in_node
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.rows import LEDGERS, NEEDED_WHEN_NEW, TABLES

ROOT = Path(__file__).resolve().parents[2]
SHAPES = re.sub(r"/\*\*.*?\*/", "", (ROOT / "web/store/shapes.d.ts").read_text(encoding="utf-8"), flags=re.S)
README = (ROOT / "server/honeyhold/operations/README.md").read_text(encoding="utf-8")
FIELDS = {table: {name for name in schema().fields if name not in ("table", "id")} for table, schema in TABLES.items()}
INTERFACES = {table: "DeviceRow" if table == "device" else table.capitalize() for table in TABLES if table not in LEDGERS}
BY_INDEX = {
    "good": {
        "net_g", "gross_g", "gross_sd_mg", "length_mm", "width_mm", "height_mm", "upright", "glass", "wall_mm", "gap_mm",
        "bears_g", "liquid_ml",
    },
}  # fmt: skip
"""Fields that the browser's type leaves to its index signature: measures, which the pure work reads and no room."""


@pytest.mark.parametrize("table", TABLES)
def test_the_contracts_table_names_every_field(table: str) -> None:
    (row,) = re.findall(rf"^\| `{table}` \|.*$", README, re.M)
    assert FIELDS[table] - set(re.findall(r"`(\w+)`", row)) == set()


@pytest.mark.parametrize("table", INTERFACES)
def test_the_browsers_type_has_every_field(table: str) -> None:
    (body,) = re.findall(rf"^export interface {INTERFACES[table]} {{\n(.*?)^}}", SHAPES, re.M | re.S)
    typed = set(re.findall(r"^ +(\w+)\??:", body, re.M)) - {"id"}
    assert FIELDS[table] - typed - BY_INDEX.get(table, set()) == set()
    assert typed - FIELDS[table] == set()
    assert "[field: string]" in body or not BY_INDEX.get(table)


@pytest.mark.parametrize("table", MODELS)
def test_what_nobody_said_is_the_same_in_the_browser(table: str) -> None:
    """What a new row has in a field that its entry leaves out, on a device and in the house."""
    here = in_node("store/board.js", "here.DEFAULTS[asked]", table)
    house = defaults_of(table)
    assert {name: value for name, value in here.items() if name not in NEEDED_WHEN_NEW[table] and house[name] != value} == {}


RANGE = re.compile(r"([a-z_]+(?:, [a-z_]+)*) (\d+)(?:-(\d+))?")
"""`order 1, movement, reservation 0-80`: a number, or the least and the most, of each of the tables before it."""


def _told_rows(cell: str) -> dict[str, tuple[int, int]]:
    """`order 1, movement, reservation 0-80` as bounds by table: tables before one range share it."""
    told = {}
    for names, least, most in RANGE.findall(re.sub(r"\(.*?\)", "", cell)):
        told |= {name: (int(least), int(most or least)) for name in names.split(", ")}
    return told


@pytest.mark.parametrize("kind", [kind for kind in KINDS.values() if kind.name != "bring_in"], ids=lambda kind: kind.name)
def test_the_contract_tells_how_many_rows_each_kind_takes(kind: Kind) -> None:
    """One row more or less is refused: an app that was written by the contract must know where."""
    cell = re.findall(rf"^\| `{kind.name}` \| ([^|]*) \|", README, re.M)[0]  # the first: the table of undoing comes after it
    assert _told_rows(cell) == kind.tables
