"""The stories in which every function is heard: each is told in seconds, and the same every time."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.steps.once_more import in_house  # noqa: E402
from tests.works.as_before import MORE, REQUESTS  # noqa: E402

from api.as_before import Doors, no_chance  # noqa: E402
from entries.acts import ACTS  # noqa: E402
from entries.as_before import Asked  # noqa: E402
from entries.house import lived_in  # noqa: E402
from honeyhold.errors import HoneyholdError  # noqa: E402
from honeyhold.kernel import TABLE, work  # noqa: E402

DRAWS: Final = 8
"""Of the weather on a trip: the functions are the same ones, eight times in place of sixty-four."""

FEW: Final = {"quoting.recheck": 2, "quoting.call": 1, "documents.heat": 0}
"""Of works that take their time, so many of the requests besides the first."""


def _works(*beginnings: str) -> Callable[[], None]:
    """Every work whose name begins so, asked once with each of the requests that are there."""

    def tell() -> None:
        for name in sorted(TABLE):
            if name.startswith(beginnings):
                for request in (REQUESTS.get(name, {}), *list(MORE.get(name, {}).values())[: FEW.get(name)]):
                    with suppress(HoneyholdError):
                        work(name, _fewer(name, request))

    return tell


def _fewer(name: str, request: dict[str, Any]) -> dict[str, Any]:
    return {**request, "draws": DRAWS} if name.startswith("heat.") and "dressings" in request else request


def _entries(*groups: str, one_in: int = 1) -> Callable[[], None]:
    """Every kind of entry once, or one in so many, in a house where much has happened."""

    def tell() -> None:
        with no_chance(), lived_in() as here, here.opened(), in_house(here):
            for group in groups:
                for act in list(ACTS[group].values())[::one_in]:
                    with here.asked(), suppress(HoneyholdError):
                        of_act = Asked(here, act)
                        of_act.said(*of_act.entries)

    return tell


def _doors() -> None:
    """Every request that the application answers, as it is meant."""
    with no_chance(), lived_in() as here:
        doors = Doors(here)
        with here.opened(), in_house(here):
            for asking in doors.askings.values():
                if not asking.place.endswith(".pdf"):  # to draw one takes a second, and little of it is ours
                    doors.answered(asking)


STORIES: Final[dict[str, Callable[[], None]]] = {
    "documents": _works("documents."),
    "heat": _works("heat."),
    "packing": _works("packing."),
    "parcels": _works("quoting.parcel", "quoting.label", "quoting.slip", "quoting.price"),
    "calls": _works("quoting.call"),
    "papers": _works("quoting.order", "quoting.packed", "quoting.gathering", "quoting.days"),
    "mornings": _works("quoting.recheck", "quoting.trip"),
    "stock": _works("stock."),
    "entries of orders": _entries("promise", "amend", "let_go", "sell", "pack", "unpack", "parcels", "hand_over"),
    "entries of the house": _entries("shelf", "money", "notes", "settings", "of no kind"),
    "undone": _entries(*(group for group in ACTS if group.startswith("undo ")), one_in=3),
    "doors": _doors,
}
