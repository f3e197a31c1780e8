"""What the server says in its window: words for whoever sits at it, or one JSON object a line for a program that collects logs.

A failure of an answer is told by its kind and by where in the code it was, never by its own words: those may hold what somebody typed.
"""

from __future__ import annotations

import json
import logging
import sys
import traceback
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Final, TextIO

NAME: Final = "honeyhold"
FORMS: Final = ("words", "json")
ExcInfo = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


class Words(logging.Formatter):
    """For a person."""

    def __init__(self) -> None:
        super().__init__("%(message)s")

    def formatException(self, ei: ExcInfo) -> str:  # noqa: N802  (logging's name)
        return "\n".join([f"  {place}" for place in places(ei[1])])


class Lines(logging.Formatter):
    """For a program: `at` (UTC), `level`, `message`, what the record carries as `said`, and of a failure `error` and `places`."""

    def format(self, record: logging.LogRecord) -> str:
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        line = {"at": at, "level": record.levelname.lower(), "message": record.getMessage(), **getattr(record, "said", {})}
        if record.exc_info and record.exc_info[1]:
            line |= {"error": type(record.exc_info[1]).__name__, "places": places(record.exc_info[1])}
        return json.dumps(line, ensure_ascii=False)


def places(trouble: BaseException | None) -> list[str]:
    """The way through the code to a failure, outermost first, with the kinds of what caused it: nothing that it says itself."""
    if trouble is None:
        return []
    cause = trouble.__cause__ or (None if trouble.__suppress_context__ else trouble.__context__)
    own = [f"{Path(step.filename).name}:{step.lineno} in {step.name}" for step in traceback.extract_tb(trouble.__traceback__)]
    return [*places(cause), *own, type(trouble).__name__]


def say(form: str, to: TextIO | None = None) -> None:
    """From here on the server speaks in this form: warnings in words, or every answer as JSON."""
    log = logging.getLogger(NAME)
    for old in list(log.handlers):
        log.removeHandler(old)
    handler = logging.StreamHandler(to or sys.stderr)
    handler.setFormatter(Lines() if form == "json" else Words())
    log.addHandler(handler)
    log.setLevel(logging.INFO if form == "json" else logging.WARNING)
    log.propagate = False
