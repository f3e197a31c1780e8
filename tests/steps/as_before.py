"""What every function of the server gives on the way to an answer, in some stories: a digest each.

An answer is rounded, and says little of what went before it: a wrong seventh day in a table, a wall of a carton reckoned twice. Here what
each function gave, and what it left behind in a list or a table that it was handed, is held as well. So a line that changes is a function
that does something else than before; where many are the same, only what was meant to change did. Where it is meant, write the lines anew:

    .venv/bin/python -m tests.steps.as_before                 all of them; what is not the same each time is left out
    .venv/bin/python -m tests.steps.as_before heat FUNCTION   prints what that function gave, call by call
"""

from __future__ import annotations

import dataclasses
import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import Enum
from inspect import CO_GENERATOR
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, Final
from zlib import crc32

import honeyhold

FILE: Final = Path(__file__).with_suffix(".json")
ROOT: Final = Path(__file__).resolve().parents[2]
SERVER: Final = str(Path(honeyhold.__file__).parent) + os.sep
CALLS_MOST: Final = 150
"""Of each function, so many are heard."""
TIMES: Final = 5
"""So often each story is told before it is written down, sets in another order each time."""
PARTS_MOST, DEEP_MOST = 400, 6
HANDED: Final = (list, dict, set)
"""What is handed in and may be changed on the spot."""


class Steps:
    """Hears every return of the server's functions."""

    def __init__(self, printed: str = "") -> None:
        self.digests: dict[str, int] = {}
        self._calls = Counter[str]()
        self._names: dict[CodeType, str] = {}
        self._printed = printed

    def __call__(self, frame: FrameType, event: str, gave: Any) -> None:
        """As `sys.setprofile` calls it."""
        if event != "return":
            return
        code = frame.f_code
        name = self._names.get(code)
        if name is None:
            name = self._names[code] = _name(code)
        if not name or self._calls[name] >= CALLS_MOST:
            return
        self._calls[name] += 1
        said = written(gave)
        for parameter in code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]:
            if isinstance(left := frame.f_locals.get(parameter), HANDED):
                said += f" {parameter}: {written(left)}"
        self.digests[name] = crc32(said.encode(), self.digests.get(name, 0))
        if name == self._printed:
            print(said)


def _name(code: CodeType) -> str:
    """`heat/air.py blended_day`; empty for what is not looked at: others' code, and what has no name or gives one after the other."""
    if not code.co_filename.startswith(SERVER) or code.co_flags & CO_GENERATOR or code.co_name.startswith("<"):
        return ""
    return f"{Path(code.co_filename.removeprefix(SERVER)).as_posix()} {code.co_qualname}"


def written(value: Any) -> str:
    """A value in words that are the same every time; of a thing that is no value only what kind it is."""
    parts: list[str] = []
    _write(value, parts, 0)
    return " ".join(parts)


def _write(value: Any, parts: list[str], deep: int) -> None:
    if len(parts) > PARTS_MOST or deep > DEEP_MOST:
        return
    if isinstance(value, float):
        parts.append(f"{value:.9g}")
    elif value is None or isinstance(value, bool | int | str | bytes):
        parts.append(repr(value))
    elif isinstance(value, Enum):
        parts.append(value.name)
    elif isinstance(value, dict):
        for key, inner in value.items():
            _write(key, parts, deep + 1)
            _write(inner, parts, deep + 1)
    elif isinstance(value, list | tuple):
        parts.append("[")
        for inner in value:
            _write(inner, parts, deep + 1)
        parts.append("]")
    elif isinstance(value, set | frozenset):
        parts.append(", ".join(sorted(map(written, value))))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            _write(getattr(value, field.name, None), parts, deep + 1)
    else:
        parts.append(str(value) if type(value).__module__ in ("datetime", "fractions", "decimal") else type(value).__name__)


@contextmanager
def heard(printed: str = "") -> Iterator[Steps]:
    """Hears what is done meanwhile."""
    steps = Steps(printed)
    sys.setprofile(steps)
    try:
        yield steps
    finally:
        sys.setprofile(None)


def stories() -> dict[str, Callable[[], None]]:
    """What is done, by the name of the story."""
    from tests.steps.stories import STORIES

    return STORIES


def told(story: str, seed: int | None = None) -> dict[str, str]:
    """The digests of one story, in a process of its own: what is remembered from others would not be worked out anew.

    `seed`: by which sets have their order; by chance where none is given."""
    command = [sys.executable, "-m", "tests.steps.as_before", story]
    done = subprocess.run(command, cwd=ROOT, env=_seeded(seed), check=False, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    if done.returncode:
        raise RuntimeError(f"The story {story} broke off:\n{done.stderr}")
    return json.loads(done.stdout.splitlines()[-1])  # type: ignore[no-any-return]


def _seeded(seed: int | None) -> dict[str, str]:
    return {**os.environ, "PYTHONHASHSEED": "random" if seed is None else str(seed)}


def main() -> None:
    """See the head of this file."""
    if len(sys.argv) > 1:
        story = stories()[sys.argv[1]]  # what is done as the files are read in is not heard
        with heard(" ".join(sys.argv[2:])) as steps:
            story()
        print(json.dumps({name: f"{said:08x}" for name, said in sorted(steps.digests.items())}))
        return
    kept = {}
    for story in stories():
        times = [told(story, seed) for seed in range(1, 1 + TIMES)]
        kept[story] = {name: said for name, said in times[0].items() if all(one.get(name) == said for one in times)}
        print(story, len(kept[story]), "left out:", sorted(times[0].keys() - kept[story].keys()))
    FILE.write_text(json.dumps(kept, indent=0) + "\n", "utf-8")


if __name__ == "__main__":
    main()
