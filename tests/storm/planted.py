"""Known mistakes, put into the house on purpose: each must be caught. `{name: what puts it in}`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import replace
from typing import Any
from unittest.mock import patch

from demo_seed.client.replica import Share as HeldShare
from demo_seed.client.transport import LogClient

from honeyhold.house import house as house_module
from honeyhold.operations import allocations, apply, waiting_lines, writing
from honeyhold.operations.kinds import KINDS, cartons
from honeyhold.records.models import Balance, DeviceState, Share
from honeyhold.records.store import Records
from honeyhold.replication import allocation, changes, exchange, mirror

Planted = Callable[[], AbstractContextManager[Any]]


def _replaced(module: Any, name: str, value: Any) -> Planted:
    return lambda: patch.object(module, name, value)


def _grants_twice(records: Any, device: str, good: str, units: int) -> None:
    _grant(records, device, good, units)
    records.run(Share.update(granted=Share.granted + units).where((Share.device == device) & (Share.good == good)))


def _pool_not_lowered(records: Any, device: str, good: str, units: int) -> None:
    _grant(records, device, good, units)
    records.run(Balance.update(out=Balance.out - units).where(Balance.good == good))


def _believes_seq_alone(records: Any, device: str, given: dict[str, Any]) -> dict[str, Any] | None:
    found = _stored(records, device, given)
    return {**found, "hash": given["hash"]} if found else None


def _spends_again(records: Any, who: Any, given: Any) -> Any:
    answer = _take(records, who, given)
    state = records.first(DeviceState.select().where(DeviceState.id == who.device))
    if isinstance(given, dict) and given["seq"] < state["last_seq"]:
        allocations.spend(records, who.device, given.get("spent", {}))
    return answer


def _leaps_over_holes(records: Any, who: Any, given: Any) -> Any:
    state = records.first(DeviceState.select().where(DeviceState.id == who.device))
    if given["seq"] > state["last_seq"] + 1:
        records.run(
            DeviceState.update(last_seq=given["seq"] - 1, last_hash=given["before"]).where(DeviceState.id == who.device)
        )
    return _take(records, who, given)


def _last_change_left_out(records: Any, cursor: int) -> tuple[list[dict[str, Any]], int, bool]:
    page, after, more = _changes_after(records, cursor)
    return (page[:-1] if len(page) > 2 else page), after, more


def _answers_before_the_commit() -> AbstractContextManager[Any]:
    """The answer is given although the write was undone."""
    whole = house_module.House._exchange
    count = [0]

    def undone(house: Any, device: Any, ask: Any, moment: Any) -> Any:
        count[0] += 1
        if count[0] % 5 or not ask["operations"]:
            return whole(house, device, ask, moment)
        try:
            with house.records.savepoint():
                answer = whole(house, device, ask, moment)
                raise InterruptedError
        except InterruptedError:
            return answer

    return patch.object(house_module.House, "_exchange", undone)


def _one_more_than_the_pool(records: Any, *rest: Any) -> Any:
    grants, back = _divide_among(records, *rest)
    return {good: units + 30 for good, units in grants.items()}, back


def _stored_otherwise(records: Any, who: Any, given: Any, *rest: Any) -> Any:
    return _store(records, who, {**given, "before": ""} if given["seq"] % 3 == 0 else given, *rest)


def _told_before_it_is_put_down(records: Any, device: Any, ask: Any, *rest: Any) -> Any:
    answer = _answer_to(records, device, ask, *rest)
    return {**answer, "granted": {good: units + 5 for good, units in answer["granted"].items()}}


def _refusals_kept_back(*given: Any) -> Any:
    return {**_answer_to(*given), "refused": []}


def _never_an_end(records: Any, cursor: int) -> Any:
    page, after, _more = _changes_after(records, cursor)
    return page, after, True


@contextmanager
def _no_whole_operation() -> Iterator[None]:
    with patch.object(Records, "savepoint", lambda _self: nullcontext()):
        yield


def _undone_and_forgotten() -> AbstractContextManager[Any]:
    """An undo lands and nobody remembers of what: neither its name nor the movements it brings back."""
    whole = KINDS["undo"]

    def forgetful(landing: Any) -> None:
        whole.rule(landing)
        for row in landing.of("movement"):
            row["undoes"] = None
        landing.rows[:] = [row for row in landing.rows if row["table"] != "undoing"]

    return patch.dict(KINDS, {"undo": replace(whole, rule=forgetful)})


def _pays_nothing_back() -> AbstractContextManager[Any]:
    """The units come back, the money does not."""
    whole = KINDS["undo"]

    def unpaid(landing: Any) -> None:
        whole.rule(landing)
        landing.rows[:] = [row for row in landing.rows if row["table"] != "payment"]

    return patch.dict(KINDS, {"undo": replace(whole, rule=unpaid)})


def _paid_back_on_another_day() -> AbstractContextManager[Any]:
    """An undone payment is taken out of another day's till."""
    whole = KINDS["undo"]

    def another_day(landing: Any) -> None:
        whole.rule(landing)
        for row in landing.of("payment"):
            row["on"] = "2026-01-01"

    return patch.dict(KINDS, {"undo": replace(whole, rule=another_day)})


def _till_without_what_was_paid_back(records: Any, since: str) -> Any:
    """A device that starts anew hears what came in, and not what went back."""
    return [row for row in _money_sums(records, since) if row["cents"] > 0]


def _cartons_back_twice(context: Any, order: str) -> None:
    """A canceled order's cartons come back as often as it is canceled."""
    used = context.records.sql('SELECT 1 FROM movement WHERE "order" = ? AND reason = ?', order, "packed").fetchone()
    cartons._move(context, order, {("carton", None): 1} if used else {}, cartons.CANCELED)


def _never_offered_again(client: Any, epoch: str) -> None:
    _hand_in_the_rest(client, client.epoch)


def _lots_read_leniently() -> AbstractContextManager[Any]:
    """A lot that has not come back yet is taken for one that nobody knows."""
    whole = writing._points

    def lenient(context: Any, table: str, row: dict[str, Any]) -> None:
        waits, context.may_wait = context.may_wait, False
        try:
            whole(context, table, row)
        finally:
            context.may_wait = waits

    return patch.object(writing, "_points", lenient)


def _refused_for_coming_early() -> AbstractContextManager[Any]:
    """What comes before its cause is refused for good."""
    whole = exchange._who
    return patch.object(exchange, "_who", lambda *all_: replace(whole(*all_), may_wait=False))


_money_sums = mirror.money_sums
_hand_in_the_rest = LogClient._hand_in_the_rest
_grant, _stored, _take, _changes_after = allocations.grant, apply._stored, apply.take, changes.changes_after
_answer_to, _store = exchange.answer_to, apply._store
_divide_among = allocation.divide_among

PLANTED: dict[str, Planted] = {
    "a grant counted twice": _replaced(allocations, "grant", _grants_twice),
    "the pool not lowered by a grant": _replaced(allocations, "grant", _pool_not_lowered),
    "granted beyond the pool": _replaced(allocation, "divide_among", _one_more_than_the_pool),
    "sequence number believed without the hash": _replaced(apply, "_stored", _believes_seq_alone),
    "a repeated entry spends again": _replaced(exchange, "take", _spends_again),
    "holes leapt over": _replaced(exchange, "take", _leaps_over_holes),
    "a refused entry's bars forgotten": _replaced(apply, "_readable_spent", lambda _given: {}),
    "half a refused entry kept": _no_whole_operation,
    "a closed order keeps its bars": _replaced(writing, "settle_line", lambda _landing, _line: None),
    "waiting lines filled from an empty pool": _replaced(
        waiting_lines, "pools", lambda records, goods=None: {good: units + 5 for good, units in allocations.pools(records, goods).items()}
    ),
    "a change left out": _replaced(exchange, "changes_after", _last_change_left_out),
    "answered before the commit": _answers_before_the_commit,
    "a lost device's entries dropped": _replaced(house_module, "keep_apart", lambda *_all: None),
    "a copy's entries dropped": _replaced(apply, "keep_apart", lambda *_all: None),
    "a lost device keeps its share": _replaced(allocations, "write_off", lambda _records, _device: None),
    "an entry stored other than it was said": _replaced(apply, "_store", _stored_otherwise),
    "a grant told before it is put down": _replaced(house_module, "answer_to", _told_before_it_is_put_down),
    "a refusal kept back": _replaced(house_module, "answer_to", _refusals_kept_back),
    "never an end to the changes": _replaced(exchange, "changes_after", _never_an_end),
    "a device forgets what it has promised": _replaced(HeldShare, "take", lambda _share, _units: None),
    "an undo forgotten": _undone_and_forgotten,
    "an undo that pays nothing back": _pays_nothing_back,
    "a restored house forgets its devices": _replaced(house_module.device_registry, "known", lambda _folder: {}),
    "refused for coming before its cause": _refused_for_coming_early,
    "a lot that has not come back is forgotten": _lots_read_leniently,
    "what waits for its cause is never judged": _replaced(house_module, "judge_waiting", lambda _records, _judges: None),
    "a restored house does not hear what it had granted": _replaced(exchange, "_hear_grants", lambda *_all: None),
    "what was kept apart is never offered again": _replaced(LogClient, "_hand_in_the_rest", _never_offered_again),
    "an undone payment counts on another day": _paid_back_on_another_day,
    "the till without what was paid back": _replaced(mirror, "money_sums", _till_without_what_was_paid_back),
    "a canceled order keeps its cartons": _replaced(cartons, "give_back", lambda _context, _order: None),
    "a canceled order's cartons come back twice": _replaced(cartons, "give_back", _cartons_back_twice),
}

NEEDED: dict[str, tuple[str, ...]] = {
    "a device forgets what it has promised": (),
    "a restored house forgets its devices": ("empty", "restore"),
    **dict.fromkeys((
        "refused for coming before its cause", "a lot that has not come back is forgotten", "what waits for its cause is never judged",
        "a restored house does not hear what it had granted",
    ), ("restore",)),
    "what was kept apart is never offered again": ("lose", "restore"),
    "the till without what was paid back": ("empty", "restore"),
}  # fmt: skip
"""Troubles that a run must have for the mistake to show; the others need only the usual two."""
NEEDED_OTHERWISE = ("copy", "lose")
OF_THE_PYTHON_CLIENT = ("a device forgets what it has promised", "what was kept apart is never offered again")
"""Not in the house: the browser's store has its own of this kind (`planted_web.py`)."""
