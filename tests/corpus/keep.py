"""Keeps a sample: plays a story of `stories.py` through a house of today and writes it down for ever."""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from corpus import stories
from corpus.replay import FOLDER, result
from honeyhold.house.house import House
from honeyhold.records.models import Operation
from replication.houses import Watch


def keep(name: str) -> Path:
    """Plays the story of that name and writes its file. Raises FileExistsError: what was kept is never changed."""
    file = FOLDER / f"{name}.json"
    with tempfile.TemporaryDirectory() as folder:
        house = House.open(Path(folder) / "data", now=Watch())
        getattr(stories, name)(house)
        with house.records.read():
            sql = "SELECT body FROM operation ORDER BY rowid"
            operations = [json.loads(body) for (body,) in house.records.database.execute_sql(sql).fetchall()]
            assert len(operations) == len(house.records.dicts(Operation.select(Operation.id)))
        assert house.check() == []
        kept = {"about": getattr(stories, name).__doc__, "operations": operations, "result": result(house)}
        house.close()
    with file.open("x", encoding="utf-8") as target:
        json.dump(kept, target, ensure_ascii=False, indent=1, sort_keys=True)
        target.write("\n")
    return file


if __name__ == "__main__":
    print(keep(sys.argv[1]))
