"""I4: when messages stop, every device's mirror equals the house's records."""

from __future__ import annotations

from typing import Any

from demo_seed.client.replica import Mirror

from storm.checkers.violation import Violation


def check_agreement(world: Any) -> None:
    """Compares each mirror with one fetched afresh."""
    for phone in world.phones:
        fresh = Mirror.from_answer(world.house.mirror(phone.identity["token"]))
        for name in ("lots", "sure", "handed", "promised", "paid", "money", "moved", "took"):
            ours, theirs = _plain(getattr(phone.mirror, name)), _plain(getattr(fresh, name))
            if name in ("sure", "handed", "paid"):
                # the fresh mirror leaves out what was closed long ago
                ours = {key: units for key, units in ours.items() if key in theirs or key in _open_ids(fresh)}
            if ours != theirs:
                raise Violation("agreement", f"{phone.identity['name']} has other {name}: {_difference(ours, theirs)}")
        for table in ("order", "line", "person", "good", "device"):
            for row_id, row in fresh.rows[table].items():
                mine = phone.mirror.rows[table].get(row_id, {})
                other = {key: (mine[key], row[key]) for key in mine if mine[key] != row.get(key)}
                if other or not mine:
                    raise Violation("agreement", f"{phone.identity['name']} has another {table} {row_id}: {other}")


def _open_ids(mirror: Mirror) -> set[str]:
    return set(mirror.rows["line"]) | set(mirror.rows["order"])


def _plain(sums: dict[Any, int]) -> dict[Any, int]:
    return {key: units for key, units in sums.items() if units}


def _difference(ours: dict[Any, int], theirs: dict[Any, int]) -> list[Any]:
    return [(key, ours.get(key), theirs.get(key)) for key in {**ours, **theirs} if ours.get(key) != theirs.get(key)][:3]
