"""What nobody meets, on screen or paper: the program's words for nothing, keys of records, days and numbers as a disk keeps them."""

from __future__ import annotations

import re

LEAKED = re.compile(
    r"""\b(?:None|undefined|NaN|Infinity|null|Traceback|TypeError|KeyError)\b
      | \[object\s                       # an object where words were meant
      | \{\{|\{%|\$\{                    # a hole of a template
      | \b[0-9a-f]{8}-[0-9a-f]{4}-       # the key of a row
      | \b[a-z][a-z0-9]*_[a-z0-9_]+      # the name of a field
      | \b\d{4}-\d\d-\d\d(?:T|\b)        # a day as the records keep it
      | \+1\d{10}\b                      # a telephone number as the records keep it
      | \ufffd                           # a letter that was lost
    """,
    re.VERBOSE,
)


def leaks_in(text: str) -> list[str]:
    """Each leak with a little of what stands around it."""
    return [text[max(0, found.start() - 30) : found.end() + 30].replace("\n", " / ") for found in LEAKED.finditer(text)]
