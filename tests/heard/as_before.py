"""What every function is given, gives, refuses and leaves behind while some of the tests run: a digest each.

Those tests look at what their houses, commands and databases come to in the end. Here what each function on the way gave is held as well,
whoever called it: a word of a report, a door's headers, a bound that nobody crosses. Of each function the different things that it gave
are held, not in which order or how often, for what waits may ask again. Where a line changes and that is meant, write them anew:

    .venv/bin/python -m tests.heard.as_before                            all of them; what is not the same each time is left out
    .venv/bin/python -m tests.heard.as_before house/test_export.py           what is heard in this file alone
    .venv/bin/python -m tests.heard.as_before house/test_export.py FUNCTION  prints what that function gave
    .venv/bin/python -m tests.heard.as_before --sift 3                   runs all three times more, more at once than the machine has
                                                                         hands, and takes out what is not the same then
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import cache
from inspect import CO_GENERATOR
from pathlib import Path
from types import CodeType, FrameType, SimpleNamespace
from typing import TYPE_CHECKING, Any, Final
from zlib import crc32

from tests.steps.as_before import HANDED, ROOT, name_of
from tests.steps.once_more import begins, parameters
from tests.steps.written import written

from honeyhold.house import clock

if TYPE_CHECKING:
    from _typeshed import TraceFunction

FILE: Final = Path(__file__).with_suffix(".json")
LISTENED_TO: Final = ("api/", "app/", "house/", "importing/", "queries/", "records/", "replication/")
"""What lies deeper gives the same whoever asks: `tests/steps` holds it."""
FILES: Final = (
    "forecast/test_forecast.py", "forecast/test_house_forecasts.py", "forecast/test_norway.py", "api/test_doors.py",
    "api/test_heat_doors.py", "api/test_people_door.py", "house/test_calendar_feed.py", "house/test_check.py", "house/test_demo.py",
    "house/test_neighbours.py", "house/test_quarantine.py", "house/test_running.py", "house/test_serving.py",
    "hosting/test_commands.py", "hosting/test_hosting.py", "importing/test_cards.py", "importing/test_phones.py",
    "house/test_beside_the_house.py", "house/test_certificates.py",
    "house/test_command_words.py", "house/test_device_registry.py", "house/test_export.py", "house/test_moving.py",
    "house/test_restoring.py", "house/test_scheduled_backup.py", "house/test_sealed_backup.py", "house/test_service.py",
    "hosting/test_host_app.py", "hosting/test_let_go.py", "hosting/test_many_houses.py", "hosting/test_one_server.py",
    "records/test_carrying.py", "records/test_comparing.py", "records/test_one_contract.py", "records/test_postgresql.py",
    "records/test_small_parts.py", "records/test_store.py", "api/test_own_names.py", "api/test_page.py", "api/test_problems.py",
    "api/test_site.py", "api/test_built_site.py", "api/test_watching.py", "web_server/test_exchange_of_http.py",
)  # fmt: skip
"""The tests that are listened to: those of what runs a house, keeps it and speaks for it."""
NOT_IN_NODE: Final = {"test_parts_at_work.py", "test_kinds_said.py"}
"""In the first what comes first is looked at, and to listen takes a moment; the other runs nothing."""
OF_THE_BROWSER: Final = (
    "contract/test_both_clients.py", "goods/test_pricing.py", "screens/test_said.py",
    *sorted(f"store/{file.name}" for file in (ROOT / "tests/store").glob("test_*.py") if file.name not in NOT_IN_NODE),
)  # fmt: skip
"""Those that run the browser's code in Node: there its functions are listened to (`web/listen.mjs`), not the server's."""
IN_NODE: Final = Path(__file__).parent / "web" / "listen.mjs"
NOT_LISTENED_TO: Final = ("hosting/test_many_houses.py::test_many_threads_in_two_houses_share_four_connections",)
"""They look at how long something takes, and whoever listens makes it slow."""
OF_TODAY: Final = {"house/test_certificates.py": tuple(f"app/certificates.py {name}" for name in ("_authority", "_last_day", "_soon"))}
"""What hangs on the day in tests whose clock is the machine's own, since OpenSSL judges by that."""
TIMES: Final = 3
"""So often each file is run before it is written down: with sets in another order, in another folder and time zone, and on another day."""
ZONES: Final = ("UTC", "Pacific/Kiritimati", "America/Chicago", "Asia/Kolkata", "Pacific/Pago_Pago")
DIFFERENT_MOST: Final = 400
"""Of each function, so many different things are held."""
HANDS, CROWDED = 3, 6
RACES: Final = ("app/web_server/", "api/stream.py", "house/between_processes.py")
"""Who comes first there, a message or the end of a line, hangs on the machine: what they give is held, not what was refused on the way."""
TELL, SIFT = "--tell", "--sift"
KEPT_IN: Final = "HONEYHOLD_HEARD_IN"
"""Into which folder a command that a test starts (`tests/begun.py`) puts what is heard in it, when it ends by itself."""
PRINTED: Final = "HONEYHOLD_HEARD_PRINTED"
AHEAD_H: Final = "HONEYHOLD_HEARD_HOURS_AHEAD"
ANOTHER_DAY_H: Final = 41 * 24 + 11
"""To another month, and from a morning to an evening."""
SIGNS: Final = {"=": "", "(": " is given", "!": " refuses", ">": " leaves"}
Digests = dict[str, str]


class Ears:
    """Hears every return and every refusal of the server's functions, in every thread."""

    def __init__(self, folder: str, printed: str = "") -> None:
        self.said: dict[str, set[int]] = defaultdict(set)
        self._folder = folder
        self._printed = printed

    def __call__(self, frame: FrameType, event: str, _gave: Any) -> TraceFunction | None:
        """As `sys.settrace` calls it when a function begins."""
        code = frame.f_code
        name = _name(code)
        if not name or event != "call" or len(self.said[name]) >= DIFFERENT_MOST:
            return None
        frame.f_trace_lines = False
        if not name.startswith(RACES) and begins(frame):
            self._hold(f"{name} is given", " ".join(written(frame.f_locals.get(one)) for one in parameters(code) if one != "self"))
        return self._hears

    def _hears(self, frame: FrameType, event: str, told: Any) -> TraceFunction | None:
        name = _name(frame.f_code)
        if event == "return":
            self._hold(name, written(told))
        if name.startswith(RACES):
            return self._hears
        if event == "return":
            self._hold(f"{name} leaves", " ".join(_left(frame)))
        elif event == "exception":
            kind, trouble, _ = told
            self._hold(f"{name} refuses", f"{kind.__name__} {trouble}")
        return self._hears

    def _hold(self, what: str, said: str) -> None:
        plain = said.replace(self._folder, "(folder)").replace(str(ROOT), "(here)")
        self.said[what].add(crc32(plain.encode("utf-8", "replace")))
        if function_of(what) == self._printed:
            print(what, "->", plain, file=sys.stderr)

    def put_into(self, folder: Path) -> None:
        """For whoever listens to several processes."""
        kept_as = {what: sorted(said) for what, said in self.said.items()}
        (folder / f"{os.getpid()}-{time.monotonic_ns()}.json").write_text(json.dumps(kept_as), "utf-8")

    def add_from(self, folder: Path) -> None:
        """What other processes have heard."""
        for file in folder.glob("*.json"):
            for what, said in json.loads(file.read_text("utf-8")).items():
                self.said[what].update(said)

    def digests(self) -> Digests:
        """Of what each function was given, gave, refused, and left in its own thing and in what it was handed."""
        return {what: f"{crc32(repr(sorted(said)).encode()):08x}" for what, said in sorted(self.said.items()) if said}


@cache
def _name(code: CodeType) -> str:
    """As the stories name it, `app/service.py unit_file`; empty for what is not looked at, other packages among it."""
    name = name_of(code)
    return name if name.startswith(LISTENED_TO) else ""


def _left(frame: FrameType) -> Iterator[str]:
    """What its own thing holds now, and what it was handed that may have been changed on the spot."""
    if frame.f_code.co_flags & CO_GENERATOR:
        return
    known = frame.f_locals
    for name in parameters(frame.f_code):
        given = known.get(name)
        if name == "self" and hasattr(given, "__dict__"):
            yield written(sorted(vars(given).items()))
        elif isinstance(given, HANDED):
            yield written(given)


@contextmanager
def heard(folder: str, printed: str = "", is_deaf: bool = False) -> Iterator[Ears]:
    """Hears what is done meanwhile, `folder` being where the tests may write; nothing where others listen."""
    ears = Ears(folder, printed)
    if is_deaf:
        yield ears
        return
    before, of_threads = sys.gettrace(), threading.gettrace()  # whoever measures which lines are reached goes on afterwards
    threading.settrace(ears)
    sys.settrace(ears)
    try:
        yield ears
    finally:
        sys.settrace(before)
        threading.settrace(of_threads)  # type: ignore[arg-type]


@contextmanager
def heard_in_a_copy() -> Iterator[None]:
    """In a process that a test started: what is heard in there counts too."""
    folder = os.environ[KEPT_IN]
    _on_another_day()
    with heard(str(Path(folder).parent)) as ears:
        try:
            yield
        finally:
            ears.put_into(Path(folder))


def _on_another_day() -> None:
    """The machine's clock goes ahead: what hangs on the day or the hour is nothing to hold."""
    ahead = timedelta(hours=int(os.environ.get(AHEAD_H, "0")))
    if ahead:
        vars(clock)["datetime"] = SimpleNamespace(now=lambda zone: datetime.now(zone) + ahead)


def told(file: str, number: int = 0) -> Digests:
    """What is heard while the tests of a file run, in a process and a folder of their own.

    `number`: in which surroundings. Raises RuntimeError with what pytest said when a test fails."""
    command = [*_elsewhere(number), sys.executable, "-m", "tests.heard.as_before", file, TELL]
    with tempfile.TemporaryDirectory() as home:
        given = {**os.environ, "PYTHONHASHSEED": str(number + 1), "TZ": ZONES[number % len(ZONES)], "HOME": home}
        given[AHEAD_H] = str(number % 2 * number * ANOTHER_DAY_H)
        done = subprocess.run(command, cwd=ROOT, env=given, check=False, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(f"The tests of {file} broke off:\n{done.stdout[-4000:]}\n{done.stderr[-2000:]}")
    return json.loads(done.stdout.splitlines()[-1])  # type: ignore[no-any-return]


def _elsewhere(number: int) -> list[str]:
    """Every other time on a machine of another name with no network: what hangs on either is nothing to hold."""
    if number % 2 == 0 or os.name == "nt" or os.geteuid() or not shutil.which("unshare"):
        return []
    return ["unshare", "--net", "--uts", "sh", "-c", f'hostname other-{number} && ip link set lo up && exec "$@"', "sh"]


def _tell(file: str, printed: str = "") -> Digests:
    import pytest  # not where a copy of a process reads this file

    with tempfile.TemporaryDirectory() as folder:
        left_out = [word for test in NOT_LISTENED_TO for word in ("--deselect", f"tests/{test}")]
        words = ["-p", "no:cacheprovider", "-q", "-x", f"--basetemp={folder}/tests", *left_out, f"tests/{file}"]
        copies = Path(folder) / "copies"
        copies.mkdir()
        os.environ[KEPT_IN] = str(copies)
        _on_another_day()
        in_node = file in OF_THE_BROWSER
        if in_node:
            os.environ["NODE_OPTIONS"], os.environ[PRINTED] = f"--import={IN_NODE.as_uri()}", printed
        with heard(folder, printed, is_deaf=in_node) as ears:
            code = pytest.main(words)
        if code:
            raise SystemExit(int(code))
        ears.add_from(copies)
        return ears.digests()


def kept() -> dict[str, Digests]:
    """What stands in the file, by the tests' file."""
    written_down = json.loads(FILE.read_text("utf-8"))
    return {
        file: {f"{name}{SIGNS[one[0]]}": one[1:] for name, said in held.items() for one in said.split()}
        for file, held in written_down.items()
    }


def _renewed(file: str) -> Digests:
    """What is not the same each time is left out."""
    times = [told(file, number) for number in range(TIMES)]
    left_out = OF_TODAY.get(file, ())
    found = {
        what: said for what, said in times[0].items() if all(one.get(what) == said for one in times) and function_of(what) not in left_out
    }
    print(file, len(found), "left out:", len(times[0].keys() - found.keys()), flush=True)
    return found


def _sifted(times: int) -> dict[str, Digests]:
    found = kept()
    files = [*found]
    with ThreadPoolExecutor(CROWDED) as hands:
        for number in range(times):
            for file, now in zip(files, hands.map(told, files, [number] * len(files)), strict=True):
                unlike = {what for what, said in found[file].items() if now.get(what) != said}
                print(file, "taken out:", sorted(unlike), flush=True)
                found[file] = {what: said for what, said in found[file].items() if what not in unlike}
    return found


def _write(found: dict[str, Digests]) -> None:
    """A line a function: before each digest a sign that says of what it is."""
    lines = {file: {name: " ".join(_signed(name, held)) for name in dict.fromkeys(map(function_of, held))} for file, held in found.items()}
    FILE.write_text(json.dumps(lines, indent=0) + "\n", "utf-8")


def function_of(what: str) -> str:
    return " ".join(what.split()[:2])


def _signed(name: str, held: Digests) -> Iterator[str]:
    return (f"{sign}{held[name + ends]}" for sign, ends in SIGNS.items() if name + ends in held)


def main() -> None:
    """See the head of this file."""
    file, *rest = sys.argv[1:] or [""]
    if file == SIFT:
        _write(_sifted(int(rest[0])))
    elif rest == [TELL]:
        print(json.dumps(_tell(file)))
    elif rest:
        _tell(file, " ".join(rest))
    else:
        files = [file] if file else [*FILES, *OF_THE_BROWSER]
        found = kept() if file else {}
        with ThreadPoolExecutor(HANDS) as hands:
            for one, held in zip(files, hands.map(_renewed, files), strict=True):
                found[one] = held
                _write(found)  # each as it comes: the next may break off


if __name__ == "__main__":
    main()
