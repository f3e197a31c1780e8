"""What runs beside the house, asked without a house: the update as it is typed, the question to a house that says no, the log, renewals."""

from __future__ import annotations

import io
import json
import logging
import threading
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.api.introduction import Neighbourhood
from honeyhold.app import command_line, serving
from honeyhold.app.command_line import main
from honeyhold.app.control import NotHeard, SaidNo, announce, ask, withdraw
from honeyhold.app.listeners import RenewalWatch
from honeyhold.app.log_lines import NAME, say
from honeyhold.app.updating import NoUpdate
from honeyhold.house.house import House
from honeyhold.records.backup import position_of_backup
from replication.houses import Watch, small_house


@pytest.fixture
def at_boot(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What the machine's own service manager was asked, as if it started the house."""
    asked: list[str] = []
    from honeyhold.app import service

    monkeypatch.setattr(service, "is_installed", lambda: True)
    monkeypatch.setattr(service, "manage", lambda action, *_: asked.append(action) or "")  # type: ignore[func-returns-value]
    return asked


def test_an_update_stops_the_house_backs_it_up_and_starts_it_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_boot: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    from honeyhold.app import updating

    with closing(small_house(tmp_path, Watch())) as house:
        position = house.position()
    took: list[Any] = []
    monkeypatch.setattr(command_line, "ROOT", tmp_path)
    monkeypatch.setattr(updating, "forward", lambda *given: took.append([*given, list(at_boot)]) or "forward")
    monkeypatch.setattr(updating, "back", lambda *given: took.append([*given, list(at_boot)]) or "back")
    assert main(["update"]) == 0 and capsys.readouterr().out == "forward\n" and at_boot == ["stop", "start"]
    (root, made, so_far), = took
    assert root == tmp_path and position_of_backup(made) == position and so_far == ["stop"]
    assert main(["update", "--back"]) == 0 and capsys.readouterr().out == "back\n" and at_boot == ["stop", "start"] * 2
    assert took[1] == [tmp_path, ["stop", "start", "stop"]]


def test_an_update_that_cannot_be_made_leaves_the_house_running(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_boot: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    from honeyhold.app import updating

    def no_update(*_: Any) -> str:
        raise NoUpdate("No line.", "Later.")

    small_house(tmp_path, Watch()).close()
    monkeypatch.setattr(command_line, "ROOT", tmp_path)
    monkeypatch.setattr(updating, "forward", no_update)
    assert main(["update"]) == 1 and "No line. Later." in capsys.readouterr().err and at_boot == ["stop", "start"]
    took: list[Any] = []
    monkeypatch.setattr(updating, "forward", lambda *given: took.append(given) or "forward")
    with closing(House.open(tmp_path / "data")):  # somebody started it by hand: nothing is updated under it
        assert main(["update"]) == 1 and took == [] and at_boot == ["stop", "start"] * 2
        assert f"already keeps the records in {tmp_path / 'data'}" in capsys.readouterr().err


@pytest.fixture
def answers(tmp_path: Path) -> Iterator[tuple[list[tuple[int, bytes]], list[Any]]]:
    """A running house that answers what is told it; and what it was asked."""
    said: list[tuple[int, bytes]] = []
    asked: list[Any] = []

    class Door(BaseHTTPRequestHandler):
        def do_POST(self) -> None:  # noqa: N802  (its name in the library)
            body = self.rfile.read(int(self.headers["Content-Length"]))
            asked.append((self.path, json.loads(body), self.headers["Authorization"], self.headers["Host"]))
            status, content = said.pop(0)
            self.send_response(status)
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: Any) -> None:
            """Not in the tests' output."""

    with HTTPServer(("127.0.0.1", 0), Door) as server:
        announce(tmp_path, server.server_port, "the key")
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
        yield said, asked
        server.shutdown()


def test_what_the_running_house_answers_and_how_it_says_no(tmp_path: Path, answers: tuple[list[tuple[int, bytes]], list[Any]]) -> None:
    said, asked = answers
    said += [(200, b"whole"), (409, b'{"detail": "Not now.", "remedy": "Later."}'), (400, b"{}"), (500, b"<html>")]
    assert ask(tmp_path, "/api/own/check", {"a": 1}) == b"whole"
    port = json.loads((tmp_path / "running.json").read_text("utf-8"))["port"]
    assert asked == [("/api/own/check", {"a": 1}, "Bearer the key", f"localhost:{port}")]
    for words, remedy in (("Not now.", "Later."), *((f"The running house answered {status}.", "Stop it") for status in (400, 500))):
        with pytest.raises(SaidNo) as trouble:
            ask(tmp_path, "/api/own/check", {})
        assert str(trouble.value) == words and trouble.value.remedy.startswith(remedy)
    withdraw(tmp_path)
    withdraw(tmp_path)
    with pytest.raises(NotHeard, match="could not be asked"):
        ask(tmp_path, "/api/own/check", {})


def test_who_speaks_anew_speaks_in_one_form_alone() -> None:
    first, words, lines = io.StringIO(), io.StringIO(), io.StringIO()
    say("json", first)
    say("words", words)
    log = logging.getLogger(NAME)
    log.info("asked for")
    log.warning("The stick is out")
    say("json", lines)
    log.info("asked for", extra={"said": {"status": 200}})
    assert first.getvalue() == "" and words.getvalue() == "The stick is out\n"
    (line,) = map(json.loads, lines.getvalue().splitlines())
    assert (line["level"], line["message"], line["status"]) == ("info", "asked for", 200)


def where(address: str) -> Neighbourhood:
    return Neighbourhood(f"https://{address}:8449/", f"http://{address}:8450/", "AB CD", "Load it.", None, ())


def test_a_renewal_that_fails_is_said_once_and_a_new_address_when_it_comes(caplog: pytest.LogCaptureFixture) -> None:
    """Two looks that fail alike, one that is well, one more that fails, and another address at last."""
    looked, over = [], threading.Event()

    def renew() -> None:
        looked.append(1)
        if len(looked) in {1, 2, 4}:
            raise OSError("No space left on device")
        if len(looked) == 5:
            doors.neighbourhood = where("10.0.0.8")
        if len(looked) >= 6:
            over.set()

    doors = SimpleNamespace(neighbourhood=where("10.0.0.7"), renew=renew)
    watch = RenewalWatch(doors, look_s=0.001)  # type: ignore[arg-type]
    with caplog.at_level(logging.WARNING, NAME):
        watch.start()
        assert over.wait(30)
        watch.stop()
    said = [record.getMessage() for record in caplog.records]
    assert [one[:40] for one in said] == ["The certificates could not be renewed: N"] * 2 + ["Devices reach the main computer at https"]
    assert "https://10.0.0.8:8449/ now (the first time: http://10.0.0.8:8450/). Load it." in said[-1]


def test_whoever_starts_it_is_told_how_others_come_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    house = small_house(tmp_path, Watch())
    with closing(house):
        house.enrol(house.new_code("helper")["code"], "Tablet")
        address = serving.first_address(house, 8477)
        told = capsys.readouterr().out
        code = address.partition("#enrol=")[2]
        assert address in told and "is open at http://localhost:8477/\n" in told and "ten minutes" in told and len(code) == 9
        house.enrol(code, "Desk")
        assert serving.first_address(house, 8477) == "http://localhost:8477/"
        told = capsys.readouterr().out
        assert "#enrol" not in told and "makes a code for it" in told
    serving.tell_neighbours(where("10.0.0.7"))
    told = capsys.readouterr().out
    assert "https://10.0.0.7:8449/" in told and "http://10.0.0.7:8450/" in told and "AB CD" in told and "Load it." in told


@pytest.mark.parametrize(
    ("now", "most", "asked"), [(256, 4096, 1024), (256, 512, 512), (1024, 4096, None), (256, -1, 1024), (-1, -1, None)]
)
def test_it_takes_as_many_open_files_as_it_wishes_and_may(
    now: int, most: int, asked: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    resource = pytest.importorskip("resource")
    took: list[tuple[int, int]] = []
    unbounded = resource.RLIM_INFINITY
    bounds = tuple(unbounded if one == -1 else one for one in (now, most))
    monkeypatch.setattr(resource, "getrlimit", lambda _: bounds)
    monkeypatch.setattr(resource, "setrlimit", lambda _, given: took.append(given))
    serving.allow_files(1024)
    assert took == ([] if asked is None else [(asked, bounds[1])])


def test_a_demos_day_is_set_and_its_hour_stays(tmp_path: Path) -> None:
    watch = Watch()
    with closing(House.open(tmp_path, now=watch)) as house:
        house.make_demo()
        before = house.clock.now()
        command_line._set_day(house, date(2027, 7, 23))
        assert house.clock.today() == date(2027, 7, 23)
        zone = house.clock.zone()
        assert house.clock.now().astimezone(zone).time().replace(microsecond=0) == before.astimezone(zone).time().replace(microsecond=0)
