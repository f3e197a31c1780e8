"""Imported first by the scripts: starts them again with the project's own Python where another one was found on the path."""

from __future__ import annotations

import os
import sys
from pathlib import Path

OWN = Path(__file__).resolve().parent.parent / ".venv"

PYTHON = OWN / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def start_with_own() -> None:
    """Starts the running script anew with the project's own Python, where that stands and is another one than runs it."""
    if not PYTHON.exists():
        return
    os.environ["PATH"] = f"{os.environ.get('PATH', '')}{os.pathsep}{PYTHON.parent}"  # node may live there, too
    if Path(sys.prefix).resolve() != OWN.resolve():  # a copy of the tree may only point to it
        os.execv(PYTHON, [str(PYTHON), *sys.argv])


start_with_own()
