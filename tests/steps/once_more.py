"""Each function asked once more in the midst of a story, with one thing in what it was given otherwise (`bent.py`), and what came of it.

The story itself goes on as if nothing had been: what was handed in is copied, what is written to the house's database is undone at once.
The digest is of what the function gave or refused, of what it left behind in what it was handed, and of every row that it wrote.
"""

from __future__ import annotations

import copy
import inspect
import operator
import signal
import sys
import time
import types
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, is_dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from functools import cache, cached_property, lru_cache
from itertools import islice
from types import CodeType, FrameType
from typing import TYPE_CHECKING, Any, Final
from zlib import crc32

from tests.steps.bent import Way, bent, bounds_of, put
from tests.steps.written import written

from honeyhold.errors import HoneyholdError

if TYPE_CHECKING:
    from entries.house import LivedIn

ASKED_AT: Final = (1, 6)
"""Which calls of a kind are asked once more: of a kind are those that are given something in the same places."""
CALLS_MOST, LOOKED_AT_MOST = 6, 300
"""Of each function so many calls are asked once more in a story, of the first so many."""
OF_A_CALL_MOST, OF_A_CALL_LEAST, TRIED = 24, 2, 6
WORTH_S: Final = 0.012
"""So much time each function is worth in a story."""
LIMIT_S: Final = 0.25
GIVEN_MOST: Final = 200
WRITES: Final = ("INSERT", "UPDATE", "DELETE", "REPLACE")
ASKED_ANYWHERE: Final = ("packing/", "stock/", "heat/", "quoting/", "documents/", "kernel.py")
"""They keep nothing; all others are asked once more in a house alone, which is as it was afterwards."""
NOT_ASKED: Final = ("house/", "app/", "api/app.py")
"""What keeps the folder of the house, the main computer's own work, and the making of the application: it would be so for good."""
EMPTY: Final = (type(None), dict, list, tuple, str)
EMPTY_MOST: Final = 6
"""What is not there is mostly refused at once, and takes no time."""
CACHED: Final = type(lru_cache(len))
PLAIN: Final = frozenset({type(None), bool, int, float, str, bytes, date, datetime, Fraction})
"""What is never another afterwards: most of what is handed on."""
LIVING: Final = ("honeyhold.house.", "honeyhold.records.", "honeyhold.api.", "honeyhold.app.")
"""Where the open house is kept, and who waits on it: there is one of each."""
_houses: list[LivedIn] = []


class TooLong(BaseException):
    """What is asked comes to no end soon."""


@contextmanager
def in_house(here: LivedIn) -> Iterator[None]:
    """Inside, what is asked once more is asked of this house."""
    _houses.append(here)
    try:
        yield
    finally:
        _houses.pop()


@contextmanager
def _undone(said: list[str]) -> Iterator[None]:
    """Whatever is written inside is told and undone."""
    if not _houses:
        yield
        return
    here = _houses[-1]
    house, records = here.house, here.house.records
    kept = (house.sessions, house._judged_at, here.ids.number, house.epoch)
    house.sessions = _copied(house.sessions)
    connection = records.database.connection()
    records.sql("SAVEPOINT once_more")
    connection.set_trace_callback(lambda text: said.append(text) if text.lstrip().startswith(WRITES) else None)
    try:
        yield
    finally:
        connection.set_trace_callback(None)
        records.sql("ROLLBACK TO once_more")
        records.sql("RELEASE once_more")
        house.sessions, house._judged_at, here.ids.number, house.epoch = kept


Plan = dict[str, list[int]]
"""By function into how many ways each of its calls is bent, and then which of all of them are left out, for they come to no end."""


@dataclass
class Spent:
    """What it took to ask a function in so many ways at so many of its calls."""

    seconds: float = 0.0
    ways: int = 0
    calls: int = 0


class OnceMore:
    """Asks once more at a call, in as many ways as are planned."""

    def __init__(self, plan: Plan | None, printed: str = "", is_limited: bool = False) -> None:
        self.digests: dict[str, int] = {}
        self.plan: Plan = plan or {}
        """As it was given; without one, what is worth its while. With `is_limited` what came to no end is put into it."""
        self._is_planned = plan is not None
        self._is_limited = is_limited
        self._spent: dict[str, Spent] = {}
        self._functions = Functions()
        self._kinds = Counter[tuple[Any, ...]]()
        self._calls = Counter[str]()
        self._times = Counter[str]()
        self._asked = Counter[str]()
        self._printed = printed

    def _is_over(self, name: str) -> bool:
        """Whether this function is not asked any more."""
        return self._times[name] >= CALLS_MOST or self._calls[name] >= LOOKED_AT_MOST or (self._is_planned and name not in self.plan)

    def at_call(self, name: str, frame: FrameType) -> None:
        """As a function begins."""
        if self._is_over(name) or not (name.startswith(ASKED_ANYWHERE) or (_houses and not name.startswith(NOT_ASKED))):
            return
        if not self._is_looked_at(name, frame):
            return
        function = self._functions.of(frame.f_code) or inner_function(frame)
        if function is None or not begins(frame):
            return
        given = given_to(frame)
        if not (ways := bent(given, bounds_of(function))):
            return
        self._times[name] += 1
        if not self._is_planned:
            self._find_out(name, function, given, ways)
            return
        many, *left_out = self.plan[name]
        for path, instead in _spread(ways, many, (self._times[name] - 1) / CALLS_MOST):
            self._asked[name] += 1
            if self._asked[name] in left_out:
                continue
            try:
                with _limited(LIMIT_S if self._is_limited else 0):
                    said = self._said(function, given, path, instead)
            except TooLong:
                self.plan[name].append(self._asked[name])
                continue
            self.digests[name] = crc32(said.encode(), self.digests.get(name, 0))
            if name == self._printed:
                print(path, repr(instead)[:80], "->", said[:400])

    def _is_looked_at(self, name: str, frame: FrameType) -> bool:
        self._calls[name] += 1
        code, known = frame.f_code, frame.f_locals
        given = [known.get(parameter) for parameter in parameters(code)]
        kind = (name, *(_kind_of(one) for one in given))
        self._kinds[kind] += 1
        return self._kinds[kind] in ASKED_AT

    def _find_out(self, name: str, function: types.FunctionType, given: tuple[Any, ...], ways: list[Way]) -> None:
        """Time of the processor: others on the machine do not count."""
        spent = self._spent.setdefault(name, Spent())
        spent.calls += 1
        for path, instead in _spread(ways, TRIED, 0):
            began = time.process_time()
            with suppress(TooLong), _limited(LIMIT_S):
                self._said(function, given, path, instead)
            spent.seconds += time.process_time() - began
            spent.ways += 1
        worth = int(WORTH_S * spent.ways / max(spent.seconds, 1e-6) / spent.calls)
        self.plan[name] = [max(OF_A_CALL_LEAST, min(OF_A_CALL_MOST, worth))]

    def _said(self, function: types.FunctionType, given: tuple[Any, ...], path: tuple[Any, ...], instead: Any) -> str:
        try:
            asked = put(tuple(map(_copied, given)), path, instead)
        except Exception as trouble:  # a dataclass that will not be so
            return type(trouble).__name__
        rows: list[str] = []
        with _undone(rows):
            said = _answered(function, asked)
        return " ".join([said, *(written(one) for one in asked if isinstance(one, list | dict | set)), *rows])


def _answered(function: types.FunctionType, asked: tuple[Any, ...]) -> str:
    try:
        gave = _called(function, asked)
        if inspect.isgenerator(gave):
            gave = list(islice(gave, GIVEN_MOST))
        if function.__name__ in ("__init__", "__post_init__"):
            gave = [asked[0], sorted(vars(asked[0]).items())] if hasattr(asked[0], "__dict__") else asked[0]
        return written(gave)
    except HoneyholdError as trouble:
        return f"{trouble.code} {trouble} {trouble.remedy}"
    except Exception as trouble:
        return type(trouble).__name__


def _kind_of(value: Any) -> object:
    """Yes and no, nothing, something."""
    if value is None or isinstance(value, bool):
        return value
    return type(value), bool(value) if isinstance(value, int | float | str | list | tuple | dict) else True


def _spread(ways: list[Way], many: int, off: float) -> list[Way]:
    """So many of them, evenly over all, and each thing gone or empty; `off`, from 0 to 1, is how far each lies towards the next."""
    many = min(many, len(ways))
    chosen = [ways[int((at + off) * len(ways) / many)] for at in range(many)]
    return [*chosen, *(way for way in ways if len(way[0]) == 1 and not way[1] and isinstance(way[1], EMPTY))][: many + EMPTY_MOST]


@contextmanager
def _limited(seconds: float) -> Iterator[None]:
    """Nothing inside takes longer, of the processor: others on the machine do not count. Not limited at nothing."""

    def too_long(_signal: int, _frame: object) -> None:
        raise TooLong

    before = signal.signal(signal.SIGPROF, too_long)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _copied(value: Any, known: dict[int, Any] | None = None) -> Any:
    """What may be changed on the spot, once more; what is only read, as it is."""
    kind = type(value)
    if kind in PLAIN:
        return value
    known = {} if known is None else known
    if id(value) in known:
        return known[id(value)]
    made = value
    if isinstance(value, dict):
        made = known[id(value)] = copy.copy(value)
        for name, inner in value.items():
            if type(inner) not in PLAIN:
                made[name] = _copied(inner, known)
    elif isinstance(value, list):
        made = known[id(value)] = copy.copy(value)
        made[:] = [inner if type(inner) in PLAIN else _copied(inner, known) for inner in value]
    elif isinstance(value, tuple):
        parts = [inner if type(inner) in PLAIN else _copied(inner, known) for inner in value]
        if kind is tuple and not all(map(operator.is_, parts, value)):
            made = tuple(parts)
    elif isinstance(value, set):
        made = set(value)
    elif _is_of_the_house(kind) and _may_change(value):
        made = known[id(value)] = copy.copy(value)
        vars(made).update({name: _copied(inner, known) for name, inner in vars(value).items()})
    return made


@cache
def _is_of_the_house(kind: type) -> bool:
    return kind.__module__.startswith("honeyhold") and not kind.__module__.startswith(LIVING)


def _may_change(value: Any) -> bool:
    """Whether it, or something that it holds, may be another afterwards."""
    if isinstance(value, type | Enum | types.ModuleType) or not hasattr(value, "__dict__"):
        return False
    if not is_dataclass(value) or not value.__dataclass_params__.frozen:  # type: ignore[attr-defined]
        return True
    return any(isinstance(one, list | dict | set) or _is_living(one) for one in vars(value).values())


def _is_living(value: Any) -> bool:
    return type(value).__module__.startswith("honeyhold") and not is_dataclass(value) and _may_change(value)


def inner_function(frame: FrameType) -> types.FunctionType | None:
    """What was made inside another, made once more of what it sees there; none where it sees what is not there yet."""
    code = frame.f_code
    if any(name not in frame.f_locals for name in code.co_freevars):
        return None
    return types.FunctionType(code, frame.f_globals, closure=tuple(types.CellType(frame.f_locals[name]) for name in code.co_freevars))


def given_to(frame: FrameType) -> tuple[Any, ...]:
    """The arguments in their order; of those after a star a tuple, of those after two a dictionary."""
    code, known = frame.f_code, frame.f_locals
    return tuple(known[name] for name in parameters(code) if name in known)


def begins(frame: FrameType) -> bool:
    """Whether it is not a generator that goes on: `RESUME` tells by its number (Python's reference, *dis*)."""
    return frame.f_code.co_code[frame.f_lasti + 1] == 0


def parameters(code: CodeType) -> tuple[str, ...]:
    """The names of what it takes, in the order of `given_to`."""
    stars = bool(code.co_flags & inspect.CO_VARARGS) + bool(code.co_flags & inspect.CO_VARKEYWORDS)
    return code.co_varnames[: code.co_argcount + code.co_kwonlyargcount + stars]


def _called(function: types.FunctionType, asked: tuple[Any, ...]) -> Any:
    code = function.__code__
    plain, named = code.co_argcount, code.co_kwonlyargcount
    names = code.co_varnames[plain : plain + named]
    more = list(asked[plain + named :])
    after_a_star = more.pop(0) if code.co_flags & inspect.CO_VARARGS else ()
    after_two = more.pop(0) if code.co_flags & inspect.CO_VARKEYWORDS else {}
    return function(*asked[:plain], *after_a_star, **dict(zip(names, asked[plain : plain + named], strict=True)), **after_two)


class Functions:
    """The server's functions by what they run, but for those that are made inside others."""

    def __init__(self) -> None:
        self._known: dict[CodeType, types.FunctionType] = {}
        self._modules = 0
        """So many had been read in when they were looked through last."""

    def of(self, code: CodeType) -> types.FunctionType | None:
        """The function that runs this."""
        if code not in self._known and len(sys.modules) != self._modules:
            self._modules = len(sys.modules)
            for name, module in [*sys.modules.items()]:
                for value in [*vars(module).values()] if name.startswith("honeyhold") else ():
                    self._add(value)
        return self._known.get(code)

    def _add(self, value: Any) -> None:
        if isinstance(value, types.FunctionType):
            self._known[value.__code__] = value
            if hasattr(value, "__wrapped__"):
                self._add(value.__wrapped__)
        elif isinstance(value, staticmethod | classmethod):
            self._add(value.__func__)
        elif isinstance(value, property):
            self._add(value.fget)
        elif isinstance(value, cached_property):
            self._add(value.func)
        elif isinstance(value, CACHED):
            self._add(value.__wrapped__)
        elif isinstance(value, type) and value.__module__.startswith("honeyhold"):
            for inner in [*vars(value).values()]:
                if not isinstance(inner, type):
                    self._add(inner)
