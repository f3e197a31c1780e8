"""Every function that is called while keys are touched is asked once more at the end, with one thing in what it was given otherwise: a
digest each of what it answered and of what came of it, `asked/*.json`; each in the first of some houses that calls it.

    PYTHONPATH=tests .venv/bin/python -m screens.once_more                                    writes all of them anew, in some minutes
    PYTHONPATH=tests .venv/bin/python -m screens.once_more melt                               those of one house; what else calls is kept
    PYTHONPATH=tests .venv/bin/python -m screens.once_more melt "parts/cents.js centsWritten"  prints what one answered, each time

Which are to be looked at tells the diff; a change that is meant is looked at, then written anew. What is not the same each time it is
played (a function that takes turns with another one) stands there without a digest, and is not held.
"""

from __future__ import annotations

import json
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, Final

from screens.in_node import played_in_node
from screens.keys import KEYS
from screens.rows import NOW

Json = dict[str, Any]
HERE: Final = Path(__file__).resolve().parent
ASKED_IN: Final = (
    "another-way", "in-reach", "first", "counter-further", "no-signal", "goods", "melt", "packed", "orders", "book", "settings",
    "counter-on",
)  # fmt: skip
"""Between them they call nearly all that any house calls."""
PLAYED_TIMES: Final = 5
AT_ONCE: Final = 3
"""More than there are processors here: each is as busy as it may come to be."""
LONGEST_S: Final = 300
AFTERWARDS: Final = 0
MOST: Final = 5
"""So many keys of a screen, evenly over all of them."""


def played(name: str, again: Json | None = None, whole: str = "") -> Json:
    """What became of every key of a house, by screen; with `again` what each function that was called answered once more."""
    chapter = KEYS[name]
    device = {"now": NOW, "wide": chapter.get("wide", False), "told": chapter.get("told")}
    asked = {"device": device, "afterwards": chapter.get("afterwards", AFTERWARDS), "kept": chapter["kept"], "screens": chapter["screens"],
             "whole": whole, "most": chapter.get("most", MOST), "again": again}  # fmt: skip
    heard: Json = played_in_node(HERE / "every_key.mjs", asked, LONGEST_S)
    assert not heard["troubles"], "\n".join(heard["troubles"])
    assert len(heard["told"]) == len(chapter["screens"]), "Two screens have one name."
    return heard


def asked_before(name: str) -> Json:
    """What each function answers that is asked in this house; none where it is not held."""
    file = HERE / "asked" / f"{name}.json"
    kept: Json = json.loads(file.read_text("utf-8")) if file.exists() else {}
    return kept


def names_kept() -> set[str]:
    """Every function that is asked anywhere, and those that are left out."""
    return {called for name in ASKED_IN for called in asked_before(name)}


def _anew(name: str, elsewhere: set[str], folder: str) -> Json:
    """Each as often as it is the same; without a digest where it is not."""
    only = sorted(set(played(name, {"folder": folder, "only": []})["called"]) - elsewhere)
    with ThreadPoolExecutor(AT_ONCE) as pool:
        first, *others = pool.map(lambda _: played(name, {"folder": folder, "only": only})["asked"], range(PLAYED_TIMES))
    return {called: first.get(called) if all(one.get(called) == first.get(called) for one in others) else None for called in only}


def _write(houses: tuple[str, ...]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name in houses:
            before = ASKED_IN[: ASKED_IN.index(name)] if houses == ASKED_IN else [one for one in ASKED_IN if one != name]
            elsewhere = {called for one in before for called in asked_before(one)}
            lines = json.dumps(_anew(name, elsewhere, folder), indent=0)
            (HERE / "asked").mkdir(exist_ok=True)
            (HERE / "asked" / f"{name}.json").write_text(f"{lines}\n", "utf-8")


if __name__ == "__main__":
    if len(sys.argv) > 2:  # noqa: PLR2004
        with tempfile.TemporaryDirectory() as folder:
            print("\n".join(played(sys.argv[1], {"folder": folder, "only": None}, sys.argv[2])["asked"][sys.argv[2]]))
    else:
        _write(tuple(sys.argv[1:]) or ASKED_IN)
