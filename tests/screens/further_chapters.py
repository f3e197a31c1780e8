"""Every chapter that stands in a file of its own, in one table."""

from __future__ import annotations

from typing import Any

from screens.book_chapters import BOOK_CHAPTERS
from screens.parts_chapters import PARTS
from screens.settings_chapters import SETTINGS_AT_WORK
from screens.special_chapters import SPECIAL
from screens.work_chapters import WORK

FURTHER: dict[str, dict[str, Any]] = {**SPECIAL, **BOOK_CHAPTERS, **PARTS, **SETTINGS_AT_WORK, **WORK}
