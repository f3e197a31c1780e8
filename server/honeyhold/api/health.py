"""Whether the main computer answers, and which version of it."""

from __future__ import annotations

import shutil
import sqlite3
import time
from importlib.metadata import PackageNotFoundError, version
from typing import Any, Final

from flask import Blueprint, Response
from peewee import DatabaseError

from honeyhold.api.access import the_house, who_watches
from honeyhold.api.json_response import told
from honeyhold.errors import HoneyholdError
from honeyhold.house.house import House

Json = dict[str, Any]
FREE_BYTES_LEAST: Final = 200 * 1024 * 1024
"""Less room than this is said before nothing can be written any more."""
UNREADABLE: Final = (DatabaseError, sqlite3.Error, HoneyholdError)
"""What the records raise when they cannot be asked."""

door = Blueprint("health", __name__)


def own_version() -> str:
    """The version of this Honeyhold."""
    try:
        return version("honeyhold")
    except PackageNotFoundError:
        return "unknown"


def checks(house: House) -> list[Json]:
    """What a house stands on, each with whether it holds: `{"name", "ok", ...}` with a figure. The file is only read."""
    begun_s = time.monotonic()
    try:
        position, recovering = house.position(), house.recovering()
    except UNREADABLE:
        position, recovering = None, True
    free = shutil.disk_usage(house.folder).free
    last = house.last_backup
    age_s = last.age_s(house.clock.now()) if last else None
    return [
        {"name": "records", "ok": position is not None, "position": position, "ms": round((time.monotonic() - begun_s) * 1000, 1)},
        {"name": "disk", "ok": free >= FREE_BYTES_LEAST, "free_bytes": free},
        {"name": "backup", "ok": not (last and last.failing), "age_s": age_s if age_s is None else round(age_s)},
        {"name": "restored", "ok": not recovering},
    ]


@door.get("/api/health/deep")
def deep_health() -> Response:
    """Every check, with 503 while one fails: for whoever keeps the server. Raises `UnknownDevice` or `KeeperOnly`."""
    who_watches()
    found = checks(the_house())
    ok = all(check["ok"] for check in found)
    return told({"ok": ok, "version": own_version(), "checks": found}, 200 if ok else 503)


@door.get("/api/health")
def health() -> Response:
    """Up, with version, epoch and which records it keeps; whether it is the demo; how its backups stand.

    Nothing of backups where none are made by themselves.
    """
    house = the_house()
    last = house.last_backup
    backup = last and {"made_at": last.made_at.isoformat() if last.made_at else None, "failing": last.failing}
    about = {"epoch": house.epoch, "house": house.identity(), "demo": house.is_demo(), "backup": backup}
    return told({"ok": True, "version": own_version(), **about})
