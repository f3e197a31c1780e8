"""What starts the house at boot, and a newer version with a way back."""

from __future__ import annotations

import json
import plistlib
import shutil
import subprocess
from pathlib import Path
from xml.etree import ElementTree

import pytest

from honeyhold.app import service, updating
from honeyhold.app.command_line import main

FOLDER = Path("/srv/Honey höld 100% $x")
COMMAND = ["/srv/Honey höld/.venv/bin/python", "-m", "honeyhold", "--data", "/srv/Honey höld 100% $x/my \"data\""]


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="no systemd here")
def test_systemd_itself_finds_no_fault_in_the_unit(tmp_path: Path) -> None:
    """Outside check: systemd-analyze verify, of Debian's systemd; a folder with a space, an umlaut, a per cent and a dollar sign."""
    folder = tmp_path / "Honey höld 100% $x"
    (folder / "data").mkdir(parents=True)
    file = tmp_path / service.UNIT
    file.write_text(service.systemd_unit(service.arguments(folder / "data", True), folder), "utf-8")
    done = subprocess.run(["systemd-analyze", "verify", "--user", "--man=no", str(file)], capture_output=True, text=True, check=False)
    ours = [line for line in (done.stdout + done.stderr).splitlines() if service.NAME in line]
    assert ours == [], done.stderr


def test_a_words_meaning_survives_systemds_quoting() -> None:
    assert service.quoted('a "b" 100% $c\\') == '"a \\"b\\" 100%% $$c\\\\"'


def test_launchd_and_windows_texts_are_well_formed_and_say_they_were_not_tried() -> None:
    plist = service.text_for("darwin", COMMAND, FOLDER)
    assert plistlib.loads(plist.encode())["ProgramArguments"] == COMMAND and "not tried here" in plist
    task = service.text_for("win32", COMMAND, FOLDER)
    assert "not tried here" in task
    found = {one.tag.rpartition("}")[2]: one.text for one in ElementTree.fromstring(task).iter()}
    assert found["Command"] == COMMAND[0] and found["WorkingDirectory"] == str(FOLDER) and "Honey höld" in str(found["Arguments"])


def test_a_manager_that_refuses_says_what_it_said_and_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    refusing = tmp_path / "systemctl"
    refusing.write_text("#!/bin/sh\necho Failed to connect to bus >&2\nexit 1\n")
    refusing.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    assert main(["service", "install", "--data", str(tmp_path / "data")]) == 1
    told = capsys.readouterr().err
    assert "Failed to connect to bus" in told and "scripts/run" in told
    assert (tmp_path / "config/systemd/user" / service.UNIT).exists()


def test_each_act_asks_the_manager_for_just_that_and_tells_what_came_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Against a stand-in for systemctl that writes down what it is asked: no user manager runs where the tests run.

    It ends with 3 when it is asked for the status of what does not run, as systemctl does: told, and no failure."""
    for name in ("systemctl", "loginctl", "journalctl"):
        script = f'#!/bin/sh\necho "{name} $@" >> "{tmp_path}/asked"\necho "so says {name}"\ncase "$*" in *status*) exit 3;; esac\n'
        (tmp_path / name).write_text(script)
        (tmp_path / name).chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    unit, file = service.UNIT, tmp_path / "config/systemd/user" / service.UNIT

    def does(action: str) -> tuple[list[str], str]:
        (tmp_path / "asked").write_text("")
        assert main(["service", action, "--data", str(tmp_path / "data"), "--devices"]) == 0
        return (tmp_path / "asked").read_text("utf-8").splitlines(), capsys.readouterr().out

    asked, told = does("install")
    assert asked[:2] == ["systemctl --user daemon-reload", f"systemctl --user enable --now {unit}"]
    assert str(file) in told and "enable-linger" in told
    assert file.read_text("utf-8").count('"--devices"') == 1 and service.quoted(str(tmp_path / "data")) in file.read_text("utf-8")
    assert service.is_installed()
    assert does("status") == ([f"systemctl --user status {unit} --no-pager"], "so says systemctl\n")
    assert does("log") == ([f"journalctl --user --unit {unit} --lines 100 --no-pager"], "so says journalctl\n")
    for action in ("stop", "start"):
        assert does(action) == ([f"systemctl --user {action} {unit}"], f"Done: {action}.\n")
    asked, told = does("remove")
    assert asked == [f"systemctl --user disable --now {unit}", "systemctl --user daemon-reload"] and "no longer starts by itself" in told
    assert not file.exists() and not service.is_installed()


def git(folder: Path, *words: str) -> str:
    command = ["git", "-C", str(folder), "-c", "user.name=T", "-c", "user.email=t@example.org", *words]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A copy of a tiny project that has a newer version where it came from."""
    there, here = tmp_path / "there", tmp_path / "here"
    (there / "scripts").mkdir(parents=True)
    git(there, "init", "-q", "-b", "main")
    (there / "scripts/set_up.py").write_text("print('set up')\n")
    (there / ".gitignore").write_text("/.setup/\n")
    git(there, "add", "-A")
    git(there, "commit", "-qm", "old")
    subprocess.run(["git", "clone", "-q", str(there), str(here)], check=True)
    (there / "new").write_text("new")
    git(there, "add", "-A")
    git(there, "commit", "-qm", "new")
    return here


def test_an_update_goes_forward_and_back(here: Path) -> None:
    assert "scripts/run update --back" in updating.forward(here, Path("b.db"))
    assert (here / "new").exists() and json.loads((here / ".setup" / updating.NOTE).read_text())["backup"] == "b.db"
    assert "newest version already" in updating.forward(here, Path("c.db"))
    assert "restore b.db" in updating.back(here) and not (here / "new").exists()


def test_an_update_whose_set_up_fails_is_put_back(here: Path) -> None:
    there = here.parent / "there"
    (there / "scripts/set_up.py").write_text("raise SystemExit('no connection')\n")
    git(there, "commit", "-qam", "broken")
    with pytest.raises(updating.NoUpdate, match="no connection"):
        updating.forward(here, Path("b.db"))
    assert not (here / "new").exists() and "set up" in (here / "scripts/set_up.py").read_text()


def test_files_changed_by_hand_stop_an_update(here: Path) -> None:
    (here / "scripts/set_up.py").write_text("print('mine')\n")
    with pytest.raises(updating.NoUpdate, match="changed by hand"):
        updating.forward(here, Path("b.db"))
    with pytest.raises(updating.NoUpdate, match="No update is noted"):
        updating.back(here)


def test_the_service_takes_where_backups_go_and_never_the_passphrase(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = tmp_path / "words"
    words.write_text("seven lindens behind the shed\n", "utf-8")
    asked = ["service", "text", "--data", str(tmp_path / "data"), "--away", str(tmp_path / "stick"), "--passphrase-file", str(words)]
    words.chmod(0o644)
    assert main(asked) == 1 and "Others on this machine" in capsys.readouterr().err
    words.chmod(0o600)
    assert main(asked) == 0
    told = capsys.readouterr().out
    assert str(tmp_path / "stick") in told and str(words) in told and "lindens" not in told


def test_the_service_takes_how_it_is_watched(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    key = tmp_path / "key"
    asked = ["service", "text", "--data", str(tmp_path / "data"), "--watch-key-file", str(key), "--log", "json"]
    for written in ("too short", "two words that are long enough\nand a line", "honigh\u00e4uschen-im-walde"):
        key.write_text(written, "utf-8")
        assert main(asked) == 1 and "holds is no key" in capsys.readouterr().err
    key.write_text("a-key-of-many-letters\n", "utf-8-sig")
    assert main(asked) == 0
    told = capsys.readouterr().out
    assert str(key) in told and "--log" in told and "json" in told and "a-key-of-many" not in told
