"""Prints all that stands on one screen, at each moment of it: what is behind its digests in `looks/*.txt`.

PYTHONPATH=tests .venv/bin/python tests/screens/looks.py owner shelf
"""

from __future__ import annotations

import sys

from screens.chapters import CHAPTERS
from screens.test_said import heard_of

if __name__ == "__main__":
    chapter, screen = sys.argv[1:]
    for number, look in enumerate(heard_of(CHAPTERS[chapter], whole=True)["looks"][screen]):
        print(f"--- {number}\n{look}")
