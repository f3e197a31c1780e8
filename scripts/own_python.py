"""Imported first by the scripts: starts them again with the project's own Python where another one was found on the path."""

from __future__ import annotations

import os
import sys
from pathlib import Path

OWN = Path(__file__).resolve().parent.parent / ".venv"

PYTHON = OWN / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

if PYTHON.exists():  # node may live there, too
    os.environ["PATH"] = f"{os.environ.get('PATH', '')}{os.pathsep}{PYTHON.parent}"
if PYTHON.exists() and Path(sys.prefix).resolve() != OWN.resolve():  # a copy of the tree may only point to it
    os.execv(PYTHON, [str(PYTHON), *sys.argv])
