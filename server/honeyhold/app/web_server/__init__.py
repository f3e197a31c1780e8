"""The server of HTTP: one loop that waits for everybody, a few threads that think. See README.md beside this file."""

from __future__ import annotations

from honeyhold.app.web_server.limits import LIMITS, Limits
from honeyhold.app.web_server.server import Server

__all__ = ["LIMITS", "Limits", "Server"]
