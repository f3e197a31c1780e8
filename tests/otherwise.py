"""One thing in a request otherwise: gone, more by one, twice, nothing, nine days later; for questions that are held to digests."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from datetime import date, timedelta
from typing import Any, Final, TypeVar

Path = tuple[str | int, ...]
Ways = Iterator[tuple[str, Any]]
One = TypeVar("One")
A_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
GONE: Final = object()


def drawn(every: Sequence[One], most: int) -> list[One]:
    """At most so many of them, evenly over all."""
    return [every[int(at * max(1, len(every) / most))] for at in range(min(most, len(every)))]


def instead_of(_path: Path, value: Any) -> Ways:
    """(in which way, what stands there instead) of one value."""
    if isinstance(value, bool):
        yield from (("the other", not value), ("as a figure", int(value)))
    elif isinstance(value, int | float):
        yield from (("more by one", value + 1), ("twice", 2 * value), ("nothing", 0), ("below nothing", -value - 1))
        yield from (("less by one", value - 1), ("as a text", str(value)), ("and a half", value + 0.5), ("beyond all", 10**12))
    elif isinstance(value, str) and A_DAY.fullmatch(value):
        yield "nine days later", nine_days_later(value)
    elif isinstance(value, str):
        yield from (("empty", ""), ("longer", f"{value} & <more>"), ("as a figure", 7))
    elif isinstance(value, list) and value:
        yield from (("without the first", value[1:]), ("twice over", [*value, *value]), ("as a text", "all"), ("empty", []))
    elif isinstance(value, dict) and value:
        yield from (("as a list", list(value.values())), ("empty", {}))
    elif value is None:
        yield "said", 1


def nine_days_later(day: str) -> str:
    """`2026-07-29` of `2026-07-20`."""
    return (date.fromisoformat(day) + timedelta(days=9)).isoformat()


def otherwise(
    value: Any, path: Path = (), ways: Callable[[Path, Any], Ways] = instead_of, of_a_list: int = 3
) -> Iterator[tuple[Path, str, Any]]:
    """(where, in which way, what stands there instead), from the outside in."""
    if path:
        yield path, "gone", GONE
        for how, instead in ways(path, value):
            yield path, how, instead
    inner = value.items() if isinstance(value, dict) else enumerate(value[:of_a_list]) if isinstance(value, list) else ()
    for key, one in inner:
        yield from otherwise(one, (*path, key), ways, of_a_list)


def changed(request: Any, path: Path, value: Any) -> Any:
    """A copy in which something else stands at that place, or nothing."""
    made = deepcopy(request)
    place: Any = made
    for key in path[:-1]:
        place = place[key]
    if value is GONE:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return made
