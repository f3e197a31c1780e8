"""One act on two devices that know the same, the client in Python and the browser's store under Node: what each writes, made comparable."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import Any

from demo_seed.client.defaults import defaults_of
from demo_seed.client.device import DeviceClient
from demo_seed.client.replica import Mirror

from honeyhold.operations.rows import LEDGERS
from storm.player import ActRefused, Player
from storm.web_phone import WebPhone

Json = dict[str, Any]

HERE = Path(__file__).resolve().parent
NOW = datetime(2026, 7, 20, 13, tzinfo=UTC)
IDENTITY = {"device": "device-a", "token": "-", "name": "Shed", "mark": "A", "role": "keeper"}
REFUSED = "refused"
"""What is expected of an act that no device may do: nothing is written, and the device says so."""


def cases() -> dict[str, Json]:
    """All of them, by the name of their file."""
    return {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in sorted((HERE / "acts").glob("*.json"))}


def known_rows(case: Json) -> list[Json]:
    """What both devices know: the same few goods and people in every case, and what the case adds."""
    base = json.loads((HERE / "base.json").read_text(encoding="utf-8"))
    rows: list[Json] = [*base, *case.get("view", [])]
    return rows


class _OutOfReach(Random):
    """Whatever hangs on chance does not happen: the main computer is never in reach."""

    def random(self) -> float:
        return 1.0


class Stage:
    """What a `WebPhone` needs of its surroundings; there is no house, and nothing reaches one."""

    def __init__(self) -> None:
        self.rng, self.time, self.day = _OutOfReach(1), NOW, NOW.date().isoformat()
        self.player = Player(self, [])  # type: ignore[arg-type]

    def new_id(self) -> str:
        """Ids are not compared."""
        return f"{self.rng.getrandbits(64):x}"


def in_python(case: Json) -> list[Json]:
    """The entries that the client in Python writes, the act's last; none for an act that it will not do."""
    ids = iter(range(1, 10_000))
    device = DeviceClient(IDENTITY, None, lambda: f"new-{next(ids)}", lambda: NOW)  # type: ignore[arg-type]
    device.mirror, device.orders_counted = Mirror(), case.get("orders", 0)
    for row in known_rows(case):
        device.mirror.lay(row)
    device.share_held.granted = dict(case.get("share", {}))
    return _acted(device, case)


def in_the_browser(stage: Stage, name: str, case: Json) -> list[Json]:
    """The same of the browser's store."""
    device = WebPhone(stage, name, lambda: NOW)  # type: ignore[arg-type]
    device.do(
        "furnish", reach=False, identity=IDENTITY, rows=known_rows(case), granted=case.get("share", {}), orders=case.get("orders", 0)
    )
    return _acted(device, case)


def _acted(device: Any, case: Json) -> list[Json]:
    try:
        for act in [*case.get("before", []), case["act"]]:
            said = dict(act)
            call = said.pop("call")
            if call == "undo":
                device.undo(device.log[-1])
            else:
                getattr(device, call)(**said)
    except (ActRefused, ValueError):
        return []
    log: list[Json] = device.log
    return log


def plain(entries: list[Json], case: Json) -> Json | str:
    """The last entry without what cannot be the same twice: ids that are new get a name by what they are, rows one order.

    Fields of a new row that say only what the house takes for granted are left out.
    """
    if not entries:
        return REFUSED
    *earlier, entry = entries
    known = {row["id"] for row in known_rows(case)}
    names = {row["id"]: _named(row) for made in entries for row in made["rows"] if row["id"] not in known}
    known |= {row["id"] for made in earlier for row in made["rows"]}
    rows = [_plain_row(row, known, names) for row in entry["rows"]]
    rows.sort(key=lambda row: json.dumps(row, sort_keys=True))
    return {"kind": entry["kind"], "spent": entry["spent"], "rows": rows}


def _named(row: Json) -> str:
    more = {"line": row.get("good"), "parcel": row.get("part"), "lot": row.get("good")}.get(row["table"])
    return f"new {row['table']}" + (f" {more}" if more else "")


def _plain_row(row: Json, known: set[str], names: dict[str, str]) -> Json:
    table, is_new = row["table"], row["id"] not in known
    kept = {key: names.get(value, value) if isinstance(value, str) else value for key, value in row.items()}
    if table in LEDGERS and table != "undoing":
        del kept["id"]
        return {key: value for key, value in kept.items() if value not in (None, "") or key == "lot"}
    if table == "undoing":
        return {"table": table}
    if not is_new:
        return kept
    granted = defaults_of(table)
    return {key: value for key, value in kept.items() if key not in granted or value != granted[key]}
