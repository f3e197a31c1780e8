"""What the commands take is changed only knowingly: units at boot, notes on paper and scripts of owners go on saying it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from honeyhold.app.command_line import _parser

KEPT = Path(__file__).with_name("commands.txt")
HEAD = "# What the commands take, a line a word. Where a change is meant, what tests/house/test_command_words.py shows comes in here."


def lines_of(parser: argparse.ArgumentParser, name: str = "honeyhold") -> Iterator[str]:
    """A line for the command, and one for each word that it takes; then those of its own commands."""
    does = getattr(parser.get_default("does"), "__qualname__", None)
    yield f"{name}: {parser.description} does {does}, else {_told(parser._defaults, 'does')}"
    together = {id(action): group for group in parser._mutually_exclusive_groups for action in group._group_actions}
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            about = {choice.dest: choice.help for choice in action._choices_actions}
            yield f"{name} takes a command: {'one must be said' if action.required else 'none need be said'}"
            for word, inner in action.choices.items():
                yield f"{name} {word} in the list: {about.get(word)}"
                yield from lines_of(inner, f"{name} {word}")
        elif not isinstance(action, argparse._HelpAction):
            group = together.get(id(action))
            alone = "" if group is None else f", not with others ({'one is needed' if group.required else 'none is needed'})"
            yield f"{name} {' '.join(action.option_strings) or action.dest}: {_taken(action)}{alone}"


def _taken(action: argparse.Action) -> str:
    kind = "said or not" if action.nargs == 0 else getattr(action.type, "__name__", "text")
    many = "" if action.nargs in (0, None) else f", {action.nargs} of them"
    must = ", must be said" if action.required else ""
    chosen = f", one of {list(action.choices)}" if action.choices else ""
    more = ", each time one more" if isinstance(action, argparse._AppendAction) else ""
    helped = "hidden" if action.help is argparse.SUPPRESS else action.help
    return f"{action.dest}, {kind}{many}{must}{chosen}{more}, else {_written(action.default)}, called {action.metavar}: {helped}"


def _written(default: object) -> str:
    """A path the same on every system."""
    return default.as_posix() if isinstance(default, Path) else repr(default)


def _told(defaults: dict[str, Any], *but: str) -> dict[str, Any]:
    return {key: value for key, value in defaults.items() if key not in but}


def test_the_commands_take_what_they_took() -> None:
    """Every command, option, default, choice and word of help."""
    now, kept = list(lines_of(_parser())), KEPT.read_text("utf-8").splitlines()[1:]
    assert len(kept) > 100
    assert [line for line in kept if line not in now] == [] == [line for line in now if line not in kept]
