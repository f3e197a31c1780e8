"""What a house's folder comes to when something in it is not as it was: opened, added up, backed up, looked back at, put back, read out.

Each question is a copy of one folder with one thing done to it, and one command; the digest is of what was told or refused, and of every
file and what the records hold afterwards. Where a line changes and that is meant, look at it before and after, then write the lines anew:

    .venv/bin/python -m tests.house.as_before                                    all of them
    .venv/bin/python -m tests.house.as_before restore "a page without its sum"   prints what is told and what lies there
"""

from __future__ import annotations

import io
import itertools
import json
import os
import re
import shutil
import sqlite3
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import timedelta
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parents[1]))

from digests import digest  # noqa: E402
from entries.house import EPOCH, EVERY_ROW, Ids, LivedIn  # noqa: E402
from honeyhold.errors import HoneyholdError  # noqa: E402
from honeyhold.house import device_registry, export  # noqa: E402
from honeyhold.house.demo import file_is_demo  # noqa: E402
from honeyhold.house.house import FILE_NAME, House  # noqa: E402
from honeyhold.house.restoring import forecast, told  # noqa: E402
from honeyhold.house.where_kept import NOTE_NAME, has_records, note_host  # noqa: E402
from honeyhold.records.backup import pages_in, position_of_backup, read_page  # noqa: E402
from otherwise import changed, otherwise  # noqa: E402
from quick_disk import QUICK_DISK  # noqa: E402
from replication.houses import Watch  # noqa: E402

Json = dict[str, Any]
FILE: Final = Path(__file__).with_suffix(".json")
REGISTRY: Final = device_registry.FILE_NAME
HELD: Final = re.compile(r"[0-9a-f]{64}")
Damage = Callable[[Path], None]
Command = Callable[[Path], Any]


def begun(folder: Path) -> Path:
    """The folder of a closed house with two backups, the second after more was entered."""
    with no_chance(), for_others_too():
        here = LivedIn(folder)
        house = here.house
        house.backup()
        here.watch.later(hours=1)
        here.keeper.note_person(name="Ivo")
        here.helper.promise([("pint", 1)], here.named["nell"], "pick_up")
        for hand in (here.keeper, here.helper):
            hand.exchange()
        house.backup()
        here.watch.later(hours=1)
        here.keeper.note_person(name="Mab")
        here.keeper.exchange()
        (folder / "out.zip").write_bytes(export.whole(house))
        here.close()
    return folder


@contextmanager
def for_others_too() -> Iterator[None]:
    """With the file modes that a shell begins with: whoever ran a command in this process before left it stricter."""
    before = os.umask(0o022)
    try:
        yield
    finally:
        os.umask(before)


def no_chance() -> Any:
    """Names of epochs and keys of devices are given."""
    count = itertools.count()
    return patch.multiple("secrets", token_hex=lambda many=8: "b" * 2 * many, token_urlsafe=lambda _many=0: f"token-{next(count)}")


def opened(folder: Path) -> House:
    """Two hours later than it was left."""
    watch = Watch()
    watch.now += timedelta(hours=2)
    return House.open(folder / "data", new_id=Ids("later"), now=watch)


def backups(folder: Path) -> list[Path]:
    """Both, the older first."""
    return sorted((folder / "data" / "backups").glob("*.db"))


def _looked_at(house: House) -> Json:
    return {
        "position": house.position(), "epoch": house.epoch, "recovering": house.recovering(), "covered": house.covered_to(),
        "saved": house.saved_to(), "demo": house.is_demo(), "keeper": house.has_keeper(), "wrong": house.check(),
        "identity": house.identity(), "today": house.clock.today().isoformat(), "size": house.records.size_bytes() > 0,
    }  # fmt: skip


def _open(folder: Path) -> Any:
    with closing(opened(folder)) as house:
        return _looked_at(house)


def _back_up(folder: Path) -> Any:
    with closing(opened(folder)) as house:
        made = [house.backup().name, house.backup(folder / "stick", "copy").name]
        return [made, _looked_at(house), [page.position for page in sorted(pages_in(folder / "stick"), key=lambda one: one.position)]]


def _look_back(folder: Path) -> Any:
    found = []
    for backup in backups(folder):
        try:
            names = device_registry.known(folder / "data")
            found.append([told(forecast(folder / "data", backup), names), position_of_backup(backup), bool(read_page(backup))])
        except HoneyholdError as trouble:
            found.append(_refused(trouble))
    return [*found, file_is_demo(folder / "data" / FILE_NAME), has_records(folder / "data")]


def _restore(folder: Path) -> Any:
    with closing(opened(folder)) as house:
        house.restore(backups(folder)[0])
        return _looked_at(house)


def _restore_twice(folder: Path) -> Any:
    first, second = backups(folder)
    with closing(opened(folder)) as house:
        house.restore(second)
        house.restore(first)
        return [_looked_at(house), house.backup().name, house.covered_to()]


def _export(folder: Path) -> Any:
    with closing(opened(folder)) as house:
        return _unzipped(export.whole(house))


def _import(folder: Path) -> Any:
    shutil.rmtree(folder / "data")
    with closing(opened(folder)) as house:
        return [export.bring_in(house, (folder / "out.zip").read_bytes()), _looked_at(house)]


def _unzipped(content: bytes) -> Json:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name).decode("utf-8") for name in archive.namelist()}


COMMANDS: Final[dict[str, Command]] = {
    "open": _open, "back up": _back_up, "look back": _look_back, "restore": _restore, "restore twice": _restore_twice, "export": _export,
    "import": _import,
}  # fmt: skip


def _sql(*statements: str) -> Damage:
    def run(folder: Path) -> None:
        with closing(sqlite3.connect(folder / "data" / FILE_NAME)) as records, records:
            for one in statements:
                records.execute(one)

    return run


def _flip(which: Callable[[Path], Path], share: float) -> Damage:
    def flip(folder: Path) -> None:
        file = which(folder)
        data = bytearray(file.read_bytes())
        data[int(len(data) * share)] ^= 4
        file.write_bytes(bytes(data))

    return flip


def _written(place: str, content: bytes) -> Damage:
    def write(folder: Path) -> None:
        target = folder / "data" / place
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)

    return write


def _gone(*places: str) -> Damage:
    def take_away(folder: Path) -> None:
        for place in places:
            for file in (folder / "data").glob(place):
                file.unlink() if file.is_file() else shutil.rmtree(file)

    return take_away


def _page(at: int, change: Callable[[Json], Json]) -> Damage:
    def write(folder: Path) -> None:
        page = backups(folder)[at].with_name(backups(folder)[at].name + ".json")
        page.write_text(json.dumps(change(json.loads(page.read_text("utf-8")))), "utf-8")

    return write


def _registry(change: Callable[[list[str]], list[str]]) -> Damage:
    def write(folder: Path) -> None:
        file = folder / "data" / REGISTRY
        file.write_text("".join(change(file.read_text("utf-8").splitlines(keepends=True))), "utf-8")

    return write


DAMAGES: Final[dict[str, Damage]] = {
    "nothing": lambda _folder: None,
    "records gone": _gone("honeyhold.db*"),
    "records and list gone": _gone("honeyhold.db*", REGISTRY),
    "records empty": _written(FILE_NAME, b""),
    "records no records": _written(FILE_NAME, b"honey" * 2000),
    "list gone": _gone(REGISTRY),
    "list torn": _registry(lambda lines: [*lines, lines[0][:40]]),
    "list with a stranger": _registry(lambda lines: [*lines, json.dumps({
        "id": "11111111-2222-5333-8444-555555555555", "name": "Barn", "mark": "C", "role": "helper", "token_hash": "0" * 64}) + "\n"]),
    "list with one lost": _registry(lambda lines: [*lines, json.dumps({"id": json.loads(lines[0])["id"], "lost": True}) + "\n"]),
    "list with nonsense": _registry(lambda lines: ["[1]\n", "nothing\n", *lines]),
    "backups gone": _gone("backups"),
    "one backup gone": lambda folder: backups(folder)[0].unlink(),
    "pages gone": _gone("backups/*.json"),
    "page no page": lambda folder: backups(folder)[0].with_name(backups(folder)[0].name + ".json").write_text("{", "utf-8") and None,
    "half a backup left": _written("backups/honeyhold-x.part", b"half"),
    "backup empty": lambda folder: backups(folder)[0].write_bytes(b"") and None,
    "backup no records": _page(0, lambda page: {**page, "sha256": "0" * 64}),
    "noted nonsense": _written(NOTE_NAME, b"mysql://x\n"),
    "kept by a host": lambda folder: note_host(folder / "data"),
    "certificates": _written("certificates/authority.pem", b"a certificate"),
    "another epoch": _sql(f"UPDATE meta SET value = '113f2a0-bbbbbbbb' WHERE value = '{EPOCH}'"),
    "left for": _sql("""INSERT INTO meta VALUES ('left_for', '{"for": "a place", "history": "h"}')"""),
    "arriving": _sql("INSERT INTO meta VALUES ('arriving', 'x')"),
    "a newer schema": _sql("UPDATE meta SET value = '9999' WHERE key = 'schema_version'"),
    "covered": _sql("INSERT OR REPLACE INTO meta VALUES ('covered_to', '30')"),
    "a clock moved": _sql("INSERT INTO meta VALUES ('clock_offset_s', '86400')"),
    "a demo": _sql("INSERT INTO setting (id, value) VALUES ('demo', 'true')"),
    "a demo's clock": _sql(
        "INSERT INTO setting (id, value) VALUES ('demo', 'true')", "INSERT INTO meta VALUES ('clock_offset_s', '86400')"
    ),
    "a calendar": _sql("INSERT INTO meta VALUES ('calendar_secret', 'guess')", "INSERT INTO meta VALUES ('backups_in /x', '1')"),
    "another zone": _sql("UPDATE setting SET value = '\"Pacific/Auckland\"' WHERE id = 'time_zone'"),
    **{f"{table}.{column} one more": _sql(f'UPDATE "{table}" SET "{column}" = "{column}" + 1') for table, column in (
        ("balance", "on_hand"), ("balance", "promised"), ("balance", "out"), ("lot_balance", "units"), ("line", "sure"), ("line", "handed"),
        ("line", "waits"), ("order", "paid_cents"), ("order", "adjusted_cents"), ("device_state", "last_seq"), ("share", "granted"),
        ("payment", "cents"), ("adjustment", "cents"),
    )},
    "queue": _sql("UPDATE line SET queue = '[[3,1]]'"),
    "a lot below nothing": _sql("UPDATE lot_balance SET units = -3 WHERE lot <> ''"),
    "a hole": _sql("UPDATE operation SET position = position + 1000 WHERE position > 50"),
    "an entry gone": _sql("DELETE FROM operation WHERE seq = 5"),
    "pointing nowhere": _sql("PRAGMA foreign_keys = off", "UPDATE movement SET good = 'nobody-knows'"),
    **{f"a letter of the backup at {share}": _flip(lambda folder: backups(folder)[0], share) for share in (0.001, 0.3, 0.6, 0.999)},
}  # fmt: skip
NO_BACKUP: Final = ("backups gone", "one backup gone")
PAGES: Final = ("look back", "restore", "back up")
"""Which commands read what lies beside a backup."""


def questions(name: str) -> dict[str, Damage]:
    """What is done to the folder before a command."""
    found = {what: damage for what, damage in DAMAGES.items() if not (name.startswith("restore") and what in NO_BACKUP)}
    if name == "import":
        found = {"nothing": found["nothing"]}
        for what, content in {"empty": b"", "no zip": b"PK123", "no list": b"[]", "no rows": b'{"format": "honeyhold"}'}.items():
            found[what] = _given_out(lambda _told, content=content: content)  # type: ignore[misc]
        for what, change in _exports():
            found[what] = _given_out(lambda given, change=change: json.dumps(change(given)).encode())  # type: ignore[misc]
    elif name in PAGES:
        for path, how, value in otherwise({"position": 1, "late": 0, "made_at": "x", "epoch": "x", "devices": {}, "certificates": {}}):
            key = path[0]
            found[f"page {key} {how}"] = _page(0, lambda page, key=key, how=how, value=value: (  # type: ignore[misc]
                {one: what for one, what in page.items() if one != key} if how == "gone" else {**page, key: value}
            ))  # fmt: skip
    return found


def _given_out(change: Callable[[Json], bytes]) -> Damage:
    def write(folder: Path) -> None:
        given = json.loads(_unzipped((folder / "out.zip").read_bytes())["all.json"])
        (folder / "out.zip").write_bytes(change(given))

    return write


def _exports() -> Iterator[tuple[str, Callable[[Json], Json]]]:
    heads = {"format": "honeyhold", "version": 1, "made_at": "x", "demo": False}
    for path, how, value in otherwise(heads):
        yield f"{path[0]} {how}", lambda given, path=path, value=value: changed(given, path, value)  # type: ignore[misc]
    yield "a table more", lambda given: {**given, "rows": {**given["rows"], "dance": [{"id": "1"}]}}
    for table in ("person", "good", "lot", "standing", "order", "line", "movement", "reservation", "payment", "adjustment", "till",
                  "lost_sale", "parcel", "setting", "device", "undoing"):  # fmt: skip
        yield f"no {table}", lambda given, table=table: {**given, "rows": {**given["rows"], table: []}}  # type: ignore[misc]
        yield f"{table} turned round", lambda given, table=table: {  # type: ignore[misc]
            **given, "rows": {**given["rows"], table: given["rows"].get(table, [])[::-1]},
        }  # fmt: skip
        yield f"{table} one twice", lambda given, table=table: {  # type: ignore[misc]
            **given, "rows": {**given["rows"], table: [*given["rows"].get(table, []), *given["rows"].get(table, [])[:1]]},
        }  # fmt: skip


def _refused(trouble: Exception) -> Any:
    """SQLite's own words are left out: they differ from version to version."""
    words = re.sub(r"(damaged|not a backup of a house|cannot be read|the file): .*", r"\1", str(trouble), flags=re.S)
    return [getattr(trouble, "code", type(trouble).__name__), words, getattr(trouble, "remedy", "")]


def became(folder: Path, damage: Damage, command: Command) -> Any:
    """What is told, and what lies in the folder afterwards, in a copy of its own."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as copy:
        there = Path(copy) / "house"
        shutil.copytree(folder, there)
        with no_chance(), for_others_too():
            damage(there)
            try:
                said = command(there)
            except (HoneyholdError, sqlite3.Error) as trouble:
                said = _refused(trouble)
        found = json.dumps([said, _files(there)], sort_keys=True, default=str, indent=1)
        return json.loads(found.replace(str(there), "FOLDER"))


def _files(there: Path) -> Json:
    """Every file by name: who may read it, and what it says."""
    found = {}
    for file in sorted(there.rglob("*")):
        name = file.relative_to(there).as_posix()
        if not name.endswith(("-wal", "-shm", "lock", "lock-holder")) and name != "out.zip":
            found[name] = [oct(file.stat().st_mode & 0o777), _content(file)]
    return found


def _content(file: Path) -> Any:
    if file.is_dir():
        return "a folder"
    if file.suffix == ".db":
        return _rows(file)
    return HELD.sub("a hash", file.read_text("utf-8", errors="replace")[:4000])


def _rows(file: Path) -> Any:
    """How many rows each table has, and all few values of the house's own."""
    with suppress(sqlite3.Error), closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as records:
        counts = {table: records.execute(f'SELECT COUNT(*) FROM "{table}"').fetchone()[0] for table in EVERY_ROW}
        return [counts, records.execute("SELECT key, value FROM meta ORDER BY key").fetchall()]
    return "no records"


def lines(folder: Path, name: str, part: int = 0, parts: int = 1) -> dict[str, str]:
    """A digest for each question, or for one part of so many."""
    asked = list(questions(name).items())[part::parts]
    return {what: digest(became(folder, damage, COMMANDS[name])) for what, damage in asked}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as place:
        base = begun(Path(place))
        if len(sys.argv) > 2:
            print(json.dumps(became(base, questions(sys.argv[1])[sys.argv[2]], COMMANDS[sys.argv[1]]), indent=1))
        else:
            FILE.write_text(json.dumps({name: lines(base, name) for name in COMMANDS}, indent=0) + "\n", "utf-8")
