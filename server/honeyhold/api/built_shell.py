"""The app as `scripts/build_shell` made it, and the choice between it and the sources: what was made of other sources is never shown."""

from __future__ import annotations

import json
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from honeyhold.api.shell import WORKER, Shell, integrity, listed

PAGE = "index.html"
MANIFEST = Path("kernel/built/manifest.json")


class BuiltShell:
    """The files of `web/built`, as one build left them. Raises OSError or ValueError when there is none."""

    def __init__(self, web: Path) -> None:
        self.folder = web / "built"
        self._manifest = web / MANIFEST
        made: dict[str, Any] = json.loads((self.folder / "shell.json").read_text("utf-8"))
        self._sources = {web / name: str(known) for name, known in made["sources"].items()}
        self._kept = {_address(name): str(known) for name, known in made["files"].items()}
        self._served = {f"/{name}" for name in made["served"]}
        self.written_page = (self.folder / PAGE).read_text("utf-8")

    def is_of_the_sources(self) -> bool:
        """Whether every source is the one that it was made of. One that nothing named then matters when another names it."""
        try:
            return all(_hashed(path, (known := path.stat()).st_mtime_ns, known.st_size) == mark for path, mark in self._sources.items())
        except OSError:
            return False

    def file(self, address: str) -> Path | None:
        """Where what is asked for lies; None for what is not part of it."""
        return self.folder / address.removeprefix("/") if address in self._served else None

    def page(self) -> str:
        """The page itself, as `/` gives it."""
        return self.written_page

    def script(self) -> str:
        """What `/shell-list.js` says. The kernel is built apart: its list is as it is now."""
        kernel = {f"/{MANIFEST.as_posix()}": integrity(self._manifest.read_bytes())} if self._manifest.is_file() else {}
        return listed({**self._kept, **kernel}, (self.folder / WORKER).read_bytes())


class Shells:
    """What is given to the browser now: what was built, or the sources when they say something else or are asked for."""

    def __init__(self, web: Path, sources: bool) -> None:
        self._web, self._only_sources = web, sources
        self._plain = Shell(web)
        self._built: tuple[int, BuiltShell | None] = (0, None)
        self.now: Shell | BuiltShell = self._plain
        self.look()

    def look(self) -> Shell | BuiltShell:
        """Chooses anew; whoever asks for the page or for its list does, so that one page is of one making."""
        built = None if self._only_sources else self._latest()
        self.now = built if built and built.is_of_the_sources() else self._plain
        return self.now

    def file(self, address: str) -> Path | None:
        """The file of the present choice, else of the last build: a page that began with it asks for what the sources do not have."""
        found = self.now.file(address)
        return found or (self._built[1].file(address) if self._built[1] else None)

    def _latest(self) -> BuiltShell | None:
        """The last build, read again only when there is a newer one."""
        try:
            made_at = (self._web / "built" / "shell.json").stat().st_mtime_ns
            if self._built[0] != made_at:
                self._built = (made_at, BuiltShell(self._web))
        except (OSError, ValueError, KeyError):
            return None
        return self._built[1]


def _address(name: str) -> str:
    return "/" if name == PAGE else f"/{name}"


@lru_cache(maxsize=1000)
def _hashed(path: Path, _mtime_ns: int, _size: int) -> str:
    """Read again only when the file was written anew."""
    return sha256(path.read_bytes()).hexdigest()
