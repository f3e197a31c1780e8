"""The real server as a person starts it: prints its address, enrols, stops cleanly, keeps everything, leaks nothing."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from begun import Begun
from honeyhold.app.command_line import main
from honeyhold.house.house import House

SERVER = Path(__file__).resolve().parents[2] / "server"
RSS_KB_MAX = 90_000
WAIT_S = 12
"""Far less than a stream lasts, and long enough for a busy machine."""


@contextmanager
def started(
    data: Path, *options: str, full_from_the_start: bool = False, as_typed: bool = False
) -> Iterator[tuple[subprocess.Popen[str] | Begun, str, str]]:
    """(process, address, code) of a house that serves; terminated at the end if it still runs.

    `as_typed`: by the command line itself, and not out of a process that has read the program.
    """
    words = ["serve", "--data", str(data), "--port", "0", "--no-browser", *options]
    process = _typed(words, full_from_the_start) if as_typed or full_from_the_start else Begun(words)
    assert process.stdout is not None
    try:
        address = code = ""
        for line in process.stdout:
            found = re.search(r"(http://localhost:\d+/)(?:#enrol=(\S+))?", line)
            if found:
                address, code = found.group(1), found.group(2) or code
            if code or "Stop with" in line:
                break
        yield process, address, code
    finally:
        if process.poll() is None:
            process.kill()
        process.stdout.close()
        process.wait(10)


def _typed(words: list[str], full_from_the_start: bool) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "honeyhold.app.command_line", *words]
    if full_from_the_start:  # no file grows by as much as one byte
        command = ["prlimit", "--fsize=0", "--", *command]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(SERVER)})


def call(address: str, path: str, token: str = "", body: Any = None) -> Any:
    """JSON from a door."""
    headers = {"Content-Type": "application/json", **({"Authorization": f"Bearer {token}"} if token else {})}
    data = None if body is None else json.dumps(body).encode()
    with urllib.request.urlopen(urllib.request.Request(address + path, data, headers), timeout=20) as answer:
        return json.load(answer)


def ask(identity: Any) -> dict[str, Any]:
    """An exchange that says nothing."""
    return {
        "protocol": 1, "request": str(uuid4()), "device": identity["device"], "epoch": None, "cursor": 0, "operations": [],
    }  # fmt: skip


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_starts_enrols_stops_cleanly_and_keeps_all(tmp_path: Path, number: int) -> None:
    with started(tmp_path / "data", as_typed=True) as (process, address, code):
        identity = call(address, "api/enrol", body={"code": code, "name": "Shed phone"})
        for _ in range(20):
            call(address, "api/exchange", identity["token"], ask(identity))
        files = len(list(Path(f"/proc/{process.pid}/fd").iterdir()))
        for _ in range(60):
            call(address, "api/exchange", identity["token"], ask(identity))
        assert len(list(Path(f"/proc/{process.pid}/fd").iterdir())) <= files + 2, "each request leaves a file open"
        status = Path(f"/proc/{process.pid}/status").read_text("utf-8")
        assert int(re.findall(r"VmRSS:\s+(\d+)", status)[0]) < RSS_KB_MAX
        process.send_signal(number)
        assert process.wait(15) == 0
    with started(tmp_path / "data") as (process, address, code):
        assert code == "" and call(address, "api/mirror", identity["token"])["rows"]
        process.send_signal(number)
        assert process.wait(15) == 0


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_stops_at_once_with_a_page_and_streams_open(tmp_path: Path, number: int) -> None:
    """A stream lasts for 55 s by itself, a kept line 75 s, a request half asked 20 s: none of them is waited for."""
    with started(tmp_path / "data") as (process, address, code), ExitStack() as lines:
        identity = call(address, "api/enrol", body={"code": code, "name": "Shed phone"})
        streams = [lines.enter_context(_listening(address, identity["token"])) for _ in range(2)]
        port = int(address.rstrip("/").rsplit(":", 1)[1])
        kept = http.client.HTTPConnection("localhost", port, timeout=WAIT_S)
        lines.callback(kept.close)
        kept.request("GET", "/")
        kept.getresponse().read()
        half = lines.enter_context(socket.create_connection(("localhost", port), WAIT_S))
        half.sendall(b"POST /api/exchange HTTP/1.1\r\nHost: localhost\r\nContent-Length: 900\r\n\r\n{")
        process.send_signal(number)
        assert process.wait(WAIT_S) == 0
        assert all(stream.read().endswith(b"\n\n") for stream in streams), "a stream was cut off, not ended"


def _listening(address: str, token: str) -> http.client.HTTPResponse:
    """An open stream that has said its first word."""
    asked = urllib.request.Request(address + "api/stream", headers={"Authorization": f"Bearer {token}"})
    answer: http.client.HTTPResponse = urllib.request.urlopen(asked, timeout=60)
    assert answer.readline().startswith(b"retry:")
    return answer


def test_killed_in_the_middle_nothing_answered_is_lost(tmp_path: Path) -> None:
    with started(tmp_path / "data") as (process, address, code):
        identity = call(address, "api/enrol", body={"code": code, "name": "Shed phone"})
        process.kill()
        process.wait(10)
    house = House.open(tmp_path / "data")
    assert house.device_for(identity["token"])["name"] == "Shed phone" and house.check() == []
    house.close()


def test_the_other_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = str(tmp_path / "data")
    assert main(["code", "--data", data]) == 1 and "no records" in capsys.readouterr().err
    House.open(Path(data)).close()
    assert main(["code", "--data", data]) == 0
    assert re.match(r"[2-9A-Z]{4}-[2-9A-Z]{4} ", capsys.readouterr().out)
    assert main(["backup", "--data", data]) == 0
    backup = capsys.readouterr().out.strip()
    assert Path(backup).is_file()
    assert main(["restore", backup, "--data", data]) == 0
    assert main(["check", "--data", data]) == 0
    assert "agrees" in capsys.readouterr().out


def test_a_command_that_cannot_says_why_and_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    house = House.open(tmp_path)
    assert main(["check", "--data", str(tmp_path)]) == 1
    assert "stop it and do this again" in capsys.readouterr().err
    house.close()
    (tmp_path / "no.db").write_text("this is no backup", "utf-8")
    assert main(["restore", str(tmp_path / "no.db"), "--data", str(tmp_path)]) == 1
    assert "not a backup" in capsys.readouterr().err
