"""The set-up on machines that lack things: no fcntl, no bash, no root, no apt-get, no network, no rights; another system's folders."""

from __future__ import annotations

import builtins
import importlib.util
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

SCRIPTS = Path(__file__).resolve().parent.parent / "scripts"
NAMES = ("alone", "set_up_steps", "system_parts", "set_up", "run")


@pytest.fixture
def scripts(monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, ModuleType]]:
    """The scripts, loaded afresh, as a machine would that has no fcntl."""
    yield from _loaded(monkeypatch)


def _loaded(monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, ModuleType]]:
    monkeypatch.syspath_prepend(str(SCRIPTS))
    whole = builtins.__import__

    def without_fcntl(name: str, *rest: Any, **more: Any) -> Any:
        if name == "fcntl":
            raise ImportError("no fcntl here")
        return whole(name, *rest, **more)

    for name in (*NAMES, "fcntl"):
        monkeypatch.delitem(sys.modules, name, raising=False)
    with monkeypatch.context() as during:
        during.setattr(builtins, "__import__", without_fcntl)
        found = {name: importlib.import_module(name) for name in NAMES}
    yield found
    for name in NAMES:
        sys.modules.pop(name, None)


def test_every_script_of_the_set_up_is_imported_without_fcntl(scripts: dict[str, ModuleType]) -> None:
    assert set(scripts) == set(NAMES)


class FakeMsvcrt(ModuleType):
    """Windows' locks, remembered; busy the first time."""

    LK_LOCK, LK_UNLCK = 1, 0

    def __init__(self) -> None:
        super().__init__("msvcrt")
        self.calls: list[int] = []

    def locking(self, _file: int, mode: int, _count: int) -> None:
        self.calls.append(mode)
        if len(self.calls) == 1:
            raise OSError("busy")


def test_two_starts_take_turns_by_windows_own_locks(
    scripts: dict[str, ModuleType], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    windows = FakeMsvcrt()
    monkeypatch.setattr(scripts["alone"], "_module", lambda name: windows if name == "msvcrt" else None)
    with scripts["alone"].alone(tmp_path / "lock"):
        assert windows.calls == [1, 1]
    assert windows.calls == [1, 1, 0]


def test_without_any_locks_it_says_so_and_goes_on(
    scripts: dict[str, ModuleType], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(scripts["alone"], "_module", lambda _name: None)
    with scripts["alone"].alone(tmp_path / "lock"):
        assert "do not start Honeyhold twice" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("output", "remedy"),
    [
        ("WARNING: Retrying ... NewConnectionError(... [Errno -3] Temporary failure in name resolution", "offline"),
        ("npm error code ENOTFOUND\nnpm error network request failed", "offline"),
        ("ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: '/x'", "rights"),
        ("OSError: [Errno 28] No space left on device", "full"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "hash"),
    ],
)
def test_a_trouble_that_is_known_says_its_own_remedy(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, output: str, remedy: str
) -> None:
    steps = scripts["set_up_steps"]
    failed = subprocess.CompletedProcess(["pip"], 1, stdout="Traceback (most recent call last):\n" + output)
    monkeypatch.setattr(steps.subprocess, "run", lambda *_a, **_k: failed)
    with pytest.raises(steps.SetUpTrouble) as trouble:
        steps.run(["pip"], "Do something else.")
    assert str(trouble.value) == steps.REMEDIES[remedy] and "Traceback" not in str(trouble.value)


def test_any_other_trouble_shows_its_last_lines(scripts: dict[str, ModuleType]) -> None:
    steps = scripts["set_up_steps"]
    with pytest.raises(steps.SetUpTrouble, match=r"(?s)strange thing.*Do something else"):
        steps.run([sys.executable, "-c", "print('a strange thing'); raise SystemExit(3)"], "Do something else.")


def _web_of(steps: ModuleType, root: Path, monkeypatch: pytest.MonkeyPatch, *, there: tuple[str, ...]) -> None:
    """A project whose lock file names a library, a tool and one that another system needs; `there` are put in their versions."""
    packages: dict[str, dict[str, Any]] = {
        "": {"name": "web"},
        "node_modules/library": {"version": "1.2.3"},
        "node_modules/tool": {"version": "4.5.6", "dev": True},
        "node_modules/elsewhere": {"version": "7.8.9", "optional": True},
    }
    (root / "web/node_modules").mkdir(parents=True)
    (root / "web/package-lock.json").write_text(json.dumps({"packages": packages}))
    put = {f"node_modules/{name}": packages[f"node_modules/{name}"] for name in there}
    (root / "web/node_modules/.package-lock.json").write_text(json.dumps({"packages": put}))
    monkeypatch.setattr(steps, "ROOT", root)


@pytest.mark.parametrize(
    ("there", "runs", "checks"),
    [((), False, False), (("tool",), False, False), (("library",), True, False), (("library", "tool"), True, True)],
)
def test_a_house_that_only_runs_needs_no_tools_of_the_checks(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, there: tuple[str, ...], runs: bool, checks: bool
) -> None:
    steps = scripts["set_up_steps"]
    _web_of(steps, tmp_path, monkeypatch, there=there)
    assert (steps.web_ready(tools=False), steps.web_ready(tools=True)) == (runs, checks)


def test_the_house_runs_on_the_versions_that_the_tests_ran_on() -> None:
    runs, tested = (
        dict(re.findall(r"^([\w.-]+)==(\S+)", (Path(__file__).parents[1] / name).read_text("utf-8"), re.MULTILINE))
        for name in ("requirements.lock", "requirements-test.lock")
    )
    assert len(runs) > 20 and {name: tested.get(name) for name in runs} == runs


def test_a_library_of_another_version_is_fetched_anew(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    steps = scripts["set_up_steps"]
    _web_of(steps, tmp_path, monkeypatch, there=("library",))
    (tmp_path / "web/node_modules/.package-lock.json").write_text('{"packages": {"node_modules/library": {"version": "1.2.2"}}}')
    assert not steps.web_ready(tools=False)


@pytest.mark.parametrize(("wanted", "left_out"), [("house_steps", True), ("test_steps", False)])
def test_only_the_tests_fetch_the_tools_of_the_checks(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, wanted: str, left_out: bool
) -> None:
    steps, ran = scripts["set_up_steps"], []
    monkeypatch.setattr(steps, "_have_node", lambda: None)
    monkeypatch.setattr(steps, "run", lambda command, *_a, **_k: ran.append(command))
    step = next(one for one in getattr(scripts["set_up"], wanted)() if one.name.startswith("web"))
    step.act()
    assert [("ci" in command, "--omit=dev" in command) for command in ran] == [(True, left_out)]


def test_tools_that_a_set_up_for_running_left_out_are_missed(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    steps = scripts["set_up_steps"]
    _web_of(steps, tmp_path, monkeypatch, there=("library",))
    assert not steps.web_tools_standing()
    (tmp_path / "web/node_modules/typescript").mkdir()
    assert steps.web_tools_standing()


def test_without_root_it_says_exactly_what_to_install(scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch) -> None:
    parts = scripts["system_parts"]
    monkeypatch.delenv(parts.SERVERS_NEEDED, raising=False)
    monkeypatch.setattr(parts.shutil, "which", lambda name, path="": "/usr/bin/apt-get" if name == "apt-get" else None)
    monkeypatch.setattr(parts.os, "geteuid", lambda: 1000)
    with pytest.raises(parts.SetUpTrouble, match=r"`sudo apt-get install .*chromium poppler-utils libnss3-tools`"):
        parts.install_programs()


def test_servers_are_missed_only_where_they_are_asked_for(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    parts = scripts["system_parts"]
    monkeypatch.setattr(parts.shutil, "which", lambda name, path="": name if name in parts.PROGRAMS else None)
    monkeypatch.setattr(parts, "POSTGRESQL", tmp_path)
    monkeypatch.delenv(parts.SERVERS_NEEDED, raising=False)
    assert parts.missing_programs() == []
    monkeypatch.setenv(parts.SERVERS_NEEDED, "1")
    assert parts.missing_programs() == ["postgresql", "nginx-light"]
    (tmp_path / "15/bin").mkdir(parents=True)
    (tmp_path / "15/bin/initdb").touch()
    assert parts.missing_programs() == ["nginx-light"]


@pytest.mark.parametrize(
    ("there", "rights", "known", "lacks"),
    [("", 0, 0, True), ("chromium-headless-shell", 0, 0, False), ("", 1000, 0, False), ("", 0, 100, False)],
)
def test_the_windowless_browser_is_fetched_only_where_it_may_simply_be_had(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, there: str, rights: int, known: int, lacks: bool
) -> None:
    parts = scripts["system_parts"]
    monkeypatch.setattr(parts.shutil, "which", lambda name, path="": name if name in ("apt-get", there) else None)
    monkeypatch.setattr(parts.os, "geteuid", lambda: rights)
    monkeypatch.setattr(parts.subprocess, "run", lambda *asked, **how: SimpleNamespace(returncode=known))
    assert parts.lacks_windowless() is lacks


@pytest.mark.parametrize(("system", "name", "told"), [("darwin", "posix", "brew install pango"), ("win32", "nt", "for Windows"),
                                                      ("linux", "posix", "dnf install pango")])  # fmt: skip
def test_on_other_systems_it_says_what_to_install_there(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, system: str, name: str, told: str
) -> None:
    parts = scripts["system_parts"]
    monkeypatch.setattr(parts.sys, "platform", system)
    monkeypatch.setattr(parts.shutil, "which", lambda _name: None)
    words = _under(name, parts)
    assert told in words and "apt-get" not in words


def _under(name: str, parts: ModuleType) -> str:
    """The words under another system's name; `os.name` is put back before anything else looks at it."""
    before, os.name = os.name, name
    try:
        return str(parts.by_hand(["libpango-1.0-0"]))
    finally:
        os.name = before


def test_on_windows_the_environments_programs_lie_in_scripts(monkeypatch: pytest.MonkeyPatch) -> None:
    before, os.name = os.name, "nt"
    try:
        spec = importlib.util.spec_from_file_location("steps_on_windows", SCRIPTS / "set_up_steps.py")
        assert spec and spec.loader
        source = (SCRIPTS / "set_up_steps.py").read_text(encoding="utf-8")
    finally:
        os.name = before
    line = next(line for line in source.splitlines() if line.startswith("BIN = "))
    place = next(line for line in source.splitlines() if line.startswith("VENV_PYTHON = "))

    class Windows:
        name = "nt"

    told: dict[str, Any] = {"os": Windows, "VENV": Path("venv")}
    exec(f"{line}\n{place}", told)
    assert told["VENV_PYTHON"] == Path("venv/Scripts/python.exe")


def test_a_folder_that_cannot_be_written_is_said_plainly(
    scripts: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("no folder")
    monkeypatch.setattr(scripts["set_up"], "STAMPS", blocked / ".setup")
    assert scripts["set_up"].main([]) == 1
    told = capsys.readouterr().err
    assert "Nothing can be written" in told and "root is never needed" in told


@pytest.mark.parametrize(
    ("given", "became"),
    [
        ([], ["serve", "--data", "R/data"]),
        (["--demo", "--today", "2027-07-23"], ["serve", "--demo", "--today", "2027-07-23", "--data", "R/data-demo"]),
        (["--data", "x y"], ["serve", "--data", "x y"]),
        (["code", "--role", "helper"], ["code", "--role", "helper", "--data", "R/data"]),
        (["service", "install"], ["service", "install"]),
    ],
)
def test_what_is_typed_becomes_a_command(scripts: dict[str, ModuleType], given: list[str], became: list[str]) -> None:
    assert scripts["run"].arguments(given, Path("R")) == [one.replace("R/", f"R{os.sep}") for one in became]


def test_bash_is_only_a_thin_caller() -> None:
    for name in ("run", "test"):
        lines = [line for line in (SCRIPTS / name).read_text("utf-8").splitlines() if line and not line.startswith("#")]
        assert len(lines) <= 4 and lines[-1].endswith(f'scripts/{name}.py" "$@"')
