"""The one door to the pure work: the same call on the server and in the browser.

`work(name, request)` takes and gives plain JSON types. `exp`, `sin` and their kin differ in the last bit between the
two builds of Python, so the door rounds every fraction on its way out; decisions inside are taken on integers or with a
stated margin. Modules are imported when first asked for: a device that only wants to know a carton does not wait for heat.
"""

from __future__ import annotations

import math
import pkgutil
import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

from honeyhold.errors import BadRequest, HoneyholdError

if TYPE_CHECKING:
    from honeyhold.heat.atlas import Atlas

Json = dict[str, Any]

DECIMALS = 4
"""Every fraction in an answer is rounded to this many places: the stated precision of the door."""


class UnknownWork(HoneyholdError, LookupError):
    """No work of this name: the asker is newer or older than this house."""

    code = "unknown-work"
    status = 404


@dataclass(frozen=True)
class Work:
    """Where a piece of work lives, and whether it needs the bundled tables of places and climate."""

    module: str
    function: str
    needs_atlas: bool = False

    def load(self) -> Callable[..., Json]:
        """The function, its module imported."""
        function: Callable[..., Json] = getattr(import_module(self.module), self.function)
        return function

    def call(self, request: Json) -> Json:
        """Run it. The atlas is handed in, since the pure modules read no files."""
        return self.load()(request, atlas()) if self.needs_atlas else self.load()(request)


TABLE: dict[str, Work] = {
    "packing.plan": Work("honeyhold.packing.doors", "plan"),
    "packing.draw": Work("honeyhold.packing.drawing.parcel", "draw"),
    "packing.weigh_check": Work("honeyhold.packing.weighing.scale", "weigh_check"),
    "packing.learn_mass": Work("honeyhold.packing.weighing.scale", "learn_mass"),
    "packing.postage": Work("honeyhold.packing.postage.quote", "quote"),
    "heat.advise": Work("honeyhold.heat.advice", "advise"),
    "heat.trip": Work("honeyhold.heat.trip", "trip"),
    "heat.draw": Work("honeyhold.heat.trip_svg", "draw"),
    "heat.limits": Work("honeyhold.quoting.doors", "limits"),
    "heat.calibration": Work("honeyhold.heat.calibration", "calibration"),
    "heat.calibration_picture": Work("honeyhold.heat.calibration_svg", "draw_calibration"),
    "stock.shelf_picture": Work("honeyhold.stock.pictures", "shelf_picture"),
    "stock.run_down_picture": Work("honeyhold.stock.pictures", "run_down_picture"),
    "stock.weeks_picture": Work("honeyhold.stock.looking_back_picture", "weeks_picture"),
    "stock.melt_by": Work("honeyhold.stock.restock", "melt_by"),
    "stock.season_sums": Work("honeyhold.stock.season", "season_sums"),
    "stock.press_from_season": Work("honeyhold.stock.season", "press_from_season"),
    "stock.wax_here": Work("honeyhold.stock.balances", "wax_here"),
    "stock.cooling_time": Work("honeyhold.stock.cooling", "cooling_time"),
    "stock.honey_moisture": Work("honeyhold.stock.honey", "honey_moisture"),
    "stock.trace": Work("honeyhold.stock.lots", "trace"),
    "stock.line_price": Work("honeyhold.stock.pricing", "line_price"),
    "stock.order_sums": Work("honeyhold.stock.pricing", "order_sums"),
    "stock.order_sentence": Work("honeyhold.stock.sentence", "order_sentence"),
    "quoting.call": Work("honeyhold.quoting.doors", "call", needs_atlas=True),
    "quoting.recheck": Work("honeyhold.quoting.doors", "recheck", needs_atlas=True),
    "quoting.parcel": Work("honeyhold.quoting.doors", "parcel_first", needs_atlas=True),
    "quoting.parcel_picture": Work("honeyhold.quoting.doors", "parcel_picture", needs_atlas=True),
    "quoting.packed_picture": Work("honeyhold.quoting.doors", "packed_picture"),
    "quoting.price_table": Work("honeyhold.quoting.postage", "price_table"),
    "quoting.trip_picture": Work("honeyhold.quoting.doors", "trip_picture", needs_atlas=True),
    "quoting.days_picture": Work("honeyhold.quoting.doors", "days_picture", needs_atlas=True),
    "quoting.slip": Work("honeyhold.documents.doors", "slip", needs_atlas=True),
    "quoting.gathering": Work("honeyhold.documents.doors", "gathering", needs_atlas=True),
    "quoting.label": Work("honeyhold.documents.doors", "label_of", needs_atlas=True),
    "quoting.order_papers": Work("honeyhold.documents.doors", "order_papers", needs_atlas=True),
    "documents.slip": Work("honeyhold.documents.doors", "slip_html"),
    "documents.gathering": Work("honeyhold.documents.doors", "gathering_html"),
    "documents.heat": Work("honeyhold.documents.doors", "heat_sheet", needs_atlas=True),
    "documents.receipt": Work("honeyhold.documents.doors", "receipt_html"),
    "documents.recall": Work("honeyhold.documents.doors", "recall_html"),
    "documents.label": Work("honeyhold.documents.doors", "label_html"),
    "documents.jar_labels": Work("honeyhold.documents.doors", "jar_labels_html"),
    "documents.statement": Work("honeyhold.documents.doors", "statement_html"),
    "documents.counting": Work("honeyhold.documents.doors", "counting_html"),
    "documents.prices": Work("honeyhold.documents.doors", "prices_html"),
    "documents.care": Work("honeyhold.documents.doors", "care_html"),
    "documents.year": Work("honeyhold.documents.doors", "year_html"),
}


_OF_THREAD = threading.local()


def atlas() -> Atlas:
    """Places and climate by the first three digits of the ZIP code, with this thread's own memory of the weather it asked about last."""
    made: Atlas | None = getattr(_OF_THREAD, "atlas", None)
    if made is None:
        made = _OF_THREAD.atlas = import_module("honeyhold.heat.atlas").Atlas(*_tables())
    return made


@cache
def _tables() -> tuple[Json, Json]:
    """The tables of the package's own data, read once and never changed."""
    places = import_module("honeyhold.heat.places")
    return places.read_places(_text("honeyhold.heat", "data/places.csv")), places.read_climate(_text("honeyhold.heat", "data/climate.csv"))


def load(name: str) -> None:
    """Import what the work called `name` runs, the tables with it. Raises UnknownWork."""
    _named(name).load()
    atlas()


def _named(name: str) -> Work:
    if name not in TABLE:
        raise UnknownWork(f"There is no work called {name!r} here.", "Bring the app up to date, then ask again.")
    return TABLE[name]


def work(name: str, request: Json) -> Json:
    """Do the work called `name`.

    Raises UnknownWork for a name that is not in the table, BadRequest for a request that cannot be understood.
    """
    named = _named(name)
    if not isinstance(request, dict):
        raise BadRequest(f"{name} wants an object, not {type(request).__name__}.", "Send a JSON object.")
    answer: Json = _rounded(named.call(request), name)
    return answer


def _rounded(value: Any, where: str) -> Any:
    """The same value with every fraction rounded; a fraction that is no number is a defect and is said aloud."""
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ArithmeticError(f"{where} came out as {value}: no answer is better than this one.")
        return round(value, DECIMALS) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(item, f"{where}.{key}") for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(item, where) for item in value]
    return value


def _text(package: str, path: str) -> str:
    data = pkgutil.get_data(package, path)
    if data is None:
        raise FileNotFoundError(f"{package} lacks its file {path}: install it again with scripts/run.")
    return data.decode("utf-8")
