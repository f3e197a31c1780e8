"""Answers in JSON: never kept by the browser, pressed small where the asker takes it."""

from __future__ import annotations

import gzip
import json
from typing import Any

from flask import Response, request

PRESS_FROM_BYTES = 800


def told(answer: dict[str, Any], status: int = 200) -> Response:
    """A dictionary as an answer."""
    # Half a character that somebody sent and is told again becomes its JSON escape, never an answer that cannot be written.
    data = json.dumps(answer, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "backslashreplace")
    response = Response(status=status, content_type="application/json")
    response.headers["Cache-Control"] = "no-store"
    response.headers["Vary"] = "Accept-Encoding"
    if len(data) >= PRESS_FROM_BYTES and "gzip" in request.headers.get("Accept-Encoding", ""):
        data = gzip.compress(data, 5, mtime=0)
        response.headers["Content-Encoding"] = "gzip"
    response.set_data(data)
    return response
