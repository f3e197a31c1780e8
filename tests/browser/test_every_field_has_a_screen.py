"""All that a person owns can be entered by screens alone: every table and field of the records is listed, and each is written by one.

A season is lived through at its shortest (every_screen.py), in a house that began empty; then the entries are read. A field counts when a
screen wrote it with another value than a new record has by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser

from browser.devices import close_what_opens
from browser.every_screen import SCREENS, Hands
from browser.house_process import HouseProcess
from browser.kept_phones import PATIENT_MS, without_kernel
from browser.test_first_morning import ALL, becomes_the_first_device
from browser.thumb import Thumb
from honeyhold.operations.rows import REASONS, TABLES
from honeyhold.records.models import ROWS, Operation

pytestmark = pytest.mark.browser

NOT_A_PERSONS = {
    "device": "the house's own: enrolling and losing a device",
    "forecast": "the house's own: what the weather service said",
    "reservation": "worked out from orders and shares",
}
"""Tables that nobody enters."""

WORKED_OUT = {
    ("order", "number"): "the device counts", ("order", "heat"): "what the heat model told", ("order", "told"): "the same in figures",
    ("order", "closed_on"): "the house's own day", ("order", "call_for"): "a pour or the weather says it", ("movement", "undoes"): "an undoing names what it undoes",
    ("parcel", "told_permille"): "what the heat model told", ("parcel", "part"): "the plan numbers them", ("good", "hidden"): "of a carton: retired with it",
    ("carton", "outer"): "follows from the inside and the board", ("line", "total_cents"): "the price told, worked out",
    ("line", "steps"): "the price of the day, kept with the order", ("line", "taxed"): "as the good was", ("order", "tax_cents"): "worked out",
    ("order", "tax_rate"): "the rate of the day, kept with the order", ("order", "tax_mailing"): "the same",
    ("good", "typical"): "until somebody measures it", ("till", "undoes"): "an undoing names what it undoes", ("lost_sale", "undoes"): "an undoing names what it undoes",
}  # fmt: skip
"""Fields of a person's tables that nobody enters."""

CHOICES = {
    ("movement", "reason"): set(REASONS), ("order", "way"): {"post", "pick_up", "walk_in"},
    ("order", "state"): {"promised", "packed", "gone", "let_go"}, ("order", "pays"): {"cash", "check", "later"},
    ("payment", "how"): {"cash", "check", "transfer", "other"}, ("parcel", "arrived"): {"fine", "dented", "slumped", "run", "leaked", "lost"},
    ("adjustment", "why"): {"discount", "gift", "heat", "breakage", "loss"}, ("till", "what"): {"opening", "taken", "counted"},
    ("good", "kind"): {"wax", "honey", "bulk", "carton"}, ("good", "unit"): {"each", "g"},
}  # fmt: skip
"""Choices of which each must be within reach of a screen."""

SETTINGS = {
    "name", "street", "city", "state", "zip", "phone", "email", "time_zone", "area_code", "posting_days", "leave_hour", "posting_honey_asked",
    "accept_permille", "hold_allowed", "mailbox", "thresholds", "closing_words", "posting_prices", "scale_division_g", "carton_low", "paper",
    "mould_sets", "morning_hours", "fan", "short_one_in", "ask_weather", "sales_tax", "shelf_units", "tracking_link",
    "label_size", "label_sheet", "label_words", "label_picture",
}  # fmt: skip
"""Settings that a person owns."""


@pytest.fixture(scope="module")
def entries(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[dict[str, Any]]]:
    """The rows of every entry that screens wrote in a season of a house that began empty."""
    house = HouseProcess(tmp_path_factory.mktemp("own") / "data", lambda _house: None)
    house.start()
    context = without_kernel(chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, service_workers="allow"))
    context.set_default_timeout(PATIENT_MS)
    thumb = Thumb(context.new_page())
    close_what_opens(thumb.page)
    device = becomes_the_first_device(thumb, house)
    for question in ALL:
        question(thumb)
    hands = Hands(device)
    for screen in SCREENS:
        screen(hands)
    device.wait_for("house.status.inHand === 0")
    assert device.status()["needsYou"] == []
    context.close()
    yield house.in_person(_written)
    house.stop()


def _written(house: Any) -> list[dict[str, Any]]:
    with house.records.read():
        # what a person has the main computer write, at a touch, is a forgetting
        theirs = (Operation.device != "house") | (Operation.kind == "note_person")
        found = house.records.dicts(Operation.select(Operation.body).where(theirs))
    return [row for entry in found for row in entry["body"]["rows"]]


def _default(table: str, field: str) -> Any:
    """What a new record has of itself; a value that no entry can hold where it has none."""
    column = ROWS[table]._meta.fields.get(field)
    default = getattr(column, "default", None)
    return default() if callable(default) else default


def test_every_field_that_a_person_owns_is_written_by_a_screen(entries: list[dict[str, Any]]) -> None:
    owned = {
        (table, field) for table, schema in TABLES.items() if table not in NOT_A_PERSONS and table != "setting"
        for field in schema().fields if field not in ("table", "id") and (table, field) not in WORKED_OUT
    }  # fmt: skip
    written = {
        (row["table"], field) for row in entries for field, value in row.items()
        if field not in ("table", "id", "was") and value not in (None, _default(row["table"], field))
    }  # fmt: skip
    assert sorted(owned - written) == []


@pytest.mark.parametrize(("table", "field"), CHOICES)
def test_every_choice_is_within_reach(entries: list[dict[str, Any]], table: str, field: str) -> None:
    made = {row[field] for row in entries if row["table"] == table and field in row}
    assert sorted(CHOICES[table, field] - made) == []


def test_every_setting_is_written_by_a_screen(entries: list[dict[str, Any]]) -> None:
    assert sorted(SETTINGS - {row["id"] for row in entries if row["table"] == "setting"}) == []


def test_a_table_nobody_thought_of_is_noticed() -> None:
    """The lists above name nothing that is not there: a table or field that goes away takes its line along."""
    assert set(NOT_A_PERSONS) <= set(TABLES)
    assert all(field in TABLES[table]().fields for table, field in (*WORKED_OUT, *CHOICES))
