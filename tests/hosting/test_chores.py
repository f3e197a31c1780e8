"""What is done for a house by itself is done for the house that is open now, not for one that was let go meanwhile."""

from __future__ import annotations

from pathlib import Path

import pytest

from honeyhold.app.chores import Chores
from hosting.many import houses
from hosting.test_hosting import looked, quiet


@pytest.mark.parametrize("kind", ["backup", "forecaster"])
def test_a_house_that_was_opened_again_between_two_looks_is_the_one_that_is_looked_after(address: str, tmp_path: Path, kind: str) -> None:
    with houses(address, tmp_path, "willow", idle_s=-1.0) as many:
        chores = Chores(many, forecasts=quiet)
        chore_of = {"backup": chores._backups, "forecaster": chores._weather}[kind]
        with many.lent("willow"):
            looked(chores, many)
            chore_of["willow"].at_s = 0.0
            looked(chores, many)
            before = chore_of["willow"].house
        many.tidy()
        assert many.open_now() == []
        with many.lent("willow") as willow:
            chore_of["willow"].at_s = 0.0
            looked(chores, many)
            assert before is not None and willow is not before
            assert chore_of["willow"].house is willow and getattr(chore_of["willow"], kind).house is willow
