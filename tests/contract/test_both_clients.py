"""Goal: what the storm, the demo and the tests play is what a phone does; method: the same act on both clients writes the same rows."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from contract.both_clients import REFUSED, Stage, cases, in_python, in_the_browser, known_rows, plain
from goods.in_node import in_node

CASES = cases()
WRITTEN = {name: case for name, case in CASES.items() if case["writes"] != REFUSED}
AMENDED = [name for name, case in WRITTEN.items() if case["act"]["call"] == "amend" and case["act"].get("lines")]


@pytest.fixture(scope="module")
def stage() -> Iterator[Stage]:
    """One Node process for all cases."""
    made = Stage()
    yield made
    made.player.close()


@pytest.mark.parametrize("name", CASES)
def test_the_client_in_python_writes_it(name: str) -> None:
    assert plain(in_python(CASES[name]), CASES[name]) == CASES[name]["writes"]


@pytest.mark.parametrize("name", CASES)
def test_the_browsers_store_writes_it(name: str, stage: Stage) -> None:
    assert plain(in_the_browser(stage, name, CASES[name]), CASES[name]) == CASES[name]["writes"]


@pytest.mark.parametrize("name", AMENDED)
def test_the_counter_reads_back_as_sure_what_is_then_written(name: str) -> None:
    case = CASES[name]
    rows = known_rows(case)
    sure = {row["line"]: row["units"] for row in rows if row["table"] == "reservation"}
    lines = [row for row in rows if row["table"] == "line" and "good" in row]
    for good, units in case["act"]["lines"]:
        before = sum(sure.get(line["id"], 0) for line in lines if line["good"] == good)
        asked = {"line": {"good": good, "units": units}, "lines": lines, "sure": sure, "share": case.get("share", {}).get(good, 0)}
        view = "{linesOf: () => asked.lines, sure: (line) => asked.sure[line.id] ?? 0, handed: () => 0}"
        told = in_node("store/sureness.js", f"here.surenessOf(asked.line, {{amends: 'o1'}}, {view}, asked.share)", asked)
        assert told["sure"] == min(units, before) + case["writes"]["spent"].get(good, 0)
