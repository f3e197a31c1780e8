"""The one door to the pure work: the same call on the server and in the browser.

`work(name, request)` takes and gives plain JSON types. `exp`, `sin` and their kin differ in the last bit between the
two builds of Python, so the door rounds every fraction on its way out; decisions inside are taken on integers or with a
stated margin. Modules are imported when first asked for: a device that only wants to know a carton does not wait for heat.
"""

from __future__ import annotations

import math
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Any

from honeyhold.errors import BadRequest, HoneyholdError

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

    def call(self, request: Json) -> Json:
        """Run it. The atlas is handed in, since the pure modules read no files."""
        function: Callable[..., Json] = getattr(import_module(self.module), self.function)
        return function(request, atlas()) if self.needs_atlas else function(request)


TABLE: dict[str, Work] = {
    "bench.plan": Work("honeyhold.bench.plan", "plan"),
    "bench.draw": Work("honeyhold.bench.draw", "draw"),
    "bench.verify": Work("honeyhold.bench.verify", "verify_request"),
    "bench.weigh_check": Work("honeyhold.bench.weigh", "weigh_check"),
    "bench.learn_mass": Work("honeyhold.bench.weigh", "learn_mass"),
    "bench.posting": Work("honeyhold.bench.posting", "quote"),
    "heat.advise": Work("honeyhold.heat.advice", "advise"),
    "heat.trip": Work("honeyhold.heat.trip", "trip"),
    "heat.draw": Work("honeyhold.heat.draw", "draw"),
    "heat.limits": Work("honeyhold.answers.limits", "limits"),
    "heat.calibration": Work("honeyhold.heat.calibration", "calibration"),
    "heat.calibration_picture": Work("honeyhold.heat.draw_calibration", "draw_calibration"),
    "trade.shelf_picture": Work("honeyhold.trade.picture", "shelf_picture"),
    "trade.run_down_picture": Work("honeyhold.trade.picture", "run_down_picture"),
    "trade.melt_by": Work("honeyhold.trade.restock", "melt_by"),
    "trade.season_sums": Work("honeyhold.trade.season", "season_sums"),
    "trade.press_from_season": Work("honeyhold.trade.season", "press_from_season"),
    "trade.wax_here": Work("honeyhold.trade.balances", "wax_here"),
    "trade.cooling_time": Work("honeyhold.trade.cooling", "cooling_time"),
    "trade.honey_moisture": Work("honeyhold.trade.honey", "honey_moisture"),
    "trade.trace": Work("honeyhold.trade.lots", "trace"),
    "trade.line_price": Work("honeyhold.trade.pricing", "line_price"),
    "trade.order_sums": Work("honeyhold.trade.pricing", "order_sums"),
    "trade.order_sentence": Work("honeyhold.trade.sentence", "order_sentence"),
    "answers.call": Work("honeyhold.answers.call", "call", needs_atlas=True),
    "answers.recheck": Work("honeyhold.answers.recheck", "recheck", needs_atlas=True),
    "answers.parcel": Work("honeyhold.answers.call", "parcel_first", needs_atlas=True),
    "answers.parcel_picture": Work("honeyhold.answers.pictures", "parcel_picture", needs_atlas=True),
    "answers.price_table": Work("honeyhold.answers.postage", "price_table"),
    "answers.trip_picture": Work("honeyhold.answers.pictures", "trip_picture", needs_atlas=True),
    "answers.days_picture": Work("honeyhold.answers.pictures", "days_picture", needs_atlas=True),
    "answers.slip": Work("honeyhold.papers.order_slip", "slip", needs_atlas=True),
    "answers.gathering": Work("honeyhold.papers.order_gathering", "gathering", needs_atlas=True),
    "papers.slip": Work("honeyhold.papers.slip", "slip_html"),
    "papers.gathering": Work("honeyhold.papers.gathering", "gathering_html"),
    "papers.heat": Work("honeyhold.papers.heat_sheet", "heat_sheet", needs_atlas=True),
    "papers.receipt": Work("honeyhold.papers.receipt", "receipt_html"),
    "papers.recall": Work("honeyhold.papers.recall", "recall_html"),
    "papers.label": Work("honeyhold.papers.label", "label_html"),
}


@cache
def atlas() -> Json:
    """Places and climate by the first three digits of the ZIP code, read once from the package's own data."""
    places = import_module("honeyhold.heat.places")
    return {
        "places": places.read_places(_text("honeyhold.heat", "data/places.csv")),
        "climate": places.read_climate(_text("honeyhold.heat", "data/climate.csv")),
    }


def work(name: str, request: Json) -> Json:
    """Do the work called `name`.

    Raises UnknownWork for a name that is not in the table, BadRequest for a request that cannot be understood.
    """
    if name not in TABLE:
        raise UnknownWork(f"There is no work called {name!r} here.", "Bring the app up to date, then ask again.")
    if not isinstance(request, dict):
        raise BadRequest(f"{name} wants an object, not {type(request).__name__}.", "Send a JSON object.")
    answer: Json = _rounded(TABLE[name].call(request), name)
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
