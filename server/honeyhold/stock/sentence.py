"""The order as the sentence that is read back to the caller.

Every blank is a part of its own, so the screen can make it a large key and the ear hears the same words:
"Ruth Amsel wants 10 wax bars and 2 pint jars, by mail to Tulsa OK, leaving Monday; they owe $31.40 and pay by
check."
"""

from __future__ import annotations

from typing import Any

from honeyhold.stock.days import day_words, parse_day
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, rows, table, whole
from honeyhold.stock.units import money_words
from honeyhold.stock.words import count_words, good_names

WAYS = ("post", "pick_up", "walk_in")
PAYS = {"cash": "in cash", "check": "by check", "later": "later"}
CALLED = {
    "they": ("they owe", "pay", "they have"),
    "she": ("she owes", "pays", "she has"),
    "he": ("he owes", "pays", "he has"),
}


class _Sentence:
    """Parts being strung together; plain words that follow each other are one part."""

    def __init__(self) -> None:
        self.parts: list[dict[str, Any]] = []

    def say(self, words: str) -> None:
        if self.parts and not self.parts[-1]["blank"]:
            self.parts[-1]["text"] += words
        else:
            self.parts.append({"key": "", "text": words, "blank": False, "known": True})

    def blank(self, key: str, words: str, question: str) -> None:
        """A part that can be touched and changed; without words it asks its question."""
        self.parts.append({"key": key, "text": words or question, "blank": True, "known": bool(words)})

    def words(self) -> str:
        return "".join(part["text"] for part in self.parts)


def _one_of(request: Request, field: str, choices: tuple[str, ...]) -> str:
    """The choice in `field`, or empty when nothing was chosen yet."""
    value = request.get(field) or ""
    if value and value not in choices:
        raise UnreadableField(field, value, "one of " + ", ".join(choices))
    return str(value)


def _say_goods(request: Request, said: _Sentence) -> None:
    """The lines as "10 wax bars, 2 pint jars and 1 block"; key `line.0`, `line.1`, ..."""
    goods, lines = table(request, "goods"), rows(request, "lines")
    if not lines:
        said.blank("lines", "", "what?")
    for place, line in enumerate(lines):
        if place:
            said.say(" and " if place == len(lines) - 1 else ", ")
        good = goods.get(str(line.get("good")))
        if good is None:
            raise UnreadableField("lines.good", line.get("good"), "a good of the house")
        units = whole(line, "units", most=100_000)
        said.blank(f"line.{place}", count_words(units, *good_names(good)) if units else "", "how many?")


def _say_way(request: Request, way: str, said: _Sentence) -> None:
    place = table(request, "place", optional=True)
    if way == "post":
        said.say(", ")
        said.blank("way", "by mail", "")
        said.say(" to ")
        said.blank("place", f"{place.get('city') or ''} {place.get('state') or ''}".strip(), "where?")
        said.say(", leaving ")
    elif way == "pick_up":
        said.say(", to ")
        said.blank("way", "pick up", "")
        said.say(" ")
    elif way == "walk_in":
        said.say(", ")
        said.blank("way", "taken along now", "")
        return
    else:
        said.say(", ")
        said.blank("way", "", "by mail or pick up?")
        return
    leave_on = request.get("leave_on")
    words = (
        day_words(parse_day(leave_on, "leave_on"), parse_day(request.get("today"), "today"))
        if leave_on
        else ""
    )
    if way == "pick_up" and words and words not in ("today", "tomorrow", "yesterday"):
        said.say("on ")
    said.blank("leave_on", words, "when?")


def _say_money(request: Request, called: str, said: _Sentence) -> None:
    """What is owed and how it is paid; nothing owed is said in so many words, a debt of the house too."""
    owes, pays, has = CALLED[called]
    owed = request.get("owed_cents")
    how = _one_of(request, "pays", (*PAYS, "paid"))
    said.say("; ")
    if owed is not None and whole(request, "owed_cents", least=-1_000_000_000, most=1_000_000_000) <= 0:
        said.say(f"{has} ")
        said.blank("owed", f"paid {money_words(-owed)} too much" if owed else "paid", "")
        return
    said.say(f"{owes} ")
    said.blank("owed", money_words(owed) if owed is not None else "", "how much?")
    said.say(f" and {pays} ")
    said.blank("pays", "at once" if how == "paid" else PAYS.get(how, ""), "how?")


def order_sentence(request: Request) -> dict[str, Any]:
    """The sentence and its parts. What is not known yet is a blank that asks ("who?", "what?", "when?",
    "how?").

    A part: `key` names the blank (`person`, `line.0`, `way`, `place`, `leave_on`, `owed`, `pays`), `known` is
    false while it still asks. People are "they" unless `called` says "she" or "he". Shapes: README.md. Raises
    UnreadableField.
    """
    person = table(request, "person", optional=True)
    called = _one_of(person, "called", tuple(CALLED)) or "they"
    way = _one_of(request, "way", WAYS)
    said = _Sentence()
    said.blank("person", str(person.get("name") or ""), "A walk-in" if way == "walk_in" else "Who?")
    said.say(" wants ")
    _say_goods(request, said)
    _say_way(request, way, said)
    _say_money(request, called, said)
    if said.parts[-1]["known"]:
        said.say(".")
    return {"words": said.words(), "parts": said.parts}
