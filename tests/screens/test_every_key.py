"""Goal: what comes of any key and any field, wherever it stands; method: each is touched on a screen of its own, then once more, then what
came up under it, in houses of many kinds, and what became of it is held by a digest, `keys/*.json`.

    HONEYHOLD_SAID=anew .venv/bin/python -m pytest -q tests/screens/test_every_key.py          writes them anew, and fails
    PYTHONPATH=tests .venv/bin/python tests/screens/test_every_key.py melt melt/pour           all that is behind one screen of one
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest

from screens.in_node import played_in_node
from screens.keys import KEYS
from screens.rows import NOW

HERE = Path(__file__).resolve().parent
LONGEST_S = 300
AFTERWARDS = 0
MOST = 5
"""So many keys of a screen, evenly over all of them."""
Json = dict[str, Any]


def touched(name: str, whole: str = "") -> Json:
    """What became of every key, by screen."""
    chapter = KEYS[name]
    device = {"now": NOW, "wide": chapter.get("wide", False), "told": chapter.get("told")}
    asked = {"device": device, "afterwards": chapter.get("afterwards", AFTERWARDS), "kept": chapter["kept"], "screens": chapter["screens"],
             "whole": whole, "most": chapter.get("most", MOST)}  # fmt: skip
    heard: Json = played_in_node(HERE / "every_key.mjs", asked, LONGEST_S)
    assert not heard["troubles"], "\n".join(heard["troubles"])
    told: Json = heard["told"]
    assert len(told) == len(chapter["screens"]), "Two screens have one name."
    return told


def test_every_house_is_held() -> None:
    assert sorted(KEYS) == sorted(file.stem for file in (HERE / "keys").iterdir())


@pytest.mark.parametrize("name", KEYS)
def test_whatever_is_touched_does_what_it_did(name: str) -> None:
    told, file = touched(name), HERE / "keys" / f"{name}.json"
    if os.environ.get("HONEYHOLD_SAID") == "anew":
        file.parent.mkdir(exist_ok=True)
        file.write_text(json.dumps(told, indent=0, ensure_ascii=False) + "\n", "utf-8")
        pytest.fail(f"{file} was written anew: look at what is behind the lines that changed")
    assert told == json.loads(file.read_text("utf-8"))


if __name__ == "__main__":
    for key, became in touched(*sys.argv[1:])[sys.argv[2]].items():
        print(f"## {key}\n{became}")
