"""The real server of many houses, as whoever keeps it starts it."""

from __future__ import annotations

import http.client
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

SERVER = Path(__file__).resolve().parents[2] / "server"
PATIENCE_S = 60


class Process:
    """One server: its process and where it listens."""

    def __init__(self, address: str, data: Path, *options: str, port: int = 0) -> None:
        command = [sys.executable, "-m", "honeyhold.app.command_line", "host", "--database", address, "--data", str(data)]
        command += ["--port", str(port), *options]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(SERVER)})
        assert self.process.stdout is not None
        said = self.process.stdout.readline()
        found = re.search(r"http://NAME\.localhost:(\d+)/", said)
        assert found is not None, said
        self.port = int(found[1])

    def ask(self, house: str, path: str, token: str = "", body: Any = None) -> tuple[int, Any]:
        """Status and JSON of one request, on a connection of its own. Raises `OSError` and `HTTPException`."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        try:
            headers = {"Host": f"{house}.localhost:{self.port}", "Content-Type": "application/json"}
            if token:
                headers["Authorization"] = f"Bearer {token}"
            line.request("GET" if body is None else "POST", path, None if body is None else json.dumps(body), headers)
            answer = line.getresponse()
            return answer.status, json.loads(answer.read() or b"null")
        finally:
            line.close()

    def end(self) -> None:
        """Killed if it still runs; waited for."""
        if self.process.poll() is None:
            self.process.kill()
        assert self.process.stdout is not None
        self.process.stdout.close()
        self.process.wait(PATIENCE_S)


@contextmanager
def running(address: str, data: Path, *options: str) -> Iterator[Process]:
    """A server that is gone at the end."""
    process = Process(address, data, *options)
    try:
        yield process
    finally:
        process.end()
