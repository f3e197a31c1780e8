"""Sets up what Honeyhold needs on this machine, step by step, and does nothing twice.

Called by scripts/run and scripts/test. Standard library only: it runs before anything is installed. Each step looks first
whether its work is already done; what was done is remembered in .setup/ by a fingerprint of the files it depends on.
Records are never touched: the only folders it writes are .venv, web/node_modules, web/kernel/built, web/built and .setup.
"""

from __future__ import annotations

import argparse
import hashlib
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

import set_up_steps as steps
import system_parts
from alone import alone
from set_up_steps import ROOT, SetUpTrouble

STAMPS = ROOT / ".setup"
WEB_INPUTS = ("web/package-lock.json", "web/package.json")


@dataclass(frozen=True)
class Step:
    """One thing to have in place before the house can start."""

    name: str
    what: str
    """Told while it works: what it does and how long that may take."""
    inputs: tuple[str, ...]
    """Files and patterns, from the project's root; when one changes the step is looked at again."""
    standing: Callable[[], bool]
    """A quick look that what was made is still there."""
    ready: Callable[[], bool]
    """A thorough look: is there nothing to do?"""
    act: Callable[[], None]
    needed: bool = True
    """False: when it cannot be done, say so and go on without."""

    def fingerprint(self) -> str:
        """What the step depends on, as one text: its own files, this set-up, this Python."""
        digest = hashlib.sha256(repr((sys.version_info[:2], str(ROOT))).encode())
        own = ("scripts/set_up.py", "scripts/set_up_steps.py", "scripts/system_parts.py")
        for path in sorted({path for pattern in self.inputs + own for path in ROOT.glob(pattern)}):
            digest.update(str(path.relative_to(ROOT)).encode() + b"\0")
            digest.update(path.read_bytes())
        return digest.hexdigest()


def house_steps() -> list[Step]:
    """What the house itself needs."""
    return [
        Step(
            "python",
            "Python's own environment in .venv: fetches some 30 packages, up to a minute",
            ("requirements.lock", "requirements-setup.lock", "pyproject.toml"),
            standing=steps.VENV_PYTHON.exists,
            ready=lambda: steps.python_ready("requirements.lock"),
            act=lambda: steps.make_python("requirements.lock"),
        ),
        Step(
            "web",
            "the browser's libraries in web/node_modules: up to half a minute",
            WEB_INPUTS,
            standing=(ROOT / "web/node_modules").exists,
            ready=lambda: steps.web_ready(tools=False),
            act=lambda: steps.make_web(tools=False),
        ),
        *_shared_steps(),
    ]


def test_steps() -> list[Step]:
    """What the house needs, and what the tests need beside it."""
    return [
        Step(
            "python-tests",
            "Python's own environment in .venv with the tests' libraries: fetches some 60 packages, one to two minutes",
            ("requirements-test.lock", "requirements.lock", "requirements-setup.lock", "pyproject.toml"),
            standing=steps.VENV_PYTHON.exists,
            ready=lambda: steps.python_ready("requirements-test.lock"),
            act=lambda: steps.make_python("requirements-test.lock"),
        ),
        Step(
            "web-tests",
            "the browser's libraries in web/node_modules, with the tools that check them: up to a minute",
            WEB_INPUTS,
            standing=steps.web_tools_standing,
            ready=lambda: steps.web_ready(tools=True),
            act=lambda: steps.make_web(tools=True),
        ),
        *_shared_steps(),
        Step(
            "test-tools",
            "Chromium and the tools that read PDFs and certificates: up to two minutes",
            (),
            standing=lambda: not system_parts.missing_programs(),
            ready=lambda: not system_parts.missing_programs(),
            act=system_parts.install_programs,
        ),
        Step(
            "windowless-browser",
            "Chromium without windows, in which the tests take less time: up to half a minute",
            (),
            standing=lambda: not system_parts.lacks_windowless(),
            ready=lambda: not system_parts.lacks_windowless(),
            act=system_parts.install_windowless,
            needed=False,
        ),
    ]


def _shared_steps() -> list[Step]:
    return [
        Step(
            "printing",
            "the libraries that print PDFs (Pango, a typeface): up to a minute",
            (),
            standing=lambda: not system_parts.missing_libraries(),
            ready=lambda: not system_parts.missing_libraries(),
            act=system_parts.install_libraries,
            needed=False,
        ),
        Step(
            "kernel",
            "the part that thinks without signal, for the browser: up to half a minute",
            ("scripts/build_kernel", "scripts/zip_places.js", "web/package-lock.json", "server/honeyhold/**/*.*[!c]"),
            standing=steps.kernel_standing,
            ready=lambda: not steps.KERNEL_BUILDER.exists(),
            act=steps.make_kernel,
        ),
        Step(
            "shell",
            "the app as the browser is given it: some seconds",
            ("scripts/build_shell", "scripts/shell_modules.js", *WEB_INPUTS, "web/*.html", "web/*.js", "web/*.webmanifest",
             *(f"web/{folder}/**/*.*" for folder in ("look", "parts", "rooms", "store")), "web/kernel/*.*"),
            standing=steps.SHELL_BUILT.exists,
            ready=lambda: False,
            act=steps.make_shell,
        ),
    ]


def set_up(wanted: Iterable[Step]) -> list[str]:
    """Bring every step to its end; answers with what could not be done and is not needed. Raises SetUpTrouble."""
    left: list[str] = []
    try:
        STAMPS.mkdir(exist_ok=True)
        (STAMPS / "lock").touch()
    except OSError as trouble:
        raise SetUpTrouble(f"Nothing can be written in {ROOT} ({trouble.strerror}). {steps.REMEDIES['rights']}") from None
    with alone(STAMPS / "lock"):
        for step in wanted:
            try:
                _bring(step)
            except SetUpTrouble as trouble:
                if step.needed:
                    raise
                left.append(str(trouble))
    return left


def _bring(step: Step) -> None:
    stamp, fingerprint = STAMPS / step.name, step.fingerprint()
    if stamp.exists() and stamp.read_text() == fingerprint and step.standing():
        return
    if not step.ready():
        began = time.monotonic()
        print(f"Setting up {step.what} ...", flush=True)
        step.act()
        print(f"  done in {time.monotonic() - began:.0f} s", flush=True)
    stamp.write_text(fingerprint)


def main(arguments: list[str] | None = None) -> int:
    """The command line; 1 when something needed is missing, after saying what to do."""
    parser = argparse.ArgumentParser(description="Sets up what Honeyhold needs; does nothing twice.")
    parser.add_argument("--tests", action="store_true", help="also what the tests need")
    asked = parser.parse_args(arguments)
    try:
        left = set_up(test_steps() if asked.tests else house_steps())
    except SetUpTrouble as trouble:
        print(f"\nSetting up stopped: {trouble}", file=sys.stderr)
        return 1
    for words in left:
        print(f"Going on without: {words}", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
