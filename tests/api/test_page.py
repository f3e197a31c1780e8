"""The page names each module that it starts with once, wherever the import map puts it; what is fetched later is not among them."""

from __future__ import annotations

from pathlib import Path

import pytest
from flask.testing import FlaskClient

from api.conftest import bearing
from honeyhold.api.page import modules_at_start, page_text
from honeyhold.api.people import _area_code

MODULES = {
    "app.js": """import { a } from "./store/a.js";
import { html } from "amber";
import "amber/directives/repeat.js";
import("./later.js");
""",
    "store/a.js": 'export { b } from "../b.js";\nimport x from "nobody-knows";\n',
    "b.js": 'import "./app.js";\n',
    "later.js": "",
    "node_modules/amber/index.js": "",
    "node_modules/amber/directives/repeat.js": "",
}
MAPPED = {"amber": "/lib/amber/index.js", "amber/": "/lib/amber/", "resin/": "/lib/resin/"}


def test_the_modules_of_the_start_are_found_each_once(tmp_path: Path) -> None:
    """Beside the file, by its whole name in the map, and by the folder that the map names; round in a circle too."""
    for name, text in MODULES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    found = modules_at_start(tmp_path, ["/app.js"], MAPPED)
    assert found == ["/app.js", "/store/a.js", "/lib/amber/index.js", "/lib/amber/directives/repeat.js", "/b.js"]


@pytest.mark.parametrize(("setting", "code"), [
    ("715", "715"), ("218", "218"), ("", ""), ("71", ""), ("7155", ""), ("115", ""), ("015", ""), ("7x5", ""), (715, ""), (None, ""),
])  # fmt: skip
def test_an_area_code_is_three_figures_that_can_begin_a_number(setting: object, code: str) -> None:
    """The first is neither 0 nor 1 (North American Numbering Plan); anything else counts as none."""
    assert _area_code(setting) == code


@pytest.mark.parametrize(("over", "refused"), [(0, False), (1, True)])
def test_four_mebibytes_are_read_and_not_a_byte_more(client: FlaskClient, keeper: dict[str, str], over: int, refused: bool) -> None:
    """Two hundred entries of twenty kilobytes: what a device that was away for weeks says at once."""
    body = b"{}" + b" " * (4 * 1024 * 1024 - 2 + over)
    answer = client.post("/api/exchange", data=body, content_type="application/json", headers=bearing(keeper))
    assert (answer.status_code == 413) is refused


def test_a_page_that_starts_no_module_is_given_as_it_is(tmp_path: Path) -> None:
    page = "<!doctype html><title>Honeyhold</title>\n"
    (tmp_path / "index.html").write_text(page, "utf-8")
    assert page_text(tmp_path, MAPPED) == page
