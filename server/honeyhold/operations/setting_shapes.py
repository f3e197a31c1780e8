"""What sort of value a setting may have: papers and quotes read them for years, so a wrong sort is refused where it comes in.

Only settings that everybody reads in one way stand here; one that is not named may be anything plain. Null stands for one that was
never set.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from honeyhold.operations.fields import TEXT_MAX

PRICES_MAX: Final = 200_000
PICTURE_MAX: Final = 120_000
PICTURES: Final = ("data:image/png;base64,", "data:image/jpeg;base64,")
LABELS_MAX: Final = 40
LENGTH_MAX: Final = 30
WEEKDAYS: Final = frozenset({"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"})


def _text(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= TEXT_MAX


def _long_text(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= PRICES_MAX


def _yes_no(value: Any) -> bool:
    return isinstance(value, bool)


def _weekdays(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(day, str) and day in WEEKDAYS for day in value)


def _picture(value: Any) -> bool:
    return value == "" or (isinstance(value, str) and len(value) <= PICTURE_MAX and value.startswith(PICTURES))


def _label_sheet(value: Any) -> bool:
    """Measures as texts and two counts, each of them short; the paper itself says what cannot be printed."""
    return isinstance(value, dict) and all(
        (type(one) is int and 1 <= one <= LABELS_MAX) if key in ("columns", "rows") else isinstance(one, str) and len(one) <= LENGTH_MAX
        for key, one in value.items()
    )


def _label_words(value: Any) -> bool:
    """The owner's own words on labels, by good."""
    return isinstance(value, dict) and all(
        isinstance(words, dict) and set(words) <= {"title", "words"} and all(map(_text, words.values())) for words in value.values()
    )


def _one_of(*choices: str) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, str) and value in choices


def _whole(least: int, most: int) -> Callable[[Any], bool]:
    return lambda value: type(value) is int and least <= value <= most


def _link_of_tracking(value: Any) -> bool:
    return value == "" or (_text(value) and value.startswith("https://") and value.count("{number}") == 1 and " " not in value)


SHAPES: Final[dict[str, tuple[Callable[[Any], bool], str]]] = {
    **dict.fromkeys(
        ("name", "street", "unit", "city", "state", "zip", "phone", "email", "closing_words", "returns_words", "area_code", "mailbox"),
        (_text, f"text of at most {TEXT_MAX} letters"),
    ),
    "tracking_link": (_link_of_tracking, "an address that begins with https:// and has {number} in it once"),
    "posting_prices": (_long_text, "the text of a table of prices"),
    **dict.fromkeys(("hold_allowed", "posting_honey_asked", "slip_prices", "ask_weather"), (_yes_no, "true or false")),
    "posting_days": (_weekdays, "a list of days such as Mon"),
    "paper": (_one_of("letter", "a4", "a5"), "letter, a4 or a5"),
    "label_size": (_one_of("label", "paper"), "label or paper"),
    "label_picture": (_picture, "a small PNG or JPEG as a data address, or empty"),
    "label_sheet": (_label_sheet, "the measures of a sheet of labels"),
    "label_words": (_label_words, "a title and words for each good"),
    "leave_hour": (_whole(0, 23), "a whole hour from 0 to 23"),
    "accept_permille": (_whole(0, 1000), "a whole number from 0 to 1000"),
}


def wanted_instead(setting: str, value: Any) -> str:
    """What the setting must be, if this value is not it; empty when it is, or when nobody minds."""
    fits, wanted = SHAPES.get(setting, (lambda _value: True, ""))
    return "" if value is None or fits(value) else wanted
