"""Of many houses: what is let go is let go whole and at once, and what the register says is read again."""

from __future__ import annotations

import pytest

from honeyhold.house import many_houses
from honeyhold.house.many_houses import Houses
from hosting.test_many_houses import names_of
from replication.houses import MONDAY


def test_a_house_that_was_set_aside_is_let_go_as_its_last_user_leaves(two: Houses, monkeypatch: pytest.MonkeyPatch) -> None:
    """At once, not when somebody looks; whoever asks meanwhile has it opened anew."""
    closed: list[many_houses.Opened] = []
    close = many_houses._close
    monkeypatch.setattr(many_houses, "_close", lambda opened: (closed.append(opened), close(opened)))
    lease, another = two.take("willow"), two.take("willow")
    first = two._opened["willow"]
    two._set_aside(first)
    with two.lent("willow") as willow:
        assert names_of(willow) == "House of willow" and two._opened["willow"] is not first
    another.leave()
    assert closed == []
    lease.leave()
    assert closed == [first]


def test_records_that_are_let_go_give_their_connection_back(two: Houses) -> None:
    """But for one on which something is under way: whoever works on it ends that first."""
    with two.lent("willow") as willow:
        database = willow.records.database
        database.connect()
        with database.atomic():
            willow.records.close()
            assert not database.is_closed()
        assert not database.is_closed()
        willow.records.close()
        assert database.is_closed()


def test_the_register_is_read_again_each_time_it_was_read_long_ago(two: Houses) -> None:
    for name in ("oak", "rowan"):
        assert name not in two.known()
        two.register.add(name, MONDAY)
        assert name not in two.known(), "read a moment ago"
        two._known_at_s = -1e9
        assert name in two.known()
