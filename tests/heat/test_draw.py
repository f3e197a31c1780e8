"""Both pictures: well-formed, described, within their sheet, words before colour."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
from tests.heat.asking import BARS, JARS, ask

from honeyhold.errors import BadRequest
from honeyhold.heat import advise, draw, draw_table, trip

SVG = "{http://www.w3.org/2000/svg}"


def read(answer: dict[str, Any]) -> tuple[ElementTree.Element, list[str]]:
    root = ElementTree.fromstring(answer["svg"])  # fails on a doubled attribute or an open tag
    width, height = (float(part) for part in root.attrib["viewBox"].split()[2:])
    assert width == 360 and root.attrib["font-family"] == "inherit"
    assert root[0].tag == f"{SVG}title" and root[0].text and root[1].tag == f"{SVG}desc" and root[1].text
    texts = list(root.iter(f"{SVG}text"))
    for text in texts:
        size = float(text.attrib["font-size"])
        assert size >= 14 and 0 <= float(text.attrib["x"]) <= width and 0 < float(text.attrib["y"]) <= height
        if text.attrib.get("text-anchor") is None:  # 0.56 em a letter is wide for the faces used
            assert float(text.attrib["x"]) + 0.56 * size * len(text.text or "") <= width + 6, text.text
    return root, [text.text or "" for text in texts]


@pytest.mark.parametrize("contents", [[BARS], [JARS], [BARS, JARS]])
@pytest.mark.parametrize(
    ("to", "day"), [("85001", "2026-07-20"), ("55811", "2026-10-14"), ("99801", "2026-12-21")]
)
def test_the_trip(to: str, day: str, contents: list[dict[str, Any]]) -> None:
    request = ask(to, day, contents, days=1)
    answer = trip(request)
    root, texts = read(draw(request))
    assert answer["verdict_words"].capitalize() in texts
    assert ("two hours above this dent bars" in texts) == (BARS in contents)
    assert ("lids loosen above this" in texts) == (JARS in contents)
    dashed = [path for path in root.iter(f"{SVG}path") if path.get("stroke-dasharray") == "6 4"]
    lines = [float(path.attrib["d"].split()[1].partition("H")[0]) for path in dashed]
    over = [text for text in root.iter(f"{SVG}text") if text.text in ("two hours above this dent bars", "lids loosen above this")]
    said = {round(float(text.attrib["y"]) + 5, 1) for text in over}
    assert said == set(lines) and len(lines) == len(contents), "each limit's words stand right over its line"
    assert len(list(root.iter(f"{SVG}rect"))) >= 2 + len(answer["nights"])
    assert draw({"trip": answer}) == draw(request)


def test_the_table_tells_every_cell_in_words() -> None:
    request = ask("78704", "2026-07-24", days=4)
    answer = advise(request)
    root, texts = read(draw_table({"advice": answer}))
    assert draw_table(request) == draw_table({"advice": answer})
    assert "Sunday, no mail" in texts
    for row in answer["table"]:
        assert row["weekday"][:3] in texts
    told = root[1].text or ""
    for cell in answer["table"][0]["cells"]:
        assert f"{cell['verdict_words']} {cell['chance_words']}" in told
    assert any("hatch" in (rect.attrib.get("fill") or "") for rect in root.iter(f"{SVG}rect"))


def test_an_unknown_place_is_said_on_the_sheet_too() -> None:
    for answer in (draw(ask("00000", "2026-07-20")), draw_table(ask("00000", "2026-07-20"))):
        assert "No climate is known" in " ".join(read(answer)[1])


def test_something_else_than_an_answer_is_refused() -> None:
    with pytest.raises(BadRequest):
        draw({"trip": {"words": "?"}})
    with pytest.raises(BadRequest):
        draw_table({"advice": [1]})
