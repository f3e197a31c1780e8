"""Goal: a field of a table is in none of its descriptions forgotten; method: `rows.py` beside the browser's types and the README."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from demo_seed.client.defaults import MODELS, defaults_of

from goods.in_node import in_node
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
