"""What every door answers in a house where much has happened, and what to the same request with one thing in it otherwise: a digest each.

The digest is of the status, of the headers that anybody heeds and of the body. Where a line changes and that is meant, look at the answer
before and after, then write the lines anew:

    .venv/bin/python -m tests.api.as_before                                          all of them
    .venv/bin/python -m tests.api.as_before "GET /api/orders" "limit nothing"        prints what is asked and what is answered
"""

from __future__ import annotations

import base64
import io
import itertools
import json
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch
from urllib.parse import quote, urlencode
from zipfile import ZipFile

sys.path.insert(0, str(Path(__file__).parents[1]))

from flask import Flask  # noqa: E402
from flask.testing import FlaskClient  # noqa: E402
from werkzeug.test import TestResponse  # noqa: E402

from digests import digest  # noqa: E402
from entries.house import EPOCH, LivedIn, lived_in  # noqa: E402
from honeyhold.api.access import WATCH_KEY  # noqa: E402
from honeyhold.api.app import begin_anew, make_app  # noqa: E402
from honeyhold.api.own import KEY  # noqa: E402
from honeyhold.house.last_backup import LastBackup  # noqa: E402
from otherwise import changed, drawn, otherwise  # noqa: E402

Json = dict[str, Any]
FILE: Final = Path(__file__).with_suffix(".json")
MOST: Final = 10
HEEDED: Final = (
    "Allow", "Cache-Control", "Content-Disposition", "Content-Encoding", "Content-Security-Policy", "Content-Type", "Location",
    "Referrer-Policy", "Retry-After", "Vary", "WWW-Authenticate", "X-Content-Type-Options", "Access-Control-Allow-Origin",
    "Access-Control-Allow-Headers", "Access-Control-Allow-Methods", "Access-Control-Max-Age", "Cross-Origin-Resource-Policy",
)  # fmt: skip
OWN_KEY: Final = "own-key-of-the-tests"
LAST: Final = str(2**53 - 1)
SIZES: Final = ("a4", "letter")
WHERE_SLOW: Final = ("", "of nobody", "of nothing there", "another way")
MEASURED: Final = re.compile(r'("(?:ms|free_bytes|version)":)[^,}]*|^(\S*(?:seconds|bytes)\S* ).*$', re.M)
"""What hangs on the machine."""


@dataclass(frozen=True)
class Asking:
    """One request as it is meant."""

    way: str
    place: str
    """With `{names}` of what stands in the house."""
    who: str = "keeper"
    given: Json | None = None
    more: dict[str, str] = field(default_factory=dict)
    """The question behind the address."""
    before: Callable[[LivedIn], None] = lambda _here: None
    headers: dict[str, str] = field(default_factory=dict)
    raw: bytes | None = None


def _lost(here: LivedIn) -> None:
    """The helper's device is lost, and sends what it had written."""
    _, helper = here.hands()
    helper.note_person(name="Ivo")
    helper.promise([("pint", 2)], here.named["nell"], "pick_up")
    here.house.declare_lost(helper.identity["device"])
    here.said(helper, *helper.in_hand)


def _late(here: LivedIn) -> Json:
    _, helper = here.hands()
    helper.note_person(name="Ivo")
    last = helper.log[-1]
    return {"device": last["device"], "seq": last["seq"], "hash": last["hash"], "how": "take_in"}


def _backed_up(here: LivedIn) -> None:
    here.house.last_backup = LastBackup(here.watch.now, None)  # type: ignore[arg-type]


CSV: Final = "Name,Phone,Street,City,State,Zip,Notes\nRuth Amsel,218-555-0142,4 Heron Sill Rd,Duluth,MN,55811,dark\nAda,,9 Larch,,,4609,\n"


def _askings(here: LivedIn) -> dict[str, Asking]:
    """Every door with a request that it answers."""
    operations = [here.keeper.log[-1]]
    ask = {
        "protocol": 1, "request": "11111111-2222-5333-8444-555555555555", "device": here.keeper.identity["device"], "epoch": EPOCH,
        "cursor": 40, "operations": operations, "spent": {"bar": 3}, "granted": {"bar": 70}, "wants": {"pint": 2}, "callers": {"bar": 4},
        "clock": "2026-07-20T14:20:00Z", "refused": [], "written": 60, "places": {operations[0]["id"]: {"epoch": EPOCH, "position": 3}},
    }  # fmt: skip
    made = [
        Asking("GET", "/api/mirror"), Asking("GET", "/api/mirror", "helper"), Asking("POST", "/api/exchange", given=ask),
        Asking("GET", "/api/health", "nobody"), Asking("GET", "/api/health", "nobody", before=_backed_up),
        Asking("GET", "/api/health/deep"), Asking("GET", "/api/health/deep", "watcher"), Asking("GET", "/api/metrics", "watcher"),
        Asking("GET", "/api/trust"), Asking("GET", "/api/openapi.json", "nobody"),
        Asking("POST", "/api/codes", given={"role": "helper"}), Asking("POST", "/api/own/codes", "own", {"role": "keeper"}),
        Asking("POST", "/api/own/check", "own", {}), Asking("POST", "/api/own/export", "own", {}),
        Asking("POST", "/api/enrol", "nobody", {"code": "AAAA-AAAA", "name": "Bench"}, before=_code),
        Asking("POST", "/api/devices/{helper}/lost"), Asking("GET", "/api/late"), Asking("GET", "/api/late", before=_lost),
        Asking("POST", "/api/late", given={"operations": [here.helper.log[-1], {"device": "before", "seq": 3}]}),
        Asking("POST", "/api/late/settle", given=_late(here), before=_lost),
        Asking("POST", "/api/late/settle", given={**_late(here), "how": "put_aside", "note": "rang them"}, before=_lost),
        Asking("GET", "/api/lots/{lot}/trace"), Asking("GET", "/api/lots/J26-180-1/trace", "helper"),
        Asking("GET", "/api/orders", more={"person": "{ruth}", "limit": "2", "before": "50"}),
        Asking("GET", "/api/orders", more={"person": "{ruth again}"}), Asking("GET", "/api/orders", more={"person": "{nell}"}),
        Asking("GET", "/api/looking-back", more={"season": "2026"}), Asking("GET", "/api/looking-back", more={"season": "2027"}),
        Asking("GET", "/api/years/2026"), Asking("GET", "/api/export.zip"), Asking("GET", "/api/people/{ruth}/export.zip"),
        Asking("POST", "/api/people/{ruth}/forget", given={}), Asking("POST", "/api/people/{bob}/forget", given={}),
        Asking("GET", "/api/papers/slip/{arrived}.pdf", more={"size": "a5"}),
        Asking("POST", "/api/people/read", given={"data": base64.b64encode(CSV.encode()).decode(), "fields": None}),
        Asking("POST", "/api/people/read", given={
            "data": base64.b64encode(CSV.encode()).decode(), "fields": ["name", "phone", "street", "city", "state", "zip", "note"],
        }),
        Asking("POST", "/api/work/stock.pick_lots", given={"units": 7, "balances": [{"lot": "W26-190-1", "units": 9}]}),
        Asking("GET", "/api/calendar"), Asking("POST", "/api/calendar/renew", given={}),
        Asking("GET", "/calendar/secret-1.ics", "nobody", before=_calendar),
    ]  # fmt: skip
    names = [f"{one.way} {one.place}" for one in made]
    found = {}
    for at, (name, one) in enumerate(zip(names, made, strict=True)):
        number = names[: at + 1].count(name)
        found[f"{name} {number}" if number > 1 else name] = one
    return found


def _code(here: LivedIn) -> None:
    here.house.new_code("helper")


def _calendar(here: LivedIn) -> None:
    from honeyhold.house import calendar_feed

    calendar_feed.secret(here.house)


@contextmanager
def no_chance() -> Iterator[None]:
    """Codes and secrets are counted, not drawn."""
    count = itertools.count(1)
    with patch("secrets.choice", lambda letters: letters[8]), patch("secrets.token_urlsafe", lambda _many=0: f"secret-{next(count)}"):
        yield


class Doors:
    """The application before the house."""

    def __init__(self, here: LivedIn) -> None:
        self.here = here
        self._made = make_app(here.house, known_as=("honey.example.org",))
        self.askings = _askings(here)
        self.names = {**here.named, "helper": here.helper.identity["device"], "lot": "W26-190-1"}
        self.tokens = {
            "keeper": here.keeper.identity["token"], "helper": here.helper.identity["token"], "own": OWN_KEY, "watcher": "watch",
            "stranger": "nobodys-token",
        }  # fmt: skip

    def app(self) -> Flask:
        """With nothing remembered of earlier requests. It is one and the same: to make the doors takes longer than most answers."""
        made = self._made
        begin_anew(made, self.here.house)
        made.extensions[KEY], made.extensions[WATCH_KEY] = OWN_KEY, "watch"
        return made

    def questions(self, name: str) -> dict[str, Asking]:
        """A request as it is, and with one thing in it otherwise."""
        asking = self.askings[name]
        found = {"": asking}
        for who in ("nobody", "stranger", "helper", "keeper", "own"):
            found[f"of {who}"] = replace(asking, who=who)
        found |= {
            "of a lost device": replace(asking, who="helper", before=_lost),
            "another way": replace(asking, way="PUT"),
            "its head": replace(asking, way="HEAD"), "its options": replace(asking, way="OPTIONS"),
            "for a browser": replace(asking, who="stranger", headers={"Accept": "text/html,*/*;q=0.5"}),
            "pressed": replace(asking, headers={"Accept-Encoding": "gzip"}),
            "under another name": replace(asking, headers={"Host": "elsewhere.example.org"}),
            "under its own name": replace(asking, headers={"Host": "honey.example.org"}),
            "from a page elsewhere": replace(asking, headers={"Origin": "https://elsewhere.example.org"}),
            "from a page next door": replace(asking, headers={"Origin": "http://192.168.1.20:8470"}),
            "of nothing there": replace(asking, place=re.sub(r"{.*?}|W26[^/]*|J26[^/]*|secret-1|2026", "nobody-knows", asking.place)),
            "a slash more": replace(asking, place=f"{asking.place}/"),
            "after a restore": replace(asking, before=_before(asking.before, LivedIn.restored)),
        }  # fmt: skip
        if asking.given is not None:
            for raw in (b"", b"[]", b"{", b'{"a": 1e400}', b"\xff"):
                found[f"body {raw!r}"] = replace(asking, raw=raw)
            found["another media type"] = replace(asking, headers={"Content-Type": "text/plain"})
            for path, how, value in drawn([one for one in otherwise(asking.given) if "rows" not in one[0]], MOST):
                found[f"{'/'.join(map(str, path))} {how}"] = replace(asking, given=changed(asking.given, path, value))
            found["a field more"] = replace(asking, given={**asking.given, "more": 1})
        for key in asking.more:
            without = {name: value for name, value in asking.more.items() if name != key}
            found[f"{key} gone"] = replace(asking, more=without)
            for value in ("", "0", "1", "-1", "101", "1899", "2025", *SIZES, "nobody-knows", "9" * 20, LAST, f"{int(LAST) + 1}", "\0"):
                found[f"{key} {value!r}"] = replace(asking, more={**asking.more, key: value})
        slow = "/papers/" in asking.place
        return {name: one for name, one in found.items() if not slow or name in WHERE_SLOW or "size" in name}

    def answered(self, asking: Asking) -> Any:
        """Status, headers and body."""
        with self.here.asked(), no_chance():
            self.here.house.last_backup = None
            asking.before(self.here)
            client = self.app().test_client()
            answer = self._sent(client, asking)
            heeded = {name: answer.headers[name] for name in HEEDED if name in answer.headers}
            told = [answer.status_code, {**heeded, "Allow": sorted(heeded.get("Allow", "").split(", "))}, _body(answer)]
            changes = self.here.changes() if asking.way not in ("GET", "HEAD") else {}
            answer.close()
            return [*told, changes]

    def address(self, asking: Asking) -> str:
        """With the ids of what stands in the house."""
        return re.sub(r"{(.*?)}", lambda found: quote(self.names[found[1]]), asking.place)

    def _sent(self, client: FlaskClient, asking: Asking) -> TestResponse:
        headers = {**({"Authorization": f"Bearer {self.tokens[asking.who]}"} if asking.who != "nobody" else {}), **asking.headers}
        more = {key: re.sub(r"{(.*?)}", lambda found: self.names[found[1]], value) for key, value in asking.more.items()}
        body = asking.raw if asking.raw is not None else json.dumps(asking.given).encode() if asking.given is not None else None
        if body is not None:
            headers.setdefault("Content-Type", "application/json")
        place = self.address(asking)
        address = f"{place}?{urlencode(more)}" if more else place
        return client.open(address, method=asking.way, data=body, headers=headers, buffered=True)


def _before(*acts: Callable[[LivedIn], None]) -> Callable[[LivedIn], None]:
    def all_of_them(here: LivedIn) -> None:
        for act in acts:
            act(here)

    return all_of_them


def _body(answer: TestResponse) -> Any:
    data = answer.get_data()
    if answer.mimetype == "application/pdf":
        return len(data) > 1000
    if data[:2] == b"PK":
        with ZipFile(io.BytesIO(data)) as opened:
            return {name: opened.read(name).decode("utf-8") for name in opened.namelist()}
    if answer.headers.get("Content-Encoding") == "gzip":
        return data[:2] == b"\x1f\x8b"
    if b'"openapi"' in data[:200]:
        return sorted(json.loads(data))
    return MEASURED.sub(r"\1\2", data.decode("utf-8"))


def lines(here: LivedIn, name: str) -> dict[str, str]:
    """A digest for each question of a door."""
    doors = Doors(here)
    with here.opened():
        return {question or "as it is": digest(doors.answered(asking)) for question, asking in doors.questions(name).items()}


def told(here: LivedIn, name: str, question: str) -> None:
    """Prints what is asked and what is answered."""
    doors = Doors(here)
    asking = doors.questions(name)["" if question == "as it is" else question]
    print(asking)
    with here.opened():
        print(json.dumps(doors.answered(asking), indent=1, ensure_ascii=False))


if __name__ == "__main__":
    with lived_in() as house:
        if len(sys.argv) > 2:
            told(house, *sys.argv[1:3])
        else:
            FILE.write_text(json.dumps({name: lines(house, name) for name in _askings(house)}, indent=0) + "\n", "utf-8")
