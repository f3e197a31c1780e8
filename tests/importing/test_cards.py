"""vCard files, versions 2.1, 3 and 4: folded lines, escapes, quoted-printable, groups, cards that are cut off."""

from __future__ import annotations

from typing import Any

from honeyhold.importing.people import read_people

THREE = (
    "BEGIN:VCARD\r\nVERSION:3.0\r\nN:Amsel;Ruth;;;\r\nFN:Ruth Amsel\r\nTEL;TYPE=FAX:218-555-0100\r\nTEL;TYPE=HOME:218-555-0141\r\n"
    "TEL;TYPE=CELL,PREF:(218) 555-0142\r\nADR;TYPE=HOME:;Apt 2;4 Heron Sill Rd;Duluth;MN;55811;USA\r\n"
    "NOTE:likes dark honey\\; rings late\\, after\r\n  six\r\nEND:VCARD\r\n"
)
FOUR = (
    'BEGIN:VCARD\nVERSION:4.0\nFN:Zoë Grünwald\nitem1.TEL;VALUE=uri;TYPE="voice,home":tel:+1-218-555-0143\n'
    'ADR;LABEL="1 Larch Rd: rear; left":;;1 Larch Rd;Bar Harbor;Maine;04609;\nEMAIL:zoe@example.org\nORG:Larch Farm;Shed\nEND:VCARD\n'
)
OLD = (
    "BEGIN:VCARD\nVERSION:2.1\nN;CHARSET=UTF-8;ENCODING=QUOTED-PRINTABLE:P=C3=A9reau;Ma=\n=C3=AFa\nTEL;CELL:7155550101\n"
    "ADR;HOME:PO Box 7;;;Hayward;WI;54843;\nEND:VCARD\n"
)


def people(text: str, encoding: str = "utf-8") -> list[dict[str, Any]]:
    """The lines of the dry run."""
    return list(read_people(text.encode(encoding), [], "715")["lines"])


def test_version_3() -> None:
    """The preferred number is the one to ring, the other stands in the note, a fax in neither; folded and escaped text is whole."""
    [line] = people(THREE)
    person = line["person"]
    assert (person["name"], person["phone"], person["unit"], person["street"]) == ("Ruth Amsel", "+12185550142", "Apt 2", "4 Heron Sill Rd")
    assert (person["city"], person["state"], person["zip"]) == ("Duluth", "MN", "55811")
    assert person["note"] == "likes dark honey; rings late, after six; other number +12185550141"


def test_version_4() -> None:
    """A number as an address, a group before a name, a label in quotes with colons; a state by its name; the farm in the note."""
    person = people(FOUR)[0]["person"]
    assert (person["name"], person["phone"], person["street"], person["state"]) == ("Zoë Grünwald", "+12185550143", "1 Larch Rd", "ME")
    assert person["note"] == "e-mail zoe@example.org; Larch Farm"


def test_version_2_1_of_older_telephones() -> None:
    """Quoted-printable over two lines, no full name, a post office box in the place of a street."""
    person = people(OLD)[0]["person"]
    assert (person["name"], person["phone"], person["street"], person["city"]) == ("Maïa Péreau", "+17155550101", "PO Box 7", "Hayward")


def test_an_older_telephone_that_writes_as_windows_does() -> None:
    """Quoted-printable says nothing of its letters: what is no UTF-8 is read as Windows wrote it."""
    person = people(OLD.replace("=C3=A9", "=E9").replace("Ma=\n=C3=AF", "Ma=\n=EF").replace("CHARSET=UTF-8;", ""))[0]["person"]
    assert person["name"] == "Maïa Péreau"


def test_many_cards_doubles_and_damage() -> None:
    """Each card by the line it begins at; the same card twice is a double; one cut off gives what it has; bad lines are counted."""
    cut = "BEGIN:VCARD\nFN:Gus Old\nTEL:715-555-0102\n"
    odd = "BEGIN:VCARD\nFN:Nell Fenn\nthis is no line\nTEL:111 111 1111\nEND:VCARD\n"
    lines = people(THREE.replace("\r\n", "\n") + OLD + cut + odd + THREE)
    assert [line["state"] for line in lines] == ["new", "new", "new", "new", "double"]
    assert [line["line"] for line in lines] == [1, 12, 19, 22, 27]
    assert lines[2]["person"]["name"] == "Gus Old" and lines[2]["doubts"] == ["the card is cut off"]
    assert lines[3]["doubts"][0] == "1 of its lines cannot be read" and lines[3]["person"]["note"] == "number as written: 111 111 1111"


def test_a_card_whose_first_line_is_folded_begins_there() -> None:
    """Any line may be folded (RFC 6350, 3.2), the one that a card begins with too."""
    lines = people(FOUR + "BEGIN:VCA\n RD\nFN:Gus Old\nEND:VCARD\n")
    assert [(line["line"], line["person"]["name"]) for line in lines] == [(1, "Zoë Grünwald"), (FOUR.count("\n") + 1, "Gus Old")]


def test_encodings() -> None:
    """As telephones save them: with and without a mark, wide or narrow."""
    for encoding in ("utf-8-sig", "utf-16", "windows-1252"):
        assert people(FOUR, encoding)[0]["person"]["name"] == "Zoë Grünwald"
