"""What each screen says of one honey house, line by line: keys, links, fields and how they stand, as `said/*.txt` has them.

A change of words or of a rule shows there as a change of lines. Whatever stands there besides, pictures and what the style reads, is held
by a digest of each moment, `looks/*.txt`. To write the files anew, all of them, and look them over:

    HONEYHOLD_SAID=anew .venv/bin/python -m pytest -q tests/screens

It fails, so that nobody leaves it at that; with `-x` it would end at the first file. All that is behind the digests of one screen:

    PYTHONPATH=tests .venv/bin/python tests/screens/looks.py owner shelf
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from screens.acts import alone, board, still, touch
from screens.chapters import CHAPTERS, OWNED
from screens.in_node import Worker, played_in_node, worked_out
from screens.rows import NOW

HERE = Path(__file__).resolve().parent
Json = dict[str, Any]
LONGEST_S = 120


def heard_of(chapter: Json, worker: Worker = worked_out, whole: bool = False) -> Json:
    """What each of its screens says, how it looks, and what went wrong; `whole`: all of how it looks, and no digest."""
    asked = {"device": {"now": NOW, "wide": chapter.get("wide", False)}, "kept": chapter["kept"], "screens": chapter["screens"],
             "whole": whole}  # fmt: skip
    heard: Json = played_in_node(HERE / "play.mjs", asked, LONGEST_S, worker)
    return heard


def played(chapter: Json) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """What each of its screens says, and the digests of how it looks."""
    heard = heard_of(chapter)
    assert not heard["troubles"], "\n".join(heard["troubles"])
    told: dict[str, list[str]] = heard["told"]
    assert len(told) == len(chapter["screens"]), "Two screens have one name."
    return told, heard["looks"]


def hold(name: str) -> None:
    """A chapter says what its file has, and looks as it did."""
    played_said, played_looks = played(CHAPTERS[name])
    told = "".join(f"== {screen}\n" + "".join(f"{line}\n" for line in lines) + "\n" for screen, lines in played_said.items())
    looks = "".join(f"{screen}: {' '.join(digests)}\n" for screen, digests in played_looks.items())
    said_file, looks_file = HERE / "said" / f"{name}.txt", HERE / "looks" / f"{name}.txt"
    if os.environ.get("HONEYHOLD_SAID") == "anew":
        for file, text in ((said_file, told), (looks_file, looks)):
            file.parent.mkdir(exist_ok=True)
            file.write_text(text, "utf-8")
        pytest.fail(f"{said_file} was written anew: look it over")
    assert told.splitlines() == said_file.read_text("utf-8").splitlines()
    assert looks.splitlines() == looks_file.read_text("utf-8").splitlines()


def test_every_chapter_is_held() -> None:
    for folder in ("said", "looks"):
        assert sorted(CHAPTERS) == sorted(file.stem for file in (HERE / folder).iterdir())


def test_whatever_is_wrong_with_the_play_itself_is_told() -> None:
    """A touch of which nothing comes, one of which something comes though nothing may, an error for a reason, and Python at its end."""
    screens = [
        {**board("papers", still(touch("A4"))), "name": "not still"},
        {**board("papers", touch("A4")), "name": "still"},
        alone("lot-board", lot="it is not a function"),
    ]

    def fails(_question: str) -> str:
        raise RuntimeError("at its end")

    troubles = heard_of({"kept": OWNED, "screens": screens}, fails)["troubles"]
    begun = (
        "not still: touch A4 changes - ",
        "still: touch A4 changes nothing",
        "nobody caught: Error: Python does not answer: the line was closed.",
        "lot-board lot=it is not a function: (heed):This device knows of no lot it is not a function;",
    )
    assert len(troubles) == len(begun)
    assert all(trouble.startswith(words) for trouble, words in zip(troubles, begun, strict=True)), troubles


def test_every_screen_of_an_owner() -> None:
    hold("owner")


def test_calls_and_sales() -> None:
    hold("calls")


def test_the_shelf_at_work() -> None:
    hold("shelf")


def test_the_bench_at_work() -> None:
    hold("bench")


def test_a_carton_of_no_usual_size_and_how_many_of_it_there_are() -> None:
    hold("own-carton")


def test_a_price_by_place_and_day_and_some_together() -> None:
    hold("prices")


def test_what_is_not_to_be_packed_yet() -> None:
    hold("bench-not-yet")


def test_melting_at_work() -> None:
    hold("melt")


def test_melting_what_lies_there_of_several_lots() -> None:
    hold("melt-lots")


def test_the_book_at_work() -> None:
    hold("book")


def test_what_is_seldom_in_a_book() -> None:
    hold("book-seldom")


def test_what_is_seldom_on_a_shelf() -> None:
    hold("shelf-seldom")


def test_a_book_that_can_be_written_in_no_more_keeps_what_was_typed() -> None:
    hold("book-frozen")


def test_packing_that_is_seldom() -> None:
    hold("bench-work")


def test_melting_that_is_seldom() -> None:
    hold("melt-work")


def test_a_house_that_begins_to_weigh() -> None:
    hold("beginning")


def test_work_that_cannot_be_written_down() -> None:
    hold("unwritten")


def test_rooms_before_the_book_is_open() -> None:
    hold("not-open")


def test_calls_and_sales_that_are_seldom() -> None:
    hold("counter-work")


def test_standing_orders_that_are_due() -> None:
    hold("due")


def test_standing_orders_of_which_mailing_has_no_price() -> None:
    hold("due-unpriced")


def test_parcels_that_become_one_or_two_or_go_elsewhere() -> None:
    hold("one-parcel")


def test_a_first_walk_under_way() -> None:
    hold("first-walk")


def test_settings_typed_wrong_and_right() -> None:
    hold("settings-typed")


def test_settings_of_a_house_of_which_little_is_known() -> None:
    hold("settings-bare")


@pytest.mark.parametrize("name", ["first-begins", "first-anew", "first-over"])
def test_the_first_questions(name: str) -> None:
    hold(name)


def test_settings_at_work() -> None:
    hold("settings")


def test_a_helpers_screens() -> None:
    hold("helper")


def test_a_device_that_nobody_added() -> None:
    hold("nobody")


def test_a_house_that_begins() -> None:
    hold("empty")


def test_a_wide_screen() -> None:
    hold("wide")


@pytest.mark.parametrize("name", ["trouble", "frozen", "signed-out", "too-old", "full", "moved-away", "removed"])
def test_whatever_is_the_matter(name: str) -> None:
    hold(name)
