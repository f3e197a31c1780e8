"""What is handed on is never written to: every dataclass is frozen, but for those that are made to be changed, each with why."""

from __future__ import annotations

import ast
from pathlib import Path

SERVER = Path(__file__).resolve().parents[1] / "server" / "honeyhold"
NOT_FROZEN = {
    "what it remembers changes as time goes by": {
        "app/chores.py Chore", "app/forecasts/norway.py NorwayService", "app/forecasts/norway.py _Known",
        "app/forecasts/united_states.py WeatherService", "app/forecasts/united_states.py _Known", "app/listeners.py Nearby",
        "app/web_server/server.py Door", "app/web_server/wsgi.py Answer", "house/between_processes.py Letter",
        "house/many_houses.py Opened",
    },
    "one run of something: it counts what it has done": {
        "api/effort.py _Run", "operations/context.py OperationContext", "packing/exact/exhaustive.py _Search",
        "packing/exact/portfolio.py Places", "packing/exact/positions.py _State", "packing/exact/separation.py _State",
        "packing/heuristic/beam_search.py State", "packing/heuristic/many_pieces.py _Packed", "packing/partition/best_first.py Cheapest",
        "packing/partition/best_first.py _Left", "packing/partition/choice.py CartonSelection", "packing/partition/exact.py _Partition",
        "packing/partition/heuristic.py Left", "packing/partition/heuristic.py _Fills", "stock/allocation.py _Device",
    },
    "it is put together piece by piece": {
        "heat/network.py Network", "heat/parcel.py Packed", "stock/pictures.py _Group", "stock/pictures.py _Ink",
    },
}  # fmt: skip


def _is_dataclass(decorator: ast.expr) -> bool:
    called = decorator.func if isinstance(decorator, ast.Call) else decorator
    return isinstance(called, ast.Name) and called.id == "dataclass"


def _is_frozen(decorator: ast.expr) -> bool:
    given = decorator.keywords if isinstance(decorator, ast.Call) else []
    return any(one.arg == "frozen" and isinstance(one.value, ast.Constant) and one.value.value is True for one in given)


def dataclasses() -> dict[str, bool]:
    """By file and name, whether it is frozen."""
    found = {}
    for path in sorted(SERVER.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            made = [one for one in getattr(node, "decorator_list", ()) if _is_dataclass(one)]
            if isinstance(node, ast.ClassDef) and made:
                found[f"{path.relative_to(SERVER).as_posix()} {node.name}"] = _is_frozen(made[0])
    return found


def test_every_dataclass_is_frozen_that_is_not_made_to_be_changed() -> None:
    """Nothing else would notice: a class that is written to by mistake changes for all who hold it."""
    found = dataclasses()
    listed = set[str]().union(*NOT_FROZEN.values())
    assert len(found) > 100
    assert {name for name, frozen in found.items() if not frozen} == listed
