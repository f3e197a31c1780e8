"""What `honeyhold houses` prints, word for word: it is followed by whoever keeps a server, and read by nobody beforehand."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from honeyhold.app import host_commands, hosting, several_workers
from honeyhold.app.command_line import main
from honeyhold.app.hosting import Asked, Worker
from honeyhold.app.listeners import PortTaken
from honeyhold.app.web_server import Server
from honeyhold.house import restoring
from hosting.many import houses

Said = Callable[..., list[str]]
CODE = re.compile(r"#enrol=[2-9A-Z]{4}-[2-9A-Z]{4}(?=$|\s)")
STAMP = re.compile(r"\d{8}-\d{6}-\d{6}")


@pytest.fixture
def said(address: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Said:
    """The lines of a command that did what was asked, with CODE and STAMP where those stand."""
    monkeypatch.chdir(tmp_path)

    def of(*words: str) -> list[str]:
        assert main(["houses", *words, "--database", address, "--data", "houses"]) == 0
        told = capsys.readouterr()
        assert told.err == ""
        return [STAMP.sub("STAMP", CODE.sub("#enrol=CODE", line)) for line in told.out.splitlines()]

    return of


def test_a_house_from_its_first_day_to_its_last(said: Said, address: str, tmp_path: Path) -> None:
    once = "The code is good once, for ten minutes; for another: honeyhold houses code NAME."
    assert said("list") == []
    assert said("add", "willow") == ["willow is open. Open this on its first device: http://willow.localhost:8490/#enrol=CODE", once]
    assert said("add", "maple", "--under", "example.org", "--port", "9000") == [
        "maple is open. Open this on its first device: https://maple.example.org/#enrol=CODE", once,
    ]  # fmt: skip
    assert said("code", "willow", "--port", "9000") == [
        "Open this on the device: http://willow.localhost:9000/#enrol=CODE  (good once, for ten minutes)"
    ]
    today = f"{date.today().year}"
    assert [line[:-6] for line in said("list")] == [f"maple  open  since {today}", f"willow  open  since {today}"]
    (out,) = said("export", "willow")
    assert re.search(r"\bwillow-\d{4}-\d\d-\d\d\.zip\b", out) and list(tmp_path.glob("willow-????-??-??.zip"))
    made, how = said("backup", "willow")
    backup = next(Path("houses/willow/backups").glob("*.db"))
    assert made == STAMP.sub("STAMP", str(backup))
    name = STAMP.sub("STAMP", backup.name)
    assert how == f"For a shed: freeze the house first, make this copy after, then there: honeyhold restore {name} --data FOLDER"
    assert said("freeze", "willow") == [
        "willow is frozen: every server lets it go within some seconds. Devices keep what they write, and say so."
    ]
    assert [line.split("  ")[:2] for line in said("list")] == [["maple", "open"], ["willow", "frozen"]]
    back = said("restore", "willow", str(backup))
    assert re.fullmatch(
        r"willow is back at entry \d+, and still frozen\. What it held before is kept: houses/willow/before-restore-\.\.\.", back[0]
    )
    assert back[1:] == [
        "Let its devices in: honeyhold houses thaw willow", "They send again what the backup lacks; until each has, nothing is granted.",
    ]  # fmt: skip
    assert said("thaw", "willow") == ["willow is open again."]
    said("freeze", "willow")
    gone = said("delete", "willow", "--yes", "willow")
    assert gone == [
        "willow is deleted. Its last backup: houses/.deleted/willow-STAMP/backups/last-STAMP.db",
        "When nobody may need it any more, remove that folder: names and addresses are in it.",
    ]
    assert [line.split("  ")[0] for line in said("list")] == ["maple"]


def test_a_house_that_has_its_devices_says_where_they_go_on(
    said: Said, address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And how many entries came with it, here as if there were a thousand more."""
    monkeypatch.setattr(restoring, "take_in", lambda *given, take_in=restoring.take_in: 1000 + take_in(*given))
    with houses(address, tmp_path, "willow") as many, many.lent("willow") as willow:
        willow.enrol(willow.new_code()["code"], "First phone")
        position, made = willow.position(), willow.backup(tmp_path / "made")
    assert said("add", "rowan", "--from", str(made), "--under", "example.org") == [
        f"1,{position:03} entries were taken in. Devices send again what the backup lacks; until each has, nothing is granted.",
        "rowan is open at https://rowan.example.org/. Its devices go on there; another one is added by an owner's device.",
    ]


def test_what_is_kept_of_a_deleted_house_is_for_its_keeper_alone(said: Said, tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        for word in ("add", "freeze"):
            said(word, "willow")
        said("delete", "willow", "--yes", "willow")
    finally:
        os.umask(before)
    assert [oct(one.stat().st_mode & 0o777) for one in (tmp_path / "houses", tmp_path / "houses/.deleted")] == ["0o700", "0o700"]


WORDS = ["host", "--database", "postgresql://x@/y", "--data", "d"]


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ([], ["--log", "words", "--under", "", "--connections", "20"]),
        (["--log", "json", "--under", "a.b", "--connections", "3", "--watch-key-file", "key", "--behind-proxy"],
         ["--log", "json", "--under", "a.b", "--connections", "3", "--watch-key-file", "key", "--behind-proxy"]),
    ],
)  # fmt: skip
def test_several_workers_are_told_what_one_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: list[str], told: list[str]
) -> None:
    """The very words that the command takes; where they listen is each one's own."""
    monkeypatch.chdir(tmp_path)
    Path("key").write_text("whoever-keeps-the-server", "utf-8")
    ran: list[object] = []
    monkeypatch.setattr(several_workers, "ports_from", lambda first, workers: [first, workers])
    monkeypatch.setattr(several_workers, "run", lambda *given: ran.append(given))
    monkeypatch.setattr(hosting, "serve", ran.append)
    assert main([*WORDS, *options, "--workers", "2", "--port", "9000"]) == 0
    assert ran.pop() == ([*WORDS, *told], [9000, 2])
    assert main([*WORDS, *told, "--port", "9001", "--ends-with-input", "--beside"]) == 0
    given = dict(zip(told[::2], told[1::2], strict=False))
    key, proxy = ("whoever-keeps-the-server", True) if options else ("", False)
    address, connections = host_commands.address_in("postgresql://x@/y"), int(given["--connections"])
    assert ran == [Asked(address, Path("d"), 9001, given["--under"], proxy, key, True, True, connections)]


def test_a_server_whose_port_is_taken_says_so_and_lets_its_database_go(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed: list[object] = []
    close = hosting.SharedDatabase.close
    monkeypatch.setattr(hosting.SharedDatabase, "close", lambda shared: (close(shared), closed.append(shared)))
    other = Server()
    port = other.open(("127.0.0.1", 0), lambda *_: []).port
    try:
        with pytest.raises(PortTaken, match=f"cannot listen at port {port}") as trouble:
            Worker(Asked(address, tmp_path / "houses", port))
        assert trouble.value.port == port and len(closed) == 1
    finally:
        other.stop()
