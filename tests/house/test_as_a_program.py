"""The command line as a program of its own: what it ends with is what the command gave."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

SERVER = Path(__file__).resolve().parents[2] / "server"


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["check", "--data", "nowhere"], 1, "There are no records in nowhere. Name their folder with --data"),
        (["service", "--help"], 0, ""), (["no-such-command"], 2, "no-such-command"),
    ],
)  # fmt: skip
def test_a_command_ends_with_what_came_of_it(tmp_path: Path, words: list[str], code: int, told: str) -> None:
    command = [sys.executable, "-m", "honeyhold.app.command_line", *words]
    done = subprocess.run(command, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(SERVER)}, capture_output=True, text=True, check=False)
    assert done.returncode == code and told in done.stderr and bool(done.stdout) == (code == 0)
