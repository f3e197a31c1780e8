"""A plugin of pytest for `scripts/mutants --reach-web`: hears from every page and from Node which functions were reached, test by test."""

from __future__ import annotations

import json
import os
import re
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, BrowserType

FOLDER = Path(os.environ["HONEYHOLD_HEARD"])
IN_PAGE = """(() => {
  if (globalThis.reached) return;
  const later = globalThis.setTimeout.bind(globalThis);
  let seen = new Set(), fresh = [], due = false;
  const tell = () => { due = false; const keys = fresh; fresh = []; if (keys.length) globalThis.tellReached?.(keys); };
  globalThis.reached = (path, at) => {
    const key = `${path}:${at}`;
    if (seen.has(key)) return;
    seen.add(key);
    fresh.push(key);
    if (!due) { due = true; later(tell, 40); }
  };
  const again = () => { seen = new Set(); later(again, 500); }; // one page goes through many tests: each is to be told of
  later(again, 500);
  globalThis.addEventListener?.("pagehide", tell);
})()"""
IN_NODE = r"""import { renameSync, writeFileSync } from "node:fs";
import vm from "node:vm";
const keys = new Set(), test = process.env.PYTEST_CURRENT_TEST ?? "";
const named = (words) => words.replace(/ \((setup|call|teardown)\)$/, "");
let due = false;
const tell = () => {
  due = false;
  const file = `${process.env.HONEYHOLD_HEARD}/node-${process.pid}.json`;
  if (!keys.size) return;
  writeFileSync(`${file}.part`, JSON.stringify({ [named(test)]: [...keys] }));
  renameSync(`${file}.part`, file); // whole or not at all, whenever the process is killed
};
const later = setTimeout;
globalThis.reached = (path, at) => {
  const key = `${path}:${at}`;
  if (keys.has(key)) return;
  keys.add(key);
  if (!due) { due = true; later(tell, 40).unref(); } // a process that is killed tells nothing at its end
};
process.on("exit", tell);
const { createContext } = vm;
// each window of a device that is played in Node is a realm of its own
vm.createContext = (...given) => Object.assign(createContext(...given), { reached: globalThis.reached });
"""
STAGE = re.compile(r" \((setup|call|teardown)\)$")
_heard: dict[str, set[str]] = defaultdict(set)


def _hear(context: BrowserContext) -> BrowserContext:
    context.expose_binding("tellReached", lambda _, keys: _heard[_test()].update(keys))
    context.add_init_script(IN_PAGE)
    return context


def _test() -> str:
    return STAGE.sub("", os.environ.get("PYTEST_CURRENT_TEST", ""))


def _listened(maker: type, name: str) -> None:
    made = getattr(maker, name)

    def make(self: Any, *args: Any, **options: Any) -> Any:
        return _hear(made(self, *args, **options))

    setattr(maker, name, make)


def pytest_configure(config: pytest.Config) -> None:
    """Every context of a browser is listened to, and every Node that a test starts."""
    _listened(Browser, "new_context")
    _listened(BrowserType, "launch_persistent_context")
    script = FOLDER / "listen.mjs"
    script.write_text(IN_NODE, "utf-8")
    os.environ["NODE_OPTIONS"] = f"--import={script.as_uri()}"


def pytest_sessionfinish(session: pytest.Session) -> None:
    """What this worker heard."""
    (FOLDER / f"heard-{os.getpid()}.json").write_text(json.dumps({test: sorted(keys) for test, keys in _heard.items() if test}), "utf-8")
