"""A newer version with a way back: a checked backup first, then the newer files, then the set-up; `back` undoes the last one."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

from honeyhold.errors import HoneyholdError

NOTE: Final = "update.json"


class NoUpdate(HoneyholdError, RuntimeError):
    """The update could not be made; nothing was changed that was not put back."""

    code = "no-update"


def forward(root: Path, backup: Path) -> str:
    """Fetches the newer files and sets up; on trouble the old ones are put back. What to print. Raises `NoUpdate`."""
    if _git(root, "status", "--porcelain", "--untracked-files=no"):
        raise NoUpdate("Files of Honeyhold were changed by hand.", "Put them back (`git stash`), then update again.")
    before = _git(root, "rev-parse", "HEAD")
    _git(root, "pull", "--ff-only", "--quiet")
    after = _git(root, "rev-parse", "HEAD")
    if after == before:
        return f"This is the newest version already. A backup was made all the same: {backup}"
    (root / ".setup").mkdir(exist_ok=True)
    (root / ".setup" / NOTE).write_text(json.dumps({"before": before, "backup": str(backup)}), encoding="utf-8")
    try:
        _set_up(root)
    except NoUpdate:
        _git(root, "reset", "--keep", before)
        _set_up(root)
        raise
    return f"Updated from {before[:8]} to {after[:8]}. The way back: scripts/run update --back (backup: {backup})"


def back(root: Path) -> str:
    """The version before the last update. What to print, with the backup to restore if the newer one has changed the records' form."""
    try:
        noted: dict[str, Any] = json.loads((root / ".setup" / NOTE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise NoUpdate("No update is noted here.", "Choose a version by hand: git log, then git switch --detach.") from None
    _git(root, "reset", "--keep", str(noted["before"]))
    _set_up(root)
    return (
        f"Back at {noted['before'][:8]}. Should it say that the records are of a newer form: scripts/run restore {noted['backup']}\n"
        "What was entered since then comes again from the devices that still have it."
    )


def _git(root: Path, *words: str) -> str:
    return _run(["git", "-C", str(root), *words], "Connect to the internet and look whether `git status` is in order, then update again.")


def _set_up(root: Path) -> None:
    _run([sys.executable, str(root / "scripts/set_up.py")], "The version before is put back; look at the lines above.")


def _run(command: list[str], remedy: str) -> str:
    try:
        done = subprocess.run(command, check=False, text=True, capture_output=True, stdin=subprocess.DEVNULL)
    except OSError as trouble:
        raise NoUpdate(f"{command[0]} could not be started ({trouble}).", f"Install {command[0]}, then update again.") from None
    if done.returncode:
        raise NoUpdate(f"`{' '.join(command[:4])}` ended with {done.returncode}: {(done.stderr or done.stdout).strip()[-600:]}", remedy)
    return done.stdout.strip()
