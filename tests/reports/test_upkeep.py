"""What keeps the record going is told with the rest: backups, and who and what cannot sign."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from torqueaudit.book import last_backup
from torqueaudit.book.places import backed_up_of
from torqueaudit.cli.main import cli
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.night.today import today_of
from torqueaudit.workshop.register.people import end_person
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.signing.devices import admit, invite, withdraw_device
from torqueaudit.workshop.signing.pins import require_pin, set_pin, unlock
from torqueaudit.workshop.signing.programs import let_in, see_program, withdraw_program

FOREMAN = Say("P-1", came=Came("terminal"))
GOOD, WRONG = "314159", "271828"


@pytest.fixture(autouse=True)
def secrets(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of secrets outside of the book's folder."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(tmp_path_factory.mktemp("secrets") / "secrets.json"))


def rest(yard: Any) -> list[str]:
    """What today and a night of this very day say under the rest, which is the same."""
    (now,), (night,) = (
        [each for each in told.sections if each.key == "rest"]
        for told in (today_of(yard.workshop), night_of(yard.workshop, yard.workshop.today()))
    )
    assert now == night
    return [line.in_words for line in now.lines]


def day(yard: Any) -> date:
    made: date = yard.workshop.today()
    return made


def test_a_backup_that_is_too_old_is_told_and_one_that_was_made_is_not(yard: Any) -> None:
    """After seven days, by what lies beside the book; a book that never had one is told as well."""
    settle(yard.workshop, {"backup_days": 7}, FOREMAN)
    began = day(yard)
    yard.clock.now += timedelta(days=7)
    young = rest(yard)
    yard.clock.now += timedelta(days=1)
    never = rest(yard)
    last_backup.keep(yard.path, yard.workshop.clock())
    made, made_on = rest(yard), day(yard)
    yard.clock.now += timedelta(days=8)

    assert began + timedelta(days=8) == made_on
    assert [] == young
    assert ["No backup of this book is known here. Make one, and have one made each day."] == never
    assert [] == made
    assert [f"The last backup was made on {made_on}. Make one, and have one made each day."] == rest(yard)


def test_a_workshop_chooses_after_how_many_days_and_whether(yard: Any) -> None:
    """Whoever has the whole machine copied by another program is not told each day."""
    yard.clock.now += timedelta(days=20)
    told = []
    for days in (20, 19, 0):
        settle(yard.workshop, {"backup_days": days}, FOREMAN)
        told.append(len(rest(yard)))
    with pytest.raises(Refused, match="after 1 to 365 days, or never: 0"):
        settle(yard.workshop, {"backup_days": 366}, FOREMAN)

    assert [0, 1, 0] == told


def test_the_command_that_backs_up_keeps_that_it_did(yard_of_late: Any, tmp_path: Path) -> None:
    """The screen names the commands before, and nothing after."""

    def typed(*words: str) -> str:
        return CliRunner().invoke(cli, ["--book", str(yard_of_late.path), *words]).stdout

    settle(yard_of_late.workshop, {"backup_days": 7}, FOREMAN)
    says = "No backup of this book is known here. `torqueaudit book backup FILE` makes one, `torqueaudit install-units`"
    before = typed("today")
    typed("book", "backup", str(tmp_path / "copies.book"))
    made = last_backup.newest(yard_of_late.path)

    assert says in before
    assert made is not None
    assert timedelta() <= datetime.now(UTC) - made < timedelta(minutes=5)
    assert "backup" not in typed("today")


def test_what_cannot_be_read_beside_the_book_counts_as_no_backup(yard: Any) -> None:
    """Nobody is told that there is one."""
    settle(yard.workshop, {"backup_days": 7}, FOREMAN)
    backed_up_of(yard.path).write_bytes(b"\xff yesterday")
    yard.clock.now += timedelta(days=8)

    assert ["No backup of this book is known here. Make one, and have one made each day."] == rest(yard)


def admitted(yard: Any) -> str:
    given = invite(yard.workshop, FOREMAN, "tablet at lift 2")
    return admit(yard.workshop, given.code).device


def test_who_has_no_pin_is_told_once_a_device_was_let_in(yard: Any) -> None:
    """Where nobody signs on pages nobody needs one; nor does who has left."""
    before = rest(yard)
    device = admitted(yard)
    for person in ("P-1", "P-2"):
        set_pin(yard.workshop, FOREMAN, person, GOOD)
    without = rest(yard)
    end_person(yard.workshop, "P-3", day(yard) - timedelta(days=1), "moved away", FOREMAN)
    gone = rest(yard)

    assert [] == before
    assert "P-3 has no PIN, so cannot sign on a device. Set one." in without
    assert not [says for says in without if says.startswith(("P-1", "P-2"))]
    assert not [says for says in gone if says.startswith("P-3")]
    withdraw_device(yard.workshop, FOREMAN, device, "sold")
    assert [] == rest(yard)


def test_who_and_what_is_locked_is_told_until_a_foreman_unlocks_it(yard: Any) -> None:
    """With the device on which the wrong PINs were told."""
    device = admitted(yard)
    for person in ("P-1", "P-2", "P-3"):
        set_pin(yard.workshop, FOREMAN, person, GOOD)
    for _ in range(5):
        with pytest.raises(Refused):
            require_pin(yard.workshop, device, "P-2", WRONG)
    says = "is locked, for five wrong PINs were told. Ask what happened, and unlock it."

    assert [f"{device} (tablet at lift 2) {says}", f"P-2 {says}"] == [each for each in rest(yard) if "locked" in each]
    unlock(yard.workshop, FOREMAN, "P-2")
    unlock(yard.workshop, FOREMAN, device)
    assert not [each for each in rest(yard) if "locked" in each]


def test_a_device_that_nobody_used_for_long_is_told(yard: Any) -> None:
    """It may be lost, with its key on it."""
    for person in ("P-1", "P-2", "P-3"):
        set_pin(yard.workshop, FOREMAN, person, GOOD)
    device, seen = admitted(yard), day(yard)
    yard.clock.now += timedelta(days=60)
    used = rest(yard)
    yard.clock.now += timedelta(days=1)
    says = (
        f"Device {device} (tablet at lift 2) was not used since {seen}. If nobody has it any more, let it in no more."
    )

    assert (False, True) == (says in used, says in rest(yard))


def test_a_key_that_ends_and_a_program_that_asks_no_more_are_told(yard: Any) -> None:
    """A key two weeks before its last day, a program after sixty days; one that was withdrawn is not."""
    settle(yard.workshop, {"backup_days": 0}, FOREMAN)
    began = day(yard)
    let_in(yard.workshop, FOREMAN, "accounts", ProgramRole.READS, began + timedelta(days=30))
    let_in(yard.workshop, FOREMAN, "calendar", ProgramRole.READS, began + timedelta(days=300))
    yard.clock.now += timedelta(days=16)
    young = rest(yard)
    yard.clock.now += timedelta(days=1)
    soon = rest(yard)
    yard.clock.now += timedelta(days=40)
    see_program(yard.workshop, "A-2")
    ended = rest(yard)
    yard.clock.now += timedelta(days=61)
    seen, unused = began + timedelta(days=57), rest(yard)
    withdraw_program(yard.workshop, FOREMAN, "A-2", "kept elsewhere")

    assert [] == young == ended == rest(yard)
    last = began + timedelta(days=30)
    assert [f"The key of the program A-1 (accounts) ends on {last}. If it is still used, let it in anew."] == soon
    says = (
        f"The program A-2 (calendar) has not asked for anything since {seen}. If nobody uses it any more, withdraw it."
    )
    assert [says] == unused
