"""Whether the main computer answers, and which version of it."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version

from flask import Blueprint, Response

from honeyhold.api.access import the_house
from honeyhold.api.json_response import told

door = Blueprint("health", __name__)


def own_version() -> str:
    """The version of this Honeyhold."""
    try:
        return version("honeyhold")
    except PackageNotFoundError:
        return "unknown"


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
