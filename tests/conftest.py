"""What holds for every test."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

import postgresql_server
from honeyhold.app.log_lines import NAME
from hosting import nginx_server
from long_tests import LongTests

# A shared or busy machine is slow now and then: a generated example is right or wrong, never late. The suite draws the same examples
# every time, so that it says something of the change and not of the day; `--hypothesis-profile=search` draws new ones.
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)
settings.load_profile("house")

HERE = Path(__file__).parent
SLOW = {
    "api/test_as_before.py", "api/test_described.py", "api/test_doors.py", "api/test_effort.py", "api/test_heat_doors.py",
    "api/test_over_the_wire.py", "api/test_problems.py", "contract/test_both_clients.py", "documents/test_heat_sheet.py",
    "documents/test_house_papers.py", "documents/test_pdf.py", "documents/test_read_back.py", "entries", "every_call",
    "goods/test_pricing.py", "heard", "heat/test_advice.py", "hosting", "house/test_as_before.py", "house/test_demo.py",
    "house/test_export.py", "house/test_full_disk.py", "house/test_moving.py", "house/test_moving_cut_short.py",
    "house/test_neighbours.py", "house/test_quarantine.py", "house/test_restoring.py", "house/test_running.py",
    "house/test_scheduled_backup.py", "house/test_sealed_backup.py", "house/test_service.py", "house/test_serving.py",
    "importing/test_as_before.py", "importing/test_people.py", "outside", "packing/test_apart.py", "packing/test_as_before.py",
    "packing/test_blocks.py", "packing/test_plan.py", "packing/test_positions.py", "packing/test_sawn.py", "quoting/test_call.py",
    "quoting/test_forecast_rows.py", "quoting/test_recheck.py", "records/test_carrying.py", "records/test_going_back.py",
    "records/test_killed.py", "records/test_one_contract.py", "records/test_postgresql.py", "replication/test_allocation.py",
    "replication/test_at_size.py", "replication/test_bounds.py", "replication/test_interleavings.py", "replication/test_joining.py",
    "replication/test_malformed.py", "replication/test_money.py", "replication/test_never_oversells.py",
    "replication/test_order_of_return.py", "replication/test_restored.py", "replication/test_season_closes.py",
    "replication/test_standing.py", "replication/test_undo.py", "screens", "steps", "stock/test_allocation.py",
    "stock/test_restock.py", "stock/test_two_years.py", "store", "storm", "test_calm.py", "works",
}  # fmt: skip
"""Files, and whole folders, that took more than two and a half seconds of a processor: `scripts/test --quick` leaves them out."""
LONG = LongTests.read(HERE / "long_tests.txt")
"""What only `scripts/test --all` runs."""


@pytest.fixture(autouse=True)
def _log_as_before() -> Iterator[None]:
    """A test that serves a house, or speaks in another form, leaves the log as it found it: later ones listen to it."""
    log = logging.getLogger(NAME)
    handlers, level, propagate = list(log.handlers), log.level, log.propagate
    yield
    log.handlers[:], log.propagate = handlers, propagate
    log.setLevel(level)


if postgresql_server.chosen():
    postgresql_server.every_house_in_it()

    @pytest.fixture(autouse=True)
    def _databases_go() -> Iterator[None]:
        """The databases of a test are gone when it is over."""
        postgresql_server.needed()
        with postgresql_server.swept():
            yield


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """What was not looked at is said at the end too, where a skip is only a letter."""
    if postgresql_server.programs() is None:
        terminalreporter.write_line(postgresql_server.MISSING, red=True, bold=True)
    if not nginx_server.program():
        terminalreporter.write_line(nginx_server.MISSING, red=True, bold=True)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Marks what is slow, and what is long, by where it stands; leaves out what looks into a file where the houses are in PostgreSQL.

    Raises pytest.UsageError when the list of long tests names one that its file has not: it was renamed, and would run every day."""
    places = {item: item.nodeid.removeprefix("tests/") for item in items}
    if not any("::" in word for word in config.args) and (unknown := LONG.unknown(set(places.values()))):
        raise pytest.UsageError(f"tests/long_tests.txt names tests that are not there: {', '.join(unknown)}. Write their names of today.")
    for item in items:
        if LONG.holds(places[item]):
            item.add_marker(pytest.mark.long)
        if postgresql_server.chosen() and item.get_closest_marker("of_a_file"):
            item.add_marker(pytest.mark.skip(reason="it looks into SQLite's file, and these houses are in PostgreSQL"))
        if item.path.is_relative_to(HERE):
            place = item.path.relative_to(HERE)
            if place.as_posix() in SLOW or place.parts[0] in SLOW:
                item.add_marker(pytest.mark.slow)
