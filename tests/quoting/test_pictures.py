"""The pictures of one order, drawn through the one door: the trip and the days, as screen and paper show them."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from tests.quoting.test_call import CARTONS, MONDAY_IN_JULY, SETTINGS, asked

from honeyhold import kernel
from honeyhold.errors import BadRequest

TITLE = "{http://www.w3.org/2000/svg}title"


@pytest.mark.parametrize("name", ["trip", "days"])
def test_the_picture_is_drawn_and_says_what_it_shows(name: str) -> None:
    """A whole SVG with a title, which is what a screen reader says of it."""
    answer = kernel.work(f"quoting.{name}_picture", asked({"bar": 10}, "55811", only="asked"))
    title = ElementTree.fromstring(answer["svg"]).find(f".//{TITLE}")
    assert title is not None and title.text


def test_without_a_carton_there_is_no_trip_to_draw() -> None:
    """The parcel that is drawn is the one that is asked for: none in its place."""
    request = asked({"quart": 1}, "55811", MONDAY_IN_JULY, house=SETTINGS, cartons=CARTONS[:1])
    with pytest.raises(BadRequest, match="No carton here holds this order packed that way"):
        kernel.work("quoting.trip_picture", request)
