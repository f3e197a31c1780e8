"""What the Settings say of the main computer's answers, of its refusals and of a device that stands otherwise than usual."""

from __future__ import annotations

from base64 import b64encode
from typing import Any

from screens.acts import fill, touch
from screens.answers import ANSWERS
from screens.rows import entry
from store.screens_in_page import Moment, becomes, file, played, screen

Json = dict[str, Any]
HEALTH, LATE, SETTLE, CODES, LOST = (
    "GET /api/health", "GET /api/late", "POST /api/late/settle", "POST /api/codes", "POST /api/devices/phone-b/lost",
)  # fmt: skip
TRUST, READ, ZIP, ENROL = "GET /api/trust", "POST /api/people/read", "GET /api/export.zip", "POST /api/enrol"
NOTHING_LATE: Json = {"entries": [], "waiting": 0, "silent": []}


def told(*answers: Any) -> list[Any]:
    return [[200, answer] for answer in answers]


def refused(detail: str) -> list[Any]:
    return [409, {"detail": detail, "remedy": "Look at it."}]


def written(*seqs: int) -> list[Json]:
    return [entry(seq, "in_hand", "note_person", table="person", id="ann", note="x") for seq in seqs]


def says(moment: Moment, *lines: str) -> bool:
    return all(line in moment.lines for line in lines)


def says_nothing_like(moment: Moment, *words: str) -> bool:
    return not any(word in moment.text for word in words)


def last(moments: list[Moment]) -> Moment:
    return moments[-1]


def test_how_the_backups_stand_and_which_certificate_comes_next() -> None:
    ago = {"made_at": "2027-07-22T15:00:00Z", "failing": False}
    health = [{}, {"backup": ago}, {"backup": {"made_at": None, "failing": False}}, {"backup": {**ago, "failing": True}},
              {"backup": {"made_at": None, "failing": True}}]  # fmt: skip
    backups = [screen("backup-said", told={HEALTH: told(answer)}, trouble=trouble) for trouble in (False, True) for answer in health]
    trust = [screen("trust-said", told={TRUST: told(ANSWERS[TRUST])}, **how) for how in ({}, {"protocol": "http:"}, {"brief": True})]
    *backups_said, secure, plain, brief = (moments[0] for moments in played(*backups, *trust))
    look = "Look at the window on the main computer in which Honeyhold was started: it says why."
    failed = [[f"(heed):The last backup failed; the newest was made 2 days ago. {look}"], [f"(heed):The last backup failed. {look}"]]
    assert [said.lines for said in backups_said] == [
        [], ["The newest backup on the main computer was made 2 days ago."], ["No backup yet: the first is made with the first entry."],
        *failed, [], [], [], *failed,
    ]  # fmt: skip
    assert secure.lines[1].startswith("(heed):From Wed Sep 1, 2027 on this device has to trust another certificate of the main computer.")
    assert plain.lines[1].startswith("(heed):From Wed Sep 1, 2027 on phones and tablets have to trust another certificate")
    assert (plain.lines[2], brief.lines) == ("abcd efgh", ["[a new certificate load it before Wed Sep 1, 2027](#settings/device)"])


def test_late_entries_are_settled_and_say_why_they_were_not() -> None:
    late = ANSWERS[LATE]
    one = {**late["entries"][0], "goods": [{"good": "gone", "units": -3}], "cents": 0, "made_at": None}
    at_once, refusals, broken, alone, silent, out = played(
        screen("late-board", touch("take all in"), told={LATE: told(late), SETTLE: told({})}),
        screen("late-board", touch("take all in"), touch("take it in"), told={
            LATE: told(late), SETTLE: [refused("The bars are gone."), *told({}), refused("No such person."), *told({})]}),
        screen("late-board", touch("take all in"), told={LATE: told(late), SETTLE: [*told({}), [502, "no"]]}),
        screen("late-board", touch("put it aside"), touch("take it in"), told={
            LATE: told(*[{"entries": [one], "waiting": 1}] * 2, NOTHING_LATE), SETTLE: [refused("Not this one."), *told({})]}),
        screen("late-board", told={LATE: told({**late, "waiting": 4, "silent": ["Old phone", "Barn phone"]})}),
        screen("late-board", touch("ask again")),
    )  # fmt: skip
    assert says(at_once[0], "2 more come after these.", "$12.00 paid", "5 wax bars (1 oz), $12.50 paid")
    assert says(at_once[1], "Done.") and says_nothing_like(at_once[1], "not taken in")
    assert [asked.split(" {")[0] for asked in at_once[1].asks] == [SETTLE] * 3 + [LATE]
    assert '"seq":3' not in "".join(at_once[1].asks), "What leaves nothing to do is not taken in."
    whys = ("(heed):The bars are gone. Look at it.", "(heed):No such person. Look at it.")
    assert says(refusals[1], "2 were not taken in: each says why.", *whys)
    assert says(refusals[2], "Done.")
    out_of_reach = "(heed):The main computer is out of reach (status 502). Try again once there is signal."
    assert len(broken[1].asks) == 3 and says(broken[1], out_of_reach)
    assert says(alone[0], "3 gone", "[take it in] [put it aside]") and says_nothing_like(alone[0], "take all in", "more come after", "paid")
    assert says(alone[1], "1 was not taken in: each says why.", "(heed):Not this one. Look at it.")
    assert '"how":"put_aside","note":"put aside on the screen"' in alone[1].asks[0] and '"how":"take_in","note":""' in alone[2].asks[0]
    assert says(alone[2], "Nothing.", "Done.")
    assert silent[0].lines[3].startswith("The records were put back from a backup, and Old phone and Barn phone did not say yet")
    assert says_nothing_like(silent[0], "take all in", "take it in", "more come after")
    assert [says(moment, "[ask again]") for moment in out] == [True, True] and out[1].effects


def test_what_the_main_computer_does_for_an_owner() -> None:
    made = ANSWERS[CODES]
    doors = {door: told(answer) for door, answer in ANSWERS.items() if "calendar" in door}
    calendar, codes, first, second, removed, saved = played(
        screen("calendar-board", touch("show the address"), touch("a new address"), touch("yes, a new address"), told=doors),
        screen("devices-board", touch("a code for a helper"), told={CODES: told({**made, "introduction": ""})}),
        screen("first-walk", touch("a helper"), touch("to the Counter"), told={CODES: told(made)}, path=["help"]),
        screen("first-walk", touch("I have a second device"), told={CODES: told({**made, "introduction": ""})}, path=["help"]),
        screen("devices-board", touch("remove it"), touch("keep it"), touch("remove it"), touch("remove it"), touch("remove it"),
               told={LOST: [refused("Not that one."), *told({})]}),
        screen("out-board", touch("save everything"), touch("save everything"), told={ZIP: [refused("Not now."), *told({})]}),
    )  # fmt: skip
    assert calendar[1].asks == ["GET /api/calendar"] and says_nothing_like(calendar[1], "Renewed", "copy it")
    assert says(calendar[2], "[yes, a new address]")
    assert calendar[3].asks == ["POST /api/calendar/renew"]
    assert says(calendar[3], "{: https://192.168.1.9:8471/calendar/def.ics} (fixed)", "[a new address …]",
                "Renewed. The old address opens nothing any more: give your calendar this one.")  # fmt: skip
    assert codes[1].asks == ['POST /api/codes {"role":"helper"}'] and says(codes[1], "“the code” :ABCD-2345", "https://192.168.1.9:8471")
    assert says_nothing_like(codes[1], "was never here first")
    assert says(first[1], "A device that was never here first opens http://192.168.1.9:8470.", "[to the Counter]")
    assert first[2].effects == ["leads to #counter"]
    assert second[1].asks == ['POST /api/codes {"role":"keeper"}'] and says_nothing_like(second[1], "was never here first")
    assert [says(moment, "[keep it] [remove it]") for moment in removed] == [False, True, False, True, True, False]
    assert says(removed[4], "(heed):Not that one. Look at it.") and says(removed[5], "Kitchen tablet is removed.")
    assert removed[4].asks == removed[5].asks == [LOST]
    assert says(saved[1], "(heed):Not now. Look at it.")
    assert says(saved[2], "Saved. Look among this device's downloads.") and says_nothing_like(saved[2], "Not now.")


def test_people_are_read_out_of_a_file_and_brought_in() -> None:
    text = b"Name;Phone\n" * 4000
    opened = file(b64encode(text).decode())
    read = {READ: told(ANSWERS[READ])}
    left, brought, out, none = played(
        screen("people-board", opened, touch("leave it"), told=read),
        screen("people-board", opened, touch("bring in 3 people"), touch("undo"), told=read),
        screen("people-board", opened), screen("people-board", file(""), told=read),
    )  # fmt: skip
    assert f'"data":"{b64encode(text).decode()}","fields":null' in left[1].asks[0]
    assert says(left[1], "[bring in 3 people] [leave it]", "[what each column is]") and says(left[2], "open a file")
    assert brought[1].effects == ["aloud: 3 people to bring in. Nothing is written yet."]
    assert says(brought[2], "3 people are in your book now.", "[undo]", "open a file")
    assert says(brought[3], "Undone: nobody of that list is in your book.") and says_nothing_like(brought[3], "[undo]")
    away = "Lists are read by the main computer: bring this device into its reach, then open the file again."
    assert says(out[1], f"The main computer is out of reach. {away}") and says(none[0], "open a file")


def test_how_this_device_stands() -> None:
    kernel = {"done": 0, "total": 0, "why": "no room"}
    waits = [screen("device-board", marks={"read_to": 9}, log=written(*range(1, 1 + many))) for many in (0, 1, 2)]
    states = [screen("device-board", status={"kernel": {**kernel, "state": state}}) for state in ("awake", "waking", "unavailable")]
    none, one, two, awake, waking, not_here, frozen, opening, offered = (last(moments) for moments in played(
        *waits, *states, screen("device-board", marks={"frozen": "It is a copy."}),
        screen("settings-room", status={"started": False}, path=["device"]), screen("settings-room", path=["device"]),
    ))  # fmt: skip
    waiting = "for what another device has not sent yet. Nothing to do here."
    assert says_nothing_like(none, "that wait")
    assert says(one, "waits", f"The main computer has one entry that waits {waiting}")
    assert says(two, "waits", f"The main computer has 2 entries that wait {waiting}", "Nothing: the main computer has all of it.")
    assert says(awake, "Parcels and heat are worked out here.") and says(waking, "Starting.")
    waits_for_signal = "Orders can be taken; parcels and heat wait for signal. [try again]"
    assert says(not_here, f"Calculations are not available here: no room (heed) {waits_for_signal}")
    set_aside = frozen.lines.index("set aside for it")
    assert frozen.lines[set_aside + 1] == "Nothing." and says(frozen, "[give it a new name](#settings/enrol)")
    assert opening.lines == ["Opening the book …"] and says(offered, "# Shed phone")
    assert says_nothing_like(awake, "home screen]", "give it a new name")


def test_the_main_computer_moved_and_a_device_is_added_again() -> None:
    send = (fill("address", "https://192.168.1.9:8471/#enrol=ABCD"), touch("send it there"))
    there = {HEALTH: told({"house": "h1"}), "POST /api/exchange": told("exchanged")}
    marks = {"house": "h1", "shape": 99}
    code = (fill("code", "ABCD"), touch("add this device"), fill("name", "barn phone"), touch("add this device"))
    gone = {"removed_at": "2027-07-23T10:00:00Z"}
    *moves, away, enrol, emptied, itself, themselves = (last(moments) for moments in played(
        *(screen("moved-board", *send, told=there, marks=marks, log=written(*range(1, 1 + many))) for many in (0, 1, 2)),
        screen("moved-board", marks={"moved_to": "https://192.168.1.9:8471"}),
        screen("enrol-board", *code, told={ENROL: [refused("The code is not known.")]}),
        screen("enrol-board", marks=gone, status={"emptied": "The browser has cleared it."}),
        screen("enrol-board", marks=gone, log=written(1)), screen("enrol-board", marks=gone, log=written(1, 2)),
    ))  # fmt: skip
    assert [moment.lines[3] for moment in moves] == [
        "Nothing was left to hand over.", "1 entry is handed over. None is left here.", "2 entries are handed over. None is left here.",
    ]  # fmt: skip
    assert [moment.lines[-1] for moment in moves] == ["[go on there](https://192.168.1.9:8471/#enrol=ABCD)"] * 3
    assert away.lines[-1] == "[go on there](https://192.168.1.9:8471/)"
    assert all(says_nothing_like(moment, "send it there", "only on this device") for moment in (*moves, away))
    assert enrol.asks == ['POST /api/enrol {"code":"ABCD","name":"barn phone"}']
    assert says(enrol, "(heed):The code is not known. Look at it.") and "leads to #counter" not in enrol.effects
    wiped = "Names, addresses, orders and half-written sentences were wiped from it."
    assert says(emptied, "(heed):This device was removed on Fri Jul 23.", "(heed):The browser has cleared it.", wiped)
    assert says(itself, f"{wiped} 1 entry it had not sent yet is handed in by itself; the owner settles it.")
    assert says(themselves, f"{wiped} 2 entries it had not sent yet are handed in by themselves; the owner settles them.")


def test_what_was_refused_of_one_is_not_told_of_another() -> None:
    priced = (fill("cost", "x"), touch("write it down"))
    carton, sizes, goods, measured = played(
        screen("cartons-board", *priced, becomes(carton="c6"), carton="c8"),
        screen("cartons-board", touch("6×6×6"), becomes(carton="c6"), becomes(carton="new"), carton="new"),
        screen("goods-board", touch("change the order"), becomes(path=["add"]), becomes(path=[]), path=[]),
        screen("measure-board", fill("weight", "x"), touch("write it down"), becomes(good="jar"), good="bar"),
    )
    assert says(carton[2], "# Not yet (heed)") and says_nothing_like(carton[3], "Not yet") and says(carton[3], "# Carton 6×4×4")
    assert says(sizes[1], "6×6×6 inches inside.") and says(sizes[3], "# or your own size, inside")
    assert says(goods[1], "[this is the order]") and says_nothing_like(goods[3], "this is the order")
    assert says(measured[2], "# Not yet (heed)") and says_nothing_like(measured[3], "Not yet")
