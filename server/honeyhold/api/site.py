"""What the browser is given: the files of web/ as they stand, the libraries they name, and the list of the shell."""

from __future__ import annotations

import gzip
from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from http import HTTPStatus
from pathlib import Path

from flask import Flask, Response, abort, request, send_from_directory

from honeyhold.api.json_response import PRESS_FROM_BYTES
from honeyhold.api.shell import IMPORT_MAP, Shell

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
FOR_EVER = "public, max-age=31536000, immutable"
ALWAYS_ASK = "no-cache"


def serve(app: Flask, web: Path) -> None:
    """Adds the addresses of the site to the application."""
    shell = Shell(web)
    policy = content_policy((web / "index.html").read_text("utf-8"))

    @app.get("/")
    def page() -> Response:
        answer = Response(shell.page(), content_type=MEDIA_TYPES[".html"])
        answer.headers["Cache-Control"] = ALWAYS_ASK
        answer.add_etag()
        answer.make_conditional(request)
        return answer

    @app.get("/shell-list.js")
    def shell_list() -> Response:
        answer = Response(shell.script(), content_type="text/javascript")
        answer.headers["Cache-Control"] = ALWAYS_ASK
        return answer

    @app.get("/lib/<path:path>")
    def library(path: str) -> Response:
        if not shell.has(f"/lib/{path}"):
            abort(404)
        return _file(web / "node_modules", path, ALWAYS_ASK)

    @app.get("/kernel/built/<path:path>")
    def kernel_file(path: str) -> Response:
        return _file(web / "kernel" / "built", path, ALWAYS_ASK if path == "manifest.json" else FOR_EVER)

    @app.get("/<path:path>")
    def own_file(path: str) -> Response:
        if not shell.has(f"/{path}") and path != "service-worker.js":
            abort(404)
        return _file(web, path, ALWAYS_ASK)

    @app.after_request
    def guard(answer: Response) -> Response:
        if not request.path.startswith("/api/"):
            answer.headers["Content-Security-Policy"] = policy
        answer.headers["X-Content-Type-Options"] = "nosniff"
        answer.headers["Referrer-Policy"] = "no-referrer"
        return answer


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
    """The same file gzipped, for a browser that takes it so: the shell is some two hundred files of text, half as long then."""
    plain.headers["Vary"] = "Accept-Encoding"
    known = path.stat()
    if known.st_size < PRESS_FROM_BYTES or "gzip" not in request.headers.get("Accept-Encoding", ""):
        return plain
    etag, _ = plain.get_etag()
    plain.close()
    answer = Response(_gzipped(path, known.st_mtime_ns, known.st_size))
    answer.headers.update({"Content-Encoding": "gzip", "Vary": "Accept-Encoding"})
    answer.set_etag(f"{etag}-gzip")
    answer.make_conditional(request)
    return answer


@lru_cache(maxsize=1000)
def _gzipped(path: Path, _mtime_ns: int, _size: int) -> bytes:
    """Pressed once, and again only when the file has changed."""
    return gzip.compress(path.read_bytes(), 6, mtime=0)
