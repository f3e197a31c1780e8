"""The one object that owns the records, the clock and the way operations land."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

from honeyhold.errors import BadRequest
from honeyhold.house import device_registry, kept_certificates, where_kept
from honeyhold.house.clock import Clock, machine_time
from honeyhold.house.demo import SETTING as DEMO
from honeyhold.house.demo import WrongRecords
from honeyhold.house.forgetting import emptied_rows, scrub
from honeyhold.house.last_backup import LastBackup
from honeyhold.house.moving import settle
from honeyhold.house.restoring import look_whether_history_went_back, put_back
from honeyhold.house.where_kept import FILE_NAME, database_of, has_a_file, must_be_the_noted, note, opened
from honeyhold.operations import allocations, pending
from honeyhold.operations.apply import Answer, Who, take
from honeyhold.operations.canonical import entry_hash
from honeyhold.operations.context import HOUSE
from honeyhold.operations.errors import DeviceLost, NoSuchThing, Refused
from honeyhold.operations.keeping_apart import keep_apart, landed_as_said, must_have_room_apart, printable
from honeyhold.operations.schemas import PROTOCOL, ExchangeAsk, read
from honeyhold.operations.upgrade import newest
from honeyhold.operations.waiting_lines import rows_to_fill
from honeyhold.queries.slip import slip_request
from honeyhold.records.backup import covered_by, verified_copy
from honeyhold.records.check import disagreements, lots_below_zero
from honeyhold.records.errors import DiskFull, RecordsTrouble
from honeyhold.records.lock import LockFile
from honeyhold.records.models import Device, DeviceState, Person, Setting
from honeyhold.records.store import Records
from honeyhold.replication import devices
from honeyhold.replication.exchange import Moment, answer_to, give_shares, last_position, moment_text, receive
from honeyhold.replication.mirror import identity_of, mirror_of
from honeyhold.replication.news import News
from honeyhold.replication.recovery import Judges, epoch_begins, judge_waiting, recovering
from honeyhold.replication.sessions import Sessions

FILL_ROUNDS_MAX: Final = 50
FORGET_AT_ONCE: Final = 200


class House:
    """See README.md in this folder for every call and its shape. Safe to share among threads."""

    def __init__(
        self, folder: Path, lock: LockFile | None, new_id: Callable[[], str], now: Callable[[], datetime], database: str = "",
        hosted: Callable[[], Records] | None = None,
    ) -> None:
        self.folder = folder
        self._lock = lock
        self._hosted = hosted
        self._new_id = new_id
        self._source = now
        self.wants_backup = threading.Event()
        """Set when a lost device waits for a backup that holds all it sent; whoever makes backups clears it."""
        self.last_backup: LastBackup | None = None
        """How the backups that are made by themselves stand; None where nobody makes them."""
        self.sessions = Sessions()
        self._judged_at = (0, 0)
        self._not_noted: list[dict[str, Any]] = []
        self._open_records(database)
        self.news = News(self.position())

    @classmethod
    def open(
        cls, folder: Path, new_id: Callable[[], str] | None = None, now: Callable[[], datetime] | None = None, database: str = ""
    ) -> House:
        """Opens the house kept in a folder, or makes a new one; `database`: in which its records are to be, where not in the folder
        (`where_kept.py`; noted there, so it is said once). Raises `SecondHouse`, `NewerRecords`, `RecordsTrouble`, `NoSuchStore`.

        The folder and what is made in it can be read by its owner alone: names and addresses are in it.
        """
        where_kept.must_be_no_hosts(folder)
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        lock = LockFile(folder / "lock")
        try:
            return cls(folder, lock, new_id or (lambda: str(uuid4())), now or machine_time, database)
        except BaseException:
            lock.release()
            raise

    @classmethod
    def hosted(
        cls, folder: Path, records: Callable[[], Records], now: Callable[[], datetime] | None = None
    ) -> House:
        """Opens one of many houses that a server keeps in one database. `records` opens its own; other processes may have them open, too.

        What has no place in the records (the list of devices, backups) lies in the folder. Raises as `open` does.
        """
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        where_kept.note_host(folder)
        return cls(folder, None, lambda: str(uuid4()), now or machine_time, hosted=records)

    def _open_records(self, database: str = "") -> None:
        if self._hosted is not None:
            self.records: Records = self._hosted()
            self._begun_or_closed()
            return
        if not (database or database_of(self.folder)):
            self._must_not_be_emptied(1 if has_a_file(self.folder) else 0)
        if database and device_registry.known(self.folder):
            must_be_the_noted(self.folder, database)
        self.records = opened(self.folder, database)
        self._begun_or_closed(database)

    def _begun_or_closed(self, database: str = "") -> None:
        try:
            settle(self.folder, self.records, self._source())
            self._begin()
            if database:
                note(self.folder, database)
        except BaseException:
            self.records.close()
            raise

    def _begin(self) -> None:
        self.clock = Clock(self.records, self._source)
        with self.records.write():
            if not self.records.meta("epoch"):
                self.records.set_meta("epoch", secrets.token_hex(8))
            devices.add_house(self.records)
            position = last_position(self.records)
            self._must_not_be_emptied(position)
            self._look_whether_history_went_back(position)
            self.epoch = self.records.meta("epoch")
            self._remember_devices()
            ever = devices.all_known(self.records)
        self.records.keep_to_history()
        noted = device_registry.known(self.folder)
        for row in ever:
            if row["id"] not in noted:
                self._note(row)  # from before there was a registry, or the disk was full

    def _must_not_be_emptied(self, position: int) -> None:
        """Records that are gone beside a list of devices are a loss, not a new house: opened as one, it would empty every phone."""
        if position == 0 and device_registry.known(self.folder):
            in_database = self._hosted is not None or database_of(self.folder)
            raise RecordsTrouble(
                f"Devices were added here, but the records are not in {self.folder}: {'the database' if in_database else FILE_NAME} "
                "is missing or empty.",
                f"To put back a backup, {where_kept.back_on_a_host(self.folder)}" if self._hosted is not None else
                "Put back a backup: honeyhold restore FILE. To begin anew instead, name another folder with --data.",
            )

    def _look_whether_history_went_back(self, position: int) -> None:
        look_whether_history_went_back(self.folder, self.records, position, self._source(), self._hosted is not None)

    def _remember_devices(self) -> None:
        """Devices that belong to the house though these records, put back from a backup, do not know it. Inside a write."""
        for device, row in device_registry.known(self.folder).items():
            here = self.records.row(Device, device)
            if here is None:
                fields = {name: printable(row[name]) for name in ("id", "name", "mark", "role")}
                answer = self._take_own("enrol", [{"table": "device", **fields, "lost": False}], {})
                if answer.position is None:
                    raise RecordsTrouble(f"{fields['name']} is a device of this house, but cannot be added: {answer.why}", answer.remedy)
                if not self.records.there(DeviceState, device):
                    devices.add_state(self.records, device, row["token_hash"], reported_epoch="")
            if row.get("lost") and not (here and here["lost"]):
                self._write_off(device)

    def close(self) -> None:
        """Lets the records go; nothing is in memory that is not on disk."""
        self.records.close()
        if self._lock is not None:
            self._lock.release()

    def write(self, kind: str, rows: list[dict[str, Any]], spent: dict[str, int] | None = None) -> int:
        """One operation written by the house itself; its position. Raises `Refused`."""
        with self.records.write():
            answer = self._take_own(kind, rows, spent or {})
            if answer.position is not None:
                self._fill()
            position = last_position(self.records)
        if answer.position is None:
            raise Refused(answer.why, answer.remedy)
        self.news.ring(position)
        return answer.position

    def write_inside(self, kind: str, rows: list[dict[str, Any]], role: str = "keeper") -> Answer:
        """The same within a write of the caller's, who looks at the answer and rings the bell afterwards.

        `role` is that of the device whose entry it is: what a helper wrote lands with a helper's rights.
        """
        answer = self._take_own(kind, rows, {}, role)
        if answer.position is not None:
            self._fill()
        return answer

    def write_many(self, kind: str, entries: list[list[dict[str, Any]]]) -> None:
        """Several operations of the house itself that land all or none; nothing is filled in between. Raises `Refused`."""
        with self.records.write():
            for rows in entries:
                answer = self._take_own(kind, rows, {})
                if answer.position is None:
                    raise Refused(answer.why, answer.remedy)
            position = last_position(self.records)
        self.news.ring(position)

    def forget_person(self, person: str) -> int:
        """Empties all that the records hold of a person, the entries already landed too; orders keep their sums. The position.

        Raises `NoSuchThing`. Older backups still hold it, until they age out.
        """
        with self.records.write():
            if self.records.row(Person, person) is None:
                raise NoSuchThing(f"There is no person {person}.", "Choose one from the Book.")
            emptied = emptied_rows(self.records, person)
            for start in range(0, len(emptied), FORGET_AT_ONCE):
                answer = self._take_own("forget_person", emptied[start : start + FORGET_AT_ONCE], {})
                if answer.position is None:
                    raise Refused(answer.why, answer.remedy)
            scrub(self.records, {row["id"] for row in emptied})
            position = last_position(self.records)
        self.news.ring(position)
        return position

    def new_code(self, role: str = "keeper") -> dict[str, str]:
        """A one-time code, good for ten minutes: `{"code", "expires_at"}`."""
        with self.records.write():
            made = devices.new_code(self.records, role, self._source())
        return {"code": made["code"], "expires_at": moment_text(datetime.fromisoformat(made["expires_at"]))}

    def has_keeper(self) -> bool:
        """Whether any keeper's device that is not lost is enrolled."""
        with self.records.read():
            return self.records.has(Device, (Device.role == "keeper") & (Device.lost == False))  # noqa: E712

    def enrol(self, code: str, name: str) -> dict[str, Any]:
        """A new device for a fresh code. Raises `WrongCode`, or `Refused`, after which the code is still good."""
        with self.records.write():
            role = devices.use_code(self.records, code, self._source())
            device, token = self._new_id(), devices.new_token()
            mark = devices.next_mark(self.records)
            row = {"table": "device", "id": device, "name": name, "mark": mark, "role": role, "lost": False}
            answer = self._take_own("enrol", [row], {})
            if answer.position is None:
                raise Refused(answer.why, answer.remedy)
            token_hash = devices.hashed(token)
            devices.add_state(self.records, device, token_hash, self.epoch)
            position = last_position(self.records)
        self._note({"id": device, "name": name, "mark": mark, "role": role, "token_hash": token_hash})
        self.news.ring(position)
        return {"device": device, "token": token, "mark": mark, "role": role, "name": name, "epoch": self.epoch}

    def device_for(self, token: str) -> dict[str, Any]:
        """The device row a token belongs to. Raises `UnknownDevice` or `DeviceLost`."""
        with self.records.read():
            device = devices.device_of(self.records, token)
        if device["lost"]:
            raise _lost(device, [], self.epoch)
        return device

    def exchange(self, token: str, given: Any) -> dict[str, Any]:
        """One round trip of `operations/README.md`. The answer is made before and returned after the commit.

        Raises `BadShape` (nothing was read), `UnknownDevice`, `DeviceLost` (entries were kept apart), `DiskFull`.
        """
        with self.records.read():
            devices.device_of(self.records, token)  # a stranger hears nothing of shapes
        ask = read(ExchangeAsk(), given, "exchange")
        try:
            return self._exchange_written(token, ask)
        except DiskFull:
            if ask["operations"]:
                raise
            return self._exchange_read(token, ask)

    def _exchange_written(self, token: str, ask: dict[str, Any]) -> dict[str, Any]:
        before = self.news.position
        with self.records.write():
            device = devices.device_of(self.records, token)
            if device["id"] != ask["device"]:
                raise BadRequest(
                    f"The exchange names the device {ask['device']}, the token belongs to {device['id']}.",
                    "Add this device again.",
                )
            moment = self._moment()
            if ask["operations"] and (device["lost"] or devices.is_frozen(self.records, device["id"])):
                must_have_room_apart(self.records, device["id"])
            if device["lost"]:
                for operation in ask["operations"]:
                    if not landed_as_said(self.records, operation):  # what was refused is shown too: nobody looks at a lost device
                        keep_apart(self.records, device["id"], operation, moment.time_text, "lost")
                answer, must_ring, forget = None, False, not ask["operations"] and self._is_kept_elsewhere(device["id"])
            else:
                answer, must_ring = self._exchange(device, ask, moment)
            position = last_position(self.records)
        if answer is None:
            if not forget:
                self.wants_backup.set()
            raise _lost(device, ask["operations"], self.epoch, forget)
        if position > before or must_ring:
            self.news.ring(position)
        return answer

    def _exchange_read(self, token: str, ask: dict[str, Any]) -> dict[str, Any]:
        """While the disk takes nothing: what changed, to a device that has nothing to say; nothing is granted or noted."""
        device = self.device_for(token)
        with self.records.view():
            return answer_to(self.records, device, ask, [], self._moment(), {})

    def _exchange(self, device: dict[str, Any], ask: dict[str, Any], moment: Moment) -> tuple[dict[str, Any], bool]:
        answers, _ = receive(self.records, device, ask, moment)
        self._fill()
        allocation = give_shares(self.records, device, ask, moment)
        return answer_to(self.records, device, ask, answers, moment, allocation.ask_back), allocation.must_ring

    def _is_kept_elsewhere(self, device: str) -> bool:
        """Whether a verified backup holds all that a lost device ever sent: then it may forget its own log too. Inside a write."""
        landed = self.records.sql("SELECT MAX(position) FROM operation WHERE device = ?", device).fetchone()[0] or 0
        late = self.records.sql("SELECT MAX(rowid) FROM late_entry WHERE device = ?", device).fetchone()[0] or 0
        saved = int(self.records.meta("saved_to", "0")), int(self.records.meta("saved_late", "0"))
        return landed <= saved[0] and late <= saved[1]

    def mirror(self, token: str) -> dict[str, Any]:
        """Where a new or emptied device starts from."""
        device = self.device_for(token)
        with self.records.view():
            found = mirror_of(self.records, device["id"], self.clock.today())
        return {"protocol": PROTOCOL, "epoch": self.epoch, "house_time": moment_text(self.clock.now()), **found}

    def declare_lost(self, device_id: str) -> None:
        """A person says the device is lost: its token dies, its unspent share returns to the pool.

        Declaring it again changes nothing. Raises `NoSuchThing`.
        """
        with self.records.write():
            device = devices.device_by_id(self.records, device_id)
            if not device["lost"]:
                self._write_off(device_id)
                self._fill()
            position = last_position(self.records)
        self._note({"id": device_id, "lost": True})
        self.news.ring(position)

    def _note(self, *rows: dict[str, Any]) -> None:
        """Into the device registry; what the disk does not take is kept for the next time, and the records hold it already."""
        self._not_noted += rows
        with suppress(OSError):
            while self._not_noted:
                device_registry.note(self.folder, self._not_noted[0])
                self._not_noted.pop(0)

    def _write_off(self, device_id: str) -> None:
        self._take_own("enrol", [{"table": "device", "id": device_id, "lost": True}], {})
        allocations.write_off(self.records, device_id)
        self.sessions.forget(device_id)

    def position(self) -> int:
        """The position of the last landed operation."""
        with self.records.read():
            return last_position(self.records)

    def wait_for_news(self, after: int, seconds: float) -> int:
        """Waits until something landed past `after`, or the time is up; the position then."""
        return self.news.wait(after, seconds)

    def identity(self) -> str:
        """Which records these are, whatever the address and the epoch; empty before anything was entered."""
        with self.records.read():
            return identity_of(self.records)

    def settings(self) -> dict[str, Any]:
        """The house's settings by key."""
        with self.records.read():
            return {row["id"]: row["value"] for row in self.records.dicts(Setting.select())}

    def is_demo(self) -> bool:
        """Whether these records are the invented ones."""
        return self.clock.may_be_moved()

    def make_demo(self) -> None:
        """Marks an empty house as the demo's, for good. Raises `WrongRecords` where there is anything already."""
        if self.position() > 0:
            raise WrongRecords("There are records here already: they do not become a demo.", "Take an empty folder for the demo.")
        self.write("set_house", [{"table": "setting", "id": DEMO, "value": True}])

    def slip_request(self, order_id: str, size: str = "letter") -> dict[str, Any]:
        """What the packing slip needs of one order. Raises `NoSuchThing`."""
        with self.records.read():
            return slip_request(self.records, order_id, size, self.clock.today(), self.settings())

    def machine_now(self) -> datetime:
        """The machine's time, which no demo sets back."""
        return self._source()

    def covered_to(self) -> int:
        """The last position that every kept backup holds: what devices may forget."""
        with self.records.read():
            return int(self.records.meta("covered_to", "0"))

    def saved_to(self) -> int:
        """The last position that the newest verified backup holds."""
        with self.records.read():
            return int(self.records.meta("saved_to", "0"))

    def backup(self, folder: Path | None = None, name: str = "honeyhold") -> Path:
        """A verified copy of the records. Raises `RecordsTrouble`.

        Devices may then forget what the oldest backup in that folder holds, not what this one does: whichever of them is put back, the
        devices still have what it lacks.
        """
        folder = folder or self.folder / "backups"
        self._note()
        beside = device_registry.known(self.folder), kept_certificates.known(self.folder)
        target, page = verified_copy(self.records, folder, self._source(), name, *beside)
        with self.records.write():
            self.records.set_meta("saved_to", str(page.position))
            self.records.set_meta("saved_late", str(page.late))
            covered = covered_by(folder, self.epoch, int(self.records.meta("restored_to", "0")))
            self.records.set_meta("covered_to", str(max(covered, int(self.records.meta("covered_to", "0")))))
        return target

    def restore(self, backup: Path) -> None:
        """Goes back to a backup under a new epoch; what was here is kept beside it.

        Devices then send again what the backup lacks; until every device has reported or is declared lost, the house
        grants nothing. Raises as `put_back` does.
        """
        self.records.close()
        position = put_back(self.folder, backup, self._source())
        self._open_records()
        self.news.reset(position)

    def check(self) -> list[str]:
        """Every running balance that is not its sum, and every lot below zero, in words; empty when all is well."""
        return disagreements(self.records) + lots_below_zero(self.records)

    def recovering(self) -> bool:
        """After a restore: whether the house still waits for a device to report."""
        with self.records.read():
            return recovering(self.records, self.epoch)

    def _moment(self) -> Moment:
        covered_to = int(self.records.meta("covered_to", "0"))
        return Moment(self.epoch, self.clock.now(), self.clock.today(), covered_to, self.sessions)

    def _fill(self) -> None:
        """Entries that waited for their cause first, then waiting lines: gives them what became free. Inside a write."""
        waits = recovering(self.records, self.epoch)
        if pending.any_kept(self.records):
            self._judge(not waits)
        if waits:
            return
        for _ in range(FILL_ROUNDS_MAX):
            rows = rows_to_fill(self.records, self._new_id)
            if not rows:
                return
            answer = self._take_own("fill", rows, {})
            assert answer.position is not None, answer.why

    def _judge(self, last_word: bool) -> None:
        before = (last_position(self.records), pending.newest(self.records))
        if not last_word and before == self._judged_at:
            return  # nothing that waits can land before something else has
        judge_waiting(self.records, Judges(moment_text(self.clock.now()), self.clock.today().isoformat(), self.epoch, last_word))
        self._judged_at = (last_position(self.records), pending.newest(self.records))

    def _take_own(self, kind: str, rows: list[dict[str, Any]], spent: dict[str, int], role: str = "keeper") -> Answer:
        state = self.records.row(DeviceState, HOUSE)
        assert state is not None
        now = moment_text(self.clock.now())
        operation: dict[str, Any] = {
            "id": self._new_id(), "device": HOUSE, "seq": state["last_seq"] + 1, "kind": kind, "version": newest(kind),
            "made_at": now, "before": state["last_hash"], "spent": spent, "rows": rows,
        }
        operation["hash"] = entry_hash(operation)
        who = Who(HOUSE, role, now, self.clock.today().isoformat(), epoch_begins=epoch_begins(self.epoch))
        answer = take(self.records, who, operation)
        assert answer.expects is None, answer.expects
        return answer


def _lost(device: dict[str, Any], sent: list[Any], epoch: str, forget: bool = False) -> DeviceLost:
    return DeviceLost(
        f"{device['name']} was declared lost; {len(sent)} entries it sent were kept for the owner.",
        "Add this device under a new name; the owner settles what it promised meanwhile.",
        [one["id"] for one in sent if isinstance(one, dict) and isinstance(one.get("id"), str)],
        forget,
        epoch,
    )
