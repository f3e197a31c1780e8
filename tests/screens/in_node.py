"""Plays something of the browser's side in Node, with the real Python where something is worked out."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

WORKED_OUT = """
import json, sys
from honeyhold.errors import HoneyholdError
from honeyhold.kernel import work
for line in sys.stdin:
    asked = json.loads(line)
    try:
        told = {"answer": work(asked["name"], asked["request"])}
    except HoneyholdError as trouble:
        told = {"problem": {"detail": str(trouble), "remedy": trouble.remedy}}
    print(json.dumps(told), flush=True)
"""


def played_in_node(script: Path, asked: dict[str, Any], longest_s: float) -> Any:
    """What a script says that is asked this, both as JSON, in so long at most; `program` is what it starts beside itself."""
    given = {"python": sys.executable, "program": WORKED_OUT, **asked}
    done = subprocess.run(
        ["node", script], input=json.dumps(given), env={**os.environ, "TZ": "America/Chicago"}, capture_output=True, text=True, check=False,
        timeout=longest_s,
    )  # fmt: skip
    assert done.returncode == 0 and done.stdout, done.stderr
    return json.loads(done.stdout)
