"""The pure work for a device whose own kernel is not awake: the same call, the same answer."""

from __future__ import annotations

from flask import Blueprint, Response

from honeyhold import kernel
from honeyhold.api.access import body, the_device
from honeyhold.api.effort import the_effort
from honeyhold.api.json_response import told

door = Blueprint("work", __name__)


@door.post("/api/work/<name>")
def work(name: str) -> Response:
    """One piece of work by name."""
    the_device()
    request = body()
    kernel.load(name)  # outside: an import is never left half way
    return told(the_effort().spend(lambda: kernel.work(name, request)))
