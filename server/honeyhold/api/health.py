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
    """Up, with version and epoch, whether it is the demo, and how its backups stand (nothing where none are made by themselves)."""
    house = the_house()
    last = house.last_backup
    backup = last and {"made_at": last.made_at.isoformat() if last.made_at else None, "failing": last.failing}
    return told({"ok": True, "version": own_version(), "epoch": house.epoch, "demo": house.is_demo(), "backup": backup})
