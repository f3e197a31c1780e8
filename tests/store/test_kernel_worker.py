"""The kernel's own side: its files are fetched once, none is run that is not what it should be, and whatever fails is said."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import pytest

from goods.in_node import WEB, in_node

Json = dict[str, Any]
LIBRARY = """export const loadPyodide = async (options) => {
  globalThis.started = options;
  if (globalThis.does_not_start) throw new Error("no leave to compile");
  return { unpackArchive: (archive, sort, where) => globalThis.unpacked.push([archive.byteLength, sort, where.extractDir]),
    runPython: (text) => text.includes("def answer") ? (name, request) => {
      if (name === "breaks") throw new Error("no memory");
      return name + request;
    } : void globalThis.warmed.push(text.includes("import_module(piece.module)")),
    _module: { HEAPU8: { length: 20_240_000 } } };
};//"""
WORKER = """await (async () => {
  const listeners = {}, posted = [], fetched = [], kept = new Map(Object.entries(asked.kept ?? {})), dropped = [], locks = [], types = [];
  Object.assign(globalThis, { unpacked: [], warmed: [], does_not_start: asked.does_not_start });
  globalThis.self = { addEventListener: (name, fn) => { listeners[name] = fn; }, postMessage: (data) => posted.push(data) };
  const short = (url) => url.split('/built/').at(-1);
  globalThis.caches = { open: async (name) => ({
    match: async (url) => kept.get(short(url)),
    put: async (url, file) => { kept.set(short(url), 'put'); types.push(file.headers.get('Content-Type')); },
    keys: async () => [...kept.keys()].map((path) => ({ url: new URL(path, BUILT).href })),
    delete: async ({ url }) => dropped.push([name, short(url)]),
  }) };
  const BUILT = new URL('./built/', asked.worker).href;
  const pyodide = `data:text/javascript,${encodeURIComponent(asked.library)}`;
  const manifest = { version: '1', pyodide, stdlib: 'stdlib.zip', package: 'own.zip', files: asked.files };
  globalThis.fetch = async (address) => {
    const path = short(String(address));
    fetched.push(path);
    if (path === 'manifest.json') return new Response(JSON.stringify(manifest), { status: asked.status ?? 200 });
    const headers = { 'Content-Type': path.endsWith('.wasm') ? 'application/wasm' : 'application/zip' };
    return new Response(asked.bodies[path] ?? 'own', { status: asked.bodies[path] === '' ? 404 : 200, headers });
  };
  const request = (name, held) => locks.push([name, held() instanceof Promise]);
  Object.defineProperty(globalThis, 'navigator', { configurable: true, value: { locks: { request } } });
  let now = 0;
  globalThis.performance.now = () => (now += 1234);
  await import(asked.worker);
  let prevented = 0;
  for (const data of asked.messages) {
    const reason = data.falls === 'nothing' ? undefined : data.falls;
    if (data.falls) listeners.unhandledrejection({ reason, preventDefault: () => (prevented += 1) });
    else await listeners.message({ data });
  }
  return { types, posted, fetched, kept: [...kept.keys()], dropped, locks, unpacked, warmed, started: globalThis.started, prevented };
})()"""


def worker(messages: list[Json], files: dict[str, str] | None = None, bodies: dict[str, str] | None = None, **more: Any) -> Json:
    """`files`: what the manifest says of each; `bodies`: what comes, where that is something else."""
    files = {"a.wasm": "abc", "b.zip": "de"} if files is None else files
    told: Json = in_node("parts/cents.js", WORKER, {
        "worker": (WEB / "kernel/worker.js").as_uri(), "library": LIBRARY, "messages": messages, "bodies": files | (bodies or {}), **more,
        "files": [{"path": path, "bytes": len(body), "sha256": sha256(body.encode()).hexdigest()} for path, body in files.items()],
    })  # fmt: skip
    return told


WAKE: Json = {"wake": "kernel-1"}


def said(told: Json, what: str) -> list[Any]:
    return [one[what] for one in told["posted"] if what in one]


def test_it_fetches_starts_and_says_so() -> None:
    """What it keeps is kept as what it is: a browser compiles no WebAssembly that does not say that it is."""
    told = worker([WAKE])
    assert told["types"] == ["application/wasm", "application/zip"]
    assert told["posted"] == [
        {"holds": True}, {"state": "fetching", "done": 3, "total": 5}, {"state": "fetching", "done": 3, "total": 5},
        {"state": "fetching", "done": 5, "total": 5}, {"state": "fetching", "done": 5, "total": 5}, {"state": "waking"},
        {"state": "awake", "start_s": 1.23, "fetch_s": 1.23, "heap_mb": 20.2}, {"state": "awake", "heap_mb": 20.2},
    ]  # fmt: skip
    assert told["fetched"] == ["manifest.json", "a.wasm", "b.zip", "own.zip"] and told["kept"] == ["a.wasm", "b.zip"]
    assert told["locks"] == [["kernel-1", True]] and told["unpacked"] == [[3, "zip", "/home/pyodide"]] and told["warmed"] == [True]
    assert told["started"]["stdLibURL"].endswith("/web/kernel/built/stdlib.zip") and told["started"]["env"]["PYTHONHASHSEED"] == "0"


def test_what_is_here_is_not_fetched_again_and_what_was_needed_earlier_goes() -> None:
    told = worker([WAKE], kept={"a.wasm": "abc", "older.zip": "-"})
    assert told["fetched"] == ["manifest.json", "b.zip", "own.zip"] and told["dropped"] == [["kernel", "older.zip"]]
    assert [one for one in told["posted"] if one.get("state") == "fetching"][0] == {"state": "fetching", "done": 3, "total": 5}


@pytest.mark.parametrize(("bodies", "why", "kept"), [
    ({"b.zip": "df"}, "b.zip came damaged", ["a.wasm"]), ({"a.wasm": "ab"}, "a.wasm came damaged", []),
    ({"a.wasm": ""}, "a.wasm could not be fetched (status 404)", []),
])  # fmt: skip
def test_a_file_that_is_not_what_it_should_be_is_neither_run_nor_kept(bodies: dict[str, str], why: str, kept: list[str]) -> None:
    told = worker([WAKE], bodies=bodies)
    assert (said(told, "failed"), told["kept"], told["unpacked"]) == ([why], kept, [])


@pytest.mark.parametrize(("more", "why"), [
    ({"status": 500}, "they are not on the main computer (status 500)"), ({"does_not_start": True}, "no leave to compile"),
])  # fmt: skip
def test_a_start_that_fails_is_said(more: Json, why: str) -> None:
    told = worker([WAKE], **more)
    assert (said(told, "failed"), told["unpacked"]) == ([why], [])


def test_awake_it_answers_and_says_that_it_died() -> None:
    asked = {"id": 3, "name": "heat.card", "request": "{}"}
    assert worker([WAKE, asked])["posted"][-1] == {"id": 3, "reply": "heat.card{}"}
    assert worker([WAKE, asked | {"name": "breaks"}])["posted"][-1] == {"died": "no memory"}
    assert worker([asked])["posted"] == [{"died": "it was asked before it stood"}]


@pytest.mark.parametrize(("falls", "why"), [({"message": "no file"}, "no file"), ("no file", "no file"), ("nothing", "undefined")])
def test_what_falls_while_it_starts_is_that_the_start_failed(falls: Any, why: str) -> None:
    told = worker([{"falls": falls}])
    assert (told["posted"], told["prevented"]) == ([{"failed": why}], 1)
    later = worker([WAKE, {"falls": falls}])
    assert (said(later, "failed"), later["prevented"]) == ([], 0)
