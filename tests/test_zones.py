"""State and time zone by ZIP prefix: what the browser keeps without signal says the same as the places the heat model reads."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

from honeyhold.kernel import atlas

ROOT = Path(__file__).resolve().parents[1]


def _asked(zips: list[str]) -> dict[str, dict[str, str] | None]:
    script = (
        "import { zoneOfZip } from './web/store/zones.js';"
        "console.log(JSON.stringify(Object.fromEntries(JSON.parse(process.argv[1]).map((zip) => [zip, zoneOfZip(zip)]))))"
    )
    asked = subprocess.run(
        ["node", "--input-type=module", "-e", script, json.dumps(zips)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return dict(json.loads(asked.stdout))


def test_every_prefix_says_the_same_as_the_places() -> None:
    places = atlas().places
    found = _asked([f"{prefix:03d}01" for prefix in range(1000)])
    for prefix in range(1000):
        place = places.get(f"{prefix:03d}")
        wanted = None if place is None else {"state": place["state"], "time_zone": place["tz"]}
        assert found[f"{prefix:03d}01"] == wanted, prefix


def test_what_is_no_zip_has_no_zone() -> None:
    assert _asked(["", "5484", "548432", "abcde", "54843-12"]) == dict.fromkeys(["", "5484", "548432", "abcde", "54843-12"])
    assert _asked(["54843-1234"])["54843-1234"] == {"state": "WI", "time_zone": "America/Chicago"}


def test_the_table_stays_one_of_runs() -> None:
    """A row for each of 900 prefixes would be read by every device at every start."""
    runs = re.findall(r"\d{3}-\d{3} [A-Z]{2} \d+", (ROOT / "web/store/zones.js").read_text("utf-8"))
    assert 100 < len(runs) < 200
