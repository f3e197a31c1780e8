"""What a function was given with one thing in it otherwise: a figure at each bound that is written in its own code and one past it, the
other words that it knows, a day later, one less in a list, nothing.

Where a bound stands is what the ways of a story seldom meet; here it is taken from the code that compares with it. A bound that is moved
by a mistake is still met by the figure that was kept with it: what is asked comes from the code, what was answered from the file.
"""

from __future__ import annotations

import ast
import dataclasses
import types
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from enum import Enum
from fractions import Fraction
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any, Final

Way = tuple[tuple[Any, ...], Any]
"""Where in what was given, and what stands there instead."""
DEEP_MOST, WIDE_MOST, OF_ONE_MOST = 3, 8, 700
FIGURE_MOST: Final = 10**7
"""A loop over a larger one comes to no end soon enough."""
WORDS_MOST, FIGURES_MOST = 6, 14
WORD_MOST: Final = 24
"""A longer one is a sentence."""


@dataclasses.dataclass(frozen=True)
class Bounds:
    """What a function compares with."""

    figures: tuple[float, ...]
    words: tuple[str, ...]


_bounds: Final[dict[types.CodeType, Bounds]] = {}


def bounds_of(function: types.FunctionType) -> Bounds:
    """The figures and words that are written in it, and those of the constants beside it that it names; of one that is made inside
    another, those of the other."""
    code = function.__code__
    if code not in _bounds:
        _bounds[code] = _bounds_of(function)
    return _bounds[code]


def _bounds_of(function: types.FunctionType) -> Bounds:
    found: list[Any] = []
    node = _written_in(function.__code__.co_filename).get(function.__code__.co_qualname.partition(".<locals>")[0])
    for inner in ast.walk(node) if node else ():
        if isinstance(inner, ast.Constant):
            found.append(inner.value)
        elif isinstance(inner, ast.Name) and isinstance(inner.ctx, ast.Load):
            _flat(function.__globals__.get(inner.id), found)
    figures = dict.fromkeys(one for one in found if isinstance(one, int | float) and not isinstance(one, bool) and abs(one) <= FIGURE_MOST)
    words = dict.fromkeys(one for one in found if isinstance(one, str) and len(one) < WORD_MOST)
    return Bounds(tuple(figures), tuple(words))


@cache
def _written_in(file: str) -> dict[str, ast.AST]:
    """Every function of a file, by the name that it has in there."""
    found: dict[str, ast.AST] = {}
    _functions(ast.parse(Path(file).read_text("utf-8")), "", found)
    return found


def _functions(node: ast.AST, inside: str, found: dict[str, ast.AST]) -> None:
    for inner in ast.iter_child_nodes(node):
        if isinstance(inner, ast.FunctionDef):
            found[inside + inner.name] = inner
        elif isinstance(inner, ast.ClassDef):
            _functions(inner, f"{inside}{inner.name}.", found)


def _flat(value: Any, found: list[Any]) -> None:
    if isinstance(value, tuple):
        for one in value[:WIDE_MOST]:
            _flat(one, found)
    elif isinstance(value, frozenset):
        for one in sorted(value, key=repr)[:WIDE_MOST]:
            _flat(one, found)
    else:
        found.append(value)


def bent(given: tuple[Any, ...], bounds: Bounds) -> list[Way]:
    """Every way in which one thing in it is otherwise."""
    figures = [value for value in given if isinstance(value, int | float) and not isinstance(value, bool)]
    return [way for at, value in enumerate(given) for way in islice(_ways(value, (at,), bounds, figures), OF_ONE_MOST)]


def _ways(value: Any, path: tuple[Any, ...], bounds: Bounds, figures: list[float]) -> Iterator[Way]:
    for instead in _instead(value, bounds, figures):
        yield path, instead
    if len(path) < DEEP_MOST:
        for step, inner in islice(_inside(value), WIDE_MOST):
            yield from _ways(inner, (*path, step), bounds, figures)


def _inside(value: Any) -> Iterator[tuple[Any, Any]]:
    if isinstance(value, dict):
        yield from value.items()
    elif isinstance(value, list | tuple):
        yield from enumerate(value[:3])
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            if field.init:
                yield field.name, getattr(value, field.name)


def _instead(value: Any, bounds: Bounds, figures: list[float]) -> Iterator[Any]:
    kinds: list[tuple[type | types.UnionType, Callable[[], Iterator[Any]]]] = [
        (bool, lambda: iter((not value,))),
        (Enum, lambda: iter([one for one in type(value) if one is not value][:WORDS_MOST])),
        (int | float | Fraction, lambda: _figures(value, bounds, figures)),
        (str, lambda: iter([word for word in dict.fromkeys(("", *bounds.words[:WORDS_MOST], f"{value} x")) if word != value])),
        (datetime, lambda: iter((value + timedelta(hours=1), value - timedelta(days=1), value + timedelta(days=200)))),
        (date, lambda: _days(value, bounds)),
        (list | tuple, lambda: _fewer(value)),
        (dict, lambda: _fields(value, bounds)),
        (frozenset | set, lambda: iter([type(value)()] if value else [])),
        (types.NoneType, lambda: iter((1, "x"))),
    ]
    for kind, ways in kinds:
        if isinstance(value, kind):
            yield from ways()
            break
    if value is not None:
        yield None


def _fields(value: dict[Any, Any], bounds: Bounds) -> Iterator[Any]:
    """Without one of them; with one more that the function has a word for, and a figure in it."""
    if not value:
        return
    yield {}
    for gone in [*value][:WIDE_MOST]:
        yield {one: inner for one, inner in value.items() if one != gone}
    more = [word for word in bounds.words if word not in value and word.isidentifier()]
    figures = (*bounds.figures, True, "x")
    for at, word in enumerate(more[: 2 * WIDE_MOST]):
        for instead in (figures[at % len(figures)], figures[-1 - at % len(figures)], 7):
            yield {**value, word: instead}


def _days(value: date, bounds: Bounds) -> Iterator[Any]:
    """Some days on, each of the next years, and the first and eighth of the months that the function has a figure for."""
    yield from (value + timedelta(days=days) for days in (1, -1, 2, 5, 90, 366, 731, 1096))
    for month in bounds.figures:
        if month in range(1, 13):
            yield from (value.replace(month=int(month), day=day) for day in (1, 8))


def _figures(value: Any, bounds: Bounds, figures: list[float]) -> Iterator[Any]:
    whole = isinstance(value, int)
    step = 1 if whole else 0.5
    near = [one for bound in bounds.figures for one in (bound, bound + step, bound - step)]
    wanted = [*near[: 3 * FIGURES_MOST], *figures[:4], value + step, value - step, 0, -value, 10 * value]
    for one in dict.fromkeys(wanted):
        if one != value and (not whole or one == int(one)):
            yield int(one) if whole else one


def _fewer(value: Any) -> Iterator[Any]:
    if value and type(value) in (list, tuple):
        yield from (value[1:], value[:0], value + value, value[::-1])


def put(given: tuple[Any, ...], path: tuple[Any, ...], instead: Any) -> tuple[Any, ...]:
    """With that instead; raises whatever a dataclass raises that will not be so."""
    return tuple(_put(given, path, instead))


def _put(value: Any, path: tuple[Any, ...], instead: Any) -> Any:
    if not path:
        return instead
    step, *rest = path
    if isinstance(value, dict):
        return {**value, step: _put(value[step], tuple(rest), instead)}
    if isinstance(value, list | tuple):
        parts = [_put(one, tuple(rest), instead) if at == step else one for at, one in enumerate(value)]
        return parts if isinstance(value, list) else type(value)._make(parts) if hasattr(value, "_make") else tuple(parts)
    return dataclasses.replace(value, **{step: _put(getattr(value, step), tuple(rest), instead)})
