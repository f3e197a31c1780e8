"""The script that photographs every screen: one moment of it, as it is called by hand."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image, ImageStat

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]


def test_one_moment_is_photographed_light_and_dark(tmp_path: Path) -> None:
    """Two pictures of the size asked for, unlike each other, and a page that shows both."""
    asked = ["--to", str(tmp_path), "--only", "nobody on the line", "--house", "own", "--size", "360x640"]
    by_hand = {name: value for name, value in os.environ.items() if name != "HONEYHOLD_TEST_DATABASE"}
    run = subprocess.run([sys.executable, str(ROOT / "scripts/photograph"), *asked], capture_output=True, text=True, check=False, env=by_hand)
    assert run.returncode == 0, run.stderr
    assert run.stdout.strip() == str(tmp_path / "index.html")
    light, dark = (Image.open(tmp_path / f"own-counter-nobody-on-the-line-360x640-{look}.jpg") for look in ("light", "dark"))
    assert light.size == dark.size == (360, 640)
    assert ImageStat.Stat(light.convert("L")).mean[0] > 160
    assert ImageStat.Stat(dark.convert("L")).mean[0] < 80
    assert (tmp_path / "index.html").read_text().count("<img") == 2
