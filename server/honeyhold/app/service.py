"""What starts the house at boot: a systemd user unit, and as text what launchd and Windows take. No root anywhere."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final
from xml.sax.saxutils import escape

from honeyhold.errors import HoneyholdError

NAME: Final = "honeyhold"
UNIT: Final = f"{NAME}.service"
LABEL: Final = "org.example.honeyhold"
NOT_TRIED: Final = "not tried here"
ACTIONS: Final = ("install", "start", "stop", "status", "log", "remove", "text")


class NoService(HoneyholdError, OSError):
    """The system's own service manager could not do what was asked."""

    code = "no-service"


def arguments(data: Path, devices: bool, more: Sequence[str] = ()) -> list[str]:
    """The command that serves these records, without opening a browser. `more`: where its backups go."""
    command = [sys.executable, "-m", "honeyhold.app.command_line", "serve", "--no-browser", "--data", str(data.absolute()), *more]
    return [*command, "--devices"] if devices else command


def quoted(text: str) -> str:
    """One word of a systemd command line: spaces, quotes, per cent and dollar signs stand for themselves."""
    inner = text.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{inner}"'


def systemd_unit(command: Sequence[str], folder: Path) -> str:
    """The unit file."""
    return f"""\
# Written by `honeyhold service install`; remove it with `honeyhold service remove`.
[Unit]
Description=Honeyhold, the main computer of a honey house

[Service]
ExecStart={" ".join(map(quoted, command))}
WorkingDirectory={str(folder).replace("%", "%%")}
Environment=PYTHONUNBUFFERED=1
Restart=on-failure
RestartSec=5
TimeoutStopSec=60

[Install]
WantedBy=default.target
"""


def launchd_plist(command: Sequence[str], folder: Path) -> str:
    """What macOS takes, as text; not tried here."""
    words = "\n".join(f"    <string>{escape(word)}</string>" for word in command)
    return f"""\
<?xml version="1.0" encoding="UTF-8"?>
<!-- {NOT_TRIED}: save as ~/Library/LaunchAgents/{LABEL}.plist, then: launchctl load -w that file -->
<plist version="1.0">
<dict>
  <key>Label</key><string>{LABEL}</string>
  <key>ProgramArguments</key>
  <array>
{words}
  </array>
  <key>WorkingDirectory</key><string>{escape(str(folder))}</string>
  <key>RunAtLoad</key><true/>
  <key>KeepAlive</key><dict><key>SuccessfulExit</key><false/></dict>
  <key>StandardOutPath</key><string>{escape(str(folder / "honeyhold.log"))}</string>
  <key>StandardErrorPath</key><string>{escape(str(folder / "honeyhold.log"))}</string>
</dict>
</plist>
"""


def windows_task(command: Sequence[str], folder: Path) -> str:
    """What Windows' task scheduler takes, as text; not tried here."""
    rest = subprocess.list2cmdline(command[1:])
    return f"""\
<?xml version="1.0"?>
<!-- {NOT_TRIED}: save as honeyhold.xml, then: schtasks /Create /TN Honeyhold /XML honeyhold.xml -->
<Task version="1.2" xmlns="{"http:" + "//schemas.microsoft.com/windows/2004/02/mit/task"}">
  <Triggers><LogonTrigger><Enabled>true</Enabled></LogonTrigger></Triggers>
  <Settings>
    <ExecutionTimeLimit>PT0S</ExecutionTimeLimit>
    <DisallowStartIfOnBatteries>false</DisallowStartIfOnBatteries>
    <RestartOnFailure><Interval>PT1M</Interval><Count>10</Count></RestartOnFailure>
  </Settings>
  <Actions><Exec>
    <Command>{escape(command[0])}</Command>
    <Arguments>{escape(rest)}</Arguments>
    <WorkingDirectory>{escape(str(folder))}</WorkingDirectory>
  </Exec></Actions>
</Task>
"""


def text_for(system: str, command: Sequence[str], folder: Path) -> str:
    """What starts the house on `linux`, `darwin` or `win32`."""
    made = {"darwin": launchd_plist, "win32": windows_task}.get(system, systemd_unit)
    return made(command, folder)


def unit_file() -> Path:
    """Where systemd looks for a user's own units."""
    return Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "systemd/user" / UNIT


def manage(action: str, data: Path, folder: Path, devices: bool = False, more: Sequence[str] = ()) -> str:
    """Does one of `ACTIONS`; what to print. Raises `NoService` with what was printed and what to do."""
    if action == "text" or sys.platform != "linux" or shutil.which("systemctl") is None:
        return text_for(sys.platform, arguments(data, devices, more), folder)
    if action == "install":
        return _install(data, folder, devices, more)
    if action == "log":
        return _run(["journalctl", "--user", "--unit", UNIT, "--lines", "100", "--no-pager"])
    if action == "status":
        return _run(["systemctl", "--user", "status", UNIT, "--no-pager"], right=(0, 3))
    if action == "remove":
        _run(["systemctl", "--user", "disable", "--now", UNIT])
        unit_file().unlink(missing_ok=True)
        _run(["systemctl", "--user", "daemon-reload"])
        return "Honeyhold no longer starts by itself. Your records are where they were."
    _run(["systemctl", "--user", action, UNIT])
    return f"Done: {action}."


def is_installed() -> bool:
    """Whether this user's systemd starts the house."""
    return sys.platform == "linux" and unit_file().exists() and shutil.which("systemctl") is not None


def _install(data: Path, folder: Path, devices: bool, more: Sequence[str]) -> str:
    file = unit_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(systemd_unit(arguments(data, devices, more), folder), encoding="utf-8")
    _run(["systemctl", "--user", "daemon-reload"])
    _run(["systemctl", "--user", "enable", "--now", UNIT])
    lingers = "Linger=yes" in _run(["loginctl", "show-user", str(os.getuid()), "--property=Linger"], right=(0, 1))
    told = f"Written to {file}. Honeyhold runs now, and again after every start of this machine."
    return told if lingers else f"{told}\nSo that it starts before anybody logs in, type once: loginctl enable-linger"


def _run(command: list[str], right: tuple[int, ...] = (0,)) -> str:
    done = subprocess.run(command, check=False, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL)
    if done.returncode not in right:
        raise NoService(
            f"`{' '.join(command)}` ended with {done.returncode}: {done.stdout.strip() or 'it said nothing'}",
            "Type it as the user who logs in at this machine. Where systemd does not run, start Honeyhold by hand: scripts/run.",
        )
    return done.stdout.rstrip()
