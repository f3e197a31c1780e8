"""Telephone numbers as people wrote them down, kept by ITU-T E.164 ("+17155550123").

A number of the North American plan has to be valid by the library's own list of area codes and exchanges; one from abroad has to be
possible (its length), since that country's plan may be newer than the list. web/store/phones.js reads by the same rule; both are
held to tests/telephone_cases.json. 555-01xx, the numbers set apart for stories, are valid by this rule.
"""

from __future__ import annotations

import re

from honeyhold.stock.errors import UnreadableField, UnreadableText

HOME = "US"
NORTH_AMERICA = 1
NEIGHBOR_DIGITS = 7
KEPT = re.compile(r"\+[1-9]\d{6,14}", re.ASCII)
SAID = re.compile(r"(?:tel:)?\+?[\d\s().\-/]{1,40}", re.ASCII)
REMEDY = 'Write it with its area code, like "715-555-0123", or from abroad with "+"; an extension goes into the note.'


def read_phone(said: str, area_code: str = "") -> str:
    """E.164, or the empty text for none. Seven digits get the area code first, where there is one.

    Raises UnreadableText for what nobody can be reached at, UnreadableField for an area code that is none.
    """
    if area_code and not re.fullmatch(r"[2-9]\d\d", area_code, re.ASCII):
        raise UnreadableField("area_code", area_code, 'three digits like "715"')
    text = said.strip()
    if not text:
        return ""
    kept = _kept(text, area_code) if SAID.fullmatch(text) else ""
    if not KEPT.fullmatch(kept):
        raise UnreadableText("a telephone number", said, REMEDY)
    return kept


def _kept(text: str, area_code: str) -> str:
    import phonenumbers  # with the numbers of every country: read when a list of people is, not with each start

    text = text.removeprefix("tel:")
    digits = re.sub(r"\D", "", text)
    if area_code and len(digits) == NEIGHBOR_DIGITS and "+" not in text:
        text = area_code + digits
    try:
        number = phonenumbers.parse(text, HOME)
    except phonenumbers.NumberParseException:
        return ""
    home = number.country_code == NORTH_AMERICA
    good = phonenumbers.is_valid_number(number) if home else phonenumbers.is_possible_number(number)
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164) if good else ""
