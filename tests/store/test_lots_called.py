"""What the book says of a lot that is not on this device: only the main computer can say that there is none."""

from __future__ import annotations

from typing import Any

from screens.rows import ROWS
from screens.scenes import played, says, scene
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
LOT = "X27-001-1"
TRACE = f"GET /api/lots/{LOT}/trace"
NOBODY: Json = {"lots": [], "made_from": [], "who_has": [], "not_named": []}
NONE = says({"detail": f"There is no lot {LOT}.", "remedy": "Read the code again."}, 404)
OUT = says({"detail": "This device is signed out.", "remedy": "Add it again."}, 401)


def test_that_no_lot_is_called_so_is_said_once_the_main_computer_said_it() -> None:
    """A device without signal knows only what is not used up; a refusal for another reason is said as it is."""
    here: Json = {"stock.trace": NOBODY}
    asked = [
        {"doors": {TRACE: [says(NOBODY)]}}, {"doors": {TRACE: [NONE]}, "worked": here}, {"doors": {TRACE: [NONE]}},
        {"doors": {TRACE: [OUT]}}, {}, {"worked": here}, {"worked": here, "status": {"signal": "none"}},
        {"doors": {TRACE: [OUT]}, "worked": here, "status": {"signal": "shared"}},
    ]  # fmt: skip
    told = played([*(scene("lot-board", lot=LOT, **one) for one in asked), scene("lot-board", lot="", doors={TRACE: [NONE]})], ROWS)
    called, unknown = f"(heed):No lot is called {LOT}.", f"(heed):This device knows of no lot {LOT}; the main computer could not be asked."
    assert [one["said"][0].splitlines()[1] for one in told] == [
        called, called, f"(heed):There is no lot {LOT}. Read the code again.", "(heed):This device is signed out. Add it again.",
        unknown, unknown, unknown, unknown, "# Which lot?",
    ]  # fmt: skip
    assert [bool(one["asked"]) for one in told] == [True] * 6 + [False, True, False]


WAITS: Json = {**NOBODY, "lots": [{"lot": LOT, "good": "bar", "made_on": "2026-07-07"}]}


def test_a_lot_that_the_main_computer_knows_is_shown_as_it_tells_of_it() -> None:
    """Used up long ago, so without a field for a note; nothing is said of a lot that is missing."""
    [told] = played([scene("lot-board", lot=LOT, doors={TRACE: [says(WAITS)]}, worked={"stock.trace": NOBODY})], ROWS)
    said = told["said"][0].splitlines()
    assert said[1:3] == [f"# {LOT}", "wax bars (1 oz), made Tue Jul 7"] and "note" not in said
    assert said[said.index("who has it") + 1] == "Nobody yet."


ASKED = """
  globalThis.fetch = () => new Promise(() => {});
  const told = [];
  for (const lot of asked) told.push(await settled(new Screen('lot-board', { lot })));
  return told;"""


def test_while_the_main_computer_is_asked_nothing_is_said_to_be_missing() -> None:
    known, missing = drawn_in_page("rooms/book/lot-board.js", ASKED, ["W27-190-1", LOT], ROWS)
    assert known[known.index("who has it") + 1] == "asking the main computer …"
    assert missing[:2] == ["[the book](#book)", "# Which lot?"]
