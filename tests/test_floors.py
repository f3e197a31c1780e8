"""Imports of the server only point down, and the picture in DEVELOPERS.md is the one that the imports draw."""

from __future__ import annotations

from floors import FLOORS, MEANING, PACKAGE, ROOT, drawn, imports

HEIGHT = {name: height for height, floor in enumerate(FLOORS) for name in floor}


def test_every_package_has_a_floor_and_a_meaning() -> None:
    there = {path.name.removesuffix(".py") for path in PACKAGE.iterdir() if path.suffix == ".py" or (path / "__init__.py").exists()}
    assert there - {"__init__"} == set(HEIGHT) == set(MEANING)


def test_imports_only_point_down() -> None:
    up = [f"{package} -> {other}" for package, others in imports().items() for other in others if HEIGHT[other] >= HEIGHT.get(package, -1)]
    assert up == []


def test_the_picture_is_the_one_the_imports_draw() -> None:
    assert drawn() in (ROOT / "DEVELOPERS.md").read_text("utf-8"), f"Put this into DEVELOPERS.md:\n{drawn()}"
