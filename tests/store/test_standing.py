"""How a device stands with the main computer: the state machine alone, under Node, without a browser."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from goods.in_node import in_node

ROOT = Path(__file__).resolve().parents[2]
NODE = shutil.which("node") or str(ROOT / ".venv/bin/node")
SCRIPT = """
const { next, standing, reach } = await import(process.argv[1]);
const given = JSON.parse(process.argv[2]);
const day = (text) => text === null || text === undefined ? text : new Date(text);
let state = { signal: 'none', since: new Date(0), turnedAway: null, tooOld: null };
for (const each of given.happenings) state = next(state, { ...each, at: day(each.at), heard_at: day(each.heard_at) });
const still = { started: true, enrolled: true, inHand: 0, needsYou: [], storage: { trouble: null }, frozen: null };
const status = { ...still, ...given.status, ...state };
console.log(JSON.stringify({ ...state, standing: standing(status), reach: reach(status) }));
"""
OPENED = {"what": "opened", "enrolled": True, "heard_at": "2026-07-20T07:00:00Z", "at": "2026-07-20T08:00:00Z"}
HEARD = {"what": "heard", "at": "2026-07-20T08:10:00Z"}
LATER = {"what": "heard", "at": "2026-07-20T08:57:00Z"}
UNHEARD = {"what": "unheard", "at": "2026-07-20T09:00:00Z"}
SLOW = {"what": "slow"}
CLOSED = {"what": "opened", "enrolled": False, "heard_at": None, "at": "2026-07-20T07:30:00Z"}
ENROLLED = {"what": "enrolled", "at": "2026-07-20T07:45:00Z"}


def refused(status: int) -> dict[str, Any]:
    """The main computer said no."""
    return {"what": "refused", "status": status, "text": f"No ({status}).", "at": "2026-07-20T09:00:00Z"}


def after(*happenings: dict[str, Any], **status: Any) -> dict[str, Any]:
    """The state after so much happened to a device that stands so."""
    given = json.dumps({"happenings": happenings, "status": status})
    module = (ROOT / "web/store/standing.js").as_uri()
    told = subprocess.run(
        [NODE, "--input-type=module", "-e", SCRIPT, module, given], capture_output=True, text=True, check=False, timeout=60
    )
    assert told.returncode == 0, told.stderr
    return dict(json.loads(told.stdout))


@pytest.mark.parametrize(
    ("happenings", "since"),
    [
        ([OPENED], "07:00"), ([OPENED, HEARD], "08:10"), ([OPENED, HEARD, LATER], "08:57"), ([OPENED, HEARD, SLOW, LATER], "08:57"),
        ([OPENED, UNHEARD], "07:00"), ([OPENED, HEARD, UNHEARD, UNHEARD], "08:10"), ([OPENED, HEARD, SLOW, UNHEARD], "08:10"),
        ([OPENED, HEARD, refused(422)], "08:10"), ([OPENED, HEARD, refused(401)], "08:10"),
        ([CLOSED, ENROLLED], "07:45"), ([CLOSED, ENROLLED, HEARD], "08:10"), ([CLOSED, ENROLLED, UNHEARD], "07:45"),
    ],
)  # fmt: skip
def test_the_age_counts_from_when_it_was_last_heard(happenings: list[dict[str, Any]], since: str) -> None:
    """Heard again, it is new at once, also after 47 minutes of hearing nothing else; trying in vain changes nothing."""
    assert after(*happenings)["since"].startswith(f"2026-07-20T{since}")


@pytest.mark.parametrize(
    ("happenings", "status", "standing"),
    [
        ([], {"started": False}, "opening"), ([], {"enrolled": False}, "not enrolled"),
        ([OPENED, HEARD], {"storage": {"trouble": "full"}}, "storage"), ([OPENED, HEARD], {"frozen": "a copy"}, "stopped"),
        ([OPENED, refused(401)], {}, "signed out"), ([OPENED, refused(403)], {"inHand": 2, "needsYou": [1]}, "signed out"),
        ([OPENED, refused(422)], {"inHand": 2}, "too old"), ([OPENED, refused(426)], {}, "too old"),
        ([OPENED, refused(422), UNHEARD], {}, "too old"), ([OPENED, refused(422), HEARD], {}, "all sent"),
        ([OPENED, refused(401), HEARD], {}, "all sent"), ([OPENED, HEARD], {"needsYou": [1]}, "needs you"),
        ([OPENED, refused(429)], {}, "no signal"), ([OPENED, refused(507)], {}, "no signal"), ([OPENED, HEARD, UNHEARD], {}, "no signal"),
        ([OPENED, HEARD, SLOW], {}, "sending"), ([OPENED, UNHEARD, SLOW], {}, "no signal"), ([OPENED, HEARD], {"inHand": 3}, "not sent"),
        ([OPENED, HEARD], {}, "all sent"), ([OPENED, refused(401), ENROLLED, HEARD], {}, "all sent"),
        ([CLOSED, ENROLLED], {}, "sending"), ([CLOSED, ENROLLED, UNHEARD], {}, "no signal"),
        ([OPENED, refused(401), ENROLLED], {}, "sending"),
    ],
)  # fmt: skip
def test_every_state_is_reached_and_the_gravest_is_said(happenings: list[dict[str, Any]], status: dict[str, Any], standing: str) -> None:
    assert after(*happenings, **status)["standing"] == standing


@pytest.mark.parametrize(("read_to", "unsent", "waiting"), [(0, [3, 4, 6], []), (4, [6], [3, 4]), (6, [], [3, 4, 6])])
def test_what_waits_at_the_main_computer_is_sent(read_to: int, unsent: list[int], waiting: list[int]) -> None:
    """An entry that waits there for its cause is not said to be only on this device."""
    found = in_node("store/standing.js", "here.whereTheyLie(asked.entries, asked.read_to)", {
        "entries": [{"seq": seq} for seq in (3, 4, 6)], "read_to": read_to,
    })  # fmt: skip
    assert {name: [entry["seq"] for entry in entries] for name, entries in found.items()} == {"unsent": unsent, "waiting": waiting}
