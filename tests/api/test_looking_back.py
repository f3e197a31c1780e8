"""A season is told over the wire: out of the records and, for who had to wait and what was held, out of the log."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

from api.conftest import assert_problem, bearing
from honeyhold.house.house import House
from replication.houses import Watch, device


def told(client: FlaskClient, identity: dict[str, Any], season: int) -> dict[str, Any]:
    answer = client.get(f"/api/looking-back?season={season}", headers=bearing(identity))
    assert answer.status_code == 200, answer.get_data(as_text=True)
    return dict(answer.get_json())


def test_what_waited_gave_up_and_was_held_is_known_from_the_log(
    client: FlaskClient, house: House, watch: Watch, helper: dict[str, Any]
) -> None:
    """Forty bars: 30 at once; of 25 more 10 are sure and 15 wait, and so do five more, until they give up."""
    hand = device(house, bars=40)
    ann = hand.note_person(name="Ann", zip="55616", city="Two Harbors", state="MN", street="1 Pier")
    first = hand.promise([("bar", 30)], person=ann, way="pick_up", payment=(9000, "cash"))
    hand.hand_over(first.order)
    waits = hand.promise([("bar", 25)], person=ann, way="pick_up")
    gives_up = hand.promise([("bar", 5)], person=ann, way="pick_up")
    cool = hand.promise([("jar", 1)], person=ann, hold_for_cool=True)
    hand.exchange()
    hand.let_go(gives_up.order)
    hand.amend(cool.order, hold_for_cool=False, leave_on="2026-07-27")
    hand.exchange()
    season = told(client, helper, 2026)
    now = season["now"]
    assert waits.waiting == {"bar": 15} and gives_up.waiting == {"bar": 5}
    assert now["waited"] == {"calls": 3, "units": 15 + 5 + 1, "cents": 300 * 21}  # the jar was not this device's to promise
    assert now["given_up"] == {"calls": 1, "units": 5, "cents": 1500}
    assert now["held"] == 1  # held once, though it goes on a day now
    assert (now["orders"], now["sold_cents"], now["received_cents"], now["owed_cents"]) == (1, 9000, 9000, 0)
    assert [week["cents"] for week in season["weeks"] if week["cents"]] == [9000]
    assert told(client, helper, 2027)["before"] == now
    assert told(client, helper, 2025)["now"]["orders"] == 0


def test_a_season_that_is_none_is_refused(client: FlaskClient, keeper: dict[str, Any]) -> None:
    for question in ("", "?season=last", "?season=0"):
        assert_problem(client.get(f"/api/looking-back{question}", headers=bearing(keeper)), 422, "bad-shape")
    assert client.get("/api/looking-back?season=2026").status_code == 401
