"""Draws what a module of the browser's makes, in Node, on a device with a database."""

from __future__ import annotations

import json
from typing import Any

from goods.in_node import WEB
from store.in_page import PAGE, Json, in_page

DRAWN = (WEB.parent / "tests/screens/drawn.mjs").as_uri()
TURNS = 40


def drawn_in_page(name: str, body: str, request: Any = None, rows: list[Json] | None = None) -> Any:
    """What a function's lines return that has, beside what `in_page` gives: `said` of a template, `Screen`, `settled` of a screen."""
    return in_page(
        name,
        f"""await (async () => {{
      const {{ Screen }} = await import({json.dumps(DRAWN)});
      const {{ quiet }} = await import({json.dumps(PAGE)});
      const said = (template) => new Screen('', {{ template }}).said();
      const settled = async (screen) => {{
        for (let turn = 0; turn < {TURNS}; turn += 1) {{
          screen.said();
          await new Promise((later) => setImmediate(later));
          await quiet();
        }}
        return screen.said();
      }};
      {body}
    }})()""",
        request,
        rows,
    )
