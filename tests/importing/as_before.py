"""What every list of people becomes, and the same list with one thing in it otherwise: a line, a sign, a cell, how it was saved.

Where a line changes and that is meant, look at what became of it before and after, then write the lines anew:

    .venv/bin/python -m tests.importing.as_before                                all of them
    .venv/bin/python -m tests.importing.as_before titles "line 3 gone"           prints the list and what becomes of it
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

sys.path.insert(0, str(Path(__file__).parents[1]))

from digests import digest  # noqa: E402
from honeyhold.errors import HoneyholdError  # noqa: E402
from honeyhold.importing.people import LONGEST, folded, read_people  # noqa: E402
from honeyhold.importing.phones import read_phone  # noqa: E402
from honeyhold.importing.sheet import COLUMNS_MAX, FIELDS, LINES_MAX, QUOTED_LINES_MAX  # noqa: E402
from otherwise import drawn  # noqa: E402

Json = dict[str, Any]
FILE: Final = Path(__file__).with_suffix(".json")
KNOWN: Final[list[Json]] = [
    {"name": "Zoë Grünwald", "phone": "+12185550143", "zip": "55811"}, {"name": "Karl Amsel", "phone": "", "zip": "55811-0042"},
    {"name": "", "phone": "+17155550199", "zip": ""}, {"name": "Nell Fenn", "phone": "+17155550101", "zip": "54843"},
]  # fmt: skip
TITLES: Final = """Full Name,First name,Family_name,Company,Cell/Phone,Home phone,Street,Apt.,Town,Province,Postcode,E-Mail,Remarks,X
Ruth Amsel,Ruth,Amsel,,(218) 555-0142,218-555-0142 ext 4,4 Heron Sill Rd,2,Duluth,mn,55811,ruth@example.org,"likes ""dark"" honey",a
,Zoë,Grünwald,Linden Farm,2185550143,,"Pécan Wynd 2,
rear",,Duluth,Minnesota,558110042,,,
"Amsel, Karl",,,,1111,+44 20 7946 0958,P.O. Box 7,,,,'04609,,,b
,,,Birch Mill,715.555.0101,,"1 Larch Rd, Hayward, WI 54843-0001, USA",,,,,,,
,,,,,,,,,,,,nobody,
Nell  Fenn,,,,5550101,7155550101,1 Larch Rd,,Hayward,Upper Lake,n/a,,,c,too many
ruth amsel,,,,,,,,,,4609.0,,\u200bodd\x07 sign,
"""
UNTITLED: Final = """7;Ruth Amsel;218-555-0142;4 Heron Sill Rd;55811;MN;ruth@example.org
8;Nell Fenn;715-555-0101;1 Larch Rd;54843;WI;
9;Gus Old;;P.O. Box 4;54843;WI;gus@example.org
10;Ada;218-555-0142;;;;
"""
TABS: Final = (
    'customer\tphone\tship to\n"Gus Old\t715-555-0101\tx\nRuth\t218-555-0142\t4 Heron Sill Rd, Duluth, MN 55811\n"A\nB"\t\t"c\td"\n'
)
QUOTES: Final = 'Name,Address,Memo\n"Ann","1 Elm St\nApt 2\n\nrear",ok\n"Bo""b" x,"2 Elm St",\nC"d,3,"e\n"F\nG\nH\nI\nJ",4,k\n'
CARDS: Final = """BEGIN:VCARD
VERSION:3.0
FN:Ruth Amsel
N:Amsel;Ruth;;;
ORG:Linden Farm;Sales
TEL;TYPE=cell:(218) 555-0142
TEL;TYPE=fax:218-555-0100
TEL;TYPE="home,pref":tel:+1-715-555-0101;ext=4
ADR;TYPE=home:;Apt 2;4 Heron Sill Rd;Duluth;MN;55811;USA
ADR;TYPE=pref:Box 7;;;Hayward;WI;54843;
EMAIL:ruth@example.org
EMAIL:other@example.org
NOTE:likes dark\\, thick honey\\nrings
  late
END:VCARD
begin:vcard
N;CHARSET=UTF-8;ENCODING=QUOTED-PRINTABLE:Gr=C3=BCnwald;Zo=C3=
 =AB
item1.TEL:218 555 0143
nothing that can be read
END:VCARD
BEGIN:VCARD
FN:Cut Off
BEGIN:VCARD
FN;ENCODING=QUOTED-PRINTABLE:J=FCrgen
ADR:;;1 Larch Rd\\; rear;Hayward
"""
LISTS: Final = {"titles": TITLES, "untitled": UNTITLED, "tabs": TABS, "quotes": QUOTES, "cards": CARDS}
SIGNS: Final = ',;"\t\n:=.\'\\- '
CELLS: Final = (
    "", "0", "4609", "460", "55811-0042", "55811 0042", "55811.0", "='55811'", "WI", "wisconsin", "W.I.", "218-555-0142 x12", "555-0142",
    "+442079460958",
    "+4420", "Karl Amsel", "AMSEL Karl", "a@example.org", "1 Elm St, Duluth, MN 55811",
    "1 Elm St, Duluth MN. 55811-0001 US",
    "P O Box 9", "x" * 101, "x" * 201, "\u200b", "a\tb",
)  # fmt: skip
SAVED: Final = ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "windows-1252", "latin-1")
NUMBERS: Final = (
    "", " ", "555-0142", "5550142", "218-555-0142", "1-218-555-0142", "+1 218 555 0142", "tel:+12185550142", "tel:218-555-0142", "12345",
    "+44 20 7946 0958", "+4420", "218/555.0142", "(218)5550142", "218-555-014", "999-555-0142", "2185550142 x4", "+0123", "a", "+" * 3,
    "1" * 40, "1" * 41, "+1" + "2" * 14, "011 44 20 7946 0958", "٢١٨٥٥٥٠١٤٢",
)  # fmt: skip
MOST: Final = 60


def questions(name: str) -> dict[str, tuple[bytes, Json]]:
    """A list as it is and with one thing otherwise: its bytes, and what is said besides."""
    text = LISTS[name]
    found: dict[str, tuple[bytes, Json]] = {"as it is": (text.encode(), {}), "without a book": (text.encode(), {"known": []})}
    for code in ("218", "118", "21"):
        found[f"near {code}"] = (text.encode(), {"area_code": code})
    for encoding in SAVED:
        found[f"saved as {encoding}"] = (text.encode(encoding, "replace"), {})
    for fields in (["name"], ["", "note", "phone"], [*FIELDS, *FIELDS], ["nothing"] * 3, []):
        found[f"columns {fields[:3]} {len(fields)}"] = (text.encode(), {"fields": fields})
    for what, made in _texts(text, name != "cards"):
        found[what] = (made.encode("utf-8"), {})
    return found


def _texts(text: str, is_sheet: bool) -> Iterator[tuple[str, str]]:
    lines = text.splitlines(keepends=True)
    for at in range(len(lines)):
        yield f"line {at + 1} gone", "".join(lines[:at] + lines[at + 1 :])
        yield f"line {at + 1} twice", "".join(lines[: at + 1] + lines[at:])
        yield f"line {at + 1} in capitals", "".join([*lines[:at], lines[at].upper(), *lines[at + 1 :]])
    for at in drawn([at for at, sign in enumerate(text) if sign in SIGNS], MOST):
        yield f"sign {at} gone", text[:at] + text[at + 1 :]
        yield f"sign {at} twice", text[:at] + text[at] + text[at:]
    for at in drawn(range(1, len(text)), 12):
        yield f"cut off after {at}", text[:at]
    for line, cell in drawn([(line, cell) for line in range(1, len(lines)) for cell in CELLS] if is_sheet else [], 2 * MOST):
        for sign in (",", ";", "\t"):
            cells = lines[line].rstrip("\n").split(sign)
            if len(cells) > 2:
                at = (line + len(cell)) % len(cells)
                changed = sign.join([*cells[:at], cell, *cells[at + 1 :]]) + "\n"
                yield f"line {line + 1}, cell {at + 1}: {cell[:20]!r} {len(cell)}", "".join([*lines[:line], changed, *lines[line + 1 :]])


def _bounds() -> Iterator[tuple[str, bytes]]:
    """Lists as long and as wide as they may be, and by one more."""
    for more in (0, 1):
        yield f"lines {more}", b"Name\n" + b"\n" * (LINES_MAX - 2 + more) + b"Ada"
        yield f"columns {more}", (",".join(["Ada"] * (COLUMNS_MAX + more)) + "\n").encode() * 2
        yield f"quoted {more}", b'Name,Note\n"Ada","' + b"a\n" * (QUOTED_LINES_MAX - 1 + more) + b'"\nBo,c\n'
        longest = ",".join("x" * (one + more) for one in LONGEST.values())
        yield f"longest {more}", f"Name,Street,Unit,City,Note\n{longest}".encode()
        yield f"cards {more}", b"BEGIN:VCARD\nEND:VCARD\n" * (8000 + more)
    yield from {
        "nothing": b" \n", "a spreadsheet": b"PK\x03\x04abc", "an old one": b"\xd0\xcf\x11\xe0a", "a paper": b"%PDF-1", "zeros": b"\0\0\0",
        "one line": b"Ada", "no text": bytes(range(256)), "a mark": b"\xef\xbb\xbf", "half": b"\xff\xfeA",
    }.items()  # fmt: skip


def became(data: bytes, said: Json) -> Any:
    """What a list becomes, or why it is none."""
    try:
        return read_people(data, **{"known": KNOWN, **said})
    except HoneyholdError as trouble:
        return [trouble.code, str(trouble), trouble.remedy]


def lines_of(name: str) -> dict[str, str]:
    """A digest for each question."""
    if name == "bounds":
        return {what: digest(became(data, {})) for what, data in _bounds()}
    if name == "numbers":
        return {said: digest([_number(said, code) for code in ("", "218", "1", "21a")]) for said in NUMBERS}
    if name == "names":
        return {said: digest(folded(said)) for said in ("Amsel, Ruth", "ZOË grünwald", "O’Neil-Fenn", "", "ß", "Å b  c")}
    return {what: digest(became(*asked)) for what, asked in questions(name).items()}


def _number(said: str, area_code: str) -> Any:
    try:
        return read_phone(said, area_code)
    except HoneyholdError as trouble:
        return [str(trouble), trouble.remedy]


ALL: Final = (*LISTS, "bounds", "numbers", "names")

if __name__ == "__main__":
    if len(sys.argv) > 2:
        asked = questions(sys.argv[1])[sys.argv[2]]
        print(asked[0].decode("utf-8", "replace"))
        print(json.dumps(became(*asked), indent=1, ensure_ascii=False))
    else:
        FILE.write_text(json.dumps({name: lines_of(name) for name in ALL}, indent=0, ensure_ascii=False) + "\n", "utf-8")
