"""The system's own libraries and programs: what is missing, and who may install it. Standard library only; see set_up.py."""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

from set_up_steps import SetUpTrouble, run

LIBRARIES = {
    # what WeasyPrint loads: the Debian package that brings it
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
}
TYPEFACE = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
PROGRAMS = {"chromium": "chromium", "pdftoppm": "poppler-utils", "certutil": "libnss3-tools"}
SERVERS = {"initdb": "postgresql", "nginx": "nginx-light"}
SERVERS_NEEDED = "HONEYHOLD_SERVERS_NEEDED"
"""Set: the servers that some tests start are installed as well. Otherwise these tests are skipped where there are none: nobody gets a
database server for having run the tests."""
WINDOWLESS = "chromium-headless-shell"
"""Debian's Chromium without windows of its own, in which most browser tests run where it is there: the same engine for less work."""
BESIDE_THE_PATH = "/usr/sbin:/usr/local/sbin"
POSTGRESQL = Path("/usr/lib/postgresql")
"""Debian puts a folder for each version there, and none of them on the path."""


def missing_libraries() -> list[str]:
    """Debian packages that would bring the libraries this machine lacks for printing PDFs."""
    if sys.platform != "linux":
        return [] if ctypes.util.find_library("pango-1.0") or ctypes.util.find_library("pango-1.0-0") else ["pango"]
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
    apt_install(missing_libraries(), "Slips print from the browser until then.")


def missing_programs() -> list[str]:
    """Debian packages that would bring the programs the tests call and this machine lacks."""
    wanted = PROGRAMS | SERVERS if os.environ.get(SERVERS_NEEDED) else PROGRAMS
    return [package for program, package in wanted.items() if not _is_there(program)]


def _is_there(program: str) -> bool:
    return bool(shutil.which(program) or shutil.which(program, path=BESIDE_THE_PATH)) or any(POSTGRESQL.glob(f"*/bin/{program}"))


def install_programs() -> None:
    """Install what is missing, or say what to install."""
    apt_install(missing_programs(), "Then start the tests again.")


def lacks_windowless() -> bool:
    """Whether Chromium without windows is missing and may simply be had. Nobody is asked for it: the tests do without."""
    if shutil.which(WINDOWLESS) or not may_install():
        return False
    return subprocess.run(["apt-cache", "show", WINDOWLESS], check=False, capture_output=True).returncode == 0


def install_windowless() -> None:
    """Install it."""
    apt_install([WINDOWLESS], "The tests take longer until then, no more.")


def may_install() -> bool:
    return shutil.which("apt-get") is not None and hasattr(os, "geteuid") and os.geteuid() == 0


def apt_install(packages: list[str], otherwise: str) -> None:
    if shutil.which("apt-get") is None:
        raise SetUpTrouble(f"{by_hand(packages)} {otherwise}")
    command = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    if not may_install():
        raise SetUpTrouble(f"this needs an administrator once: `sudo {' '.join(command)}`. {otherwise}")
    try:
        run(command, otherwise)
    except SetUpTrouble:
        run(["apt-get", "update"], f"Is there a connection to the internet? {otherwise}")
        run(command, otherwise)


def by_hand(packages: list[str]) -> str:
    """What a person installs where there is no apt-get; the names are Debian's where the system's own are not known here."""
    if sys.platform == "darwin":
        return "Install Pango once: `brew install pango`."
    if os.name == "nt":
        return "Install Pango once (the GTK runtime for Windows holds it)."
    return f"Install once, with your system's own installer, what Debian calls {', '.join(packages)} (Fedora: dnf install pango)."
