"""Draws what a module of the browser's makes, in Node, on a device with a database."""

from __future__ import annotations

import json
from typing import Any

from goods.in_node import WEB
from store.in_page import Json, in_page

DRAWN = (WEB.parent / "tests/screens/drawn.mjs").as_uri()
SETTLED = (WEB.parent / "tests/screens/settled.mjs").as_uri()


def drawn_in_page(name: str, body: str, request: Any = None, rows: list[Json] | None = None) -> Any:
    """What a function's lines return that has, beside what `in_page` gives: `said` of a template, `Screen`, `settled` of a screen."""
    return in_page(
        name,
        f"""await (async () => {{
      const {{ Screen }} = await import({json.dumps(DRAWN)});
      const {{ settled: until_settled }} = await import({json.dumps(SETTLED)});
      const said = (template) => new Screen('', {{ template }}).said();
      const settled = async (screen) => (await until_settled(screen, {{ times: 6, turns_most: 200 }})).filter(Boolean);
      {body}
    }})()""",
        request,
        rows,
    )
