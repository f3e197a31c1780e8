"""The shell, out of the sources: every file a page needs, each with the hash it must have. The service worker keeps all or none."""

from __future__ import annotations

import json
import re
import threading
from base64 import b64encode
from functools import cache, lru_cache
from hashlib import sha256
from pathlib import Path

from honeyhold.api.page import page_text

OWN_FOLDERS = ("store", "kernel", "rooms", "parts", "look")
WORKER = "service-worker.js"
OWN_ENDINGS = (".js", ".css", ".svg", ".png", ".webmanifest")
IMPORT = re.compile(r"""(?:from|import)\s*\(?\s*["']([^"']+)["']""")
IMPORT_MAP = re.compile(r'<script type="importmap">(.*?)</script>', re.DOTALL)
LIB_ADDRESS = re.compile(r"/lib/([\w@./-]+\.(?:js|mjs|css|woff2))")


class Shell:
    """The list of the shell, made anew when any of its files has changed."""

    def __init__(self, web: Path) -> None:
        self._web = web
        self._lock = threading.Lock()
        self._made: tuple[object, dict[str, str]] = (None, {})
        self._page = ""
        self.written_page = (web / "index.html").read_text("utf-8")

    def addresses(self) -> dict[str, str]:
        """`{address: "sha256-..."}` of every file."""
        files = _files(self._web)
        stamp = tuple((address, path.stat().st_mtime_ns, path.stat().st_size) for address, path in files.items())
        with self._lock:
            if self._made[0] != stamp:
                self._page = page_text(self._web, _import_map(self._web))
                made = {address: integrity(path.read_bytes()) for address, path in files.items()}
                self._made = (stamp, {**made, "/": integrity(self._page.encode())})
            return self._made[1]

    def file(self, address: str) -> Path | None:
        """Where a file of the shell lies. One that was a moment ago needs no look at all the others: a phone asks for each."""
        if address in self._made[1] or address in self.addresses():
            library = address.removeprefix("/lib/")
            return self._web / address.removeprefix("/") if library == address else self._web / "node_modules" / library
        return self._web / WORKER if address == f"/{WORKER}" else None

    def page(self) -> str:
        """The page itself, as `/` gives it."""
        self.addresses()
        return self._page

    def script(self) -> str:
        """What `/shell-list.js` says."""
        return listed(self.addresses(), (self._web / WORKER).read_bytes())


def listed(files: dict[str, str], worker: bytes) -> str:
    """The list as a script. The worker that keeps the files is part of the version, though it keeps not itself."""
    version = sha256(json.dumps([files, integrity(worker)], sort_keys=True).encode()).hexdigest()[:16]
    return f"self.SHELL = {json.dumps({'version': version, 'files': files}, indent=1, sort_keys=True)};\n"


def needed_libraries(web: Path) -> frozenset[str]:
    """The files of node_modules that our own files name, and what those import in turn."""
    named: set[str] = set()
    mapped = _import_map(web)
    for path in [web / "index.html", *_own(web)]:
        if path.suffix in (".html", ".css", ".js"):
            known = path.stat()
            addresses, targets = _named_in(path, known.st_mtime_ns, known.st_size)
            named.update(addresses)
            named.update(one for one in (_mapped(target, mapped) for target in targets) if one)
    return _with_imports(str(web), frozenset(named))


@lru_cache(maxsize=1000)
def _named_in(path: Path, mtime_ns: int, size: int) -> tuple[list[str], list[str]]:
    """Library addresses and import targets in a file's text: read again only when the file has changed, for every request asks."""
    text = path.read_text("utf-8")
    return LIB_ADDRESS.findall(text), IMPORT.findall(text)


def _files(web: Path) -> dict[str, Path]:
    found = {"/": web / "index.html", "/app.webmanifest": web / "app.webmanifest"}
    found.update({f"/{path.relative_to(web).as_posix()}": path for path in _own(web)})
    manifest = web / "kernel" / "built" / "manifest.json"
    found["/kernel/built/manifest.json"] = manifest
    found.update({f"/lib/{name}": web / "node_modules" / name for name in needed_libraries(web)})
    return {address: path for address, path in sorted(found.items()) if path.is_file()}


def _own(web: Path) -> list[Path]:
    built = web / "kernel" / "built"
    return sorted(
        path
        for folder in OWN_FOLDERS
        for path in (web / folder).rglob("*")
        if path.suffix in OWN_ENDINGS and built not in path.parents
    )


@cache
def _with_imports(web: str, named: frozenset[str]) -> frozenset[str]:
    modules = Path(web) / "node_modules"
    mapped: dict[str, str] = _import_map(Path(web))
    found: set[str] = set()
    waiting = sorted(named)
    while waiting:
        name = waiting.pop()
        path = modules / name
        if name in found or not path.is_file():
            continue
        found.add(name)
        if path.suffix in (".js", ".mjs"):
            targets = IMPORT.findall(path.read_text("utf-8"))
            waiting += [one for one in (_resolved(target, path, modules, mapped) for target in targets) if one]
    return frozenset(found)


def _resolved(target: str, origin: Path, modules: Path, mapped: dict[str, str]) -> str | None:
    if target.startswith("."):
        path = (origin.parent / target).resolve()
        return path.relative_to(modules.resolve()).as_posix() if modules.resolve() in path.parents else None
    return _mapped(target, mapped)


def _mapped(target: str, mapped: dict[str, str]) -> str | None:
    """The file of node_modules that a bare name stands for by the page's import map."""
    if target in mapped:
        return mapped[target].removeprefix("/lib/")
    for prefix, address in mapped.items():
        if prefix.endswith("/") and target.startswith(prefix):
            return address.removeprefix("/lib/") + target.removeprefix(prefix)
    return None


def _import_map(web: Path) -> dict[str, str]:
    found = IMPORT_MAP.search((web / "index.html").read_text("utf-8"))
    return dict(json.loads(found.group(1))["imports"]) if found else {}


def integrity(content: bytes) -> str:
    """The hash that a browser checks a file against."""
    return "sha256-" + b64encode(sha256(content).digest()).decode()
