"""What a page needs of the libraries, by what its own files name; which place a listener has; and what a trouble tells besides."""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from flask import Flask
from werkzeug.exceptions import MethodNotAllowed, NotFound, TooManyRequests

from honeyhold.api.built_shell import BuiltShell, Shells
from honeyhold.api.problems import DETAILS, REMEDIES, _known, _of_the_protocol, problem
from honeyhold.api.rate_limit import FREE_TRIES, RateLimit, TooOften
from honeyhold.api.shell import _mapped, _named_in, _resolved, integrity, listed, needed_libraries
from honeyhold.api.stream import PER_DEVICE_MAX, AllPlaces, NoPlace, Places
from honeyhold.errors import BadRequest
from honeyhold.operations.errors import DeviceLost, UnknownDevice

MAPPED = {"amber": "/lib/amber/index.js", "amber/": "/lib/amber/", "resin/": "/lib/resin/src/"}
FILES = {
    "index.html": '<script type="importmap">{"imports": {"amber": "/lib/amber/index.js", "resin/": "/lib/resin/"}}</script>'
    '<link rel="stylesheet" href="/lib/look/page.css">',
    "store/a.js": 'import { a } from "amber"; import "./b.js"; const c = await import("resin/c.js"); import "nobody-knows";',
    "look/own.css": '@font-face { src: url("/lib/type/wght.woff2") }',
    "rooms/picture.svg": '<svg><use href="/lib/not/looked-at.js"/></svg>',
    "node_modules/amber/index.js": 'export * from "./deep/one.js"; import "../outside/two.mjs"; import "resin/d.js";',
    "node_modules/amber/deep/one.js": 'import "../index.js"; import "../../../store/a.js"; import "./missing.js";',
    "node_modules/outside/two.mjs": "", "node_modules/resin/c.js": "", "node_modules/resin/d.js": "",
    "node_modules/look/page.css": 'import "./not-read.js"', "node_modules/look/not-read.js": "", "node_modules/type/wght.woff2": "",
    "node_modules/not/looked-at.js": "", "node_modules/unnamed/index.js": "",
}  # fmt: skip


def written(folder: Path) -> Path:
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    return folder


def test_the_libraries_that_are_named_and_what_those_import_in_turn(tmp_path: Path) -> None:
    """Round in a circle too; nothing that is not there, lies outside or is named by no text."""
    assert needed_libraries(written(tmp_path)) == {
        "amber/index.js", "amber/deep/one.js", "outside/two.mjs", "resin/c.js", "resin/d.js", "look/page.css", "type/wght.woff2",
    }  # fmt: skip


@pytest.mark.parametrize(("target", "file"), [
    ("amber", "amber/index.js"), ("amber/deep/one.js", "amber/deep/one.js"), ("resin/a.js", "resin/src/a.js"), ("resin", None),
    ("amberish", None), ("", None),
])  # fmt: skip
def test_a_bare_name_stands_for_what_the_import_map_says(target: str, file: str | None) -> None:
    assert _mapped(target, MAPPED) == file


@pytest.mark.parametrize(("target", "file"), [
    ("./two.js", "amber/two.js"), ("../resin/a.js", "resin/a.js"), ("../../store/a.js", None), ("resin/a.js", "resin/src/a.js"),
    ("nobody-knows", None),
])  # fmt: skip
def test_what_a_library_imports_lies_beside_it_or_in_the_map(tmp_path: Path, target: str, file: str | None) -> None:
    modules = tmp_path / "node_modules"
    assert _resolved(target, modules / "amber" / "one.js", modules, MAPPED) == file


@pytest.mark.parametrize(("text", "targets"), [
    ('import "a";', ["a"]), ("import { b } from 'b';", ["b"]), ('const c = import("c")', ["c"]), ('export * from "./d.js"', ["./d.js"]),
    ('import ( "e" )', ["e"]), ("important", []),
])  # fmt: skip
def test_what_a_text_imports(tmp_path: Path, text: str, targets: list[str]) -> None:
    (tmp_path / "a.js").write_text(text, "utf-8")
    assert _named_in(tmp_path / "a.js", 0, len(text)) == ([], targets)


def test_a_list_has_a_version_of_sixteen_figures_of_its_files_and_the_worker() -> None:
    files, worker = {"/b.js": "2", "/a.js": "1"}, b"worker"
    said = listed(files, worker)
    version = sha256(json.dumps([files, integrity(worker)], sort_keys=True).encode()).hexdigest()[:16]
    assert said.startswith("self.SHELL = {") and said.endswith("};\n")
    assert json.loads(said.removeprefix("self.SHELL = ").removesuffix(";\n")) == {"files": files, "version": version}
    assert said.index("/a.js") < said.index("/b.js") and listed(dict(reversed(files.items())), worker) == said


def test_a_files_hash_is_what_a_browser_checks_it_by() -> None:
    """SHA-256 of nothing, in Base64 (W3C Subresource Integrity)."""
    assert integrity(b"") == "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU="


# What was built


def built(web: Path, **more: Any) -> Path:
    """A build of two sources, with a file and a page."""
    folder = written(web) / "built"
    folder.mkdir(exist_ok=True)
    sources = {name: sha256(FILES[name].encode()).hexdigest() for name in ("index.html", "store/a.js")}
    files = {"index.html": "p", "shell/first.js": "f"}
    (folder / "shell.json").write_text(json.dumps({"sources": sources, "files": files, "served": ["shell/first.js"], **more}), "utf-8")
    (folder / "index.html").write_text("built page", "utf-8")
    (folder / "service-worker.js").write_text("worker", "utf-8")
    (web / "service-worker.js").write_text("worker", "utf-8")
    return web


def test_a_build_gives_what_it_serves_and_lists_the_page_as_the_address_of_the_site(tmp_path: Path) -> None:
    made = BuiltShell(built(tmp_path))
    assert made.file("/shell/first.js") == tmp_path / "built" / "shell" / "first.js"
    assert made.file("/index.html") is None is made.file("/shell.json") and made.page() == made.written_page == "built page"
    assert made.script() == listed({"/": "p", "/shell/first.js": "f"}, b"worker")
    manifest = tmp_path / "kernel" / "built" / "manifest.json"
    manifest.parent.mkdir(parents=True)
    manifest.write_text("{}", "utf-8")
    assert made.script() == listed({"/": "p", "/shell/first.js": "f", "/kernel/built/manifest.json": integrity(b"{}")}, b"worker")


def test_a_build_is_of_its_sources_until_one_is_another_or_gone(tmp_path: Path) -> None:
    made = BuiltShell(built(tmp_path))
    assert made.is_of_the_sources()
    (tmp_path / "store" / "a.js").write_text("another", "utf-8")
    assert not made.is_of_the_sources()
    (tmp_path / "store" / "a.js").unlink()
    assert not made.is_of_the_sources()


@pytest.mark.parametrize("spoiled", ["{", "{}", "gone"])
def test_a_build_that_cannot_be_read_is_none(tmp_path: Path, spoiled: str) -> None:
    told = built(tmp_path) / "built" / "shell.json"
    if spoiled == "gone":
        told.unlink()
    else:
        told.write_text(spoiled, "utf-8")
    shells = Shells(tmp_path, False)
    assert not isinstance(shells.now, BuiltShell) and shells.file("/shell/first.js") is None


def test_a_page_that_began_with_a_build_still_gets_its_files_when_the_sources_are_given(tmp_path: Path) -> None:
    shells = Shells(built(tmp_path), False)
    first = shells.now
    assert isinstance(first, BuiltShell) and shells.look() is first, "read once"
    (tmp_path / "store" / "a.js").write_text("another", "utf-8")
    assert not isinstance(shells.look(), BuiltShell)
    assert shells.file("/shell/first.js") == tmp_path / "built" / "shell" / "first.js" and shells.file("/nowhere.js") is None
    assert shells.file("/store/a.js") == tmp_path / "store" / "a.js"
    (tmp_path / "store" / "a.js").write_text(FILES["store/a.js"], "utf-8")
    assert shells.look() is first
    os.utime(tmp_path / "built" / "shell.json", ns=(1, 1))
    assert isinstance(shells.look(), BuiltShell) and shells.now is not first, "a newer one is read again"
    assert not isinstance(Shells(tmp_path, True).now, BuiltShell)


# Who listens


def listener(device: str, ended: list[str]) -> Any:
    return SimpleNamespace(device=device, end=lambda: ended.append(device))


def test_a_device_that_listens_once_too_often_loses_its_oldest() -> None:
    ended: list[str] = []
    places, streams = Places(10), [listener("tablet", ended) for _ in range(PER_DEVICE_MAX + 1)]
    for stream in streams[:-1]:
        places.take(stream)
    assert places.open() == PER_DEVICE_MAX == 2 and ended == []
    places.take(listener("phone", ended))
    places.take(streams[-1])
    assert (places.open(), ended) == (PER_DEVICE_MAX + 1, ["tablet"]) and streams[0] not in places._taken


def test_a_place_is_given_back_once() -> None:
    every = AllPlaces(3)
    places, streams = Places(2, every), [listener(f"{n}", []) for n in range(3)]
    for stream in streams[:2]:
        places.take(stream)
    with pytest.raises(NoPlace) as full:
        places.take(streams[2])
    assert (str(full.value), full.value.remedy, full.value.wait_s) == (
        "All places for listening are taken.", "Ask again by the minute; nothing is lost.", 30,
    )  # fmt: skip
    for _ in range(2):
        places.leave(streams[0])
    assert (places.open(), every.open()) == (1, 1)
    places.take(streams[2])
    assert (places.open(), every.open()) == (2, 2)


def test_all_houses_together_have_so_many_places() -> None:
    every = AllPlaces(2)
    for house in (Places(2, every), Places(2, every)):
        house.take(listener("a", []))
    full = Places(2, every)
    with pytest.raises(NoPlace):
        full.take(listener("a", []))
    assert (full.open(), every.open()) == (0, 2)


def test_every_listener_is_told_when_the_house_goes() -> None:
    ended: list[str] = []
    places = Places(3)
    for device in ("a", "b"):
        places.take(listener(device, ended))
    places.end()
    assert ended == ["a", "b"]


# What goes wrong


@pytest.fixture(scope="module")
def asked() -> Any:
    """A request to be answered."""
    return Flask("asked").test_request_context()


@pytest.mark.parametrize(("trouble", "more", "heads"), [
    (BadRequest("No.", "Yes."), {}, {}), (UnknownDevice("No.", "Yes."), {}, {"WWW-Authenticate": "Bearer"}),
    (DeviceLost("No.", "Yes."), {}, {}), (DeviceLost("No.", "Yes.", [], False, ""), {}, {}),
    (DeviceLost("No.", "Yes.", ["e1"], True, "b2"), {"kept": ["e1"], "forget": True, "epoch": "b2"}, {}),
    (NoPlace(), {}, {"Retry-After": "30"}),
])  # fmt: skip
def test_a_trouble_tells_its_own_besides(asked: Any, trouble: Any, more: dict[str, Any], heads: dict[str, str]) -> None:
    with asked:
        answer = _known(trouble)
    told = json.loads(answer.get_data())
    base = {"type", "title", "status", "detail", "remedy"}
    assert {name: value for name, value in told.items() if name not in base} == more
    assert (told["detail"], told["remedy"], told["status"]) == (str(trouble), trouble.remedy, answer.status_code)
    assert {name: answer.headers[name] for name in ("WWW-Authenticate", "Retry-After") if name in answer.headers} == heads


@pytest.mark.parametrize(("trouble", "detail", "remedy", "allow"), [
    (NotFound(), DETAILS[404], REMEDIES[404], None), (NotFound("No such lot."), "No such lot.", REMEDIES[404], None),
    (MethodNotAllowed(["POST", "GET"]), DETAILS[405], REMEDIES[405], "GET, POST"), (MethodNotAllowed(), DETAILS[405], REMEDIES[405], None),
    (TooManyRequests(), TooManyRequests.description, REMEDIES[429], None),
])  # fmt: skip
def test_a_trouble_of_the_protocol_is_told_in_our_words(asked: Any, trouble: Any, detail: str, remedy: str, allow: str | None) -> None:
    with asked:
        answer = _of_the_protocol(trouble)
    told = json.loads(answer.get_data())
    assert (told["type"], told["detail"], told["remedy"]) == (f"urn:honeyhold:http-{trouble.code}", detail, remedy)
    assert answer.headers.get("Allow") == allow


def test_a_trouble_without_a_remedy_has_one_all_the_same(asked: Any) -> None:
    with asked:
        answer = problem("mistake", 500, "It broke \ud83d.", "", more=1)
    told = json.loads(answer.get_data())
    assert told == {
        "type": "urn:honeyhold:mistake", "title": "Internal Server Error", "status": 500, "detail": "It broke \ud83d.",
        "remedy": "Try again; if it stays, look at the window in which Honeyhold was started.", "more": 1,
    }  # fmt: skip
    assert (answer.headers["Cache-Control"], answer.content_type) == ("no-store", "application/problem+json")


def test_each_guess_more_waits_twice_as_long_up_to_five_minutes() -> None:
    """One second after five free ones; what is refused counts for nothing, and a good code wipes it out."""
    clock = [datetime(2026, 7, 20, 12, tzinfo=UTC)]
    limit = RateLimit(lambda: clock[0])
    for _ in range(FREE_TRIES):
        limit.begin_try("a")
    for wait_s in (1, 2, 4, 8, 16, 32, 64, 128, 256, 300, 300):
        for _ in range(2):
            with pytest.raises(TooOften, match=f"Too many wrong codes; the next try counts in {wait_s} s.") as refused:
                limit.begin_try("a")
            assert (refused.value.wait_s, refused.value.remedy) == (wait_s, "Wait, and read the code again.")
        clock[0] += timedelta(seconds=wait_s - 1)
        with pytest.raises(TooOften, match="counts in 1 s."):
            limit.begin_try("a")
        clock[0] += timedelta(seconds=1)
        limit.begin_try("a")
    limit.right("a")
    limit.right("nobody")
    limit.begin_try("a")
