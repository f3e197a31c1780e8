"""The app as it was built, while the sources say the same; the sources as soon as they do not."""

from __future__ import annotations

import json
import os
from base64 import b64encode
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from api.conftest import Browser
from honeyhold.api.app import make_app
from honeyhold.house.house import House

SOURCES = {
    "index.html": '<!doctype html><html><head><script type="importmap">{"imports": {}}</script>'
    '<script type="module" src="/store/house.js"></script></head></html>',
    "service-worker.js": "importScripts('/shell-list.js'); // as it was written",
    "store/house.js": "export const house = 'as it was written';\n",
}
BUILT = {
    "index.html": '<!doctype html><html><head><script type="module" src="/shell/first.js"></script></head></html>',
    "service-worker.js": "importScripts('/shell-list.js')",
    "store/house.js": 'export{h as house}from"../shell/first.js";',
    "shell/first.js": f"const h='as it was built';export{{h}};//{'x' * 900}",
}
KEPT = ("index.html", "shell/first.js")
PRESSED = {"shell/first.js.br": b"pressed one way", "shell/first.js.gz": b"pressed the other way"}


def mark(text: str) -> str:
    return "sha256-" + b64encode(sha256(text.encode()).digest()).decode()


@pytest.fixture
def web(tmp_path: Path) -> Path:
    folder = tmp_path / "web"
    made = {
        "files": {name: mark(BUILT[name]) for name in KEPT},
        "sources": {name: sha256(text.encode()).hexdigest() for name, text in SOURCES.items()},
        "served": [name for name in BUILT if name != "index.html"],
    }
    texts = SOURCES | {f"built/{name}": text for name, text in BUILT.items()} | {"built/shell.json": json.dumps(made)}
    for name, data in [(name, text.encode()) for name, text in texts.items()] + [(f"built/{name}", data) for name, data in PRESSED.items()]:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    (folder / "kernel/built").mkdir(parents=True)
    (folder / "kernel/built/manifest.json").write_text("{}")
    return folder


def asked(house: House, web: Path, **more: Any) -> FlaskClient:
    app = make_app(house, web, **more)
    app.test_client_class = Browser
    return app.test_client()


def listed(browser: FlaskClient) -> dict[str, str]:
    return dict(json.loads(browser.get("/shell-list.js").text.removeprefix("self.SHELL = ").strip().removesuffix(";"))["files"])


def test_what_was_built_is_given_and_kept(house: House, web: Path) -> None:
    browser = asked(house, web)
    assert browser.get("/").text == BUILT["index.html"]
    assert browser.get("/store/house.js").text == BUILT["store/house.js"]
    assert browser.get("/service-worker.js").text == BUILT["service-worker.js"]
    assert listed(browser) == {
        "/": mark(BUILT["index.html"]), "/shell/first.js": mark(BUILT["shell/first.js"]), "/kernel/built/manifest.json": mark("{}"),
    }  # fmt: skip
    assert "sha256-" not in browser.get("/").headers["Content-Security-Policy"], "no script stands in the page itself"


@pytest.mark.parametrize("address", [
    "/built/shell.json", "/shell.json", "/built/shell/first.js", "/shell/first.js.br", "/shell/../shell.json",
])  # fmt: skip
def test_nothing_else_of_it_is_given(house: House, web: Path, address: str) -> None:
    assert asked(house, web).get(address).status_code == 404


def test_it_comes_pressed_as_it_was_stored(house: House, web: Path) -> None:
    browser = asked(house, web)
    for taken, form, data in (
        ("gzip, deflate, br", "br", PRESSED["shell/first.js.br"]), ("gzip", "gzip", PRESSED["shell/first.js.gz"]),
        ("br;q=0, gzip", "gzip", PRESSED["shell/first.js.gz"]),
    ):  # fmt: skip
        answer = browser.get("/shell/first.js", headers={"Accept-Encoding": taken})
        assert (answer.headers["Content-Encoding"], answer.data) == (form, data)
        again = browser.get("/shell/first.js", headers={"Accept-Encoding": taken, "If-None-Match": answer.headers["ETag"]})
        assert again.status_code == 304
    assert "Content-Encoding" not in browser.get("/shell/first.js").headers


@pytest.mark.parametrize("change", ["written anew", "gone"])
def test_a_source_that_is_another_now_is_given_itself(house: House, web: Path, change: str) -> None:
    """Whoever edits a file and loads the page again sees what was edited, in a server that runs already and in one that starts."""
    running = asked(house, web)
    assert running.get("/").text == BUILT["index.html"]
    source = web / "store/house.js"
    source.write_text("export const house = 'edited';\n") if change == "written anew" else source.unlink()
    for browser in (running, asked(house, web)):
        before = browser.get("/")
        assert "importmap" in before.text and "sha256-" in before.headers["Content-Security-Policy"]
        assert ("/store/house.js" in listed(browser)) is (change == "written anew")
        assert "/shell/first.js" not in listed(browser)
        assert browser.get("/service-worker.js").text == SOURCES["service-worker.js"]
    if change == "written anew":
        assert running.get("/store/house.js").text == "export const house = 'edited';\n"
    assert running.get("/shell/first.js").status_code == 200, "a page that began with it may still ask for the rest"


def test_put_back_as_it_was_it_is_the_built_one_again(house: House, web: Path) -> None:
    """The text decides, not the hour at which it was written."""
    browser = asked(house, web)
    for text in ("export const house = 'edited';\n", SOURCES["store/house.js"]):
        (web / "store/house.js").write_text(text)
        os.utime(web / "store/house.js", (1, len(text)))
    assert browser.get("/").text == BUILT["index.html"]


def test_the_sources_are_given_where_they_are_asked_for_or_nothing_was_built(house: House, web: Path) -> None:
    assert "importmap" in asked(house, web, sources=True).get("/").text
    (web / "built/shell.json").write_text("{")
    assert "importmap" in asked(house, web).get("/").text
    (web / "built/shell.json").unlink()
    browser = asked(house, web)
    assert "importmap" in browser.get("/").text
    assert browser.get("/store/house.js").text == SOURCES["store/house.js"]


def test_a_new_build_is_seen_by_a_server_that_runs(house: House, web: Path) -> None:
    browser = asked(house, web)
    before = listed(browser)
    made = json.loads((web / "built/shell.json").read_text())
    made["files"]["shell/first.js"] = mark("another")
    (web / "built/shell.json").write_text(json.dumps(made))
    assert listed(browser) != before
