"""Runs a module of the browser's in Node, for tests that hold both sides to the same table."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

WEB = Path(__file__).resolve().parents[2] / "web"


def in_node(module: str, expression: str, request: Any = None) -> Any:
    """The value of `expression`, in which `here` is the module of `web/` and `asked` the request."""
    script = f"""
      const here = await import({json.dumps((WEB / module).as_uri())});
      let text = ''; for await (const part of process.stdin) text += part;
      const asked = JSON.parse(text);
      process.stdout.write(JSON.stringify({expression}));"""
    return run_in_node(script, request)


def run_in_node(script: str, given: Any) -> Any:
    """What a script prints that is given this at its input, both as JSON."""
    done = subprocess.run(
        ["node", "--input-type=module", "-e", script], input=json.dumps(given), capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
