"""What the browser is given: the app as it was built, else the files of web/ and the libraries they name; and the list of the shell."""

from __future__ import annotations

import gzip
from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from http import HTTPStatus
from pathlib import Path

from flask import Flask, Response, abort, request, send_from_directory

from honeyhold.api.built_shell import Shells
from honeyhold.api.json_response import PRESS_FROM_BYTES
from honeyhold.api.shell import IMPORT_MAP

MEDIA_TYPES = {
    ".js": "text/javascript",
    ".mjs": "text/javascript",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".html": "text/html; charset=utf-8",
    ".json": "application/json",
    ".woff2": "font/woff2",
    ".zip": "application/zip",
    ".png": "image/png",
}
PRESSED = {".js", ".mjs", ".css", ".svg", ".json", ".webmanifest"}
STORED = {"br": ".br", "gzip": ".gz"}
"""Endings of what lies pressed beside a built file, by what the browser calls it; the smaller first."""
FOR_EVER = "public, max-age=31536000, immutable"
ALWAYS_ASK = "no-cache"


def serve(app: Flask, web: Path, sources: bool = False) -> None:
    """Adds the addresses of the site to the application. `sources`: the files of web/ as they stand, whatever was built."""
    shells = Shells(web, sources)

    @app.get("/")
    def page() -> Response:
        answer = Response(shells.look().page(), content_type=MEDIA_TYPES[".html"])
        answer.headers["Cache-Control"] = ALWAYS_ASK
        answer.add_etag()
        answer.make_conditional(request)
        return answer

    @app.get("/shell-list.js")
    def shell_list() -> Response:
        answer = Response(shells.look().script(), content_type="text/javascript")
        answer.headers["Cache-Control"] = ALWAYS_ASK
        return answer

    @app.get("/kernel/built/<path:path>")
    def kernel_file(path: str) -> Response:
        return _file(web / "kernel" / "built", path, ALWAYS_ASK if path == "manifest.json" else FOR_EVER)

    @app.get("/<path:path>")
    def own_file(path: str) -> Response:
        found = shells.file(f"/{path}")
        if not found:
            abort(404)
        return _file(found.parent, found.name, ALWAYS_ASK)

    @app.after_request
    def guard(answer: Response) -> Response:
        if not request.path.startswith("/api/"):
            answer.headers["Content-Security-Policy"] = content_policy(shells.now.written_page)
        answer.headers["X-Content-Type-Options"] = "nosniff"
        answer.headers["Referrer-Policy"] = "no-referrer"
        return answer


@lru_cache(maxsize=4)
def content_policy(page: str) -> str:
    """Only our own files may run; of inline scripts only the page's import map, by its hash."""
    found = IMPORT_MAP.search(page)
    own = f" 'sha256-{b64encode(sha256(found.group(1).encode()).digest()).decode()}'" if found else ""
    return "; ".join([
        "default-src 'none'",
        f"script-src 'self' 'wasm-unsafe-eval'{own}",
        "style-src 'self' 'unsafe-inline'",
        # when the main computer moved to another address: what was not sent is handed over there (web/store/moved.js)
        "connect-src 'self' https: http://localhost:* http://127.0.0.1:*",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "frame-src 'self' blob:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'self'",
    ])


def _file(folder: Path, path: str, keep: str) -> Response:
    answer = send_from_directory(folder, path, conditional=True, etag=True)
    if answer.status_code == HTTPStatus.OK and Path(path).suffix in PRESSED and "Range" not in request.headers:
        answer = _pressed(answer, folder / path)
    media_type = MEDIA_TYPES.get(Path(path).suffix)
    if media_type:
        answer.headers["Content-Type"] = media_type
    answer.headers["Cache-Control"] = keep
    return answer


def _pressed(plain: Response, path: Path) -> Response:
    """The same file pressed, for a browser that takes it so: as it was stored beside the built one, else gzipped here."""
    plain.headers["Vary"] = "Accept-Encoding"
    known = path.stat()
    taken = [name for name in STORED if request.accept_encodings.quality(name) > 0]
    if known.st_size < PRESS_FROM_BYTES or not taken:
        return plain
    stored = next((name for name in taken if path.with_name(path.name + STORED[name]).is_file()), "")
    if not stored and "gzip" not in taken:
        return plain
    etag, _ = plain.get_etag()
    plain.close()
    form = stored or "gzip"
    answer = Response(
        path.with_name(path.name + STORED[form]).read_bytes() if stored else _gzipped(path, known.st_mtime_ns, known.st_size)
    )
    answer.headers.update({"Content-Encoding": form, "Vary": "Accept-Encoding"})
    answer.set_etag(f"{etag}-{form}")
    answer.make_conditional(request)
    return answer


@lru_cache(maxsize=1000)
def _gzipped(path: Path, _mtime_ns: int, _size: int) -> bytes:
    """Pressed once, and again only when the file has changed."""
    return gzip.compress(path.read_bytes(), 6, mtime=0)
