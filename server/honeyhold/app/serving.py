"""The production server around the application, and what runs beside it while it serves."""

from __future__ import annotations

import logging
import secrets
import signal
import threading
import webbrowser
from collections.abc import Sequence
from pathlib import Path
from types import FrameType

from honeyhold.api.access import WATCH_KEY
from honeyhold.api.app import make_app
from honeyhold.api.introduction import Neighbourhood
from honeyhold.api.own import KEY as OWN_KEY
from honeyhold.app.away import Away
from honeyhold.app.control import announce, withdraw
from honeyhold.app.forecasts.refresh import Forecaster, Lookout
from honeyhold.app.listeners import Doors, RenewalWatch
from honeyhold.app.scheduled_backup import ScheduledBackup
from honeyhold.house.clock import machine_time
from honeyhold.house.house import House

STREAMS_MAX = 64
FILES_WISHED = 1024
"""Connections and files open at once; some systems begin with 256."""
BACKUP_FAREWELL_S = 0.5
"""For a backup that is being made when the house stops; what is half made then goes at the next one."""

log = logging.getLogger("honeyhold")

WEB = Path(__file__).resolve().parents[3] / "web"


def serve(
    house: House, port: int, open_browser: bool, to_devices: bool = False, backups: Path | None = None, known_as: Sequence[str] = (),
    away: Away | None = None, watch_key: str = "", sources: bool = False,
) -> None:
    """Serves until it is told to stop (Ctrl-C, or a terminate signal), then lets the records go.

    `to_devices` opens the house to other devices on its own network too, at a secure address of its own. `backups` is where
    the house puts the backups that it makes by itself. `known_as`: names under which it answers besides the machine's own.
    `away` is where sealed copies of them go. `watch_key` opens the figures and the deep health to whoever keeps the server.
    `sources`: the browser is given the files of web/ as they stand, not what was built of them.
    """
    allow_files(FILES_WISHED)
    app = make_app(house, WEB, STREAMS_MAX, known_as, sources)
    app.extensions[OWN_KEY] = key = secrets.token_urlsafe(32)
    app.extensions[WATCH_KEY] = watch_key
    doors = Doors(app)
    port = doors.open_here(port)
    try:
        announce(house.folder, port, key)
    except OSError as trouble:  # a full disk keeps the records from nobody who reads them
        log.warning("Commands beside the running house cannot ask it: %s", trouble)
    if to_devices:
        doors.open_to_devices(house.folder / "certificates", house.settings().get("name", "the honey house"))
    stopping = threading.Event()
    weather = Lookout(Forecaster(house, machine_now=machine_time))
    weather.start()
    safekeeping = ScheduledBackup(house, backups, away=away)
    safekeeping.start()
    renewal = RenewalWatch(doors)
    renewal.start()

    def stop(_number: int, _frame: FrameType | None) -> None:
        if not stopping.is_set():
            stopping.set()
            threading.Thread(target=doors.stop, daemon=True).start()

    signal.signal(signal.SIGINT, stop)
    signal.signal(signal.SIGTERM, stop)
    address = first_address(house, port)
    if doors.neighbourhood:
        tell_neighbours(doors.neighbourhood)
    if open_browser:
        threading.Timer(0.5, webbrowser.open, [address]).start()
    try:
        doors.serve()
    finally:
        weather.stop()
        renewal.stop()
        doors.stop()
        safekeeping.stop(BACKUP_FAREWELL_S)
        withdraw(house.folder)
        house.close()


def allow_files(wished_most: int) -> None:
    """As many open files as are wished, where the system lets a process say so for itself."""
    try:
        import resource
    except ImportError:  # Windows has no such bound
        return
    now, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    wished = wished_most if most == resource.RLIM_INFINITY else min(wished_most, most)
    if now != resource.RLIM_INFINITY and now < wished:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wished, most))


def first_address(house: House, port: int) -> str:
    """Prints where the house is, with a code for the first device while there is none; the address to open."""
    plain = f"http://localhost:{port}/"
    print(f"{house.settings().get('name', 'The house')} is open at {plain}", flush=True)
    if house.has_keeper():
        print("Another device: Settings on an owner's device makes a code for it. Stop with Ctrl-C.", flush=True)
        return plain
    code = house.new_code("keeper")["code"]
    address = f"{plain}#enrol={code}"
    print(f"Make this browser the first device: {address}", flush=True)
    print("The code is good once, for ten minutes; starting again gives a fresh one.", flush=True)
    return address


def tell_neighbours(where: Neighbourhood) -> None:
    """Prints how a phone or tablet comes in, and the letters to compare before it trusts the house."""
    print(f"Phones and tablets: {where.secure_address}  (the first time: {where.introduction_address})", flush=True)
    print(f"The letters to compare there: {where.fingerprint}", flush=True)
    if where.words:
        print(where.words, flush=True)
    print("Give this machine a fixed address in your router: a device keeps its entries under the address it was enrolled at.", flush=True)
