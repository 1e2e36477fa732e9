"""What becomes of PINs, devices and sessions in copies of the book, in a damaged one, and when it is looked through."""

import json
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from itertools import count
from pathlib import Path
from random import Random
from typing import TypeAlias

import pytest

from torqueaudit.book.copies.export import export
from torqueaudit.book.copies.from_export import from_export
from torqueaudit.book.copies.repair import repair
from torqueaudit.book.signing import SIGNING
from torqueaudit.model.act import Refused, Say
from torqueaudit.plugins import Plugins
from torqueaudit.reports.data import harmless
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.people import end_person
from torqueaudit.workshop.restore import Shorter, restore
from torqueaudit.workshop.signing.devices import (
    Admitted,
    admit,
    device_of_key,
    invitation,
    invite,
    show_devices,
    withdraw_device,
)
from torqueaudit.workshop.signing.pins import has_pin, is_locked, require_pin, set_pin, unlock
from torqueaudit.workshop.signing.sessions import session_of, sign_in

from .conftest import FOREMAN, PINS

LOST = Shorter("the disk broke", lambda _: Say("P-1"))
Open: TypeAlias = Callable[[Path], AbstractContextManager[Workshop]]


class Signed:
    """What a workshop holds in which everybody has a PIN, P-2 is signed in on a tablet, and P-3 is locked."""

    def __init__(self, workshop: Workshop) -> None:
        for person, pin in PINS.items():
            set_pin(workshop, FOREMAN, person, pin)
        self.tablet = admit(workshop, invite(workshop, FOREMAN, "tablet at lift 2").code)
        self.phone = admit(workshop, invite(workshop, FOREMAN, "phone").code)
        self.session = sign_in(workshop, self.tablet.device, "P-2", PINS["P-2"])
        self.code = invite(workshop, FOREMAN, "one more").code
        for _ in range(5):
            with pytest.raises(Refused):
                require_pin(workshop, self.phone.device, "P-3", "999990")

    def secrets(self) -> tuple[str, ...]:
        """Whatever opens something."""
        return (self.tablet.key, self.phone.key, self.session, self.code)


@pytest.fixture
def opened(clock: Clock, installed_plugins: Plugins) -> Open:
    """Open a book."""
    seeds = count(7)

    @contextmanager
    def open_(book: Path) -> Iterator[Workshop]:
        with open_workshop(book, clock=clock, chance=Random(next(seeds)), plugins=installed_plugins) as workshop:
            yield workshop

    return open_


@pytest.fixture(scope="session")
def ready(
    ready_made_book: Path, installed_plugins: Plugins, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Signed]:
    """The ready-made book of that workshop, closed; hashes of PINs take long."""
    path = Path(shutil.copy(ready_made_book, tmp_path_factory.mktemp("signed")))
    with open_workshop(path, clock=Clock(), chance=Random(6), plugins=installed_plugins) as workshop:
        return path, Signed(workshop)


@pytest.fixture
def book_file(
    request: pytest.FixtureRequest, ready_made_book: Path, ready: tuple[Path, Signed], tmp_path: Path
) -> Path:
    """A book of the test's own: that of this workshop where the test asks what it holds."""
    made = ready[0] if "signed" in request.fixturenames else ready_made_book
    return Path(shutil.copy(made, tmp_path / "yard.book"))


@pytest.fixture
def signed(ready: tuple[Path, Signed]) -> Signed:
    """What that workshop holds."""
    return ready[1]


def works(workshop: Workshop, device: Admitted) -> bool:
    """Whether a device is still let in."""
    return device_of_key(workshop, device.key) == device.device


def test_a_backup_that_is_put_back_signs_everybody_out(
    opened: Open, signed: Signed, book_file: Path, tmp_path: Path, clock: Clock
) -> None:
    """Tablets and PINs go on, and so does a lock; whoever was signed in signs in anew."""
    with opened(book_file) as workshop:
        workshop.book.backup(tmp_path / "copy.book")
        assert session_of(workshop, signed.tablet.device, signed.session)
    done = restore(book_file, tmp_path / "copy.book", clock=clock)

    assert done.lost is None
    with opened(book_file) as workshop:
        assert session_of(workshop, signed.tablet.device, signed.session) is None
        assert invitation(workshop, signed.code) is None
        assert (True, True) == (works(workshop, signed.tablet), works(workshop, signed.phone))
        assert (True, False) == (is_locked(workshop, "P-3"), is_locked(workshop, "P-2"))
        assert sign_in(workshop, signed.tablet.device, "P-2", PINS["P-2"])
        assert workshop.book.verify() == []


def test_where_entries_are_lost_every_device_is_let_in_anew(
    opened: Open, signed: Signed, book_file: Path, tmp_path: Path, clock: Clock
) -> None:
    """One of them was withdrawn since, and the backup knows nothing of that."""
    with opened(book_file) as workshop:
        workshop.book.backup(tmp_path / "copy.book")
        withdraw_device(workshop, FOREMAN, signed.phone.device, "left on a train")
        workshop.book.tell_head()
    restore(book_file, tmp_path / "copy.book", None, LOST, clock=clock)

    with opened(book_file) as workshop:
        assert (False, False) == (works(workshop, signed.tablet), works(workshop, signed.phone))
        assert [False, False] == [each.has_key for each in show_devices(workshop)]
        require_pin(workshop, "", "P-2", PINS["P-2"])
        assert workshop.book.verify() == []


@pytest.mark.parametrize("told_by", ["the book that lay there", "a head on paper"])
def test_where_entries_are_lost_no_old_pin_holds_again(
    opened: Open, signed: Signed, book_file: Path, tmp_path: Path, clock: Clock, told_by: str
) -> None:
    """P-2's was seen by somebody and set anew, and P-3 left: nobody signs by what the backup still knows.

    Where the book that lay there is gone, nobody can tell whose PIN is an old one, so none holds.
    """
    with opened(book_file) as workshop:
        unlock(workshop, FOREMAN, "P-3")
        workshop.book.backup(tmp_path / "copy.book")
        set_pin(workshop, FOREMAN, "P-2", "602214")
        end_person(workshop, "P-3", None, "", FOREMAN)
        head = str(workshop.book.head())
    if told_by == "a head on paper":
        book_file.unlink()
    gone = ("P-2", "P-3") if told_by == "the book that lay there" else ("P-1", "P-2", "P-3")
    done = restore(book_file, tmp_path / "copy.book", head, LOST, clock=clock)

    assert gone == done.pins
    assert signed.session
    with opened(book_file) as workshop:
        assert {"P-1", "P-2", "P-3"} - {*gone} == {each for each in PINS if has_pin(workshop, each)}
        for person in gone:
            with pytest.raises(Refused, match="do not belong together"):
                require_pin(workshop, "", person, PINS[person])
        assert workshop.book.verify() == []


@pytest.mark.usefixtures("signed")
def test_a_book_of_another_ledger_tells_of_no_pin(opened: Open, book_file: Path, tmp_path: Path, clock: Clock) -> None:
    """What lay there went on behind another entry than the last of the backup: then no PIN of it holds."""
    with opened(book_file) as workshop:
        workshop.book.backup(tmp_path / "copy.book")
    shutil.copy(tmp_path / "copy.book", tmp_path / "other.book")
    for book in (book_file, tmp_path / "other.book"):
        with opened(book) as workshop:
            unlock(workshop, FOREMAN, "P-3")
    with opened(tmp_path / "other.book") as workshop:
        workshop.book.backup(tmp_path / "forked.book")
        set_pin(workshop, FOREMAN, "P-2", "602214")
    done = restore(book_file, tmp_path / "forked.book", None, LOST, clock=clock)

    assert (("P-1", "P-2", "P-3"), 1) == (done.pins, len(done.lost.heads if done.lost else ()))


@pytest.mark.usefixtures("signed")
def test_the_backup_itself_is_left_as_it_was(opened: Open, book_file: Path, tmp_path: Path, clock: Clock) -> None:
    """Only what is put back forgets sessions."""
    with opened(book_file) as workshop:
        workshop.book.backup(tmp_path / "copy.book")
    before = (tmp_path / "copy.book").read_bytes()
    restore(book_file, tmp_path / "copy.book", clock=clock)

    assert before == (tmp_path / "copy.book").read_bytes()


def test_no_copy_holds_the_pepper_or_anything_that_opens(
    opened: Open, signed: Signed, book_file: Path, tmp_path: Path, own_secrets: Path
) -> None:
    """In a backup PINs are Argon2id strings, whose pepper is not in it."""
    with opened(book_file) as workshop:
        workshop.book.backup(tmp_path / "copy.book")
        export(workshop.book, tmp_path / "out", harmless, personal=True)
    pepper = json.loads(own_secrets.read_text(encoding="utf-8"))["pin_pepper"]
    backup = (tmp_path / "copy.book").read_bytes()
    exported = b"".join(each.read_bytes() for each in (tmp_path / "out").rglob("*") if each.is_file())

    assert b"$argon2id$v=19$m=19456,t=2,p=1$" in backup
    assert b"argon2id" not in exported
    for secret in (pepper, *signed.secrets()):
        assert secret.encode() not in backup + exported


def test_a_book_made_of_an_export_has_neither_pins_nor_keys(
    opened: Open, signed: Signed, book_file: Path, tmp_path: Path, clock: Clock
) -> None:
    """It knows the devices, says that it lacks their keys, and is sound."""
    with opened(book_file) as workshop:
        export(workshop.book, tmp_path / "out", harmless, personal=True)
    from_export(tmp_path / "out", tmp_path / "new.book", clock, Random(1))

    with opened(tmp_path / "new.book") as workshop:
        assert [[]] * len(SIGNING) == [workshop.book.rows(f"select * from {table}") for table in SIGNING]  # noqa: S608
        assert [("D-1", False), ("D-2", False)] == [(each.number, each.has_key) for each in show_devices(workshop)]
        assert not works(workshop, signed.tablet)
        assert workshop.book.verify() == []
        set_pin(workshop, FOREMAN, "P-2", PINS["P-2"])
        anew = admit(workshop, invite(workshop, FOREMAN, "tablet at lift 2").code)
        assert ("D-3", True) == (anew.device, bool(sign_in(workshop, anew.device, "P-2", PINS["P-2"])))


def test_a_repair_reads_out_neither_pins_nor_keys(
    opened: Open, signed: Signed, book_file: Path, tmp_path: Path, clock: Clock
) -> None:
    """Nothing proves them, and they are in none of the files beside the new book either."""
    done = repair(book_file, tmp_path / "new.book", clock, Random(1))
    with opened(tmp_path / "new.book") as workshop:
        assert [[]] * len(SIGNING) == [workshop.book.rows(f"select * from {table}") for table in SIGNING]  # noqa: S608
        assert not works(workshop, signed.tablet)
        assert workshop.book.verify() == []

    assert ((), {}) == (done.lost, dict(done.aside))
    new = [each for each in tmp_path.iterdir() if each.is_file() and each.name.startswith("new.book")]
    assert not [each for each in new if b"argon2id" in each.read_bytes()]


def test_a_rebuild_leaves_them_as_they_are(opened: Open, signed: Signed, book_file: Path) -> None:
    """They are no list."""
    with opened(book_file) as workshop:
        before = [workshop.book.rows(f"select * from {table}") for table in SIGNING]  # noqa: S608
        workshop.book.rebuild()

        assert before == [workshop.book.rows(f"select * from {table}") for table in SIGNING]  # noqa: S608
        assert works(workshop, signed.tablet)


@pytest.mark.parametrize(
    ("meddle", "says"),
    [
        ("insert into pins values ('P-9', 'x', 'y')", "The table pins holds something of person/P-9"),
        ("insert into device_keys values ('D-9', 'x', 'y')", "The table device_keys holds something of device/D-9"),
        (
            "insert into program_keys values ('A-9', 'x', 'y')",
            "The table program_keys holds something of program/A-9",
        ),
        ("update sessions set person = 'P-9'", "The table sessions holds something of person/P-9"),
        ("update sessions set device = 'D-9'", "The table sessions holds something of device/D-9"),
    ],
)
def test_what_is_kept_of_a_stranger_is_noticed_and_a_rebuild_takes_it_away(
    opened: Open, signed: Signed, book_file: Path, meddle: str, says: str
) -> None:
    """Somebody with the file let a device in behind the program's back."""
    with opened(book_file) as workshop:
        workshop.book.engine.run(meddle)
        assert [f"{says}, which the ledger does not know; rebuild the lists."] == workshop.book.verify()
        workshop.book.rebuild()

        assert workshop.book.verify() == []
        assert (True, True) == (has_pin(workshop, "P-2"), works(workshop, signed.tablet))


@pytest.mark.usefixtures("signed")
@pytest.mark.parametrize("table", SIGNING)
def test_a_table_that_is_missing_is_named(opened: Open, book_file: Path, table: str) -> None:
    """Whoever verifies is told which."""
    with opened(book_file) as workshop:
        workshop.book.engine.run(f"drop table {table}")

        assert f"{table} is missing from the file." in workshop.book.verify()


def test_an_older_book_gets_the_tables_and_keeps_what_it_says(opened: Open, tmp_path: Path, book_file: Path) -> None:
    """It opens, everybody is given a PIN, and a device is let in."""
    older = shutil.copy(book_file, tmp_path / "older.book")
    with opened(Path(older)) as workshop:
        for table in SIGNING:
            workshop.book.engine.run(f"drop table {table}")
        for index in ("outbox_twice", "disclosures_twice"):
            workshop.book.engine.run(f"drop index {index}")
        steps = "'m008_signing', 'm018_held_twice', 'm019_program_keys'"
        workshop.book.engine.run(f"delete from _sqlite_migrations where name in ({steps})")  # noqa: S608  # these
        workshop.book.engine.run("pragma user_version = 7")
        head = workshop.book.head()
    with opened(Path(older)) as workshop:
        assert head == workshop.book.head()
        assert Signed(workshop).session
        assert workshop.book.verify() == []
