"""Every figure of the usual goods stands as it was looked over: `usual_goods.txt` has a line for each, and a change shows there.

`HONEYHOLD_SAID=anew` writes it anew, and fails: look it over.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from goods.in_node import in_node

FILE = Path(__file__).with_name("usual_goods.txt")


def test_every_figure_is_held() -> None:
    defaults, goods, rows = in_node("store/usual-goods.js", "[here.FORM_DEFAULTS, here.USUAL_GOODS, here.USUAL_GOODS.map(here.usualRow)]")
    told = [f"{form} {json.dumps(given)}" for form, given in defaults.items()]
    for row, good in zip(rows, goods, strict=True):
        told.append(f"{good['id']} {json.dumps({**row, 'careful': good['careful'], 'form': good['form']}, ensure_ascii=False)}")
    if os.environ.get("HONEYHOLD_SAID") == "anew":
        FILE.write_text("".join(f"{line}\n" for line in told), "utf-8")
        pytest.fail(f"{FILE} was written anew: look it over")
    assert told == FILE.read_text("utf-8").splitlines()
