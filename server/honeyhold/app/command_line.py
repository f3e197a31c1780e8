"""`honeyhold serve | code | export | import | backup | restore | move | check | service | update`: the house from the command line."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

from honeyhold.app import backup_commands, host_commands
from honeyhold.app.away import Away
from honeyhold.app.control import ask
from honeyhold.app.log_lines import FORMS, say
from honeyhold.app.sealed_backup import passphrase_in
from honeyhold.app.watch_key import watch_key_in
from honeyhold.errors import HoneyholdError
from honeyhold.house.demo import DATA, DEMO_DATA, DEMO_PORT, PORT, NoRecords, RealClock, file_is_demo, must_fit
from honeyhold.house.house import House
from honeyhold.house.where_kept import FILE_NAME, has_records
from honeyhold.records.errors import RecordsTrouble, SecondHouse

PLACES = ("--backups", "--away", "--passphrase-file", "--watch-key-file")
"""What `service` is told of files and folders; the unit names them by their whole address."""
ROLES = {"owner": "keeper", "keeper": "keeper", "helper": "helper"}
"""What is said on the command line, and what the records have."""
ADDRESS = "postgresql://user@host/name"
ROOT = Path(__file__).resolve().parents[3]


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command; 0 when it did what was asked, 1 when it says why not."""
    asked = _parser().parse_args(arguments)
    os.umask(0o077)  # names, addresses and keys: for the owner of these files alone
    try:
        return int(asked.does(asked) or 0)
    except HoneyholdError as trouble:
        print(f"{trouble} {trouble.remedy}".strip(), file=sys.stderr)
        return 1


def serve(asked: argparse.Namespace) -> None:
    """Serves the devices."""
    from honeyhold.app.serving import serve as serve_house

    if asked.today and not asked.demo:
        raise RealClock(
            "--today moves the clock, and only the demo's clock may be moved: in a real house every order would carry a wrong day.",
            "Leave --today out, or look at the demo: --demo --today DAY.",
        )
    away, watch_key = _away(asked), watch_key_in(asked.watch_key_file)
    say(asked.log)
    _tell_of_an_older_demo(asked)
    house = House.open(asked.data or Path(DEMO_DATA if asked.demo else DATA), database=asked.database)
    try:
        _as_asked(house, asked)
    except BaseException:
        house.close()
        raise
    port = asked.port if asked.port is not None else DEMO_PORT if asked.demo else PORT
    serve_house(house, port, not asked.no_browser, asked.devices, asked.backups, asked.known_as, away, watch_key, asked.sources)


def _away(asked: argparse.Namespace) -> Away | None:
    """Where sealed copies go, and what they are sealed with. Raises `RecordsTrouble`."""
    if asked.away is None:
        return None
    if asked.passphrase_file is None:
        raise RecordsTrouble("Copies that leave this machine are sealed.", "Name a file that holds the passphrase: --passphrase-file FILE")
    return Away(asked.away, passphrase_in(asked.passphrase_file))


def code(asked: argparse.Namespace) -> None:
    """A one-time code for a device, whether the house runs or not: for a lost owner's phone, or a forgotten code."""
    folder, role = _folder(asked), ROLES[asked.role]
    try:
        with closing(House.open(folder)) as house:
            made = house.new_code(role)
    except SecondHouse:
        made = json.loads(ask(folder, "/api/own/codes", {"role": role}))
    until = datetime.fromisoformat(made["expires_at"].replace("Z", "+00:00")).astimezone()
    print(f"{made['code']}  good once, until {until:%H:%M}, for {'an owner' if role == 'keeper' else 'a helper'}'s device")
    print(f"Open this on the device: {made['address']}" if "address" in made else "Start Honeyhold, then type it on the device.")


def export(asked: argparse.Namespace) -> None:
    """Everything out, whether the house runs or not."""
    from honeyhold.house import export as out

    folder = _folder(asked)
    try:
        with closing(House.open(folder)) as house:
            content, day = out.whole(house), house.clock.today().isoformat()
    except SecondHouse:
        content, day = ask(folder, "/api/own/export", {}), date.today().isoformat()
    print(out.put_out(asked.file or Path(f"honeyhold-{day}.zip"), content))


def bring_in(asked: argparse.Namespace) -> None:
    """Reads an export into an empty house."""
    from honeyhold.house import export as out

    try:
        content = asked.file.read_bytes()
    except OSError as trouble:
        raise NoRecords(f"{asked.file} cannot be read ({trouble.strerror}).", "Name the file that `honeyhold export` made.") from None
    with closing(House.open(asked.data, database=asked.database)) as house:
        number = out.bring_in(house, content)
        wrong = house.check()
    told = f"{number:,} rows were read, and every sum agrees. Start Honeyhold and add your devices with a code."
    print("\n".join(wrong) or told)


def service(asked: argparse.Namespace) -> None:
    """What starts the house at boot."""
    from honeyhold.app.service import manage

    _away(asked)  # what cannot be read is said now, not at the next start of the machine
    watch_key_in(asked.watch_key_file)
    places = {flag: getattr(asked, flag.strip("-").replace("-", "_")) for flag in PLACES}
    more = [word for flag, place in places.items() if place for word in (flag, str(place.absolute()))]
    more += [] if asked.log == FORMS[0] else ["--log", asked.log]
    print(manage(asked.action, asked.data or ROOT / DATA, ROOT, asked.devices, more))


def update(asked: argparse.Namespace) -> None:
    """A newer version, with a backup first and a way back."""
    from honeyhold.app import service as at_boot
    from honeyhold.app import updating

    data = asked.data or ROOT / DATA
    if at_boot.is_installed():
        at_boot.manage("stop", data, ROOT)
    try:
        if asked.back:
            print(updating.back(ROOT))
        else:
            with closing(House.open(data)) as house:  # held by a house that runs: that is said, and nothing is changed
                made = house.backup()
            print(updating.forward(ROOT, made))
    finally:
        if at_boot.is_installed():
            at_boot.manage("start", data, ROOT)


def _folder(asked: argparse.Namespace) -> Path:
    """The records a command is about. Raises `NoRecords`."""
    folder: Path = asked.data or Path(DEMO_DATA if asked.demo else DATA)
    if not has_records(folder):
        raise NoRecords(f"There are no records in {folder}.", "Name their folder with --data, or start Honeyhold: scripts/run.")
    return folder


def backup(asked: argparse.Namespace) -> None:
    """A verified copy of the records, whether the house runs or not."""
    backup_commands.backup(asked, _folder(asked))


def move(asked: argparse.Namespace) -> None:
    """Out of the file into a database, or back; nothing changes for the devices."""
    from honeyhold.house.clock import machine_time
    from honeyhold.house.moving import to_database, to_file

    folder = _folder(asked)
    print(to_file(folder, machine_time()) if asked.to_file else to_database(folder, asked.to, machine_time()))


def check(asked: argparse.Namespace) -> int:
    """Adds every sum up again, and looks for lots below zero, whether the house runs or not."""
    folder = _folder(asked)
    try:
        with closing(House.open(folder)) as house:
            wrong = house.check()
    except SecondHouse:
        wrong = json.loads(ask(folder, "/api/own/check", {}))["wrong"]
    print("\n".join(wrong) if wrong else "Every sum agrees, and no lot is below zero.")
    return 1 if wrong else 0


def _set_day(house: House, day: date) -> None:
    """The house's clock on that day, at the present time of day."""
    zone = house.clock.zone()
    here = house.clock.now().astimezone(zone)
    house.clock.set(datetime.combine(day, here.time(), tzinfo=zone))


def _as_asked(house: House, asked: argparse.Namespace) -> None:
    """The demo in its own records, a real house in its own. Raises `WrongRecords`."""
    is_empty = house.position() == 0
    must_fit(house.folder, wants_demo=asked.demo, is_demo=house.is_demo(), is_empty=is_empty)
    if house.clock.left_out:
        print(f"An older start had moved this house's clock by {house.clock.left_out}. It goes by the machine's again.", flush=True)
    if asked.demo and is_empty:
        house.make_demo()
    if asked.today:
        _set_day(house, asked.today)
    if asked.demo and is_empty:
        _furnish(house)


def _tell_of_an_older_demo(asked: argparse.Namespace) -> None:
    """Older versions played the demo into the folder that is meant for the real house."""
    folder = asked.data or Path(DEMO_DATA)
    if asked.demo and folder.name == DEMO_DATA and file_is_demo(folder.with_name(DATA) / FILE_NAME):
        print(f"An older demo lies in {DATA}, where your own records would go. This one plays in {DEMO_DATA}; delete {DATA} when you like.")


def _furnish(house: House) -> None:
    """The invented season, into an empty house only: records that are there are never touched."""
    sys.path.insert(0, str(ROOT))
    from demo_seed import play

    print("Playing the invented season into the empty house ...", flush=True)
    play(house)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="honeyhold", description="Honeyhold from the command line.")
    commands = parser.add_subparsers(required=True)

    def command(name: str, does: object, about: str, data: Path | None = Path(DATA)) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=about, description=about)
        made.add_argument("--data", type=Path, default=data, help=f"the folder of the records (default: {DATA})")
        made.set_defaults(does=does)
        return made

    opened = command("serve", serve, "Serves the devices.", None)
    opened.add_argument("--database", default="", metavar="ADDRESS", help=f"keeps the records in PostgreSQL: {ADDRESS}; said once")
    opened.add_argument("--port", type=int, help=f"default {PORT}, with --demo {DEMO_PORT}; 0 takes any that is free")
    opened.add_argument("--demo", action="store_true", help=f"an invented honey house, in a folder of its own (default: {DEMO_DATA})")
    opened.add_argument("--today", type=_day, metavar="DAY", help="with --demo only: sets its clock to this day; it is remembered")
    opened.add_argument("--devices", action="store_true", help="also opens it, securely, to phones and tablets on its own network")
    opened.add_argument("--backups", type=Path, metavar="DIR", help="where backups are put (default: DATA/backups)")
    opened.add_argument("--away", type=Path, metavar="DIR", help="a sealed copy of every backup goes here: a stick, another machine's disk")
    opened.add_argument("--passphrase-file", type=Path, metavar="FILE", help="with --away: what the copies are sealed with")
    opened.add_argument("--known-as", action="append", default=[], metavar="NAME", help="it answers under this name, too")
    opened.add_argument("--log", choices=FORMS, default=FORMS[0], help="json: one object a line, every answer; for a program")
    opened.add_argument("--watch-key-file", type=Path, metavar="FILE", help="a key that opens /api/metrics and /api/health/deep")
    opened.add_argument("--no-browser", action="store_true", help="only prints the address")
    opened.add_argument("--sources", action="store_true", help="the browser gets the files of web/ as they stand, not as built")
    coded = command("code", code, "A one-time code for a device, also while Honeyhold runs.", None)
    coded.add_argument("--role", choices=tuple(ROLES), default="owner")
    coded.add_argument("--demo", action="store_true", help=f"for the demo (default folder: {DEMO_DATA})")
    exported = command("export", export, "Everything out as a zip of tables and one JSON, also while Honeyhold runs.", None)
    exported.add_argument("file", type=Path, nargs="?", help="default: honeyhold-DAY.zip here")
    exported.add_argument("--demo", action="store_true", help=f"the demo's (default folder: {DEMO_DATA})")
    brought = command("import", bring_in, "Reads an export into an empty house.")
    brought.add_argument("file", type=Path)
    brought.add_argument("--database", default="", metavar="ADDRESS", help="as with serve: the house is made in PostgreSQL")
    from honeyhold.app.service import ACTIONS

    kept_up = command("service", service, "Starts Honeyhold with the machine, without root.", None)
    kept_up.add_argument("action", choices=ACTIONS, help="text prints what would be written")
    kept_up.add_argument("--devices", action="store_true", help="also opens it to phones and tablets, as with serve")
    kept_up.add_argument("--log", choices=FORMS, default=FORMS[0], help="as with serve")
    for flag in PLACES:
        kept_up.add_argument(flag, type=Path, metavar="PLACE", help="as with serve")
    command("update", update, "A newer version: backup first, and a way back.", None).add_argument(
        "--back", action="store_true", help="the version before the last update"
    )
    saved = command("backup", backup, "A verified copy of the records, also while Honeyhold runs.", None)
    saved.add_argument("--to", type=Path, default=None, help="the folder it is put into (default: DATA/backups)")
    saved.add_argument("--demo", action="store_true", help=f"of the demo (default folder: {DEMO_DATA})")
    saved.add_argument("--encrypt", action="store_true", help="seals the copy in that folder with a passphrase, which is asked for")
    saved.add_argument("--passphrase-file", type=Path, metavar="FILE", help="reads the passphrase from a file of yours alone")
    back = command("restore", backup_commands.restore, "Goes back to a backup.")
    back.add_argument("file", type=Path)
    back.add_argument("--database", default="", metavar="ADDRESS", help="as with serve: the backup goes into PostgreSQL")
    back.add_argument("--dry-run", action="store_true", help="only tells what would be missing, and which device still has it")
    back.add_argument("--passphrase-file", type=Path, metavar="FILE", help="for a sealed backup: where its passphrase is")
    _whereto(command("move", move, "Moves the records into PostgreSQL, or back into a file; all is compared before it goes over.", None))
    host_commands.add_to(commands)
    checked = command("check", check, "Adds every sum up again, also while Honeyhold runs.", None)
    checked.add_argument("--demo", action="store_true", help=f"of the demo (default folder: {DEMO_DATA})")
    return parser


def _whereto(moved: argparse.ArgumentParser) -> None:
    moved.add_argument("--demo", action="store_true", help=f"the demo's (default folder: {DEMO_DATA})")
    place = moved.add_mutually_exclusive_group(required=True)
    place.add_argument("--to", default="", metavar="ADDRESS", help=f"into an empty database: {ADDRESS}")
    place.add_argument("--to-file", action="store_true", help="out of the database, into the folder's own file")


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day: write it like 2027-07-23") from None


if __name__ == "__main__":
    sys.exit(main())
