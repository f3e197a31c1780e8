"""Beginnings of what a device keeps: added to a house, and a mirror laid over a log that the house may know better, or not at all."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB
from store.in_page import in_page

Json = dict[str, Any]
PUT = """await db.write(["keep", "log"], async (tx) => {
    for (const entry of asked.log) tx.objectStore("log").put(entry);
    for (const [key, value] of Object.entries(asked.keep ?? {})) tx.objectStore("keep").put(value, key);
  });"""
LOOK = """(await db.read(["keep", "log", "rows"], async (tx) => ({
    log: (await tx.objectStore("log").getAll()).map(({ device, seq, operation, ...rest }) => rest),
    keep: Object.fromEntries(await Promise.all(["identity", "share", "head", "marks"].map(async (key) => [
      key, await tx.objectStore("keep").get(key)]))),
    rows: (await tx.objectStore("rows").getAll()).map(({ id }) => id) })))"""
STARTED = f"""(async () => {{ {PUT}
  await here.started(asked.mirror, 1500);
  return {LOOK};
}})()"""
ADDED = f"""(async () => {{ {PUT}
  const said = [];
  globalThis.fetch = async (path, options) => {{
    said.push([String(path), options.body ? JSON.parse(options.body) : null]);
    if (!String(path).endsWith('/api/enrol')) throw new TypeError('out of reach');
    return new Response(JSON.stringify(asked.answer), {{ headers: {{ 'Content-Type': 'application/json' }} }});
  }};
  const {{ current }} = await import(asked.status);
  current.emptied = 'This browser was cleared.';
  await here.house.enrol(' CODE ', ' Shed ');
  return {{ ...{LOOK}, emptied: current.emptied, said: said[0] }};
}})()"""
MIRROR: Json = {
    "epoch": "later", "cursor": 40, "house": "h", "last_seq": 2, "last_hash": "x2",
    "balances": [{"good": "bar", "lot": None, "units": 3}],
    "rows": [{"table": "person", "id": "ann", "name": "Ann"}], "ledgers": [{"table": "till", "id": "t1"}],
    "sure": [], "handed": [], "paid": [], "granted": {"bar": 9}, "spent": {"bar": 2},
}  # fmt: skip


def entry(seq: int, state: str, position: int | None = None, *, hash: str = "", device: str = "phone-a", **more: Any) -> Json:
    operation = {"hash": hash or f"x{seq}", "rows": [], "made_at": "2027-07-20T12:00:00Z", "kind": "promise"}
    return {"device": device, "seq": seq, "id": f"{device}-{seq}", "state": state, "position": position, "operation": operation, **more}


def started(log: list[Json], epoch: str = "before", seq: int = 2, **mirror: Any) -> Json:
    keep = {"marks": {"epoch": epoch, "covered_to": 0}, "head": {"seq": seq, "hash": f"x{seq}", "orders": 1},
            "share": {"granted": {"bar": 5, "jar": 1}, "spent": {"bar": 4}}}  # fmt: skip
    told: Json = in_page("store/fresh.js", STARTED, {"log": log, "keep": keep, "mirror": MIRROR | mirror})
    return told


def states(told: Json) -> dict[str, str]:
    return {row["id"]: row["state"] for row in told["log"]}


def test_the_mirror_is_the_houses_and_shares_only_grow() -> None:
    told = started([entry(1, "landed", 7), entry(2, "landed", 9)])
    assert sorted(told["rows"]) == ["ann", "t1"] and told["keep"]["share"] == {"granted": {"bar": 9, "jar": 1}, "spent": {"bar": 4}}
    marks = told["keep"]["marks"]
    assert (marks["epoch"], marks["cursor"], marks["read_to"], marks["offset_ms"], marks["house"], marks["frozen"]) == (
        "later", 40, 2, 1500, "h", None,
    )  # fmt: skip
    assert [(row["state"], row["position"], row["place"]) for row in told["log"]] == [
        ("landed", 0, {"epoch": "before", "position": 7}), ("landed", 0, {"epoch": "before", "position": 9}),
    ]  # fmt: skip


@pytest.mark.parametrize(("log", "expected"), [
    ([entry(1, "landed", 7), entry(2, "in_hand"), entry(3, "landed", 9)], ["landed", "in_hand", "in_hand"]),
    ([entry(1, "landed", 7), entry(2, "landed", 8, hash="another")], ["in_hand", "in_hand"]),
    ([entry(1, "landed", 7), entry(2, "refused"), entry(3, "set_aside")], ["landed", "refused", "in_hand"]),
])  # fmt: skip
def test_what_the_house_lacks_is_in_hand_again(log: list[Json], expected: list[str]) -> None:
    """All of it where it knows another chain under this name."""
    assert list(states(started(log, seq=3)).values()) == expected


def test_what_was_dealt_with_stays_so() -> None:
    told = started([entry(1, "landed", 7), entry(2, "landed", 8), entry(3, "set_aside"), entry(4, "refused")], seq=4)
    assert [row["dealt_with"] for row in told["log"][2:]] == [True, False]


@pytest.mark.parametrize(("epoch", "state"), [("before", "earlier"), ("later", "kept_apart")])
def test_what_was_kept_apart_under_an_earlier_name_is_handed_in_again_after_a_restore(epoch: str, state: str) -> None:
    log = [entry(1, "landed", 7), entry(2, "landed", 8), entry(1, "kept_apart", device="phone-z")]
    assert states(started(log, epoch=epoch))["phone-z-1"] == state


@pytest.mark.parametrize(("seq", "frozen"), [(2, False), (1, True)])
def test_a_device_whose_storage_went_back_is_stopped(seq: int, frozen: bool) -> None:
    told = started([entry(1, "landed", 7)], seq=seq)
    assert (told["keep"]["marks"]["frozen"] is not None) is frozen


def test_added_to_a_house_it_begins_anew_and_hands_in_what_is_left() -> None:
    log = [entry(1, "landed", 7, device="old"), entry(2, "landed", 12, device="old"), entry(3, "in_hand", device="old"),
           entry(4, "refused", device="old")]  # fmt: skip
    answer = {"device": "phone-q", "token": "secret", "mark": "Q", "role": "helper", "name": "Shed"}
    asked = {
        "log": log,
        "keep": {"marks": {"epoch": "e", "covered_to": 10}},
        "answer": answer,
        "status": (WEB / "store/status.js").as_uri(),
    }
    told = in_page("store/house.js", ADDED, asked, [{"table": "person", "id": "ann", "name": "Ann"}])
    assert told["said"] == ["/api/enrol", {"code": "CODE", "name": "Shed"}]
    assert told["keep"]["identity"] == {"device": "phone-q", "token": "secret", "name": "Shed", "mark": "Q", "role": "helper"}
    assert told["keep"]["share"] == {"granted": {}, "spent": {}} and told["keep"]["head"] == {"seq": 0, "hash": "", "orders": 0}
    assert states(told) == {"old-1": "landed", "old-2": "earlier", "old-3": "earlier", "old-4": "refused"}
    assert (told["rows"], told["emptied"], told["keep"]["marks"]["epoch"]) == ([], None, None)
