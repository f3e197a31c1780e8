"""An order, its person, its lines and its parcels, read once for every paper that shows them."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.drawing import DRAWING_LENGTH_MAX, safe_drawing
from honeyhold.documents.letterhead import plain_address
from honeyhold.documents.wording import amount_words, day_words

Json = dict[str, Any]

WAYS = {"post": "By mail", "pick_up": "To be picked up", "walk_in": "Picked up"}
NO_NAME = "No name given"


def order_facts(holder: Json, where: str = "") -> Json:
    """`{number, way, leaves, note, taken}` in words."""
    order = reading.mapping(holder, "order", where)
    inside = where + "order."
    leaves = reading.day(order, "gone_on", inside) or reading.day(order, "leave_on", inside)
    taken = reading.day(order, "taken_on", inside)
    return {
        "number": reading.text(order, "number", inside, needed=True),
        "way": reading.choice(order, "way", WAYS, "post", inside),
        "leaves": day_words(leaves) if leaves else "",
        "taken": day_words(taken) if taken else "",
        "note": reading.text(order, "note", inside),
    }


def person_facts(holder: Json, where: str = "") -> Json:
    """`{name, lines, place}` as the person spells them; somebody without a name is a person too."""
    person = reading.mapping_or_none(holder, "person", where) or {}
    inside = where + "person."
    written = {key: reading.text(person, key, inside) for key in ("street", "unit", "city", "state", "zip")}
    return {
        "name": reading.text(person, "name", inside) or NO_NAME,
        "lines": plain_address(written),
        "place": ", ".join(part for part in (written["city"], written["state"]) if part),
    }


def line_facts(holder: Json, where: str = "", *, least: int = 1) -> list[Json]:
    """One entry a line: `{good, row, unit, sent, amount, waiting, waiting_good, waiting_amount, lots...}`.

    What is sent is what is sure; once the goods are handed over nothing is sure any more and the lots say
    what went. The rest of what was wanted waits. Raises BadRequest when more would be sent than was wanted.
    """
    lines = reading.objects(holder, "lines", where, least=least)
    return [_line(line, f"{where}lines[{n}].") for n, line in enumerate(lines)]


def _line(line: Json, where: str) -> Json:
    good = reading.mapping(line, "good", where)
    wanted = reading.units(line, "units", where)
    lots = [_lot(lot, f"{where}lots[{n}].") for n, lot in enumerate(reading.objects(line, "lots", where))]
    sent = max(reading.units(line, "sure", where), sum(lot["units"] for lot in lots))
    if sent > wanted:
        raise reading.wrong(where + "sure", f"no more than the {wanted} wanted, its lots too", sent)
    unit = "g" if good.get("unit") == "g" else "each"
    several = len(lots) > 1
    return {
        "good": good_name(good, sent, where),
        "row": good,
        "unit": unit,
        "sent": sent,
        "amount": amount_words(sent, unit),
        "waiting": wanted - sent,
        "waiting_good": good_name(good, wanted - sent, where),
        "waiting_amount": amount_words(wanted - sent, unit),
        "lots": lots,
        "lot_words": [
            f"{amount_words(lot['units'], unit)} of {lot['lot']}" if several else lot["lot"] for lot in lots
        ],
    }


def _lot(lot: Json, where: str) -> Json:
    code = reading.text(lot, "lot", where, needed=True)
    return {"lot": code, "units": reading.units(lot, "units", where, least=1)}


def good_name(good: Json, units: int, where: str) -> str:
    """The good's name, in the plural where there are several of them."""
    name = reading.text(good, "name", where + "good.", needed=True)
    plural = reading.text(good, "plural", where + "good.")
    return plural if plural and units != 1 and good.get("unit") != "g" else name


def parcel_facts(holder: Json, where: str = "") -> list[Json]:
    """One entry a parcel: `{part, of, carton, gross, dressing, drawing, steps}`; a pick-up may have none."""
    parcels = reading.objects(holder, "parcels", where)
    return [_parcel(parcel, f"{where}parcels[{n}].") for n, parcel in enumerate(parcels)]


def _parcel(parcel: Json, where: str) -> Json:
    part = reading.units(parcel, "part", where, least=1)
    of = reading.units(parcel, "of", where, least=part)
    return {
        "part": part,
        "of": of,
        "carton": reading.text(parcel, "carton_name", where),
        "gross": reading.text(parcel, "gross_words", where),
        "dressing": reading.text(parcel, "dressing_words", where) or reading.text(parcel, "dressing", where),
        "drawing": safe_drawing(reading.text(parcel, "svg", where, most=DRAWING_LENGTH_MAX), where + "svg"),
        "steps": reading.texts(parcel, "steps", where),
    }
