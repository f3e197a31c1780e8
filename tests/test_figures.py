"""Every constant and default of the server is changed only knowingly: a limit, a fact of the trade, an hour, a word that is compared."""

from __future__ import annotations

import dataclasses
import inspect
import re
from collections.abc import Iterator
from enum import Enum
from pathlib import Path, PurePath
from pkgutil import walk_packages
from types import ModuleType
from typing import Any, Final
from zlib import crc32

from marshmallow import missing
from marshmallow.fields import Field
from marshmallow.validate import Validator

import honeyhold

KEPT = Path(__file__).with_name("figures.txt")
HEAD = "# Every constant and default of the server. Where a change is meant, what tests/test_figures.py shows comes in here."
ROOT: Final = str(Path(__file__).resolve().parents[1])
LONGEST: Final = 160
SKIPPED: Final = object()
LIBRARYS_OWN: Final = ("creation_index", "error", "message", "metadata", "name", "parent", "root", "validators")


def lines_of() -> Iterator[str]:
    """A line each, `stock/honey.py READ_AT_C = 20`."""
    for found in walk_packages(honeyhold.__path__, "honeyhold."):
        module = __import__(found.name, fromlist=["_"])
        path = found.name.removeprefix("honeyhold.").replace(".", "/")
        for name, value in vars(module).items():
            yield from _of(path, module, name, value)


def _of(path: str, module: ModuleType, name: str, value: Any) -> Iterator[str]:
    if inspect.isclass(value) or inspect.isfunction(_plain(value)):
        if value.__module__ == module.__name__:
            yield from _defaults(f"{path} {name}", value)
    elif name.strip("_").isupper() and (said := _said(value)) is not SKIPPED:
        yield f"{path} {name} = {said}"


def _defaults(name: str, value: Any) -> Iterator[str]:
    """What a field of a class, or a parameter that is not given, stands at."""
    if inspect.isfunction(plain := _plain(value)):
        parameters = inspect.signature(plain).parameters.values()
        told = {one.name: one.default for one in parameters if one.default is not inspect.Parameter.empty}
        yield from (f"{name}({key}={_said(default)})" for key, default in told.items() if _said(default) is not SKIPPED)
        return
    if dataclasses.is_dataclass(value):
        kept = value.__dataclass_params__  # type: ignore[attr-defined]
        if kept.order or not kept.eq:
            yield f"{name}:{' in order' * kept.order}{' each its own' * (not kept.eq)}"
    yield from (f"{name}.{key} = {_said(_of_field(inner))}" for key, inner in getattr(value, "_declared_fields", {}).items())
    for key, inner in vars(value).items():
        made = key == "__init__" and dataclasses.is_dataclass(value)  # out of the fields, which are told themselves
        if inspect.isfunction(plain := _plain(inner)) and plain.__module__ == value.__module__ and not made:
            yield from _defaults(f"{name}.{key}", inner)
        elif not key.startswith("_") and (said := _said(inner)) is not SKIPPED:
            yield f"{name}.{key} = {said}"


def _of_field(field: Any, deep: int = 0) -> Any:
    """What a field of a message is told to take: the plain words and figures in it, its checks, and the fields that it holds."""
    if isinstance(field, list | tuple):
        return [_of_field(one, deep) for one in field]
    if not isinstance(field, Field | Validator) or deep > 2:
        return field
    told = {key: _of_field(one, deep + 1) for key, one in sorted(vars(field).items()) if not key.strip("_").startswith(LIBRARYS_OWN)}
    return {type(field).__name__: {key: one for key, one in told.items() if one is not missing and one not in (None, False, [], "")}}


def _plain(value: Any) -> Any:
    """What was written, without what remembers its answers or belongs to a class."""
    if isinstance(value, staticmethod | classmethod):
        return inspect.unwrap(value.__func__)
    remembers = hasattr(type(value), "cache_clear")
    return inspect.unwrap(value) if remembers or inspect.isfunction(value) else value


def _said(value: Any) -> Any:
    """A value in words that are the same on every machine; SKIPPED for what is none."""
    said = _written(value)
    if said is None or ROOT in said:
        return SKIPPED
    return said if len(said) <= LONGEST else f"{said[:40]} ... {len(said)} letters, {crc32(said.encode()):08x}"


def _written(value: Any) -> str | None:
    if value is None or isinstance(value, bool | int | str | bytes):
        return repr(value)
    if isinstance(value, float):
        return f"{value:.9g}"
    if isinstance(value, Enum):
        return f"{type(value).__name__}.{value.name}"
    if isinstance(value, PurePath):
        return value.as_posix()
    if isinstance(value, re.Pattern):
        return f"re {value.pattern!r}"
    if inspect.isfunction(value) or inspect.isclass(value):
        return value.__qualname__ if "<" not in value.__qualname__ else None
    if dataclasses.is_dataclass(value):
        return _together([(field.name, getattr(value, field.name)) for field in dataclasses.fields(value)], type(value).__name__)
    if isinstance(value, dict):
        return _together(list(value.items()))
    if isinstance(value, list | tuple | set | frozenset):
        inner = [one for one in map(_written, value) if one is not None]
        return f"[{', '.join(sorted(inner) if isinstance(value, set | frozenset) else inner)}]" if len(inner) == len(value) else None
    return str(value) if type(value).__module__ in ("datetime", "decimal", "fractions") else None


def _together(rows: list[tuple[Any, Any]], name: str = "") -> str | None:
    """What is none in there is left out."""
    told = [(_written(key), _written(inner)) for key, inner in rows]
    return f"{name}{{{', '.join(f'{key}: {inner}' for key, inner in told if key is not None and inner is not None)}}}"


def test_no_figure_is_another_by_mistake() -> None:
    """Nor is one gone, or there that nobody looked at."""
    now, kept = sorted(set(lines_of())), KEPT.read_text("utf-8").splitlines()[1:]
    assert len(kept) > 1000
    assert [line for line in kept if line not in now] == [] == [line for line in now if line not in kept]


def test_what_is_written_down_tells_values_apart() -> None:
    """And says nothing of the machine."""
    different: list[Any] = [0, 0.5, "0", None, True, (1, 2), (2, 1), {"a": 1}, {"a": 2}, re.compile("a"), Path("a/b"), Path(ROOT), len]
    said = [_said(value) for value in different]
    assert len(set(map(str, said))) == len(different) - 1 and said.count(SKIPPED) == 2
    assert _said({3, 1}) == _said({1, 3}) and _said(0.1 + 0.2) == _said(0.3)
