"""What becomes of every kind of entry in a house where much has happened, and of the same with one thing in it otherwise: a digest each.

An entry is written by the client as a device writes it, bent in one place, and said to the real house; the digest is of the answer and
of every row of every table that changed. So a line that changes is a rule that changed. Where that is meant, look at what became of it
before and after, then write the lines anew:

    .venv/bin/python -m tests.entries.as_before                                      all of them, and those of `shapes.py`
    .venv/bin/python -m tests.entries.as_before promise "by mail: order/way gone"    prints what is said and what becomes of it
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, Final

sys.path.insert(0, str(Path(__file__).parents[1]))

from demo_seed.client.device import DeviceClient  # noqa: E402

from digests import digest  # noqa: E402
from entries.acts import ACTS, FIRST, OF_EACH, PARTS, Act, undone  # noqa: E402
from entries.house import LivedIn, lived_in  # noqa: E402
from entries.questions import all_told  # noqa: E402
from entries.shapes import doors, fields, kinds, settings, texts, words_of  # noqa: E402
from honeyhold.errors import HoneyholdError  # noqa: E402
from honeyhold.house.quarantine import hand_in, late_entries, put_aside_late, take_in_late  # noqa: E402
from honeyhold.operations.canonical import entry_hash  # noqa: E402
from honeyhold.operations.rows import POINTS_AT, TABLES  # noqa: E402
from otherwise import A_DAY, Ways, changed, drawn, nine_days_later, otherwise  # noqa: E402
from otherwise import Path as Where  # noqa: E402

Json = dict[str, Any]
Told = Callable[[], Any]
FILE: Final = Path(__file__).with_suffix(".json")
SHAPES: Final = Path(__file__).with_name("shapes.json")
MOST: Final = 5
"""Of each act so many with one thing otherwise."""
LATE: Final = 2
"""And so many of them once more as what a device hands in that has another name by now."""


class Asked:
    """The questions of one act: by what is otherwise, what is said to the house and answered."""

    def __init__(self, here: LivedIn, act: Act) -> None:
        self.here = here
        self.keeper, self.helper = here.hands()
        began = len(self.keeper.log)
        self.refused = ""
        try:
            act(self.keeper, here.named)
        except (ValueError, LookupError) as trouble:
            self.refused = repr(trouble)
        self.entries = self.keeper.log[began:]

    def questions(self, most: int = MOST) -> dict[str, Told]:
        """All of them, those with one thing otherwise drawn evenly."""
        if not self.entries:
            return {"": lambda: self.refused}
        *earlier, last = self.entries
        found: dict[str, Told] = {"": lambda: self.said(*self.entries)}
        found["said twice"] = lambda: [self.said(*self.entries), self.said(*self.entries)]
        found["twice in a breath"] = lambda: self.said(*self.entries, last)
        found["of a helper"] = lambda: self.said(*self._of_the_helper(), hand=self.helper)
        found["heard after a restore"] = self._after_a_restore
        found["of a lost device"] = self._of_a_lost_device
        found["of a copy"] = lambda: self._of_a_copy(last)
        every = list(_otherwise(last))
        for at, path, how, value in [(-1, (), "", None), *((at, *one) for at, one in enumerate(drawn(every, LATE)))]:
            bent = last if at < 0 else _bent(last, path, value)
            found[f"late: {_where(last, path)} {how}".strip(": ")] = partial(self._late, *earlier, bent)
        for path, how, value in drawn(every, most):
            found[f"{_where(last, path)} {how}"] = partial(self.said, *earlier, _bent(last, path, value))
        return found

    def said(self, *operations: Any, hand: DeviceClient | None = None, **other: Any) -> Any:
        """The house's answer."""
        return self.here.said(hand or self.keeper, *operations, **other)

    def _of_the_helper(self) -> list[Json]:
        """The same entries in the helper's chain."""
        made: list[Json] = []
        for operation in self.entries:
            last = (made or self.helper.log)[-1]
            one = {**operation, "device": last["device"], "seq": last["seq"] + 1, "before": last["hash"], "spent": {}}
            made.append(_hashed(one))
        return made

    def _of_a_lost_device(self) -> Any:
        self.here.house.declare_lost(self.keeper.identity["device"])
        return [self.said(*self.entries), late_entries(self.here.house)]

    def _of_a_copy(self, last: Json) -> Any:
        """One that stands where another stood: from then on all is kept apart."""
        copy = {**last, "seq": self.keeper.log[0]["seq"]}
        return [self.said(_hashed(copy)), self.said(*self.entries), self.said(*self.entries), late_entries(self.here.house)]

    def _late(self, *entries: Json) -> Any:
        """Written under an earlier name of the device: shown, taken in one by one, and the last put aside where it is refused."""
        house = self.here.house
        kept = hand_in(house, self.keeper.identity["device"], [{**one, "device": "earlier-name"} for one in entries])
        shown = late_entries(house)
        became: list[Any] = [kept, shown]
        for one in shown["entries"]:
            place = (house, one["device"], one["seq"], one["hash"])
            try:
                became.append(take_in_late(*place))
            except HoneyholdError as trouble:
                became.append([trouble.code, str(trouble), trouble.remedy])
                put_aside_late(*place, "settled by hand")
        return became

    def _after_a_restore(self) -> Any:
        """The last of it first, if that hangs on the others; then the helper returns."""
        self.here.restored()
        first = self.said(*self.entries, written=self.entries[-1]["seq"])
        return [first, self.said(hand=self.helper, epoch=self.here.house.epoch, written=self.helper.log[-1]["seq"])]


def asked(here: LivedIn, about: Told) -> list[Any]:
    """What is answered, and what changed by it."""
    with here.asked():
        return [about(), here.changes()]


def lines(here: LivedIn, part: str, one_in: int = 1) -> dict[str, str]:
    """A digest for each question of some acts; `one_in`: of one in so many, where a database takes its time."""
    group, acts = PARTS[part]
    with here.opened():
        every = [
            (f"{name}: {question}".removesuffix(": "), about)
            for name in acts for question, about in _questions(here, group, name).items()
        ]  # fmt: skip
        return {name: digest(asked(here, about)) for name, about in every[::one_in]}


def _questions(here: LivedIn, group: str, name: str) -> dict[str, Told]:
    act = ACTS[group][name]
    of_act = Asked(here, act)
    if group in OF_EACH and of_act.entries:
        again = Asked(here, undone(act))
        return {"": partial(of_act.said, *of_act.entries), "undone": partial(again.said, *again.entries)}
    found = of_act.questions()
    if group in FIRST and list(FIRST[group]).index(name) % 4 == 0:
        found["told afterwards"] = lambda: [of_act.said(*of_act.entries), all_told(here)]
    return found


def _otherwise(entry: Json) -> Iterator[tuple[Where, str, Any]]:
    """What may be otherwise in an entry: its rows above all."""
    rows = entry["rows"]

    def ways(path: Where, value: Any) -> Ways:
        return _instead_of(rows, path, value)

    for path, how, value in otherwise({"spent": entry["spent"], "rows": rows}, (), ways, of_a_list=12):
        if path not in (("spent",), ("rows",)):
            yield path, how, value
    for at, row in enumerate(rows[:6]):
        known = {name: value for name, value in row.items() if name not in ("table", "id", "was")}
        for name in [*known][:2]:
            yield ("rows", at, "was"), f"{name} believed", {**row.get("was", {}), name: known[name]}
    yield ("rows",), "one twice", [*rows, *rows[-1:]]
    yield ("version",), "more by one", entry["version"] + 1


def _instead_of(rows: list[Json], path: Where, value: Any) -> Ways:
    """By what the field may be: another word that is allowed, another record, one that is not there, a day later."""
    name = str(path[-1])
    row = rows[int(path[1])] if path[0] == "rows" and len(path) > 1 else {}
    pointing = dict(POINTS_AT.get(row.get("table", ""), ())) | {"undoes": "", "corrects": "", "id": ""}
    if len(path) == 2 and isinstance(value, dict):
        yield "another", {**value, "id": "another-row"}
    elif isinstance(value, bool):
        yield "the other", not value
    elif isinstance(value, int):
        yield from (("more by one", value + 1), ("less by one", value - 1), ("nothing", 0), ("turned round", -value))
    elif isinstance(value, str) and A_DAY.fullmatch(value):
        yield from (("later", nine_days_later(value)), ("none", None))
    elif isinstance(value, str) and name in pointing:
        yield from (("not there", "nobody-knows"), ("none", None))
    elif isinstance(value, str) and row.get("table") in TABLES:
        yield from ((word or "empty", word) for word in words_of(TABLES[row["table"]], name) if word != value)
    elif isinstance(value, list) and value:
        yield "without the first", value[1:]
    elif value is None:
        yield "said", "nobody-knows"


def _where(entry: Json, path: Where) -> str:
    """`order/way`, `line 2/units`: a row by its table, and by its number where there are several."""
    if not path:
        return ""
    if path[0] != "rows" or len(path) < 2:
        return "/".join(map(str, path))
    at = int(path[1])
    tables = [str(row.get("table")) for row in entry["rows"]]
    number = tables[: at + 1].count(tables[at])
    return "/".join([tables[at] + (f" {number}" if tables.count(tables[at]) > 1 else ""), *map(str, path[2:])])


def _bent(entry: Json, path: Where, value: Any) -> Json:
    return _hashed(changed(entry, path, value))


def _hashed(entry: Json) -> Json:
    made = {name: value for name, value in entry.items() if name != "hash"}
    try:
        return {**made, "hash": entry_hash(made)}
    except ValueError:
        return {**made, "hash": "0" * 64}


def told(here: LivedIn, group: str, question: str) -> None:
    """Prints what is said and what becomes of it."""
    name, _, otherwise_so = question.partition(": ")
    with here.opened():
        print(json.dumps(Asked(here, ACTS[group][name]).entries, indent=1))
        print(json.dumps(asked(here, _questions(here, group, name)[otherwise_so]), indent=1, default=str))


if __name__ == "__main__":
    with lived_in() as house:
        if len(sys.argv) > 2:
            told(house, sys.argv[1], sys.argv[2])
        else:
            FILE.write_text(json.dumps({part: lines(house, part) for part in PARTS}, indent=0, ensure_ascii=False) + "\n", "utf-8")
            tried = {f"fields of {table}": fields(table) for table in TABLES}
            tried |= {one.__name__: one() for one in (doors, settings, texts, kinds)}
            SHAPES.write_text(json.dumps(tried, indent=0) + "\n", "utf-8")
