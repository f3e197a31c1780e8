"""What a command says that cannot do what is asked, and what stands in the window of one that can: word for word."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.app import command_line, control, serving
from honeyhold.app.command_line import _as_asked, main
from honeyhold.app.updating import NoUpdate
from honeyhold.app.updating import _run as run_for_update
from honeyhold.app.watch_key import LETTERS_LEAST, watch_key_in
from honeyhold.house.house import House
from honeyhold.records.errors import RecordsTrouble
from replication.houses import Watch, small_house

KEY = "k" * LETTERS_LEAST
NO_KEY = f"holds is no key. Use at least {LETTERS_LEAST} plain letters and digits in one word."


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What a command says that did nothing."""
    assert main(words) == 1
    told = capsys.readouterr()
    assert told.out == ""
    return told.err.strip()


def test_copies_that_leave_the_machine_need_something_to_be_sealed_with(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Said before anything is opened, and before the service is written."""
    told = "Copies that leave this machine are sealed. Name a file that holds the passphrase: --passphrase-file FILE"
    for words in (["serve", "--no-browser", "--port", "0"], ["service", "text"]):
        assert refused(capsys, *words, "--data", str(tmp_path / "data"), "--away", str(tmp_path)) == told
    assert not (tmp_path / "data").exists()


def test_an_export_that_cannot_be_read_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "no.zip"
    told = f"{file} cannot be read (No such file or directory). Name the file that `honeyhold export` made."
    assert refused(capsys, "import", str(file), "--data", str(tmp_path / "data")) == told
    assert not (tmp_path / "data").exists()


def test_an_export_goes_into_an_empty_house_and_it_is_said_how_much(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    small_house(tmp_path, Watch()).close()
    out, data = tmp_path / "out.zip", tmp_path / "other"
    (house,) = [file.parent for file in tmp_path.rglob("*.db")]
    assert main(["export", str(out), "--data", str(house)]) == 0 and str(out) in capsys.readouterr().out
    assert main(["import", str(out), "--data", str(data)]) == 0
    number, _, rest = capsys.readouterr().out.partition(" ")
    assert int(number) > 0 and rest == "rows were read, and every sum agrees. Start Honeyhold and add your devices with a code.\n"
    monkeypatch.setattr(House, "check", lambda _house: ["bar: 3, not 4", "jar: 1, not 0"])
    assert main(["import", str(out), "--data", str(tmp_path / "third")]) == 0
    assert capsys.readouterr().out == "bar: 3, not 4\njar: 1, not 0\n"
    for words, code in ((["check", "--data", str(data)], 1), (["check", "--data", str(house)], 1)):
        assert main(words) == code and capsys.readouterr().out == "bar: 3, not 4\njar: 1, not 0\n"
    monkeypatch.undo()
    assert main(["check", "--data", str(data)]) == 0
    assert capsys.readouterr().out == "Every sum agrees, and no lot is below zero.\n"


@pytest.mark.parametrize("day", ["23.7.2027", "2027-13-01", "tomorrow", ""])
def test_a_day_that_is_none_says_how_one_is_written(day: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", "--demo", "--today", day])
    assert ended.value.code == 2 and f"argument --today: {day!r} is no day: write it like 2027-07-23" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (KEY.encode(), ""), (b"\xef\xbb\xbf" + KEY.encode() + b"\r\n", ""), (KEY[1:].encode(), NO_KEY), (b"", NO_KEY),
        (b"two words of a key", NO_KEY), ("schlüssel der imkerei".replace(" ", "-").encode(), NO_KEY),
        (b"\xff" * 20, "cannot be read. Name a text file that holds the key alone."),
        (None, "cannot be read. Name a text file that holds the key alone."),
    ],
)  # fmt: skip
def test_a_watch_key_is_one_word_that_nobody_guesses(tmp_path: Path, content: bytes | None, told: str) -> None:
    file = tmp_path / "key"
    if content is not None:
        file.write_bytes(content)
    if not told:
        assert watch_key_in(file) == KEY
        return
    with pytest.raises(RecordsTrouble) as trouble:
        watch_key_in(file)
    said = f"{trouble.value} {trouble.value.remedy}"
    assert said == (f"What {file} {told}" if told is NO_KEY else f"{file} {told}")


def test_who_names_no_watch_key_has_none() -> None:
    assert watch_key_in(None) == ""


def test_a_program_that_is_not_there_stops_an_update_and_is_named() -> None:
    with pytest.raises(NoUpdate, match=r"no-such-program could not be started \(.*No such file") as trouble:
        run_for_update(["no-such-program"], "")
    assert trouble.value.remedy == "Install no-such-program, then update again."


def test_how_far_an_older_start_had_moved_the_clock_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with closing(House.open(tmp_path)) as house:
        asked = argparse.Namespace(demo=False, today=None)
        _as_asked(house, asked)
        assert capsys.readouterr().out == ""
        house.clock.left_out = timedelta(days=200)
        _as_asked(house, asked)
    assert capsys.readouterr().out == "An older start had moved this house's clock by 200 days, 0:00:00. It goes by the machine's again.\n"


@pytest.mark.parametrize(
    ("options", "port", "folder"),
    [
        ([], command_line.PORT, command_line.DATA), (["--port", "0"], 0, command_line.DATA), (["--port", "7"], 7, command_line.DATA),
        (["--demo"], command_line.DEMO_PORT, command_line.DEMO_DATA), (["--demo", "--port", "0"], 0, command_line.DEMO_DATA),
    ],
)  # fmt: skip
def test_a_house_is_served_where_it_was_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: list[str], port: int, folder: str
) -> None:
    served: list[Any] = []

    def serve(house: House, *given: Any) -> None:
        served.append((house.folder.name, house.is_demo(), house.clock.today(), *given))
        house.close()

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(serving, "serve", serve)
    monkeypatch.setattr(command_line, "_furnish", lambda _house: None)
    monkeypatch.setattr(command_line, "say", lambda _form: None)
    demo = "--demo" in options
    assert main(["serve", *options, "--no-browser", *(["--today", "2027-07-23"] if demo else [])]) == 0
    (name, is_demo, today, *given), = served
    assert (name, is_demo, given) == (str(folder), demo, [port, False, False, None, [], None, "", False])
    assert (today == date(2027, 7, 23)) == demo


def test_a_house_that_is_not_served_after_all_is_let_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with closing(House.open(tmp_path)) as house:
        house.write("set_house", [{"table": "setting", "id": "note", "value": "real"}])
    kept: list[House] = []
    opened = House.open
    monkeypatch.setattr(House, "open", lambda *given, **more: kept.append(opened(*given, **more)) or kept[-1])
    monkeypatch.setattr(command_line, "say", lambda _form: None)
    assert "real house's" in refused(capsys, "serve", "--demo", "--no-browser", "--data", str(tmp_path))
    assert len(kept) == 1
    opened(tmp_path).close()  # nobody holds it


@pytest.mark.parametrize(("mode", "told"), [(0o600, ""), (0o644, "Others on this machine can read")])
def test_the_passphrase_file_of_copies_is_read_before_the_house_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], mode: int, told: str
) -> None:
    file, served = tmp_path / "words", []
    file.write_text("nine lindens at the gate\n", "utf-8")
    file.chmod(mode)
    monkeypatch.setattr(serving, "serve", lambda house, *given: (house.close(), served.append(given[5])))
    monkeypatch.setattr(command_line, "say", lambda _form: None)
    data = tmp_path / "data"
    words = ["serve", "--no-browser", "--data", str(data), "--away", str(tmp_path / "stick"), "--passphrase-file", str(file)]
    if told:
        assert told in refused(capsys, *words) and not data.exists()
    else:
        assert main(words) == 0 and [(one.folder, one._passphrase) for one in served] == [(tmp_path / "stick", "nine lindens at the gate")]


@pytest.mark.parametrize(("browser", "nearby"), [(True, True), (False, False)])
def test_a_house_that_is_served_opens_what_was_asked_for_and_nothing_stays_when_it_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, browser: bool, nearby: bool
) -> None:
    """Every part is begun and ended once; that commands cannot ask it is said, and keeps nobody from it."""
    done: list[Any] = []

    class Part:
        def __init__(self, *given: Any, **more: Any) -> None:
            self.name = type(self).__name__

        def __getattr__(self, act: str) -> Any:
            return lambda *given: done.append((self.name, act, *given))

    parts = {name: type(name, (Part,), {}) for name in ("Lookout", "ScheduledBackup", "RenewalWatch")}

    class Doors(Part):
        neighbourhood = None

        def open_here(self, port: int) -> int:
            return port + 1

        def open_to_devices(self, *given: Any) -> None:
            self.neighbourhood = SimpleNamespace()  # type: ignore[assignment]
            done.append(("Doors", "open_to_devices", *given))

    def announce(folder: Path, port: int, key: str) -> None:
        assert port == 8 and len(key) >= 43
        if nearby:
            raise OSError(28, "No space left on device")
        (folder / control.FILE_NAME).touch()

    for name, part in {**parts, "Doors": Doors}.items():
        monkeypatch.setattr(serving, name, part)
    monkeypatch.setattr(serving, "announce", announce)
    monkeypatch.setattr(serving, "tell_neighbours", lambda where: done.append(("told", type(where))))
    monkeypatch.setattr(serving, "first_address", lambda _house, port: f"http://localhost:{port}/")
    monkeypatch.setattr(serving.signal, "signal", lambda *_: None)
    monkeypatch.setattr(serving.threading, "Timer", lambda *given: SimpleNamespace(start=lambda: done.append(given)))
    house = House.open(tmp_path)
    serving.serve(house, 7, browser, nearby)
    asked = [("Doors", "open_to_devices", tmp_path / "certificates", house_name(tmp_path)), ("told", SimpleNamespace)] if nearby else []
    opened = [(0.5, serving.webbrowser.open, ["http://localhost:8/"])] if browser else []
    begun = [(name, "start") for name in ("Lookout", "ScheduledBackup", "RenewalWatch")]
    ended = [("Lookout", "stop"), ("RenewalWatch", "stop"), ("Doors", "stop"), ("ScheduledBackup", "stop", serving.BACKUP_FAREWELL_S)]
    assert done == [*asked[:1], *begun, *asked[1:], *opened, ("Doors", "serve"), *ended]
    told = ["Commands beside the running house cannot ask it: [Errno 28] No space left on device"] if nearby else []
    assert [one.getMessage() for one in caplog.records] == told and not (tmp_path / control.FILE_NAME).exists()


def house_name(folder: Path) -> str:
    """What the house calls itself; it has been let go by now."""
    with closing(House.open(folder)) as house:
        return str(house.settings().get("name", "the honey house"))
