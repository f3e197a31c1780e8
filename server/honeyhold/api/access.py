"""Who is asking: the house behind the application, the bearer token, the role."""

from __future__ import annotations

import hmac
from collections.abc import Callable
from typing import Any

from flask import current_app, g, request

from honeyhold.errors import BadRequest
from honeyhold.house.house import House
from honeyhold.operations.errors import KeeperOnly, UnknownDevice

EXTENSION = "honeyhold-house"
WATCH_KEY = "watch-key"
"""Where the application keeps the key of whoever watches the server; without one only owners' devices may."""


def of_the_house(name: str) -> Any:
    """What is kept under this name for the house of the request: of several, one each; of a single one, by the application itself."""
    return g.served[name] if "served" in g else current_app.extensions[name]


def still_needed() -> Callable[[], None]:
    """The request's house is held open beyond the answer's head; call what is returned when it no longer is."""
    hold: Callable[[], Callable[[], None]] | None = g.get("hold")
    return hold() if hold else lambda: None


def the_house() -> House:
    """The house that the request is to."""
    house: House = of_the_house(EXTENSION)
    return house


def token() -> str:
    """The bearer token of the request. Raises `UnknownDevice` when there is none."""
    scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not secret.strip():
        raise UnknownDevice("The request carries no device's token.", "Add this device with a code, then ask again.")
    return secret.strip()


def the_device() -> dict[str, Any]:
    """The device that asks. Raises `UnknownDevice` or `DeviceLost`."""
    return the_house().device_for(token())


def a_keeper() -> dict[str, Any]:
    """The device that asks, if it is a keeper's. Raises `KeeperOnly` otherwise."""
    device = the_device()
    if device["role"] != "keeper":
        raise KeeperOnly(f"{device['name']} is a helper's device.", "Do this on an owner's device.")
    return device


def carries(name: str) -> bool:
    """Whether the request carries the key that the application keeps under this name; none is carried where none is kept.

    Raises `UnknownDevice` when a key is kept and the request carries nothing at all.
    """
    key: str = current_app.extensions.get(name, "")
    return bool(key) and hmac.compare_digest(token().encode(), key.encode())


def who_watches() -> None:
    """Whoever keeps the server, by the key given for it at the start, or an owner's device. Raises `UnknownDevice` or `KeeperOnly`."""
    if not carries(WATCH_KEY):
        a_keeper()


def body() -> dict[str, Any]:
    """The JSON object in the request. Raises `BadRequest`, or what Flask raises for another media type or broken JSON."""
    try:
        given = request.get_json()
    except RecursionError:
        raise BadRequest("The body is nested too deeply to be read.", "Send flatter JSON.") from None
    if not isinstance(given, dict):
        raise BadRequest(f"The body is a {type(given).__name__}, not an object.", "Send a JSON object.")
    return given
