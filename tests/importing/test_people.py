"""A list of people as other programs save it: any columns, four encodings, three separators, broken quotes, doubles; nothing is lost."""

from __future__ import annotations

import random
from typing import Any

import pytest

from honeyhold.errors import BadRequest
from honeyhold.importing.people import folded, read_people
from honeyhold.importing.texts import text_of

Json = dict[str, Any]
HEAD = ["First Name", "Last Name", "Cell phone", "Street", "City", "State", "Zip", "Notes", "E-mail"]
RUTH = ["Ruth", "Amsel", "(218) 555-0142", "4 Heron Sill Rd", "Duluth", "MN", "55811", 'likes "dark" honey; rings late', ""]
ZOE = ["Zoë", "Grünwald", "218-555-0143", "Pécan Wynd 2, rear", "Duluth", "Minnesota", "55811-0042", "", "zoe@example.org"]


def saved(rows: list[list[str]], separator: str = ",", encoding: str = "utf-8") -> bytes:
    """As a spreadsheet saves it."""
    quoted = [['"' + cell.replace('"', '""') + '"' if set(cell) & set(separator + '"\n') else cell for cell in row] for row in rows]
    return "\r\n".join(separator.join(row) for row in quoted).encode(encoding)


def kept(answer: Json) -> list[Json]:
    """The people who would be written."""
    return [line["person"] for line in answer["lines"] if line["state"] == "new"]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "windows-1252", "utf-16", "utf-16-le", "utf-16-be"])
def test_encodings_and_separators(encoding: str, separator: str) -> None:
    """Every way to save the same two people gives the same two people, accents and quotes kept."""
    ruth, zoe = kept(read_people(saved([HEAD, RUTH, ZOE], separator, encoding), []))
    assert (ruth["name"], ruth["phone"], ruth["note"]) == ("Ruth Amsel", "+12185550142", 'likes "dark" honey; rings late')
    assert (zoe["name"], zoe["street"], zoe["state"], zoe["zip"]) == ("Zoë Grünwald", "Pécan Wynd 2, rear", "MN", "55811-0042")
    assert zoe["note"] == "e-mail zoe@example.org"


def test_any_order_of_columns() -> None:
    """Fifty shuffles of the columns, the same people."""
    wanted = kept(read_people(saved([HEAD, RUTH, ZOE]), []))
    for seed in range(50):
        order = list(range(len(HEAD)))
        random.Random(seed).shuffle(order)
        assert kept(read_people(saved([[row[at] for at in order] for row in (HEAD, RUTH, ZOE)]), [])) == wanted


def test_a_list_without_titles_is_read_by_what_stands_in_it() -> None:
    """Numbers, ZIPs and states are known by their look; the first words are the name."""
    rows = [["Ruth Amsel", "218-555-0142", "4 Heron Sill Rd", "55811", "MN"], ["Nell Fenn", "715-555-0101", "1 Larch Rd", "54843", "WI"]]
    answer = read_people(saved(rows), [])
    assert not answer["heading"] and [column["field"] for column in answer["columns"]] == ["name", "phone", "street", "zip", "state"]
    assert [person["name"] for person in kept(answer)] == ["Ruth Amsel", "Nell Fenn"]


def test_a_running_number_in_front_is_not_the_name() -> None:
    """Without titles, the first column of words is the name, not the first column."""
    rows = [["1", "Ruth Amsel", "218-555-0142"], ["2", "Nell Fenn", "715-555-0101"], ["3", "Gus Old", "715-555-0102"]]
    answer = read_people(saved(rows), [])
    assert [column["field"] for column in answer["columns"]] == ["", "name", "phone"]
    assert [person["name"] for person in kept(answer)] == ["Ruth Amsel", "Nell Fenn", "Gus Old"]


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
@pytest.mark.parametrize(("text", "is_wide"), [
    ("n,\u0436\u0436\u0436", True), ("n\u0436\u0436\u0436", False), ("abcdefghi\u4e00", True), ("abcd\u4e00", False), ("\0", False),
])  # fmt: skip
def test_wide_text_is_known_by_two_plain_letters_of_five(text: str, is_wide: bool, encoding: str) -> None:
    """A list that does not say how it was saved: commas, figures and line ends are plain in every script; a quarter is too few to tell.

    A letter whose other half is 0 may be one of ten; nothing but zeros is no text."""
    assert (text_of((text * 20).encode(encoding)) == (text * 20, "utf-16")) is is_wide


def test_a_number_said_twice_is_said_once() -> None:
    """The same number in two columns, written in two ways, is not another number; a column without one changes nothing."""
    rows = [["Name", "Home phone", "Cell phone"], ["Ruth Amsel", "218-555-0142", "(218) 555 0142"], ["Nell Fenn", "", "715-555-0101"]]
    ruth, nell = kept(read_people(saved(rows), []))
    assert (ruth["phone"], ruth["note"]) == ("+12185550142", "") and (nell["phone"], nell["note"]) == ("+17155550101", "")


def test_what_a_column_is_can_be_said() -> None:
    """A title that says something else than what stands under it is put right by hand; a column can be left out."""
    data = saved([["Name", "Extra", "X"], ["Ruth Amsel", "12 jars in fall", "secret"]])
    assert kept(read_people(data, []))[0]["note"] == ""
    assert kept(read_people(data, [], fields=["name", "note", ""]))[0]["note"] == "12 jars in fall"


@pytest.mark.parametrize(("cells", "field", "value", "doubt"), [
    ({"Zip": "4609"}, "zip", "04609", "ZIP 4609 is read as 04609"),
    ({"Zip": "046091234"}, "zip", "04609-1234", ""),
    ({"Zip": "n/a"}, "note", "ZIP as written: n/a", "“n/a” is no ZIP"),
    ({"State": "minnesota"}, "state", "MN", ""),
    ({"State": "Upper Lake"}, "note", "state as written: Upper Lake", "“Upper Lake” is no state"),
    ({"Cell phone": "111 111 1111"}, "note", "number as written: 111 111 1111", "is no number that anyone can be reached at"),
    ({"Cell phone": "218-555-0142 ext 4"}, "note", "extension 4", ""),
    ({"Street": "4 Heron Sill Rd, Duluth, MN 55811"}, "city", "Duluth", ""),
])  # fmt: skip
def test_what_is_odd_is_put_right_or_kept_in_the_note(cells: dict[str, str], field: str, value: str, doubt: str) -> None:
    """Nothing of a line is lost: what is no ZIP, state or number stands in the note as it was written, and is said."""
    row = {"First Name": "Ruth", "Last Name": "Amsel", **cells}
    line = read_people(saved([HEAD, [row.get(title, "") for title in HEAD]]), [])["lines"][0]
    assert value == line["person"][field] and (doubt in " ".join(line["doubts"]) if doubt else line["doubts"] == [])


def test_doubles_within_the_list_and_against_the_book() -> None:
    """Same name and number (or ZIP); order, case and accents do not matter. One number for two names is a household: both stay."""
    rows = [["Name", "Phone", "Zip"], ["Ruth Amsel", "218-555-0142", "55811"], ["AMSEL, Ruth", "(218) 555-0142", ""],
            ["Ruth Amsel", "", "55811"], ["Karl Amsel", "218 555 0142", "55811"], ["Ruth Amsel", "612-555-0101", "55401"],
            ["zoe grunwald", "218-555-0143", ""]]  # fmt: skip
    known = [{"name": "Zoë Grünwald", "phone": "+12185550143", "zip": "55811"}]
    lines = read_people(saved(rows), known)["lines"]
    assert [line["state"] for line in lines] == ["new", "double", "double", "new", "new", "known"]
    assert lines[1]["says"] == "the same as line 2, Ruth Amsel" and lines[5]["says"] == "Zoë Grünwald is in your book already"
    assert lines[3]["doubts"] == ["the same number as line 2, Ruth Amsel"] and lines[4]["doubts"] == []
    assert folded("Amsel, Ruth") == folded("ruth  AMSEL")


def test_the_same_line_is_the_same_person_for_ever() -> None:
    """Ids follow from what is kept; another line is another person."""
    first, again = (read_people(saved([HEAD, RUTH, ZOE]), []) for _ in range(2))
    ids = [person["id"] for person in kept(first)]
    assert ids == [person["id"] for person in kept(again)] and len(set(ids)) == 2


def test_a_quotation_mark_that_is_never_closed_eats_nothing() -> None:
    """The line is read with the mark as a plain sign, and says so; the lines after it are whole."""
    text = 'Name,Phone,Notes\n"Gus Old,715-555-0101,x\nRuth Amsel,218-555-0142,\nNell Fenn,715-555-0102,a ""\n'
    text += "A,715-555-0103,\nB,715-555-0104,\n"
    lines = read_people(text.encode(), [])["lines"]
    assert [line["person"]["name"] for line in lines] == ["Gus Old", "Ruth Amsel", "Nell Fenn", "A", "B"]
    assert lines[0]["doubts"] == ["a quotation mark in it is not closed"]


def test_an_address_with_line_ends_in_quotes_is_one_line() -> None:
    """Three lines of a file, one person; the line that is told is where it begins."""
    text = 'Name,Street,Zip\n"Ruth Amsel","4 Heron Sill Rd\nApt 2\n",55811\nNell Fenn,1 Larch Rd,54843\n'
    lines = read_people(text.encode(), [])["lines"]
    assert [(line["line"], line["person"]["street"]) for line in lines] == [(2, "4 Heron Sill Rd Apt 2"), (5, "1 Larch Rd")]


@pytest.mark.parametrize(("heading", "field", "longest"), [
    ("Name", "name", 200), ("Street", "street", 200), ("Apt", "unit", 100), ("City", "city", 100), ("Note", "note", 2000),
])  # fmt: skip
def test_what_is_longer_than_its_line_is_cut_and_said(heading: str, field: str, longest: int) -> None:
    for length in (longest, longest + 1):
        [line] = read_people(f"{heading},Phone\n{'x' * length},715-555-0123\n".encode(), [], "715")["lines"]
        assert line["person"][field] == "x" * longest
        assert (f"the {field} is longer than {longest} letters and is cut" in line["doubts"]) is (length > longest)


@pytest.mark.parametrize(("data", "said"), [
    (b"", "empty"), (b" \r\n ", "empty"), (b"PK\x03\x04rest", "spreadsheet"), (b"%PDF-1.7", "document"), (b"a,b\n" * 9000, "9000 lines"),
])  # fmt: skip
def test_what_is_no_list_is_refused_with_what_to_do(data: bytes, said: str) -> None:
    """An empty file, a spreadsheet's own format, a document, a list that is too long."""
    with pytest.raises(BadRequest, match=said) as caught:
        read_people(data, [])
    assert caught.value.remedy


LINES = 5000


def dirty(seed: int) -> tuple[bytes, int]:
    """Five thousand lines with everything that goes wrong with such lists, and how many different people are in them."""
    chance = random.Random(seed)
    lines = [";".join(["Zip", "Phone", "Name", "State", "Street", "City", "Note"])]
    people = 0
    for number in range(LINES):
        phone = f"{chance.choice(['218', '715', '612'])}-555-01{number % 100:02}"
        name = f"Person{number} {chance.choice(['Amsel', 'Grünwald', 'O’Brien', 'Fenn'])}"
        row = [f"{10000 + number}", phone, name, "MN", f"{number} Heron Rd", "Duluth", "x"]
        fault = chance.random()
        people += 1
        if fault < 0.05:
            row[2] = row[2].upper() + " "
        elif fault < 0.10:
            row.append("one cell too many")
        elif fault < 0.15:
            del row[4:]
        elif fault < 0.20:
            row[6] = '"never closed'
        elif fault < 0.25:
            row[6] = '"a ""quoted"" word; and more"'
        elif fault < 0.30:
            row[1] = chance.choice(["111 111 1111", "none", "555-0123", "218 555"])
        elif fault < 0.35:
            row[0] = chance.choice(["", "4609", "ZIP?", "55811.0"])
        elif fault < 0.40 and number:
            row, people = lines[chance.randrange(1, len(lines))].split(";"), people - 1
        elif fault < 0.43:
            row, people = ["", "", "", "MN", "", "", "nobody"], people - 1
        elif fault < 0.45:
            row[2] += "\x00\u200b"
        lines.append(";".join(row))
    return "\r\n".join(lines).encode("windows-1252", errors="replace"), people


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_five_thousand_dirty_lines(seed: int) -> None:
    """Every line is told; each person is there once; whoever has neither name nor number is left out; what is kept fits the records."""
    data, people = dirty(seed)
    answer = read_people(data, [], "218")
    assert answer["separator"] == ";" and answer["encoding"] == "windows-1252"
    assert [line["line"] for line in answer["lines"]] == list(range(2, LINES + 2))
    new = kept(answer)
    assert sum(answer["counts"].values()) == LINES
    assert len(new) == people and len({person["id"] for person in new}) == len(new)
    assert all(line["says"] for line in answer["lines"] if line["state"] != "new")
    again = read_people(data, new, "218")
    assert kept(again) == [] and again["counts"].get("known", 0) + again["counts"].get("left_out", 0) == LINES
