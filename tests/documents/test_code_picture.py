"""The code on the slip: every module where the library has it, with its quiet border; nothing else gets into the paper by it."""

from __future__ import annotations

import re
from typing import Any

import pytest
import segno

from documents.example_orders import BAR, line, orla
from honeyhold.api.documents import code_rows
from honeyhold.documents.code_picture import SIDE_MAX, code_picture
from honeyhold.documents.doors import slip_html
from honeyhold.documents.reading import Reader
from honeyhold.errors import BadRequest

WORDS = "HONEYHOLD:ORDER:0f6d1a3e-6f0a-4a35-9e61-1d7f1f8f2a10"


def told(**changes: Any) -> dict[str, Any]:
    return {**orla(), "lines": [line(BAR, 2)], "order": {"number": "A-1", "way": "post"}, "today": "2026-07-22", **changes}


def test_each_dark_module_stands_where_the_library_has_it() -> None:
    html = slip_html(told(code=code_rows(WORDS)))["html"]
    found = {(int(x) - 4, int(y) - 4) for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", html)}
    code = segno.make(WORDS, error="m", micro=False)
    assert found == {(x, y) for y, row in enumerate(code.matrix) for x, module in enumerate(row) if module}
    side = len(code.matrix) + 8
    assert f'viewBox="0 0 {side} {side}"' in html and code.symbol_size(border=0)[0] == len(code.matrix)


def test_a_slip_without_one_has_none() -> None:
    assert "Code for the search" not in slip_html(told())["html"]


@pytest.mark.parametrize("code", [["01"], ["0<", "10"], ["1"] * 61, "1"])
def test_what_is_no_square_of_noughts_and_ones_is_refused(code: Any) -> None:
    with pytest.raises(BadRequest, match="code"):
        slip_html(told(code=code))


@pytest.mark.parametrize(("rows", "dark"), [
    (["1"], "M4 4h1v1h-1z"), (["0"], ""), (["01", "10"], "M5 4h1v1h-1zM4 5h1v1h-1z"), (["0" * SIDE_MAX] * SIDE_MAX, ""),
])  # fmt: skip
def test_a_square_of_up_to_sixty_modules_is_drawn(rows: list[str], dark: str) -> None:
    """Its quiet border of four on either side is white, whatever the paper is."""
    side = len(rows) + 8
    assert str(code_picture(Reader({"code": rows}))) == (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="Code for the search" viewBox="0 0 {side} {side}"'
        f' shape-rendering="crispEdges"><path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path d="{dark}"/></svg>'
    )


@pytest.mark.parametrize("rows", [["0" * 61] * 61, ["01", "1"], ["01", "100"], ["01", "12"], ["01"]])
def test_a_larger_square_and_what_is_none_is_refused(rows: list[str]) -> None:
    with pytest.raises(BadRequest, match="code must be a square of at most 60 rows of 0 and 1"):
        code_picture(Reader({"code": rows}))
