"""What every exported function of the browser's code answers, called with whatever it takes by its type: a digest each.

Texts, numbers and rows are given by their names and kinds (`given.mjs`, `house.mjs`): each as usual, then each with one thing otherwise,
then several. What is written down, kept, printed and said aloud belongs to the answer. So a line that changes is an answer that changed.
Where that is meant, look at the calls before and after, then write the lines anew; so too where a function is new, or takes something else:

    PYTHONPATH=tests .venv/bin/python -m every_call.as_before                                all of them
    PYTHONPATH=tests .venv/bin/python -m every_call.as_before figures                        the constants and defaults alone
    PYTHONPATH=tests .venv/bin/python -m every_call.as_before store/pricing.js lineCents     prints the calls of one, each with its answer
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

from screens.chapters import OWNED
from screens.in_node import played_in_node
from screens.rows import NOW

Json = dict[str, Any]
HERE: Final = Path(__file__).resolve().parent
KINDS, ANSWERS, FIGURES = HERE / "kinds.json", HERE / "answers.json", HERE / "figures.txt"
MOST_IN_A_GROUP: Final = 30
"""So many functions are called in one process: some seconds."""
LONGEST_S: Final = 240


def groups(kinds: Json) -> dict[str, Json]:
    """The modules in groups, by a name each: those of one folder, with not many more functions than that."""
    found: dict[str, Json] = {}
    for module in sorted(kinds):
        folder, number = module.partition("/")[0], 1
        while sum(map(len, found.get(f"{folder} {number}", {}).values())) >= MOST_IN_A_GROUP:
            number += 1
        found.setdefault(f"{folder} {number}", {})[module] = kinds[module]
    return found


def answers(modules: Json, whole: str = "") -> Json:
    """A digest of what each function answers; of the one that is named the calls themselves."""
    told: Json = played_in_node(HERE / "play.mjs", {"now": NOW, "kept": OWNED, "modules": modules, "whole": whole}, LONGEST_S)
    return told


def kinds_kept() -> Json:
    """What each function takes, as it was read last."""
    kept: Json = json.loads(KINDS.read_text("utf-8"))
    return kept


def kinds_now() -> Json:
    """What each function takes, read by the compiler."""
    read: Json = json.loads(_read_by("kinds.mjs"))
    return read


def figures_now() -> list[str]:
    """Every constant and default, a line each."""
    return _read_by("figures.mjs").splitlines()


def _read_by(script: str) -> str:
    return subprocess.run(["node", HERE / script], capture_output=True, text=True, check=True).stdout


if __name__ == "__main__":
    if len(sys.argv) > 2:
        name = " ".join(sys.argv[1:])
        (group,) = [group for group in groups(kinds_kept()).values() if sys.argv[1] in group]
        print("\n".join(answers(group, name)[name]))
    else:
        FIGURES.write_text("\n".join(figures_now()) + "\n", "utf-8")
    if len(sys.argv) == 1:
        kinds = kinds_now()
        lines = ",\n".join(f" {json.dumps(module)}: {json.dumps(kinds[module], sort_keys=True)}" for module in sorted(kinds))
        KINDS.write_text(f"{{\n{lines}\n}}\n", "utf-8")
        found = {name: told for group in groups(kinds_kept()).values() for name, told in answers(group).items()}
        ANSWERS.write_text(json.dumps(found, indent=0, sort_keys=True) + "\n", "utf-8")
