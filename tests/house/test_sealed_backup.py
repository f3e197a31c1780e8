"""Backups that leave the machine: nobody reads them without the passphrase, a flipped bit is found, and the way back asks for it."""

from __future__ import annotations

import getpass
import hashlib
import io
import random
import shutil
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from honeyhold.app import sealed_backup
from honeyhold.app.away import Away
from honeyhold.app.backup_ages import own_backups
from honeyhold.app.certificates import secure_files
from honeyhold.app.command_line import main
from honeyhold.app.scheduled_backup import ScheduledBackup
from honeyhold.app.sealed_backup import ENDING, WrongPassphrase, opened, passphrase_in, seal
from honeyhold.house.house import House
from honeyhold.records.backup import position_of_backup
from honeyhold.records.errors import RecordsTrouble
from replication.houses import Watch, device, movement, on_hand, small_house

WORDS = "seven lindens behind the shed"


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The guess that costs half a second costs a moment here."""
    monkeypatch.setitem(sealed_backup.SCRYPT, "n", 2**8)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = small_house(tmp_path, Watch())
    device(made)
    made.write("note_person", [{"table": "person", "id": "p1", "name": "Orla Tennick", "phone": "+12065550101"}])
    yield made
    made.close()


def test_what_was_sealed_is_opened_whole_and_reads_of_nobody(house: House, tmp_path: Path) -> None:
    plain = house.backup()
    sealed = seal(plain, tmp_path / "stick", WORDS)
    content = sealed.read_bytes()
    assert b"Orla" in plain.read_bytes() and b"Orla" not in content and b"SQLite" not in content
    assert sealed.stat().st_mode & 0o777 == 0o600
    with opened(sealed, WORDS, tmp_path) as back:
        assert position_of_backup(back) == house.position() and back.read_bytes() == plain.read_bytes()
        place = back.parent
    assert not place.exists()
    assert seal(plain, tmp_path / "other", WORDS).read_bytes()[: len(content) // 2] != content[: len(content) // 2]


def test_what_does_not_read_as_it_was_written_is_taken_away(house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stick that loses what it takes; nothing lies there that might be believed."""
    monkeypatch.setattr(sealed_backup, "write_whole", lambda file, content: file.write_bytes(content[:-1]))
    with pytest.raises(RecordsTrouble, match="does not read as it was written") as trouble:
        seal(house.backup(), tmp_path / "stick", WORDS)
    assert trouble.value.remedy and list((tmp_path / "stick").iterdir()) == []


def test_a_file_too_short_to_hold_anything_is_not_what_was_written_though_its_digest_is_right(tmp_path: Path) -> None:
    """At every length below the shortest that a sealed backup has."""
    least = len(sealed_backup.MAGIC) + sealed_backup.SALT_BYTES + sealed_backup.NONCE_BYTES
    file = tmp_path / f"short{ENDING}"
    for length in range(len(sealed_backup.MAGIC), least):
        body = sealed_backup.MAGIC.ljust(length, b"s")
        file.write_bytes(body + hashlib.sha256(body).digest())
        with pytest.raises(RecordsTrouble, match="is not what was written"), opened(file, WORDS, tmp_path):
            pass


@pytest.mark.parametrize(("name", "begins", "sealed"), [
    (f"a{ENDING}", sealed_backup.MAGIC, True), (f"a{ENDING}", b"torn", True), ("a.db", sealed_backup.MAGIC, True), ("a.db", b"torn", False),
])  # fmt: skip
def test_it_is_known_by_how_it_begins_or_by_its_name(tmp_path: Path, name: str, begins: bytes, sealed: bool) -> None:
    """Renamed, or damaged: the passphrase is asked for."""
    (tmp_path / name).write_bytes(begins)
    assert sealed_backup.is_sealed(tmp_path / name) == sealed


def test_an_accent_may_be_typed_either_way(house: House, tmp_path: Path) -> None:
    sealed = seal(house.backup(), tmp_path / "stick", "caf\u00e9 au lait, twice")
    with opened(sealed, "cafe\u0301 au lait, twice", tmp_path) as back:
        assert position_of_backup(back) == house.position()


def test_a_wrong_passphrase_says_so(house: House, tmp_path: Path) -> None:
    sealed = seal(house.backup(), tmp_path / "stick", WORDS)
    for wrong in (WORDS.upper(), WORDS + " ", ""):
        with pytest.raises(WrongPassphrase, match="does not open"), opened(sealed, wrong, tmp_path):
            pass


def test_a_flipped_bit_is_found_wherever_it_is(house: House, tmp_path: Path) -> None:
    """It is told from a wrong passphrase: another backup helps, typing again does not."""
    sealed = seal(house.backup(), tmp_path / "stick", WORDS)
    content = sealed.read_bytes()
    chance = random.Random(7)
    places = [0, len(sealed_backup.MAGIC) + 3, len(content) - 1, *(chance.randrange(len(content)) for _ in range(60))]
    for at in places:
        sealed.write_bytes(content[:at] + bytes([content[at] ^ 1 << chance.randrange(8)]) + content[at + 1 :])
        with pytest.raises(RecordsTrouble, match="not what was written") as told, opened(sealed, WORDS, tmp_path):
            pass
        assert not isinstance(told.value, WrongPassphrase)
    for length in (0, 5, 40, len(content) - 1):
        sealed.write_bytes(content[:length])
        with pytest.raises(RecordsTrouble, match="not what was written"), opened(sealed, WORDS, tmp_path):
            pass


@pytest.mark.parametrize(("typed", "said"), [("short", "fewer than"), ("", "fewer than")])
def test_a_passphrase_that_is_soon_guessed_is_not_taken(house: House, tmp_path: Path, typed: str, said: str) -> None:
    with pytest.raises(RecordsTrouble, match=said):
        seal(house.backup(), tmp_path / "stick", typed)
    assert not list((tmp_path / "stick").glob("*"))


def test_a_passphrase_that_others_can_read_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "words"
    file.write_text(f"{WORDS}\n", "utf-8")
    file.chmod(0o644)
    with pytest.raises(RecordsTrouble, match="Others on this machine can read"):
        passphrase_in(file)
    file.chmod(0o600)
    assert passphrase_in(file) == WORDS
    with pytest.raises(RecordsTrouble, match="cannot be read"):
        passphrase_in(tmp_path / "nothing")


def typing(monkeypatch: pytest.MonkeyPatch, *answers: str) -> list[str]:
    """A person at the keyboard; what they were asked."""
    asked: list[str] = []
    left = list(answers)

    def answer(prompt: str) -> str:
        asked.append(prompt)
        return left.pop(0)

    keyboard = io.StringIO()
    keyboard.isatty = lambda: True  # type: ignore[method-assign]
    monkeypatch.setattr(sys, "stdin", keyboard)
    monkeypatch.setattr(getpass, "getpass", answer)
    return asked


def test_from_the_command_line_there_and_back_on_a_new_disk(
    house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Records, devices and what phones trust: all of it is in the one sealed file."""
    trusted = secure_files(house.folder / "certificates", [], datetime.now(UTC)).fingerprint
    folder, stick = str(house.folder), str(tmp_path / "stick")
    house.close()
    asked = typing(monkeypatch, WORDS, WORDS)
    assert main(["backup", "--data", folder, "--to", stick, "--encrypt"]) == 0
    assert len(asked) == 2 and WORDS not in capsys.readouterr().out
    (sealed,) = Path(stick).iterdir()
    shutil.rmtree(folder)
    new = tmp_path / "new disk"
    typing(monkeypatch, "not these words at all", WORDS, WORDS)
    assert main(["restore", str(sealed), "--data", str(new)]) == 1
    assert "does not open" in capsys.readouterr().err and not (new / "honeyhold.db").exists()
    assert main(["restore", str(sealed), "--data", str(new), "--dry-run"]) == 0
    assert "The backup holds" in capsys.readouterr().out and not (new / "honeyhold.db").exists()
    assert main(["restore", str(sealed), "--data", str(new)]) == 0
    back = House.open(new)
    assert on_hand(back) == 40 and back.check() == [] and not list(new.glob("opened-*"))
    back.close()
    assert secure_files(new / "certificates", [], datetime.now(UTC)).fingerprint == trusted


@pytest.mark.parametrize(
    ("arguments", "said"), [(["--encrypt"], "goes to another place"), (["--encrypt", "--to", "x"], "Nobody is there to type")]
)
def test_a_sealed_copy_that_cannot_be_made_says_why(
    house: House, arguments: list[str], said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    house.close()
    assert main(["backup", "--data", str(house.folder), *arguments]) == 1
    assert said in capsys.readouterr().err and not (tmp_path / "x").exists()


def test_two_that_differ_are_not_taken(house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    typing(monkeypatch, WORDS, WORDS + "!")
    house.close()
    assert main(["backup", "--data", str(house.folder), "--to", str(tmp_path / "stick"), "--encrypt"]) == 1
    assert not (tmp_path / "stick").exists()


def test_each_backup_is_brought_away_and_old_ones_go(house: House, tmp_path: Path) -> None:
    keeping = ScheduledBackup(house, away=Away(tmp_path / "stick", WORDS))
    made = keeping.look()
    assert made is not None
    (brought,) = own_backups(tmp_path / "stick", ENDING).values()
    with opened(brought, WORDS, tmp_path) as back:
        assert back.read_bytes() == made.read_bytes()
    assert keeping.look() is None and len(own_backups(tmp_path / "stick", ENDING)) == 1
    assert house.last_backup is not None and not house.last_backup.failing


def test_a_stick_that_is_out_is_missed_and_gets_the_newest_when_it_is_back(
    house: House, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    keeping = ScheduledBackup(house, away=Away(tmp_path / "stick", WORDS))
    keeping.look()
    (tmp_path / "stick").rename(tmp_path / "in the drawer")
    house.write("buy", [movement("bar", 1, "bought")])
    house.wants_backup.set()
    assert keeping.look() is not None  # the plain one beside the records is made all the same
    keeping.look()
    assert house.last_backup is not None and house.last_backup.failing
    assert len([record.message for record in caplog.records if "sealed copy failed" in record.message]) == 1
    assert not (tmp_path / "stick").exists() and WORDS not in caplog.text
    (tmp_path / "in the drawer").rename(tmp_path / "stick")
    keeping.look()
    assert max(own_backups(tmp_path / "stick", ENDING)) == max(own_backups(keeping.folder)) and not house.last_backup.failing
