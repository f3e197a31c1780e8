"""Phones that are lent from test to test: what they know of a house is wiped, the pages they keep stay, as on any phone that was used before.

A phone that has never seen the app fetches two hundred files twice, for the page and for its worker: most of what a short test would cost. A test
that is about a first visit, about versions of the app or about what a phone keeps takes an empty one.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from weakref import WeakKeyDictionary, WeakSet

from playwright.sync_api import Browser, BrowserContext, Error

from browser.house_process import Gate
from browser.lanes import GATES, HOUSES

PATIENT_S = int(os.environ.get("HONEYHOLD_PATIENT_S", "60"))
"""How long a page is waited for; what comes comes sooner, but a machine may have much else to do. `scripts/mutants` waits less: with a mistake
planted much never comes."""
PATIENT_MS = PATIENT_S * 1000
WIPED = "cookies,file_systems,indexeddb,local_storage,websql"
"""All that a page may keep but the worker and its caches: those hold files of the app, never an answer of a house."""
LEFT_ASLEEP = "this phone starts none"
NO_KERNEL = """(why) => { const Honest = window.Worker;
  class LeftOut extends EventTarget {
    terminate() {}
    postMessage() { queueMicrotask(() => this.dispatchEvent(new MessageEvent('message', { data: { failed: why } }))); }
  }
  window.Worker = function (address, options) { return options?.name === 'kernel' ? new LeftOut() : new Honest(address, options); }; }"""
"""A phone on which the kernel does not start: two seconds of a processor for every page, and whether it was awake in time would be chance.
What is to be worked out is asked of the house, as on any phone whose browser cannot do it."""

_idle: WeakKeyDictionary[Browser, dict[str, list[BrowserContext]]] = WeakKeyDictionary()


_spoilt: WeakSet[BrowserContext] = WeakSet()


def spoil(context: BrowserContext) -> None:
    """Something was done to this phone that cannot be taken back, a clock of its own or the like: nobody is lent it after this."""
    _spoilt.add(context)


@contextmanager
def lent(chromium: Browser, *, kernel: bool = False, **options: Any) -> Iterator[BrowserContext]:
    """A phone of these options (as `new_context` takes them) that knows no house. It is given back at the end, or ended when it was spoilt.

    `kernel`: with the kernel in its pages, for a test that has something worked out without the house.
    """
    options = {"service_workers": "allow", **options}
    shelf = _idle.setdefault(chromium, {}).setdefault(json.dumps([kernel, options], sort_keys=True), [])
    context = shelf.pop() if shelf else _new(chromium, kernel, options)
    context.set_default_timeout(PATIENT_MS)
    altered_before, good = Gate.altered, False
    try:
        yield context
        good = Gate.altered == altered_before
    finally:
        if good and context not in _spoilt and _wiped(context):
            shelf.append(context)
        else:
            context.close()


def _new(chromium: Browser, kernel: bool, options: dict[str, Any]) -> BrowserContext:
    context = chromium.new_context(**options)
    return context if kernel else without_kernel(context)


def without_kernel(context: BrowserContext) -> BrowserContext:
    """The same phone, on which the kernel does not start in any page from here on."""
    context.add_init_script(f"({NO_KERNEL})({json.dumps(LEFT_ASLEEP)})")
    return context


def _wiped(context: BrowserContext) -> bool:
    """Every window closed and everything of the houses forgotten; `False` when the phone does not answer any more."""
    try:
        context.set_offline(False)
        context.unroute_all(behavior="ignoreErrors")
        context.clear_permissions()
        for page in context.pages[1:]:
            page.close()
        last = context.pages[0] if context.pages else context.new_page()
        last.goto("about:blank")  # nobody there who could write again what is wiped
        line = context.new_cdp_session(last)
        for origin in (*HOUSES.addresses, *GATES.addresses):
            line.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": WIPED})
        last.close()
    except Error:
        return False
    return True
