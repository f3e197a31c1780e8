"""The page as it is given: with every module it starts with named in its head, so that a phone need not find them one after another."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path

ENTRY = re.compile(r'<script type="module" src="([^"]+)"></script>')
AT_ONCE = re.compile(r"""^(?:import|export)\s[^;"'()]*["']([^"']+)["']""", re.MULTILINE)
"""What a module imports when it starts; what it fetches later, by `import(...)`, is not meant."""


def page_text(web: Path, mapped: dict[str, str]) -> str:
    """`index.html` with a `modulepreload` for each module that its own modules import at once, in the order they are met."""
    text = (web / "index.html").read_text("utf-8")
    entries = ENTRY.findall(text)
    if not entries:
        return text
    links = "".join(f'<link rel="modulepreload" href="{address}">\n  ' for address in modules_at_start(web, entries, mapped))
    first = f'<script type="module" src="{entries[0]}">'
    return text.replace(first, links + first, 1)


def modules_at_start(web: Path, entries: list[str], mapped: dict[str, str]) -> list[str]:
    """The addresses of all modules that run before the first room stands."""
    found: dict[str, None] = {}
    waiting = list(entries)
    while waiting:
        address = waiting.pop(0)
        path = _file(web, address)
        if address in found or not path.is_file():
            continue
        found[address] = None
        waiting += [one for one in (_address(target, address, mapped) for target in AT_ONCE.findall(path.read_text("utf-8"))) if one]
    return list(found)


def _file(web: Path, address: str) -> Path:
    return web / "node_modules" / address.removeprefix("/lib/") if address.startswith("/lib/") else web / address.removeprefix("/")


def _address(target: str, origin: str, mapped: dict[str, str]) -> str | None:
    if target.startswith("."):
        return posixpath.normpath(posixpath.join(posixpath.dirname(origin), target))
    if target in mapped:
        return mapped[target]
    for prefix, address in mapped.items():
        if prefix.endswith("/") and target.startswith(prefix):
            return address + target.removeprefix(prefix)
    return None
