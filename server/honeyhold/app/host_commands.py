"""`honeyhold host` and `honeyhold houses`: many houses on one server, from the command line."""

from __future__ import annotations

import argparse
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from honeyhold.app.log_lines import FORMS, say
from honeyhold.app.watch_key import watch_key_in
from honeyhold.errors import HoneyholdError
from honeyhold.house.clock import machine_time
from honeyhold.house.demo import NoRecords
from honeyhold.house.where_kept import address_in, driver

if TYPE_CHECKING:
    from honeyhold.house.house import House
    from honeyhold.house.many_houses import Houses
    from honeyhold.records.house_register import Kept
    from honeyhold.records.shared_database import HostedRecords

DATA: Final = Path("data-houses")
PORT: Final = 8490
GONE: Final = "deleted"
"""The folder, beside those of the houses, in which what was a deleted house's is kept: no house can be called so with its dot."""
LAST: Final = "last"

Does = Callable[[argparse.Namespace], None]


class NotDeleted(HoneyholdError, ValueError):
    """A house stays, because not all was said that must be."""

    code = "not-deleted"


class NotFrozen(HoneyholdError, ValueError):
    """What is asked for can be done only while nobody is in the house."""

    code = "not-frozen"


class NotJustNow(HoneyholdError, RuntimeError):
    """Somebody else is just doing the same."""

    code = "not-just-now"


def host(asked: argparse.Namespace) -> None:
    """Serves every house of a database."""
    driver()
    from honeyhold.app.hosting import Asked, serve
    from honeyhold.app.several_workers import ports_from, run

    say(asked.log)
    key = watch_key_in(asked.watch_key_file)
    if asked.workers > 1:
        run(_as_told(asked), ports_from(asked.port, asked.workers))
        return
    address = address_in(asked.database)
    serve(Asked(
        address, asked.data, asked.port, asked.under, asked.behind_proxy, key, asked.beside, asked.ends_with_input, asked.connections,
    ))  # fmt: skip


def _as_told(asked: argparse.Namespace) -> list[str]:
    """The same command for one of several workers, without its port."""
    words = ["host", "--database", asked.database, "--data", str(asked.data), "--log", asked.log, "--under", asked.under]
    words += ["--connections", str(asked.connections)]
    words += ["--watch-key-file", str(asked.watch_key_file)] if asked.watch_key_file else []
    return [*words, "--behind-proxy"] if asked.behind_proxy else words


def add(asked: argparse.Namespace) -> None:
    """A new house, empty or out of a backup."""
    with _houses(asked) as houses:
        _sweep_what_was_broken_off(houses, asked.name)
        houses.register.must_be_new(asked.name)
        must_be_free(houses.data / asked.name)
        if asked.backup is None:
            houses.register.add(asked.name, machine_time())
        else:
            _take_in(houses, asked.name, asked.backup)
        houses.read_register()
        with houses.lent(asked.name) as house:
            address = _address(asked)
            if house.has_keeper():
                print(f"{asked.name} is open at {address}. Its devices go on there; another one is added by an owner's device.")
                return
            address = _with_code(address, house.new_code("keeper"))
    print(f"{asked.name} is open. Open this on its first device: {address}")
    print("The code is good once, for ten minutes; for another: honeyhold houses code NAME.")


def _with_code(address: str, made: dict[str, str]) -> str:
    return f"{address}#enrol={made['code']}"


def _take_in(houses: Houses, name: str, backup: Path) -> None:
    from honeyhold.house.restoring import take_in
    from honeyhold.records.house_register import ARRIVING

    kept = houses.register.add(name, machine_time(), ARRIVING)  # nobody is let in before all is there
    try:
        with _alone(houses, kept) as records:
            position = take_in(houses.data / name, backup, records, machine_time())
    except BaseException:
        houses.register.remove(kept)
        raise
    houses.register.has_arrived(kept)
    print(f"{position:,} entries were taken in. Devices send again what the backup lacks; until each has, nothing is granted.")


def _sweep_what_was_broken_off(houses: Houses, name: str) -> None:
    """A house that was being taken in when that was stopped goes: all of it came from the backup. Raises `SecondHouse` while it is."""
    from honeyhold.records.house_register import ARRIVING

    kept = houses.register.all().get(name)
    if kept is None or kept.state != ARRIVING:
        return
    with _alone(houses, kept):
        houses.register.remove(kept)
        _put_away(houses, name)


@contextmanager
def _alone(houses: Houses, kept: Kept) -> Iterator[HostedRecords]:
    """The records of a house that nobody else may have open. Raises `SecondHouse`."""
    from honeyhold.records.shared_database import HostedRecords

    records = HostedRecords(houses.shared, kept.owner, alone=True)
    try:
        yield records
    finally:
        records.close()


def _put_away(houses: Houses, name: str) -> Path:
    """What lies in the folder of a house that is no longer kept goes beside the houses; where it is then."""
    place = houses.data / f".{GONE}" / f"{name}-{machine_time():%Y%m%d-%H%M%S-%f}"
    place.parent.mkdir(mode=0o700, exist_ok=True)
    if (houses.data / name).exists():
        shutil.move(houses.data / name, place)
    return place


def must_be_free(folder: Path) -> None:
    """Nothing of an earlier house lies where a new one's devices and backups go. Raises `NoRecords`."""
    if folder.exists() and any(folder.iterdir()):
        raise NoRecords(f"{folder} holds something of an earlier house of that name.", "Move that folder away, then do this again.")


def code(asked: argparse.Namespace) -> None:
    """A one-time code for a device of a house."""
    from honeyhold.app.command_line import ROLES

    with _houses(asked) as houses, houses.lent(asked.name) as house:
        address = _with_code(_address(asked), house.new_code(ROLES[asked.role]))
    print(f"Open this on the device: {address}  (good once, for ten minutes)")


def show(asked: argparse.Namespace) -> None:
    """All houses, a line each."""
    with _houses(asked) as houses:
        for kept in houses.register.all().values():
            print(f"{kept.name}  {kept.state}  since {kept.made_at[:10]}")


def freeze(asked: argparse.Namespace) -> None:
    """Nobody gets in until it is thawed."""
    from honeyhold.records.house_register import FROZEN

    with _houses(asked) as houses:
        houses.register.set_state(asked.name, FROZEN)
    print(f"{asked.name} is frozen: every server lets it go within some seconds. Devices keep what they write, and say so.")


def thaw(asked: argparse.Namespace) -> None:
    """It is open again."""
    from honeyhold.records.house_register import OPEN

    with _houses(asked) as houses:
        houses.register.set_state(asked.name, OPEN)
    print(f"{asked.name} is open again.")


def export(asked: argparse.Namespace) -> None:
    """Everything of a house out."""
    from honeyhold.house import export as out

    with _houses(asked) as houses, _even_frozen(houses, asked.name) as house:
        content = out.whole(house)
    print(out.put_out(asked.file or Path(f"{asked.name}-{date.today().isoformat()}.zip"), content))


def backup(asked: argparse.Namespace) -> None:
    """A verified copy of a house, which goes into a shed as it is. Raises `NotJustNow`."""
    from honeyhold.records.shared_database import HostedRecords

    with _houses(asked) as houses, _even_frozen(houses, asked.name) as house:
        records = house.records
        assert isinstance(records, HostedRecords)
        with records.working_alone() as mine:
            if not mine:
                raise NotJustNow(f"A server makes a backup of {asked.name} at this moment.", "Try again in a moment.")
            made = house.backup(asked.to)
    print(made)
    print(f"For a shed: freeze the house first, make this copy after, then there: honeyhold restore {made.name} --data FOLDER")


def restore(asked: argparse.Namespace) -> None:
    """A frozen house goes back to a backup; its devices send again what it lacks. Raises `NotFrozen`."""
    from honeyhold.house.restoring import put_back_hosted

    with _houses(asked) as houses:
        kept = _frozen(houses, asked.name)
        folder = houses.data / asked.name
        with _alone(houses, kept) as records:
            folder.mkdir(mode=0o700, exist_ok=True)
            position = put_back_hosted(folder, asked.backup, records, machine_time())
    print(f"{asked.name} is back at entry {position:,}, and still frozen. What it held before is kept: {folder}/before-restore-...")
    print(f"Let its devices in: honeyhold houses thaw {asked.name}")
    print("They send again what the backup lacks; until each has, nothing is granted.")


def _whole(houses: Houses, name: str) -> Kept:
    """A house that was taken in to the end. Raises `UnknownHouse`, `HouseArriving`."""
    from honeyhold.records.house_register import ARRIVING, HouseArriving

    kept = houses.register.one(name)
    if kept.state == ARRIVING:
        raise HouseArriving(name)
    return kept


def _frozen(houses: Houses, name: str) -> Kept:
    from honeyhold.records.house_register import OPEN

    kept = _whole(houses, name)
    if kept.state == OPEN:
        raise NotFrozen(f"{name} is open.", f"Freeze it first: honeyhold houses freeze {name}")
    return kept


def delete(asked: argparse.Namespace) -> None:
    """A frozen house goes, but for one last backup. Raises `NotFrozen`, `NotDeleted`."""
    with _houses(asked) as houses:
        kept = _frozen(houses, asked.name)
        if asked.yes != asked.name:
            raise NotDeleted(f"{asked.name} was not deleted: its name must be typed again.", f"If you are sure: --yes {asked.name}")
        folder = houses.data / asked.name
        with _even_frozen(houses, asked.name, alone=True) as house:
            made = house.backup(None, LAST)  # it is read back whole before anything goes
            houses.register.remove(kept)  # nobody else got in since the backup, nor gets in before this is done
            place = _put_away(houses, asked.name)
    print(f"{asked.name} is deleted. Its last backup: {place / made.relative_to(folder)}")
    print("When nobody may need it any more, remove that folder: names and addresses are in it.")


@contextmanager
def _even_frozen(houses: Houses, name: str, alone: bool = False) -> Iterator[House]:
    """A house for whoever keeps the server, also while nobody else gets in; `alone`: nobody else may have it open."""
    from honeyhold.house.house import House
    from honeyhold.records.shared_database import HostedRecords

    kept = _whole(houses, name)
    house = House.hosted(houses.data / name, lambda: HostedRecords(houses.shared, kept.owner, alone))
    try:
        yield house
    finally:
        house.close()


@contextmanager
def _houses(asked: argparse.Namespace) -> Iterator[Houses]:
    """The houses of the database that is meant."""
    driver()
    from honeyhold.house.many_houses import Houses
    from honeyhold.records.shared_database import SharedDatabase

    asked.data.mkdir(mode=0o700, parents=True, exist_ok=True)
    shared = SharedDatabase(address_in(asked.database), folder=asked.data)
    houses = None
    try:
        houses = Houses(shared, asked.data)
        yield houses
    finally:
        if houses is not None:
            houses.close()
        shared.close()


def _address(asked: argparse.Namespace) -> str:
    """Where a house is found: below the domain over TLS, else on this machine for trying."""
    return f"https://{asked.name}.{asked.under}/" if asked.under else f"http://{asked.name}.localhost:{asked.port}/"


def add_to(commands: Any) -> None:
    """Both commands, with what they take."""
    served = commands.add_parser("host", help="Serves many houses from one database.", description=host.__doc__)
    _where(served)
    served.set_defaults(does=host)
    served.add_argument("--behind-proxy", action="store_true", help="a proxy of yours is in front: who asks stands in X-Forwarded-For")
    served.add_argument("--workers", type=int, default=1, metavar="N", help="so many processes, at --port and those above it")
    served.add_argument("--connections", type=int, default=20, metavar="N", help="to the database, of each process (default: 20)")
    served.add_argument("--beside", action="store_true", help="takes the port beside a server that is there, to take its place")
    served.add_argument("--ends-with-input", action="store_true", help=argparse.SUPPRESS)
    served.add_argument("--log", choices=FORMS, default=FORMS[0], help="as with serve")
    served.add_argument("--watch-key-file", type=Path, metavar="FILE", help="a key that opens /api/host/health and /api/host/metrics")
    many = commands.add_parser("houses", help="The houses of such a server: added, frozen, given back.")
    acts = many.add_subparsers(required=True)
    _act(acts, "list", show, named=False)
    _act(acts, "add", add).add_argument("--from", dest="backup", type=Path, metavar="BACKUP", help="takes the house in from a backup file")
    _act(acts, "code", code).add_argument("--role", choices=("owner", "helper"), default="owner")
    _act(acts, "freeze", freeze)
    _act(acts, "thaw", thaw)
    _act(acts, "export", export).add_argument("file", type=Path, nargs="?", help="default: NAME-DAY.zip here")
    _act(acts, "backup", backup).add_argument("--to", type=Path, help="the folder it is put into (default: DATA/NAME/backups)")
    _act(acts, "restore", restore).add_argument("backup", type=Path, metavar="BACKUP", help="the backup file it goes back to")
    _act(acts, "delete", delete).add_argument("--yes", default="", metavar="NAME", help="the house's name typed again")


def _act(acts: Any, name: str, does: Does, named: bool = True) -> argparse.ArgumentParser:
    made: argparse.ArgumentParser = acts.add_parser(name, help=does.__doc__, description=does.__doc__)
    if named:
        made.add_argument("name", help="the house's name, the first part of its address")
    _where(made)
    made.set_defaults(does=does)
    return made


def _where(made: argparse.ArgumentParser) -> None:
    made.add_argument("--database", required=True, metavar="ADDRESS", help="the database of all houses: postgresql://user@host/name")
    made.add_argument("--data", type=Path, default=DATA, help=f"where backups lie, a folder a house (default: {DATA})")
    made.add_argument("--under", default="", metavar="DOMAIN", help="houses are NAME.DOMAIN, besides NAME.localhost for trying")
    made.add_argument("--port", type=int, default=PORT, help=f"default {PORT}; 0 takes any that is free")
