"""What each line of a list would become, before anything is written: a person, a double, or nothing, with the reason."""

from __future__ import annotations

import json
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from typing import Any
from uuid import UUID, uuid5

from honeyhold.importing import cards, sheet
from honeyhold.importing.phones import read_phone
from honeyhold.importing.states import STATES
from honeyhold.importing.texts import text_of
from honeyhold.stock.errors import UnreadableText

Json = dict[str, Any]
NAMESPACE = UUID("8f6b7a52-2b3e-5d0e-9a55-6d1f6c1f0a10")
"""Ids follow from what is kept of a person, so the same line read twice is the same person."""
LONGEST = {"name": 200, "street": 200, "unit": 100, "city": 100, "note": 2000}
ONE_LINE = re.compile(r"(.+?),\s*([^,\d]+?),?\s+([A-Za-z]{2})\.?,?\s+(\d{5}(?:-\d{4})?)(?:,?\s*USA?)?$")
SAMPLES = 3


def read_people(data: bytes, known: Iterable[Json], area_code: str = "", fields: list[str] | None = None) -> Json:
    """The dry run: `{"kind", "encoding", "separator", "columns", "heading", "lines", "counts"}`.

    `known`: the people of the house. `fields`: what each column is, where a person has said so; "" leaves a column out.
    A line: `{"line", "state": "new" | "double" | "known" | "left_out", "person", "says", "doubts"}`.
    Raises BadRequest for what is no list.
    """
    text, encoding = text_of(data)
    if cards.is_cards(text):
        found = [(line, _of_card(card), [trouble] if trouble else []) for line, card, trouble in cards.cards_of(text)]
        shape: Json = {"kind": "cards", "separator": "", "columns": [], "heading": False}
    else:
        found, shape = _of_sheet(text, fields)
    lines = _judged([_person(line, cells, doubts, area_code) for line, cells, doubts in found], known)
    return {**shape, "encoding": encoding, "lines": lines, "counts": dict(Counter(line["state"] for line in lines))}


def _of_card(card: Json) -> Json:
    return {**{name: [card[name]] for name in card if name != "phones"}, "phone": card["phones"]}


def _of_sheet(text: str, said: list[str] | None) -> tuple[list[tuple[int, Json, list[str]]], Json]:
    records, mended, separator = sheet.records_of(text)
    guessed, heading = sheet.fields_of(records)
    fields = [name if name in sheet.FIELDS else "" for name in said] if said is not None else guessed
    fields = [*fields, *[""] * (len(guessed) - len(fields))]
    body, troubles = records[1 if heading else 0 :], dict(mended)
    columns = [
        {"title": records[0][1][at] if heading and at < len(records[0][1]) else f"column {at + 1}", "field": field,
         "samples": [cells[at] for _, cells in body if at < len(cells) and cells[at]][:SAMPLES]}
        for at, field in enumerate(fields)
    ]  # fmt: skip
    found = []
    for line, cells in body:
        told: Json = {}
        for field, cell in zip(fields, cells, strict=False):
            if field and cell:
                told.setdefault(field, []).append(cell)
        more = [f"it has {len(cells)} cells, the others {len(fields)}"] if len(cells) > len(fields) else []
        found.append((line, told, more + ([troubles[line]] if line in troubles else [])))
    return found, {"kind": "sheet", "separator": separator, "columns": columns, "heading": heading}


def _person(line: int, told: Json, doubts: list[str], area_code: str) -> Json:
    """One line as a person; what fits nowhere goes into the note, so that nothing of the list is lost."""
    told = {field: [clean for value in values if (clean := _clean(value))] for field, values in told.items()}
    notes, doubts = list(told.get("note", [])), list(doubts)
    name = _first(told, "name") or " ".join(filter(None, (_first(told, "first"), _first(told, "last")))) or _first(told, "company")
    phone = _phone(told.get("phone", []), area_code, notes, doubts)
    place = _place(told, notes, doubts)
    notes += [f"e-mail {value}" for value in told.get("email", [])]
    company = _first(told, "company")
    notes += [company] if company and company != name else []
    person = {"name": name, "phone": phone, **place, "note": "; ".join(dict.fromkeys(notes))}
    for field, longest in LONGEST.items():
        if len(person[field]) > longest:
            doubts.append(f"the {field} is longer than {longest} letters and is cut")
            person[field] = person[field][:longest]
    return {"line": line, "person": person, "says": "", "doubts": doubts, "state": "new"}


def _first(told: Json, field: str) -> str:
    return str(next(iter(told.get(field, [])), ""))


def _clean(value: str) -> str:
    kept = "".join(sign for sign in value if unicodedata.category(sign) not in ("Cc", "Cs", "Cf") or sign in " \t\n")
    return " ".join(kept.split())


def _phone(said: list[str], area_code: str, notes: list[str], doubts: list[str]) -> str:
    """The first number that anyone can be reached at; the others stand in the note as they were written."""
    read: list[str] = []
    for number in said:
        bare, _, extension = re.sub(r"(?i)\s*(?:ext\.?|x)\s*(\d{1,6})$", r"|\1", number).partition("|")
        try:
            found = read_phone(bare, area_code)
        except UnreadableText:
            notes.append(f"number as written: {number}")
            doubts.append(f"“{number}” is no number that anyone can be reached at: it stands in the note")
            continue
        if found and found not in read:
            read.append(found)
            notes += [f"extension {extension}"] if extension else []
    notes += [f"other number {number}" for number in read[1:]]
    return read[0] if read else ""


def _place(told: Json, notes: list[str], doubts: list[str]) -> Json:
    place = {field: _first(told, field) for field in ("street", "unit", "city", "state", "zip")}
    whole = ONE_LINE.fullmatch(_first(told, "place") or (place["street"] if not place["city"] else ""))
    if whole:
        place |= {"street": whole[1], "city": whole[2], "state": whole[3], "zip": whole[4]}
    elif told.get("place"):
        place["street"] = place["street"] or _first(told, "place")
    state = place["state"].strip(". ")
    place["state"] = state.upper() if re.fullmatch(r"[A-Za-z]{2}", state) else STATES.get(state.lower(), "")
    if state and not place["state"]:
        notes.append(f"state as written: {state}")
        doubts.append(f"“{state}” is no state: it stands in the note")
    place["zip"] = _zip(place["zip"], notes, doubts)
    return place


def _zip(said: str, notes: list[str], doubts: list[str]) -> str:
    text = re.sub(r"\.0$", "", said.strip().strip("'="))
    found = re.fullmatch(r"(\d{5})[- ]?(\d{4})?", text)
    if found:
        return found[1] + (f"-{found[2]}" if found[2] else "")
    if re.fullmatch(r"\d{3,4}", text):
        doubts.append(f"ZIP {text} is read as {text.zfill(5)}: a spreadsheet takes the first zero away")
        return text.zfill(5)
    if text:
        notes.append(f"ZIP as written: {text}")
        doubts.append(f"“{text}” is no ZIP: it stands in the note")
    return ""


def _judged(lines: list[Json], known: Iterable[Json]) -> list[Json]:
    """Each line beside the people who are there and the lines before it."""
    there = _Seen()
    for person in known:
        there.add(person, str(person.get("name") or "someone"))
    before = _Seen()
    for line in lines:
        person = line["person"]
        if not person["name"] and not person["phone"]:
            line |= {"state": "left_out", "says": "neither a name nor a number stands in it", "person": None}
            continue
        person["id"] = str(uuid5(NAMESPACE, json.dumps(person, sort_keys=True)))
        if same := there.same(person):
            line |= {"state": "known", "says": f"{same} is in your book already"}
        elif same := before.same(person):
            line |= {"state": "double", "says": f"the same as {same}"}
        elif shared := there.shares_number(person) or before.shares_number(person):
            line["doubts"].append(f"the same number as {shared}")
        before.add(person, f"line {line['line']}, {person['name'] or person['phone']}")
    return lines


class _Seen:
    """People by folded name and by number."""

    def __init__(self) -> None:
        self._names: dict[str, list[tuple[Json, str]]] = {}
        self._phones: dict[str, str] = {}

    def add(self, person: Json, called: str) -> None:
        """One more."""
        self._names.setdefault(folded(person["name"]), []).append((person, called))
        if person["phone"]:
            self._phones.setdefault(person["phone"], called)

    def same(self, person: Json) -> str:
        """Who has the same name and no other number and no other ZIP; or, nameless, the same number."""
        if not person["name"]:
            return self._phones.get(person["phone"], "")
        for other, called in self._names.get(folded(person["name"]), []):
            if all(not person[field] or not other[field] or person[field][:12] == other[field][:12] for field in ("phone", "zip")):
                return called
        return ""

    def shares_number(self, person: Json) -> str:
        """Who of another name has this number: a household, or a number given on."""
        return self._phones.get(person["phone"], "") if person["phone"] else ""


def folded(name: str) -> str:
    """A name without accents, case, order or signs: "Amsel, Ruth" is "ruth amsel"."""
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(sign))
    return " ".join(sorted(re.sub(r"[^\w\s]", " ", plain).split()))
