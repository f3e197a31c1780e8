"""A slower processor for a page and its workers.

Chromium's own throttle is for a page's main thread: asked of a worker's session it answers "Operation is only supported for pages, not
workers", and the kernel is a worker. So the whole process of the page is stopped and let go again by turns, a few milliseconds each, and
how much slower it then is gets measured with a loop of fixed length, before and while (the quickest of five).
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from playwright.sync_api import Browser, Page

RUNS_S = 0.002
"""How long it runs at a stretch, long beside what stopping itself costs. What takes less than some 20 ms must be measured many times in a
row and shared out: by itself it may begin with a stretch and end within it."""
LOOP = """() => { const begun = performance.now(); let sum = 0;
  for (let n = 0; n < 1.5e8; n += 1) sum = (sum + n) | 0;
  return performance.now() - begun + (sum === 1 ? 1 : 0); }"""


def _renderers(browser: Browser) -> list[int]:
    """The processes of this browser that run pages and their workers."""
    told = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")
    return [int(process["id"]) for process in told["processInfo"] if process["type"] == "renderer"]


def _all(processes: list[int], kind: signal.Signals) -> None:
    for process in processes:
        with suppress(ProcessLookupError):
            os.kill(process, kind)


def _by_turns(processes: list[int], times: float, done: threading.Event) -> None:
    """Lets go and stops until told to end, stopped (times - 1) times as long as it truly ran; whatever happens they run in the end."""
    try:
        while not done.is_set():
            begun = time.perf_counter()
            _all(processes, signal.SIGCONT)
            time.sleep(RUNS_S)
            _all(processes, signal.SIGSTOP)
            time.sleep((time.perf_counter() - begun) * (times - 1))
    finally:
        _all(processes, signal.SIGCONT)


def _loop_ms(page: Page) -> float:
    """The loop at its quickest: what others take of the machine meanwhile is left out."""
    return float(min(page.evaluate(LOOP) for _ in range(5)))


@contextmanager
def slow(browser: Browser, page: Page, times: float) -> Iterator[float]:
    """Pages and workers about so many times slower within the block; gives how many times slower the loop came out. Linux and macOS."""
    usual_ms = _loop_ms(page)
    done = threading.Event()
    turns = threading.Thread(target=_by_turns, args=(_renderers(browser), times, done))
    if times > 1:
        turns.start()
    try:
        yield _loop_ms(page) / usual_ms
    finally:
        done.set()
        if times > 1:
            turns.join()
