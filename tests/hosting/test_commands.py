"""The houses of a server from the command line: added, frozen, given back to a shed, deleted with one last backup kept."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport

from honeyhold.app.command_line import main
from honeyhold.app.scheduled_backup import ScheduledBackup
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.house.where_kept import FILE_NAME, NoSuchStore
from honeyhold.operations.errors import DeviceLost
from honeyhold.records import carrying
from honeyhold.records.backup import position_of_backup
from honeyhold.records.errors import SecondHouse
from honeyhold.records.house_register import KNOWS_ALL_STATES, OPEN, HouseArriving, HouseFrozen, HouseRegister
from honeyhold.records.shared_database import HostedRecords, SharedDatabase
from hosting.many import furnish
from replication.houses import MONDAY, device, movement, on_hand, pool

Act = Callable[..., int]


@pytest.fixture
def act(address: str, tmp_path: Path) -> Act:
    """One of `honeyhold houses`, over this database."""
    return lambda *words: main(["houses", *words, "--database", address, "--data", str(tmp_path / "houses")])


@pytest.fixture
def many(address: str, tmp_path: Path) -> Iterator[Houses]:
    """The houses as a server has them."""
    shared = SharedDatabase(address)
    made = Houses(shared, tmp_path / "houses")
    yield made
    made.close()
    shared.close()


def schemas(many: Houses) -> set[str]:
    """Every schema and role of a house that is in the database."""
    (number,) = many.shared.rows("SELECT oid FROM pg_database WHERE datname = current_database()")[0]
    names = many.shared.rows("SELECT nspname FROM pg_namespace UNION SELECT rolname FROM pg_roles")
    return {name for (name,) in names if name.startswith(("house_", f"honeyhold_{number}_"))}


def test_a_house_is_added_listed_frozen_and_thawed(act: Act, many: Houses, capsys: pytest.CaptureFixture[str]) -> None:
    assert act("add", "willow", "--under", "example.org") == 0
    said = capsys.readouterr().out
    code = re.search(r"https://willow\.example\.org/#enrol=(\S+)", said)
    assert code is not None
    many.read_register()
    with many.lent("willow") as willow:
        assert willow.enrol(code[1], "First phone")["role"] == "keeper"
    assert act("add", "maple") == 0 and "http://maple.localhost:8490/#enrol=" in capsys.readouterr().out
    assert act("list") == 0
    assert [line.split()[:2] for line in capsys.readouterr().out.splitlines()] == [["maple", "open"], ["willow", "open"]]
    assert act("freeze", "willow") == 0 and "within some seconds" in capsys.readouterr().out
    many.read_register()
    with pytest.raises(HouseFrozen):
        many.take("willow")
    assert act("thaw", "willow") == 0
    assert act("code", "willow", "--role", "helper") == 0 and "#enrol=" in capsys.readouterr().out


@pytest.mark.parametrize(("words", "told"), [
    (["add", "willow"], "already"), (["add", "Willow"], "cannot be called"), (["freeze", "rowan"], "No house called"),
    (["export", "rowan"], "No house called"), (["add", "rowan", "--from", "nowhere.db"], "not a backup"), (["delete", "rowan"], "No house"),
])  # fmt: skip
def test_what_cannot_be_done_is_said(act: Act, many: Houses, capsys: pytest.CaptureFixture[str], words: list[str], told: str) -> None:
    assert act("add", "willow") == 0
    before = schemas(many)
    assert act(*words) == 1 and told in capsys.readouterr().err
    assert schemas(many) == before and list(many.register.all()) == ["willow"]


def test_a_house_moves_from_a_shed_to_the_server_and_back_and_its_devices_go_on(act: Act, many: Houses, tmp_path: Path) -> None:
    """The device is the suite's own client: what it had in hand at each move lands after it, and its share is as it was."""
    with closing(House.open(tmp_path / "shed")) as shed:
        furnish(shed, "willow")
        hand = device(shed, "Shed phone", 5)
        person = hand.note_person(name="Somebody")
        hand.exchange()
        made, share = shed.backup(), hand.share("bar")
        late = hand.promise([("bar", 1)], person=person)
        hand.exchange()  # landed after the backup: the server must hear of it again
    in_hand = hand.promise([("bar", 1)], person=person)
    assert share > 0 and act("add", "willow", "--from", str(made)) == 0
    many.read_register()
    with many.lent("willow") as hosted:
        hand = _over(hand, hosted)
        assert not hosted.recovering() and {late.order, in_hand.order} <= _orders(hosted)
        assert hosted.check() == [] and on_hand(hosted) == 40 and hand.share("bar") == share - 2
        other = device(hosted, "Second phone", 3)
        other.exchange()
        at_the_server = hand.promise([("bar", 1)], person=person)
        hand.exchange()
    assert act("freeze", "willow") == 0 and act("backup", "willow", "--to", str(tmp_path / "back")) == 0
    (back,) = (tmp_path / "back").glob("*.db")
    assert main(["restore", str(back), "--data", str(tmp_path / "new-shed")]) == 0
    with closing(House.open(tmp_path / "new-shed")) as again:
        for one in (hand, other):
            _over(one, again)
        assert not again.recovering() and again.check() == [] and at_the_server.order in _orders(again)
        assert pool(again) >= 0


def _over(hand: DeviceClient, house: House) -> DeviceClient:
    """The device speaks with the house where it is now."""
    hand.transport = DirectTransport(house)
    hand.exchange()
    hand.exchange()
    return hand


def _orders(house: House) -> set[str]:
    with house.records.read():
        return {row[0] for row in house.records.sql('SELECT id FROM "order"').fetchall()}


def test_a_damaged_backup_leaves_no_house_behind(act: Act, many: Houses, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with closing(House.open(tmp_path / "shed")) as shed:
        furnish(shed, "willow")
        made = shed.backup()
    content = bytearray(made.read_bytes())
    content[len(content) // 2] ^= 1
    made.write_bytes(content)
    assert act("add", "willow", "--from", str(made)) == 1 and "digest" in capsys.readouterr().err
    assert many.register.all() == {} and schemas(many) == set()


def test_a_new_house_takes_nothing_over_from_a_folder_of_its_name(
    act: Act, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "houses" / "willow").mkdir(parents=True)
    (tmp_path / "houses" / "willow" / "devices.jsonl").write_text("{}\n", "utf-8")
    assert act("add", "willow") == 1 and "Move that folder away" in capsys.readouterr().err


def test_everything_of_a_house_comes_out(act: Act, many: Houses, tmp_path: Path) -> None:
    assert act("add", "willow") == 0 and act("add", "maple") == 0
    many.read_register()
    for name in ("willow", "maple"):
        with many.lent(name) as house:
            furnish(house, name)
    assert act("export", "willow", str(tmp_path / "out.zip")) == 0
    with zipfile.ZipFile(tmp_path / "out.zip") as out:
        words = " ".join(out.read(name).decode("utf-8", "replace") for name in out.namelist())
    assert "House of willow" in words and "House of maple" not in words
    assert (tmp_path / "out.zip").stat().st_mode & 0o077 == 0


def test_a_house_is_deleted_only_when_frozen_named_again_and_let_go_by_every_server(
    act: Act, many: Houses, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert act("add", "willow") == 0 and act("add", "maple") == 0
    many.read_register()
    for name in ("willow", "maple"):
        with many.lent(name) as house:
            furnish(house, name)
    kept = many.known()["maple"]
    assert act("delete", "willow", "--yes", "willow") == 1 and "Freeze it first" in capsys.readouterr().err
    assert act("freeze", "willow") == 0
    for yes in ([], ["--yes", "maple"]):
        assert act("delete", "willow", *yes) == 1 and "--yes willow" in capsys.readouterr().err
    assert act("delete", "willow", "--yes", "willow") == 1 and "in use" in capsys.readouterr().err  # this server has it open
    many.read_register()
    many.tidy()
    assert act("delete", "willow", "--yes", "willow") == 0
    said = capsys.readouterr().out
    backup = Path(said.splitlines()[0].partition("last backup: ")[2])
    assert position_of_backup(backup) == 3 and not (tmp_path / "houses" / "willow").exists()
    assert list(many.register.all()) == ["maple"] and schemas(many) == {kept.owner.schema, kept.owner.role}
    with many.lent("maple") as maple:
        assert maple.check() == [] and maple.settings()["name"] == "House of maple"
        maple.write("buy", [movement("bar", 1)])
    assert act("add", "willow", "--from", str(backup)) == 0  # and it comes back from there
    many.read_register()
    with many.lent("willow") as willow:
        assert willow.settings()["name"] == "House of willow" and on_hand(willow) == 40


def test_a_house_goes_back_to_a_backup_and_keeps_the_devices_that_came_after_it(
    act: Act, many: Houses, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the later phone promised without signal counts: nothing is granted to others before it has said so."""
    assert act("add", "willow") == 0
    many.read_register()
    with many.lent("willow") as willow:
        furnish(willow, "willow")
        early = device(willow, "Early phone", 5)
        lost = device(willow, "Lost phone", 1)
        backup = willow.backup()
        later = device(willow, "Later phone", 30)
        held = later.share("bar")
        willow.declare_lost(lost.identity["device"])
    order = later.promise([("bar", 20)], person=later.note_person(name="Somebody")).order
    assert held >= 20 and act("restore", "willow", str(backup)) == 1  # it is open
    assert act("freeze", "willow") == 0 and act("restore", "willow", str(backup)) == 1  # this server still has it
    many.read_register()
    many.tidy()
    capsys.readouterr()
    assert act("restore", "willow", str(backup)) == 0
    told = capsys.readouterr().out
    assert "still frozen" in told and "honeyhold houses thaw willow" in told
    assert "They send again what the backup lacks; until each has, nothing is granted." in told
    assert act("thaw", "willow") == 0
    many.read_register()
    with many.lent("willow") as willow:
        with pytest.raises(DeviceLost):
            willow.device_for(lost.identity["token"])
        early.transport = DirectTransport(willow)
        early.exchange(callers={"bar": 40})
        early.exchange(callers={"bar": 40})
        assert willow.recovering() and early.share("bar") <= 5
        assert order not in _orders(willow)
        _over(later, willow)
        assert order in _orders(willow) and willow.check() == [] and pool(willow) >= 0
        assert list((tmp_path / "houses" / "willow").glob("before-restore-*/honeyhold.db"))
        _backs_itself_up(willow)


def _backs_itself_up(house: House) -> None:
    """The next look makes one, though the records may say that there were some here before."""
    house.wants_backup.set()
    looks = ScheduledBackup(house, begun=True)
    assert looks.look() is not None and looks.trouble == ""


def test_a_house_that_comes_back_out_of_what_was_kept_of_it_makes_backups_by_itself_again(
    act: Act, many: Houses, capsys: pytest.CaptureFixture[str]
) -> None:
    assert act("add", "willow") == 0
    many.read_register()
    with many.lent("willow") as willow:
        furnish(willow, "willow")
        _backs_itself_up(willow)
    assert act("freeze", "willow") == 0
    many.read_register()
    many.tidy()
    capsys.readouterr()
    assert act("delete", "willow", "--yes", "willow") == 0
    backup = capsys.readouterr().out.splitlines()[0].partition("last backup: ")[2]
    assert act("add", "willow", "--from", backup) == 0
    many.read_register()
    with many.lent("willow") as willow:
        _backs_itself_up(willow)


def test_a_house_that_was_not_taken_in_to_the_end_opens_to_nobody_and_is_taken_in_anew(
    act: Act, many: Houses, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(House.open(tmp_path / "shed")) as shed:
        furnish(shed, "willow")
        backup = str(shed.backup())
    with monkeypatch.context() as killed:
        killed.setattr(carrying, "out_of_file", _raise_killed)
        killed.setattr(HouseRegister, "remove", _raise_killed)  # who is killed puts nothing in order
        with pytest.raises(Killed):
            act("add", "willow", "--from", backup)
    assert act("list") == 0 and "willow  arriving" in capsys.readouterr().out
    for words in (["thaw"], ["freeze"], ["code"], ["backup"], ["delete", "--yes", "willow"]):
        assert act(words[0], "willow", *words[1:]) == 1 and "not whole yet" in capsys.readouterr().err
    many.read_register()
    with pytest.raises(HouseArriving):
        many.take("willow")
    assert act("add", "willow", "--from", backup) == 0
    many.read_register()
    with many.lent("willow") as willow:
        assert on_hand(willow) == 40
    assert len(schemas(many)) == 2


class Killed(BaseException):
    """As if the process had ended here."""


def _raise_killed(*_: object) -> None:
    raise Killed


def test_a_house_that_is_thawed_while_it_is_deleted_stays_shut_or_stays_whole(
    act: Act, many: Houses, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert act("add", "willow") == 0 and act("freeze", "willow") == 0
    backup = House.backup

    def thawed(house: House, folder: Path | None = None, name: str = "honeyhold") -> Path:
        made = backup(house, folder, name)
        many.register.set_state("willow", OPEN)
        many.read_register()
        with pytest.raises(SecondHouse):
            many.take("willow")
        return made

    monkeypatch.setattr(House, "backup", thawed)
    assert act("delete", "willow", "--yes", "willow") == 1 and "no longer frozen" in capsys.readouterr().err
    with many.lent("willow") as willow:
        assert willow.check() == [] and (willow.folder / "backups").exists()


def test_a_backup_by_hand_is_not_made_beside_one_that_a_server_makes(act: Act, many: Houses, capsys: pytest.CaptureFixture[str]) -> None:
    """Each sweeps what the other has half done."""
    assert act("add", "willow") == 0
    many.read_register()
    with many.lent("willow") as willow:
        assert isinstance(willow.records, HostedRecords)
        with willow.records.working_alone() as mine:
            assert mine and act("backup", "willow") == 1 and "Try again in a moment" in capsys.readouterr().err
        assert act("backup", "willow") == 0


def test_a_register_of_before_a_house_could_be_arriving_learns_it(act: Act, many: Houses) -> None:
    old = "ALTER TABLE honeyhold_host.house DROP CONSTRAINT house_state_check, ADD CHECK (state IN ('open', 'frozen'))"
    with many.shared.alone() as connection:
        connection.execute(old)
    assert many.shared.rows(KNOWS_ALL_STATES) == [(0,)] and act("list") == 0 and many.shared.rows(KNOWS_ALL_STATES) == [(1,)]


def test_the_server_must_be_reachable_and_its_address_readable(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for address, told in (("sqlite://x", "no address"), (f"postgresql://x@/y?host={tmp_path}", "does not answer")):
        assert main(["houses", "list", "--database", address, "--data", str(tmp_path)]) == 1
        assert told in capsys.readouterr().err


def test_a_register_of_a_server_is_made_once_whoever_comes_first(address: str) -> None:
    shared = [SharedDatabase(address) for _ in range(2)]
    assert [HouseRegister(one).all() for one in shared] == [{}, {}]
    kept = HouseRegister(shared[0]).add("willow", MONDAY)
    records = HostedRecords(shared[1], kept.owner)
    assert HouseRegister(shared[1]).one("willow") == kept
    records.close()
    for one in shared:
        one.close()


def test_a_house_whose_database_went_back_returns_by_what_is_said(
    act: Act, many: Houses, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The remedy is followed word for word; nothing else makes a second house of it in its folder."""
    assert act("add", "willow") == 0
    many.read_register()
    with many.lent("willow") as house:
        furnish(house, "willow")
        hand = device(house, "Phone", 5)
        hand.note_person(name="Ruth")
        hand.exchange()
        backup = house.backup()
        house.records.sql("DELETE FROM operation WHERE position = (SELECT MAX(position) FROM operation)")
        house.records.sql("UPDATE meta SET value = 'another' WHERE key = 'history'")
    many.tidy()
    many.close()
    folder = tmp_path / "houses" / "willow"
    assert act("code", "willow") == 1
    said = capsys.readouterr().err
    assert "went back to entry" in said and "honeyhold restore" not in said
    assert main(["restore", str(backup), "--data", str(folder)]) == 1 and "many houses" in capsys.readouterr().err
    with pytest.raises(NoSuchStore, match="many houses"):
        House.open(folder)
    assert not (folder / FILE_NAME).exists()
    told = re.findall(r"honeyhold houses ([^)]+)\)", said)
    assert [one.split()[0] for one in told] == ["freeze", "restore", "thaw"]
    for one in told:
        assert act(*one.replace("BACKUP", str(backup)).split()) == 0
    many.read_register()
    with many.lent("willow") as willow:
        hand = _over(hand, willow)
        hand.exchange()
        hand.exchange()
        assert on_hand(willow) == 40 and hand.in_hand == [] and not willow.recovering() and willow.check() == []
