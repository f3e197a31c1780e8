"""What every function of the server gives on the way to an answer, in some stories: a digest each.

An answer is rounded, and says little of what went before it: a wrong seventh day in a table, a wall of a carton reckoned twice. Here what
each function gave, and what it left behind in a list or a table that it was handed, is held as well, and what it gives once more with one
thing otherwise (`once_more.py`). So a line that changes is a function that does something else than before; where many are the same, only
what was meant to change did. Where it is meant, write the lines anew:

    .venv/bin/python -m tests.steps.as_before                 all of them; what is not the same each time is left out
    .venv/bin/python -m tests.steps.as_before heat            of this story alone, by the plan that it has
    .venv/bin/python -m tests.steps.as_before heat FUNCTION   prints what that function gave, call by call, and once more
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import cache
from inspect import CO_GENERATOR
from pathlib import Path
from types import CodeType, FrameType
from typing import TYPE_CHECKING, Any, Final
from zlib import crc32

from tests.steps.once_more import OnceMore, Plan
from tests.steps.written import written

import honeyhold

if TYPE_CHECKING:
    from _typeshed import TraceFunction

FILE: Final = Path(__file__).with_suffix(".json")
ROOT: Final = Path(__file__).resolve().parents[2]
SERVER: Final = str(Path(honeyhold.__file__).parent) + os.sep
CALLS_MOST: Final = 150
"""Of each function, so many are heard."""
TIMES: Final = 4
"""So often each story is told before it is written down, sets in another order each time."""
STORIES_MOST: Final = 2
"""A function is asked once more in so many stories: in others it is heard."""
HANDS: Final = 2
OF_A_PLAN: Final = "--of-a-plan"
Said = dict[str, Any]
HANDED: Final = (list, dict, set)
"""What is handed in and may be changed on the spot."""


class Steps:
    """Hears every return of the server's functions, and asks them once more as they are called."""

    def __init__(self, once_more: OnceMore, printed: str = "") -> None:
        self.once_more = once_more
        self.digests: dict[str, int] = {}
        self._calls = Counter[str]()
        self._printed = printed

    def __call__(self, frame: FrameType, event: str, _gave: Any) -> TraceFunction | None:
        """As `sys.settrace` calls it when a function begins; it listens to the end only of what is to be heard."""
        code = frame.f_code
        name = name_of(code)
        if not name or event != "call":
            return None
        self.once_more.at_call(name, frame)
        if code.co_flags & CO_GENERATOR or self._calls[name] >= CALLS_MOST:
            return None
        frame.f_trace_lines = False
        return self._ends

    def _ends(self, frame: FrameType, event: str, gave: Any) -> TraceFunction | None:
        name = name_of(frame.f_code)
        if event == "return" and self._calls[name] < CALLS_MOST:
            self._heard(name, frame, gave)
        return self._ends

    def _heard(self, name: str, frame: FrameType, gave: Any) -> None:
        code = frame.f_code
        self._calls[name] += 1
        said, known = written(gave), frame.f_locals  # made anew each time that it is asked for
        for parameter in code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]:
            if isinstance(left := known.get(parameter), HANDED):
                said += f" {parameter}: {written(left)}"
        self.digests[name] = crc32(said.encode(), self.digests.get(name, 0))
        if name == self._printed:
            print(said)


@cache
def name_of(code: CodeType) -> str:
    """`heat/air.py blended_day`; empty for what is not looked at: others' code, and what has no name."""
    if not code.co_filename.startswith(SERVER) or code.co_name.startswith("<"):
        return ""
    return f"{Path(code.co_filename.removeprefix(SERVER)).as_posix()} {code.co_qualname}"


@contextmanager
def heard(once_more: OnceMore, printed: str = "") -> Iterator[Steps]:
    """Hears what is done meanwhile."""
    steps, before = Steps(once_more, printed), sys.gettrace()
    sys.settrace(steps)  # not `setprofile`, which tells of every call into C as well: most of all calls
    try:
        yield steps
    finally:
        sys.settrace(before)


def stories() -> dict[str, Callable[[], None]]:
    """What is done, by the name of the story."""
    from tests.steps.stories import STORIES

    return STORIES


def told(story: str, plan: Plan | None, seed: int | None = None, is_limited: bool = False) -> dict[str, Said]:
    """One story, in a process of its own: what is remembered from others would not be worked out anew.

    `plan`: how often what is asked once more; without one, how often each is worth it. `seed`: by which sets have their order; by chance
    where none is given. `is_limited`: what comes to no end is put into the plan."""
    command = [sys.executable, "-m", "tests.steps.as_before", story, OF_A_PLAN]
    given = json.dumps([plan, is_limited])
    done = subprocess.run(command, cwd=ROOT, env=_seeded(seed), check=False, capture_output=True, text=True, input=given)
    if done.returncode:
        raise RuntimeError(f"The story {story} broke off:\n{done.stderr}")
    return json.loads(done.stdout.splitlines()[-1])  # type: ignore[no-any-return]


def _seeded(seed: int | None) -> dict[str, str]:
    return {**os.environ, "PYTHONHASHSEED": "random" if seed is None else str(seed)}


def _tell(story: str, once_more: OnceMore, printed: str = "") -> dict[str, Said]:
    tell = stories()[story]  # what is done as the files are read in is not heard
    with heard(once_more, printed) as steps:
        tell()
    return {"plan": once_more.plan, "gave": _in_order(steps.digests), "once more": _in_order(once_more.digests)}


def _in_order(digests: dict[str, int]) -> Said:
    return {name: f"{said:08x}" for name, said in sorted(digests.items())}


def kept() -> dict[str, dict[str, Said]]:
    """What stands in the file: of each story the plan, what every function gave, and what it gave once more."""
    return json.loads(FILE.read_text("utf-8"))  # type: ignore[no-any-return]


def _plans() -> dict[str, Plan]:
    """What is asked once more in each story; of each function in the first few that it comes in."""
    found: dict[str, Plan] = {}
    times = Counter[str]()
    with ThreadPoolExecutor(HANDS) as hands:
        for story, one in zip(stories(), hands.map(lambda story: told(story, None, 1), stories()), strict=True):
            found[story] = {name: many for name, many in one["plan"].items() if times[name] < STORIES_MOST}
            times.update(found[story].keys())
    return found


def _renewed(story: str, plan: Plan) -> dict[str, Said]:
    """What is not the same each time is left out."""
    plan = told(story, plan, 1, is_limited=True)["plan"]
    times = [told(story, plan, seed) for seed in range(1, 1 + TIMES)]
    found: dict[str, Said] = {"plan": plan}
    for what in ("gave", "once more"):
        found[what] = {name: said for name, said in times[0][what].items() if all(one[what].get(name) == said for one in times)}
        print(story, what, len(found[what]), "left out:", sorted(times[0][what].keys() - found[what].keys()), flush=True)
    return found


def main() -> None:
    """See the head of this file."""
    story, *rest = sys.argv[1:] or [""]
    if rest == [OF_A_PLAN]:
        plan, is_limited = json.load(sys.stdin)
        print(json.dumps(_tell(story, OnceMore(plan, is_limited=is_limited))))
    elif rest:
        _tell(story, OnceMore(kept()[story]["plan"], printed=" ".join(rest)), " ".join(rest))
    else:
        plans = {story: kept()[story]["plan"]} if story else _plans()
        with ThreadPoolExecutor(HANDS) as hands:
            found = dict(zip(plans, hands.map(_renewed, plans, plans.values()), strict=True))
        FILE.write_text(json.dumps({**(kept() if story else {}), **found}, indent=0) + "\n", "utf-8")


if __name__ == "__main__":
    main()
