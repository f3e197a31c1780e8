"""Starts the house, or runs one of its commands; sets up first what is missing, and never touches records that are there.

    scripts/run [--demo] [--today DAY] [--port N] [--data DIR] [--no-browser] [--devices]
    scripts/run code | export | import | backup | restore | move | check | service | update ...

Standard library only: it runs before anything is installed, on every system (Windows: python scripts\\run.py).
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

OLDEST = (3, 11)
OWN_FOLDER = ("service", "update", "import")
"""Commands that say for themselves which records they are about."""


def arguments(given: list[str], root: Path) -> list[str]:
    """The command line of `honeyhold`: a command, `serve` where none is named, and the records in the project's own folder."""
    command, rest = (given[0], given[1:]) if given and not given[0].startswith("-") else ("serve", given)
    named = any(one == "--data" or one.startswith("--data=") for one in rest)
    if named or "-h" in rest or "--help" in rest or command == "service":
        return [command, *rest]
    folder = "data-demo" if "--demo" in rest else "data"
    return [command, *rest, "--data", str(root / folder)]


def start(command: list[str]) -> int:
    """Becomes the command where the system can, else waits for it."""
    if os.name == "nt":
        try:
            return subprocess.call(command)
        except KeyboardInterrupt:
            return 0  # the house heard Ctrl-C too, and has stopped cleanly
    os.execv(command[0], command)
    raise AssertionError("a process that became another does not come back")


def main() -> int:
    """Sets up, then starts."""
    if sys.version_info < OLDEST:
        found = ".".join(map(str, sys.version_info[:2]))
        print(f"Honeyhold needs Python 3.11 or newer; this is {found}. Install a newer one, then start again.", file=sys.stderr)
        return 1
    import set_up
    import set_up_steps as steps

    if set_up.main([]):
        return 1
    return start([str(steps.VENV_PYTHON), "-m", "honeyhold.app.command_line", *arguments(sys.argv[1:], steps.ROOT)])


if __name__ == "__main__":
    sys.exit(main())
