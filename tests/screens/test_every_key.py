"""Goal: what comes of any key and any field, wherever it stands; method: each is touched on a screen of its own, then once more, then what
came up under it, in houses of many kinds, and what became of it is held by a digest, `keys/*.json`. On demand every function that was
called in some of them is asked once more at the end, `once_more.py`: not in the suite, for on a busy machine two of some 2,300 were not
what they were (how often a screen is drawn hangs on time, and with it what a function is given).

    HONEYHOLD_ONCE_MORE=yes .venv/bin/python -m pytest -q tests/screens/test_every_key.py      asks the functions, too
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

from screens.keys import KEYS
from screens.once_more import ASKED_IN, asked_before, names_kept, played

HERE = Path(__file__).resolve().parent
Json = dict[str, Any]


def test_every_house_is_held() -> None:
    assert sorted(KEYS) == sorted(file.stem for file in (HERE / "keys").iterdir())


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Where the app's modules are kept that tell of their calls, from one play to the next."""
    return str(tmp_path_factory.mktemp("telling"))


@pytest.mark.parametrize("name", KEYS)
def test_whatever_is_touched_does_what_it_did(name: str, folder: str) -> None:
    kept = asked_before(name) if os.environ.get("HONEYHOLD_ONCE_MORE") else {}
    heard = played(name, {"folder": folder, "only": [*kept]} if kept else None)
    told, file = heard["told"], HERE / "keys" / f"{name}.json"
    if os.environ.get("HONEYHOLD_SAID") == "anew":
        file.parent.mkdir(exist_ok=True)
        file.write_text(json.dumps(told, indent=0, ensure_ascii=False) + "\n", "utf-8")
        pytest.fail(f"{file} was written anew: look at what is behind the lines that changed")
    assert told == json.loads(file.read_text("utf-8"))
    assert heard["listening"] == heard["listened"], "A screen that was left still listens."
    held = {called: digest for called, digest in kept.items() if digest}
    assert {called: heard["asked"].get(called) for called in held} == held
    assert not kept or not set(heard["called"]) - names_kept(), "Functions that were never asked once more: see once_more.py"


def test_functions_are_asked_once_more_in_some_houses() -> None:
    assert all(asked_before(name) for name in ASKED_IN)


if __name__ == "__main__":
    for key, became in played(sys.argv[1], whole=sys.argv[2])["told"][sys.argv[2]].items():
        print(f"## {key}\n{became}")
