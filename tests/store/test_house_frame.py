"""The frame around the rooms: which stands there and names the page, where a device is led that begins, and what cannot be opened."""

from __future__ import annotations

import json
from typing import Any

from screens.rows import OWNED, ROWS
from store.in_page import PAGE, in_page
from store.screens_in_page import SCREENS

Json = dict[str, Any]
DEVICE: Json = {"table": "device", "id": "phone-a", "name": "Shed phone", "mark": "A", "role": "keeper", "lost": False}
BEGUN: Json = {"table": "setting", "id": "first_questions", "value": {"by": "phone-a", "told": {"name": "skipped"}, "done": False}}
NOT_THERE = "if (/book-room/.test(url)) throw new Error('gone');"
GONE = f"data:text/javascript,export const load = (url, way, next) => {{ {NOT_THERE} return next(url, way); }};"
FRAME = """{
  const { register } = await import('node:module');
  const { Screen } = await import(DRAWN);
  const { effectsSince } = await import(EFFECTS);
  const { isQuiet, quiet } = await import(PAGE);
  const { house } = await module('store/house.js');
  const { identity, marks, place, gone, fails, acts, answers } = asked;
  if (gone) register(gone);
  const rooms = ['shelf', 'bench', 'melt', 'book', 'settings'];
  await Promise.allSettled(rooms.map((room) => module(`rooms/${room}/${room}-room.js`)));
  const { known: now } = await module('store/known.js');
  await db.write(['keep'], (tx) => {
    const keep = tx.objectStore('keep');
    keep.put({ ...now.marks, ...marks }, 'marks');
    if (!identity) keep.delete('identity');
  });
  const happened = [];
  const focus = () => happened.push('the title has the keyboard');
  const title = { textContent: ' What stands  there ', matches: () => false, focus };
  const main = {
    querySelector: () => title,
    querySelectorAll: () => [], contains: () => false,
  };
  const found = document.getElementById;
  document.getElementById = (id) => (id === 'room' ? main : found(id));
  globalThis.fetch = async (path, { method = 'GET' } = {}) => {
    if (method !== 'HEAD') throw new TypeError('there is no main computer here');
    happened.push(`asks ${path}`);
    const ok = answers.shift();
    if (ok === null || ok === undefined) throw new TypeError('it is out of reach');
    return { ok };
  };
  const start = house.start;
  if (fails) house.start = () => { house.start = start; return Promise.reject(new Error('The disk is full.')); };
  if (place !== location.hash) location.hash = place;
  effectsSince();
  const screen = new Screen('honey-house');
  const moments = [];
  const look = async () => {
    let last = '';
    for (let turn = 0, still = 0; turn < 2000 && still < 25; turn += 1) {
      const said = screen.said().join('\\n');
      still = said === last && said.split('\\n').length > 3 && isQuiet() ? still + 1 : 0; // a room is fetched by a thread of its own
      last = said;
      await new Promise((later) => setTimeout(later, 1));
      await quiet();
    }
    moments.push({ lines: last.split('\\n').filter(Boolean), title: document.title, happened: [...happened.splice(0), ...effectsSince()] });
  };
  await look();
  for (const { what, given } of acts) {
    if (what === 'goes') {
      location.hash = given;
      dispatchEvent(new Event('hashchange'));
    } else screen[what](given);
    await look();
  }
  return moments;
}"""


def framed(*acts: tuple[str, str], rows: list[Json] | None = None, identity: bool = True, marks: Json | None = None,
           place: str = "#counter", gone: str = "", fails: bool = False,
           answers: list[bool | None] | None = None) -> list[Json]:  # fmt: skip
    asked = {"identity": identity, "marks": marks or {}, "place": place, "gone": gone, "fails": fails, "answers": answers or [],
             "acts": [{"what": what, "given": given} for what, given in acts]}  # fmt: skip
    expression = FRAME
    for name, address in (("DRAWN", (SCREENS / "drawn.mjs").as_uri()), ("EFFECTS", (SCREENS / "effects.mjs").as_uri()), ("PAGE", PAGE)):
        expression = expression.replace(name, json.dumps(address))
    moments: list[Json] = in_page("rooms/house.js", expression, asked, ROWS if rows is None else rows)
    return moments


def rooms_of(*here: str) -> str:
    rooms = ("Counter", "Shelf", "Bench", "Melt", "Book", "Settings")
    said = (f"[{room}](#{room.lower()}){' (here)' if room in here else ''}" for room in rooms)
    return f"“Rooms” : {' '.join(said)}"


def leads(moment: Json) -> list[str]:
    return [what for what in moment["happened"] if what.startswith("leads") and not what.startswith("leads to #counter")]


def test_each_room_stands_in_its_frame_and_names_the_page() -> None:
    """A room that is not on the device yet says so, and the page is loaded anew once, as soon as that helps."""
    places = ("shelf", "bench/o1", "melt", "book", "settings/lost", "book", "counter", "counter/change/o2")
    first, shelf, bench, melt, book, settings, again, counter, change = framed(
        *(("goes", f"#{place}") for place in places), gone=GONE, answers=[None, False, True]
    )
    whole = {"Counter": first, "Shelf": shelf, "Bench": bench, "Melt": melt, "Book": book, "Settings": settings}
    assert [moment["lines"][-1] for moment in whole.values()] == [rooms_of(room) for room in whole]
    assert [moment["title"] for moment in whole.values()] == [f"What stands there · {room} · Honeyhold" for room in whole]
    has = {"Counter": "# Next call", "Shelf": "# On the shelf", "Bench": "“Bench” :", "Melt": "“Melt” :",
           "Settings": "# A lost or a new phone"}  # fmt: skip
    assert [room for room, line in has.items() if not any(line in said for said in whole[room]["lines"])] == []
    assert all("the title has the keyboard" in moment["happened"] for moment in (shelf, bench, melt, settings, counter, change))
    trouble = "Book is not on this device yet, and the main computer is out of reach."
    assert any(trouble in line for line in book["lines"]) and "[try again]" in book["lines"]
    assert [what for what in book["happened"] if what.startswith(("asks", "the page", "the window"))] == [
        "asks /shell-list.js", "asks /shell-list.js", "asks /shell-list.js", "the page is loaded anew",
        "the window keeps honeyhold.reloaded: 1816441200000",
    ]  # fmt: skip
    assert any(trouble in line for line in again["lines"]) and not [what for what in again["happened"] if "asks" in what or "anew" in what]
    assert not any(trouble in line for moment in (settings, counter) for line in moment["lines"])
    assert not any(leads(moment) for moment in (first, counter)), "Who has goods already is asked nothing."


def test_a_house_that_begins_is_led_to_its_first_questions_once() -> None:
    closed, opened, there, back = framed(
        ("touch", "try again"), ("goes", "#settings/first/name"), ("goes", "#counter"), rows=[DEVICE], fails=True
    )
    assert any("The book on this device cannot be opened: The disk is full." in line for line in closed["lines"])
    assert leads(closed) == ["leads to #settings/first/name instead"] and "[try again]" in closed["lines"]
    assert not any("cannot be opened" in line for line in opened["lines"]) and not any(map(leads, (opened, back)))
    assert "# What is your honey house called, and where is it?" in there["lines"] and "# Next call" in back["lines"]


def test_a_house_underway_is_led_on_where_nobody_asked_for_a_place() -> None:
    rows = [DEVICE, BEGUN, *(row for row in OWNED["rows"] if row["table"] == "good")]
    [plain] = framed(rows=rows, place="")
    [asked] = framed(rows=rows, place="#counter")
    assert [leads(moment) for moment in (plain, asked)] == [["leads to #settings/first/shelf/bar instead"], []]
    shelf, change, counter = framed(("goes", "#counter/change/o2"), ("goes", "#counter"), rows=[DEVICE], place="#shelf")
    assert [leads(moment) for moment in (shelf, change, counter)] == [[], [], ["leads to #settings/first/name instead"]]


def test_a_device_of_nobody_and_one_that_was_removed_are_led_to_the_code() -> None:
    def led(**how: Any) -> list[str]:
        return leads(framed(**how)[0])

    removed = {"removed_at": "2027-07-23T10:00:00Z"}
    assert led(identity=False, rows=[], place="") == ["leads to #settings/enrol"]
    assert led(identity=False, rows=[], place="#settings/own") == []
    assert led(marks=removed, place="#shelf") == ["leads to #settings/enrol"]
    assert led(marks=removed, place="#settings/lost") == []
