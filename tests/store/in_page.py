"""Runs a module of the browser's in Node on a device with a database: what it keeps and finds there."""

from __future__ import annotations

import json
from typing import Any

from goods.in_node import WEB, run_in_node
from screens.rows import NOW, OWNER

Json = dict[str, Any]
ZONE = "America/Chicago"
"""Where the device is: a house that says nothing of its own zone has the device's days."""
PAGE = (WEB.parent / "tests/screens/page.mjs").as_uri()


def in_page(name: str, expression: str, request: Any = None, rows: list[Json] | None = None) -> Any:
    """The value of `expression`, in which `here` is the module, `asked` the request, `known` what the device knows, `db` its database."""
    kept = {"rows": rows or [], "identity": OWNER}
    script = f"""
      process.env.TZ = {json.dumps(ZONE)};
      const {{ furnish, module, stand }} = await import({json.dumps(PAGE)});
      let text = ''; for await (const part of process.stdin) text += part;
      const {{ asked, kept }} = JSON.parse(text);
      stand({{ now: {json.dumps(NOW)} }});
      const known = await furnish(kept);
      const [here, db] = [await module({json.dumps(name)}), await module('store/database.js')];
      const value = await (async () => {expression})();
      process.stdout.write(JSON.stringify(value ?? null), () => process.exit(0));"""
    return run_in_node(script, {"asked": request, "kept": kept})
