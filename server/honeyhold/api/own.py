"""The main computer's own doors: for its command line, with the key that lies in the data folder while the house runs."""

from __future__ import annotations

from pathlib import Path

from flask import Blueprint, Response

from honeyhold.api.access import body, carries, the_house
from honeyhold.api.codes import way_in
from honeyhold.api.json_response import told
from honeyhold.house import device_registry
from honeyhold.house.restoring import forecast
from honeyhold.house.restoring import told as in_words
from honeyhold.operations.errors import UnknownDevice
from honeyhold.operations.schemas import BackupAsk, CodeAsk, read

door = Blueprint("own", __name__)
KEY = "own-key"
"""Where the application keeps the key of its own command line; without one these doors stay shut."""


def by_hand() -> None:
    """The request comes from the main computer's own command line. Raises `UnknownDevice` otherwise."""
    if not carries(KEY):
        raise UnknownDevice("This door is for the main computer's own command line.", "Use Settings on an owner's device.")


@door.post("/api/own/codes")
def new_code() -> Response:
    """A one-time code, asked for on the main computer."""
    by_hand()
    made = the_house().new_code(read(CodeAsk(), body(), "wish for a code")["role"])
    return told({**made, **way_in(made["code"])}, 201)


@door.post("/api/own/backup")
def backup() -> Response:
    """A verified copy of the records, made while the house runs; `to` is a folder, or empty for the usual one."""
    by_hand()
    to = read(BackupAsk(), body(), "wish for a backup")["to"]
    return told({"file": str(the_house().backup(Path(to) if to else None))}, 201)


@door.post("/api/own/forecast")
def restore_forecast() -> Response:
    """What going back to a backup would mean, in words; `to` is its file. Nobody else can open the records while the house runs."""
    by_hand()
    backup_file = Path(read(BackupAsk(), body(), "backup to go back to")["to"])
    house = the_house()
    return told({"told": in_words(forecast(house.folder, backup_file, house.records), device_registry.known(house.folder))})


@door.post("/api/own/check")
def check() -> Response:
    """Every sum added up again: what does not agree, in words."""
    by_hand()
    return told({"wrong": the_house().check()})
