"""The quick conditions say yes only where the schemas do, and say it to everything that devices really send."""

from __future__ import annotations

import random
from typing import Any

import pytest
from marshmallow import ValidationError

from honeyhold.operations.apply import ENVELOPE, OPERATION
from honeyhold.operations.fast_validation import FastShape
from honeyhold.operations.schemas import ROW_SCHEMAS, read_row

WHOLE_ROWS: dict[str, dict[str, Any]] = {
    "person": {"name": "Ruth Amsel", "phone": "+17155550123", "street": "1 Comb Lane", "zip": "54806", "hidden": False},
    "good": {"name": "wax bar", "kind": "wax", "unit": "each", "net_g": 28, "bears_g": None, "row": 10, "sold": True},
    "carton": {"name": "box", "inner": ["8 5/8 in", "5 3/8 in", "1 5/8 in"], "outer": ["220 mm", "140 mm", "45 mm"]},
    "lot": {"good": "bar", "made_on": "2026-07-20", "sources": ["W26-204-1"], "measures": {"bars": 10}},
    "order": {"number": "A-1", "person": None, "way": "post", "state": "promised", "leave_on": None, "told": {"on": "2026-07-20"},
              "taken_on": "2026-07-20", "hold_for_cool": True},
    "line": {"order": "o1", "good": "bar", "units": 5, "price_cents": 250},
    "reservation": {"order": "o1", "line": "l1", "good": "bar", "units": -5},
    "movement": {"good": "bar", "lot": None, "units": -5, "reason": "gone", "order": "o1", "line": "l1", "on": "2026-07-20"},
    "payment": {"order": "o1", "cents": 1250, "how": "check", "on": "2026-07-20", "note": "no. 12"},
    "adjustment": {"order": "o1", "cents": -250, "why": "heat", "on": "2026-07-20", "note": "dents"},
    "till": {"on": "2026-07-20", "what": "counted", "cents": 4975, "at": "2026-07-20T18:00:00Z", "note": "short"},
    "lost_sale": {"good": "bar", "units": 10, "cents": 2500, "on": "2026-07-20", "undoes": None},
    "parcel": {"order": "o1", "part": 1, "carton": None, "plan": {"rows": [1, 2]}, "scale_g": None, "arrived": "fine"},
    "setting": {"value": ["Mon", "Tue"]},
    "device": {"name": "Shed phone", "mark": "A", "role": "keeper", "lost": False},
}  # fmt: skip
ODD: list[Any] = [
    None, True, False, 0, 1, -1, 5, 2**53, 10**10, 1.0, 0.5, "", "x", "bar", "2026-02-30", "2026-07-20", "2026-07-20\n", "+17155550123",
    "keeper", "wax", "each", "post", "fine", "a" * 3000, "\ud800", b"bytes", [], ["a", "b", "c"], [1.5], {}, {"a": 1}, {"a": 0.5}, {1: 2},
    "2026-07-20T14:10:03Z", "2026-07-20T25:10:03Z", "a" * 64, "0" * 64, ["x"] * 101,
]  # fmt: skip


@pytest.mark.parametrize("given", [None, [], "row", 7, [("name", "Ruth")]])
def test_what_is_no_row_fits_nothing(given: Any) -> None:
    assert [FastShape(schema).fits(given) for schema in ROW_SCHEMAS.values()] == [False] * len(ROW_SCHEMAS)


@pytest.mark.parametrize("table", ROW_SCHEMAS)
def test_a_quick_yes_is_the_schemas_yes(table: str) -> None:
    """Two thousand rows with odd values: whatever the condition takes, marshmallow takes, and reads the same."""
    dice, quick, taken = random.Random(7), FastShape(ROW_SCHEMAS[table]), 0
    fields = [*ROW_SCHEMAS[table].fields, "unheard_of"]
    for _ in range(2000):
        row: dict[str, Any] = {"table": table, "id": "x1", **WHOLE_ROWS.get(table, {})}
        for name in dice.sample(fields, min(len(fields), dice.randrange(3))):
            row[name] = dice.choice(ODD)
        if dice.random() < 0.1:
            row.pop(dice.choice(list(row)))
        if quick.fits(row):
            taken += 1
            assert list(ROW_SCHEMAS[table].load(row).items()) == list(quick.in_order(row).items())
        elif table != "forecast" and b"bytes" not in row.values():  # a list of shapes is left to marshmallow; it reads bytes as text
            with pytest.raises(ValidationError):
                ROW_SCHEMAS[table].load(row)
    assert table == "forecast" or 200 < taken < 1990


@pytest.mark.parametrize("table", WHOLE_ROWS)
def test_ordinary_rows_go_the_quick_way(table: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ROW_SCHEMAS[table], "load", lambda _row: pytest.fail("asked of marshmallow"))
    row = {"table": table, "id": "x1", **WHOLE_ROWS[table]}
    assert read_row(row, "Row 1") == row


def test_the_operation_and_its_envelope() -> None:
    whole = {
        "id": "0" * 8 + "-0000-4000-8000-" + "0" * 12, "device": "d", "seq": 1, "kind": "promise", "version": 1, "spent": {"bar": 5},
        "made_at": "2026-07-20T14:10:03Z", "before": "", "hash": "a" * 64, "rows": [{"table": "order", "id": "x"}],
    }  # fmt: skip
    dice = random.Random(3)
    for schema in (ENVELOPE, OPERATION):
        quick, taken = FastShape(schema), 0
        assert quick.fits(whole)
        for _ in range(3000):
            given = {**whole, dice.choice([*whole, "unheard_of"]): dice.choice([*ODD, {"bar": 0}, {"\ud800": 5}, [{}], [{}] * 401])}
            if dice.random() < 0.1:
                given.pop(dice.choice(list(given)))
            taken += quick.fits(given)
            try:
                schema.load(given)
            except ValidationError:
                assert not quick.fits(given), given
        assert 100 < taken < 2900
