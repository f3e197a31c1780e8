"""When whoever holds the connections looks whether its server was left for another one."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from honeyhold.records import one_server
from honeyhold.records.one_server import LOOK_S, OneServer
from honeyhold.records.timelines import Place, Timelines

WAS, NEXT = Place("7", "00000001"), Place("7", "00000002")


@pytest.mark.parametrize("running_s", [0.0, LOOK_S, 1e6])
def test_it_is_looked_for_at_once_and_then_after_its_while(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, running_s: float) -> None:
    """However long the machine has been running: the first look waits for nothing."""
    here = OneServer({}, tmp_path)
    here.place = WAS
    now = [running_s]
    monkeypatch.setattr(one_server, "time", SimpleNamespace(monotonic=lambda: now[0]))
    notes = Timelines(tmp_path)
    notes.note(WAS)
    assert not here.doubted()
    notes.note(NEXT)
    now[0] += LOOK_S
    assert not here.doubted()
    now[0] += 0.001
    assert here.doubted()
    late = OneServer({}, tmp_path)
    assert not late.doubted()  # it has been nowhere yet
    late.place = WAS
    assert late.doubted()
