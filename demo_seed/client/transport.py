"""A device's log and its exchanges: entries are written down first, then said until the house has answered each."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, Protocol
from uuid import uuid4

from demo_seed.client.replica import Mirror, Share
from honeyhold.operations.canonical import entry_hash
from honeyhold.operations.errors import ALREADY, ALREADY_PROMISED, DeviceLost
from honeyhold.operations.upgrade import newest

if TYPE_CHECKING:
    from honeyhold.house.house import House

Json = dict[str, Any]

OPERATIONS_MAX = 200
ROUNDS_MAX = 500


class Transport(Protocol):
    """How a device reaches the house. Raises OSError when nothing is known of what happened."""

    def exchange(self, token: str, ask: Json) -> Json:
        """One round trip."""

    def mirror(self, token: str) -> Json:
        """Where a device starts from."""


class DirectTransport:
    """The house in the same process."""

    def __init__(self, house: House) -> None:
        self._house = house

    def exchange(self, token: str, ask: Json) -> Json:
        """See `House.exchange`."""
        return self._house.exchange(token, ask)

    def mirror(self, token: str) -> Json:
        """See `House.mirror`."""
        return self._house.mirror(token)


class LogClient:
    """Identity, chain, log, share and mirror of one device, in memory."""

    def __init__(
        self, identity: Json, transport: Transport, new_id: Callable[[], str] | None = None,
        clock: Callable[[], datetime] | None = None,
    ) -> None:  # fmt: skip
        self.identity = identity
        self.transport = transport
        self.new_id = new_id or (lambda: str(uuid4()))
        self.clock = clock or (lambda: datetime.now(UTC))
        self.share_held = Share()
        self.mirror = Mirror()
        self.cursor: int | None = None
        self.epoch: str | None = None
        self.log: list[Json] = []
        self.prior: dict[str, dict[str, Json]] = {}
        """By entry, the rows it changed as they stood before it: what an undo sets them back to."""
        self.answered: dict[str, Json] = {}
        self.refused_before: dict[str, Json] = {}
        self.places: dict[str, Json] = {}
        """By entry, the epoch and the position at which it landed first, where the house was put back since."""
        self.read_to = 0
        """The last entry that the house has read, as it said."""
        self.expects: Json | None = None
        self.short: dict[str, int] = {}
        self.orders_counted = 0
        self._view: Mirror | None = None

    @property
    def in_hand(self) -> list[Json]:
        """Entries that the house has not yet answered."""
        return [operation for operation in self.log if operation["id"] not in self.answered]

    @property
    def needs_you(self) -> list[Json]:
        """Entries that were refused: `{"id", "why", "remedy"}`; what was undone or promised already needs nobody."""
        refused = [answer for answer in self.answered.values() if "why" in answer]
        return [answer for answer in refused if not answer["why"].startswith((ALREADY, ALREADY_PROMISED))]

    @property
    def view(self) -> Mirror:
        """The mirror with the entries in hand on top."""
        if self._view is None:
            self._view = self.mirror.with_entries(self.in_hand)
        return self._view

    def version_of(self, kind: str) -> int:
        """The version in which this app writes entries of a kind."""
        return newest(kind)

    def write(self, kind: str, rows: list[Json], spent: dict[str, int] | None = None) -> Json:
        """Writes one entry down. Raises ValueError when the share does not hold what it spends."""
        taken = {good: units for good, units in (spent or {}).items() if units}
        self.share_held.take(taken)
        prior = {row["id"]: dict(known[row["id"]]) for row in rows if row["id"] in (known := self.view.rows.get(row["table"], {}))}
        last = self.log[-1] if self.log else None
        operation: Json = {
            "id": self.new_id(), "device": self.identity["device"], "seq": last["seq"] + 1 if last else 1, "kind": kind,
            "version": self.version_of(kind), "made_at": f"{self.clock():%Y-%m-%dT%H:%M:%SZ}", "before": last["hash"] if last else "",
            "spent": taken, "rows": rows,
        }  # fmt: skip
        operation["hash"] = entry_hash(operation)
        self.log.append(operation)
        self.prior[operation["id"]] = prior
        self._view = None
        return operation

    def exchange(self, wants: dict[str, int] | None = None, callers: dict[str, int] | None = None) -> Json:
        """Says what is in hand and hears what changed, until nothing is left. The last answer.

        `wants` is what the device would like to hold, `callers` what it needs for a caller on the line. Raises OSError when
        an answer did not come; what was said is said again next time.
        """
        if self.cursor is None:
            self._begin()
        for _ in range(ROUNDS_MAX):
            before, unread = len(self.in_hand), len(self._unread())
            try:
                answer = self._round(wants or {}, callers or {})
            except DeviceLost as lost:
                self._hand_in_the_rest(lost.epoch)
                raise
            left = len(self.in_hand)
            if not answer["more"] and (left == 0 or answer["expects"] or (left == before and len(self._unread()) == unread)):
                return answer  # what was not answered this time is said again next time
        raise OSError("The house kept saying that there is more.")

    def _unread(self) -> list[Json]:
        """Entries in hand that the house has not read; the others it keeps until their cause has come."""
        return [operation for operation in self.in_hand if operation["seq"] > self.read_to]

    def _page(self) -> list[Json]:
        """What is said next: what the house has not read first, then what it has not answered."""
        kept = [operation for operation in self.in_hand if operation["seq"] <= self.read_to]
        return [*self._unread(), *kept][:OPERATIONS_MAX]

    def _hand_in_the_rest(self, epoch: str) -> None:
        """The house keeps a lost device's entries apart, page by page: it is to have all of them, not only the first page.

        An answer counts within its epoch: a house that was put back since is offered all that the log holds.
        """
        began = 0 if epoch != self.epoch else OPERATIONS_MAX
        if epoch != self.epoch:
            self.answered, self.epoch, self.read_to = {}, epoch, 0
        entries = self.in_hand
        for start in range(began, len(entries), OPERATIONS_MAX):
            with suppress(DeviceLost):
                self.transport.exchange(self.identity["token"], self._ask(entries[start : start + OPERATIONS_MAX], {}, {}))

    def _begin(self) -> None:
        answer = self.transport.mirror(self.identity["token"])
        self.mirror, self.cursor, self.epoch = Mirror.from_answer(answer), answer["cursor"], answer["epoch"]
        self.share_held.hear(answer["granted"], answer["spent"])
        self._view = None

    def _round(self, wants: dict[str, int], callers: dict[str, int]) -> Json:
        ask = self._ask(self._page(), wants, callers)
        answer = self.transport.exchange(self.identity["token"], ask)
        if answer.get("request") != ask["request"]:
            raise OSError("The answer was to another request.")
        if self.epoch is not None and answer["epoch"] != self.epoch:
            self._begin_again()
            return {**answer, "more": True}
        self._hear(answer)
        return answer

    def _ask(self, operations: list[Json], wants: dict[str, int], callers: dict[str, int]) -> Json:
        return {
            "protocol": 1, "request": self.new_id(), "device": self.identity["device"], "epoch": self.epoch,
            "cursor": self.cursor, "operations": operations, "spent": dict(self.share_held.spent),
            "granted": dict(self.share_held.granted), "wants": wants, "callers": callers,
            "clock": f"{self.clock():%Y-%m-%dT%H:%M:%SZ}",
            "refused": [self.refused_before[one["id"]] for one in operations if one["id"] in self.refused_before],
            "places": {one["id"]: self.places[one["id"]] for one in operations if one["id"] in self.places},
            "written": self.log[-1]["seq"] if self.log else 0,
        }  # fmt: skip

    def _begin_again(self) -> None:
        """The house was restored: the mirror starts anew, and what it lacks of this device's entries is in hand again."""
        answer = self.transport.mirror(self.identity["token"])
        lacking = {operation["id"] for operation in self.log if operation["seq"] > answer["last_seq"]}
        last = next((operation for operation in self.log if operation["seq"] == answer["last_seq"]), None)
        if answer["last_seq"] and (last is None or last["hash"] != answer["last_hash"]):
            # the house knows another chain under this name: say everything, so that it keeps what it lacks apart
            lacking = {operation["id"] for operation in self.log}
        self.refused_before.update({one: told for one, told in self.answered.items() if one in lacking and "why" in told})
        for one, told in self.answered.items():
            if told.get("position"):
                self.places.setdefault(one, {"epoch": self.epoch, "position": told["position"]})
        self.answered = {one: told for one, told in self.answered.items() if one not in lacking}
        self.read_to = answer["last_seq"]
        self.mirror, self.cursor, self.epoch = Mirror.from_answer(answer), answer["cursor"], answer["epoch"]
        self.share_held.hear(answer["granted"], answer["spent"])
        self._view = None

    def _hear(self, answer: Json) -> None:
        for change in answer["changes"]:
            if self.cursor is not None and change["position"] <= self.cursor:
                continue
            for row in change["rows"]:
                self.mirror.lay(row)
            if change["device"] == self.identity["device"]:
                self.answered[change["id"]] = {"id": change["id"], "position": change["position"]}
        self.cursor, self.epoch, self.read_to = answer["cursor"], answer["epoch"], answer["last_seq"]
        for told in [*answer["landed"], *answer["refused"]]:
            # landed entries leave the hand only with their change, else their rows would be missing for a moment
            if "why" in told or told["position"] <= answer["cursor"]:
                self.answered[told["id"]] = told
        self.mirror.forget(answer["keep_since"], self.mirror.orders_named(self.in_hand))
        self.expects, self.short = answer["expects"], answer["short"]
        self.share_held.hear(answer["granted"], answer["spent"])
        self._view = None
