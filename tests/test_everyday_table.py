"""The table of everyday tasks: today's figures, and beside an older tree's what has changed."""

from __future__ import annotations

from test_words import script

NOW = [
    {"task": "the usual", "touches": 6, "typed": 0, "seconds": 2.1},
    {"task": "they cancel", "touches": None, "typed": None, "seconds": None},
]
BEFORE = {"the usual": {"task": "the usual", "touches": 9, "typed": 3, "seconds": 3.9}}


def test_both_stand_in_one_line_and_what_did_not_come_out_says_so() -> None:
    table = script("everyday").table
    usual, cancel = table(NOW, BEFORE)
    assert " ".join(usual.split()) == "the usual 9 touches 3 letters 3.9 s -> 6 touches 0 letters 2.1 s"
    assert " ".join(cancel.split()) == "they cancel not there -> not done"


def test_alone_there_is_only_today() -> None:
    assert " ".join(script("everyday").table(NOW, {})[0].split()) == "the usual 6 touches 0 letters 2.1 s"
