"""What the browser is given: the right types, one list of the shell, and nothing that is not meant for it."""

from __future__ import annotations

import gzip
import json
import re
from base64 import b64encode
from hashlib import sha256
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from api.conftest import Browser, assert_problem
from honeyhold.api.app import make_app
from honeyhold.house.house import House

PAGE = """<!doctype html><html lang="en"><head><title>x</title>
<script type="importmap">{"imports": {"idb": "/lib/idb/build/index.js"}}</script>
<link rel="stylesheet" href="/look/base.css"><script type="module" src="/store/house.js"></script></head></html>"""

FILES = {
    "index.html": PAGE,
    "app.webmanifest": "{}",
    "service-worker.js": "importScripts('/shell-list.js');",
    "look/base.css": "body { color: black }",
    "store/house.js": "import { openDB } from 'idb';\nexport const house = openDB;\n",
    "store/secret.txt": "not for the browser",
    "node_modules/idb/build/index.js": "import './part.js';\nexport const openDB = 1;\n",
    "node_modules/idb/build/part.js": "export {};\n",
    "node_modules/idb/package.json": "{}",
    "node_modules/other/index.js": "export {};\n",
    "kernel/built/manifest.json": "{}",
    "kernel/built/stdlib-0123.zip": "PK",
    "package.json": "{}",
}


@pytest.fixture
def web(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        path = tmp_path / "web" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return tmp_path / "web"


@pytest.fixture
def browser(house: House, web: Path) -> FlaskClient:
    app = make_app(house, web)
    app.test_client_class = Browser
    return app.test_client()


@pytest.mark.parametrize(("address", "media"), [
    ("/", "text/html; charset=utf-8"), ("/store/house.js", "text/javascript"), ("/look/base.css", "text/css"),
    ("/app.webmanifest", "application/manifest+json"), ("/service-worker.js", "text/javascript"),
    ("/shell-list.js", "text/javascript"), ("/lib/idb/build/index.js", "text/javascript"),
    ("/lib/idb/build/part.js", "text/javascript"), ("/kernel/built/stdlib-0123.zip", "application/zip"),
])  # fmt: skip
def test_each_file_has_its_type(browser: FlaskClient, address: str, media: str) -> None:
    answer = browser.get(address)
    assert answer.status_code == 200 and answer.content_type.split(";")[0] == media.split(";", maxsplit=1)[0]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("address", [
    "/lib/other/index.js", "/lib/idb/package.json", "/package.json", "/store/secret.txt", "/node_modules/idb/build/index.js",
    "/store/../package.json", "/lib/../package.json", "/%2e%2e/pyproject.toml", "/lib/idb/build/../../other/index.js",
    "/kernel/built/../../package.json", "/nowhere.js",
])  # fmt: skip
def test_nothing_else_is_given(browser: FlaskClient, address: str) -> None:
    assert_problem(browser.get(address), 404, "http-404")


def test_the_shell_list_holds_what_a_page_needs_with_its_hashes(browser: FlaskClient) -> None:
    script = browser.get("/shell-list.js").get_data(as_text=True)
    shell = json.loads(script.removeprefix("self.SHELL = ").rstrip().rstrip(";"))
    assert set(shell["files"]) == {
        "/", "/app.webmanifest", "/look/base.css", "/store/house.js", "/lib/idb/build/index.js", "/lib/idb/build/part.js",
        "/kernel/built/manifest.json",
    }  # fmt: skip
    for address, integrity in shell["files"].items():
        assert integrity == "sha256-" + b64encode(sha256(browser.get(address).data).digest()).decode(), address


def test_the_version_changes_with_any_file(browser: FlaskClient, web: Path) -> None:
    before = browser.get("/shell-list.js").data
    (web / "look" / "base.css").write_text("body { color: brown }", "utf-8")
    assert browser.get("/shell-list.js").data != before


def test_the_version_changes_with_the_worker_that_keeps_the_files(browser: FlaskClient, web: Path) -> None:
    """Otherwise a release of the worker alone fills the very cache that is in use."""
    before = browser.get("/shell-list.js").get_data(as_text=True)
    (web / "service-worker.js").write_text("importScripts('/shell-list.js'); // mended", "utf-8")
    after = browser.get("/shell-list.js").get_data(as_text=True)
    assert after != before and '"/service-worker.js"' not in after


def test_only_the_import_map_may_run_inline(browser: FlaskClient) -> None:
    policy = browser.get("/").headers["Content-Security-Policy"]
    inline = '{"imports": {"idb": "/lib/idb/build/index.js"}}'
    own = b64encode(sha256(inline.encode()).digest()).decode()
    assert f"script-src 'self' 'wasm-unsafe-eval' 'sha256-{own}'" in policy and policy.startswith("default-src 'none'")


def test_what_may_be_kept_and_what_not(browser: FlaskClient) -> None:
    assert "immutable" in browser.get("/kernel/built/stdlib-0123.zip").headers["Cache-Control"]
    for address in ("/", "/shell-list.js", "/service-worker.js", "/kernel/built/manifest.json", "/store/house.js"):
        assert browser.get(address).headers["Cache-Control"] == "no-cache", address
    tag = browser.get("/store/house.js").headers["ETag"]
    assert browser.get("/store/house.js", headers={"If-None-Match": tag}).status_code == 304


def test_the_page_names_every_module_it_starts_with(browser: FlaskClient, web: Path) -> None:
    """In its head, library modules too; what is imported later is left to later. Its hash in the shell is that of what is given."""
    text = "import {\n  openDB,\n} from 'idb';\nimport './log.js';\nexport { a } from \"./a.js\";\nimport('./late.js');\n"
    (web / "store" / "house.js").write_text(text)
    for name in ("log", "a", "late"):
        (web / "store" / f"{name}.js").write_text("import './house.js';\n")
    answer = browser.get("/")
    named = re.findall(r'<link rel="modulepreload" href="([^"]+)">', answer.text)
    assert named == ["/store/house.js", "/lib/idb/build/index.js", "/store/log.js", "/store/a.js", "/lib/idb/build/part.js"]
    assert answer.text.index("importmap") < answer.text.index("modulepreload"), "the map must be known before the first module"
    files = json.loads(browser.get("/shell-list.js").text.removeprefix("self.SHELL = ").strip().removesuffix(";"))["files"]
    assert files["/"] == "sha256-" + b64encode(sha256(answer.data).digest()).decode()
    again = browser.get("/", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_text_comes_gzipped_to_who_takes_it_so(browser: FlaskClient, web: Path) -> None:
    """The same bytes once unpacked, with a tag of their own; a change of the file is seen; who does not ask gets it plain."""
    text = "export const words = 'honey';\n" * 200
    (web / "store/house.js").write_text(text, "utf-8")
    pressed = browser.get("/store/house.js", headers={"Accept-Encoding": "gzip"})
    plain = browser.get("/store/house.js")
    assert pressed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(pressed.data) == plain.data == text.encode()
    assert len(pressed.data) < len(plain.data) / 4
    assert pressed.headers["Vary"] == plain.headers["Vary"] == "Accept-Encoding"
    assert pressed.headers["ETag"] != plain.headers["ETag"]
    again = browser.get("/store/house.js", headers={"Accept-Encoding": "gzip", "If-None-Match": pressed.headers["ETag"]})
    assert again.status_code == 304
    (web / "store/house.js").write_text(text + "// more\n", "utf-8")
    changed = browser.get("/store/house.js", headers={"Accept-Encoding": "gzip", "If-None-Match": pressed.headers["ETag"]})
    assert changed.status_code == 200
    assert gzip.decompress(changed.data).endswith(b"// more\n")


def test_a_part_of_a_file_comes_plain(browser: FlaskClient, web: Path) -> None:
    (web / "store/house.js").write_text("x" * 5000, "utf-8")
    part = browser.get("/store/house.js", headers={"Accept-Encoding": "gzip", "Range": "bytes=0-9"})
    assert part.status_code == 206
    assert part.data == b"x" * 10
    assert "Content-Encoding" not in part.headers
