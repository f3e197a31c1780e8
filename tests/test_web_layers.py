"""The browser's side keeps its floors: an import may only point down, and no room knows another.

What two rooms need lies in parts/ or store/.
"""

from __future__ import annotations

import re
from pathlib import Path

WEB = Path(__file__).resolve().parents[1] / "web"
IMPORT = re.compile(
    r"""(?:^|[\s@])(?:import|export)\b[^;'"]*?\bfrom\s*["']([./][^"']+)["']"""  # import x from, export x from, @import x from
    r"""|\bimport\(\s*["']([./][^"']+)["']"""  # fetched later
    r"""|^import\s+["']([./][^"']+)["']""",  # for what it does
    re.MULTILINE,
)
BELOW = {"kernel": set[str](), "store": {"kernel"}, "parts": {"store", "kernel"}, "rooms": {"parts", "store", "kernel"}}
"""Folder to the folders that it may import from, besides itself."""


def imports() -> set[tuple[str, str]]:
    """(module, imported module) of all our own modules, by their places under web/."""
    found = set()
    for folder in BELOW:
        for path in (WEB / folder).rglob("*.js"):
            if "built" in path.parts:
                continue
            for groups in IMPORT.findall(path.read_text("utf-8")):
                target = next(filter(None, groups))
                whole = WEB / target.lstrip("/") if target.startswith("/") else path.parent / target
                found.add((path.relative_to(WEB).as_posix(), whole.resolve().relative_to(WEB).as_posix()))
    return found


def room_of(module: str) -> str:
    """The room a module belongs to: its folder, or nothing for what all rooms share."""
    parts = module.split("/")
    return parts[1] if parts[0] == "rooms" and len(parts) > 2 else ""


def test_the_reading_finds_them_all() -> None:
    found = imports()
    assert len(found) > 300 and ("rooms/house.js", "rooms/shelf/shelf-room.js") in found and ("store/house.js", "kernel/work.js") in found


def test_imports_point_down() -> None:
    up = {
        f"{module} -> {target}" for module, target in imports()
        if (target.split("/")[0]) not in {module.split("/")[0], *BELOW[module.split("/")[0]]}
    }  # fmt: skip
    assert not up, up


def test_no_room_imports_another() -> None:
    across = {
        f"{module} -> {target}" for module, target in imports()
        if room_of(module) and room_of(target) and room_of(module) != room_of(target)
    }  # fmt: skip
    assert not across, across
