"""Imported first by the scripts: starts them again with the project's own Python where another one was found on the path."""

from __future__ import annotations

import os
import sys
from pathlib import Path

OWN = Path(__file__).resolve().parent.parent / ".venv"

if (OWN / "bin/python").exists() and Path(sys.prefix) != OWN:
    os.execv(OWN / "bin/python", [str(OWN / "bin/python"), *sys.argv])
