"""The ledger followed from a number on: every entry once, in its order, and no word that may name anybody."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from random import Random
from threading import Thread

import pytest

from torqueaudit.book.heads import newest
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import FIRST_PREVIOUS, Entry
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.events import events_after
from torqueaudit.workshop.door.ledger import ledger_entries
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench, mishandle

WRITERS, ACTS = 3, 12


def followed(workshop: Workshop, most: int, after: int = 0) -> Iterator[Entry]:
    """Every entry behind a number, asked for a few at a time as a program does, up to what there is."""
    hash_ = ""
    while True:
        events = events_after(workshop, after, most, hash_)
        yield from events.entries
        after, hash_ = events.last, events.hash
        if not events.more:
            return


def enter(workshop: Workshop, tag: str) -> None:
    """Enter a vehicle, again where others were quicker three times."""
    try:
        add_vehicle(workshop, tag, "Kestrel 500", None, {}, Say("P-1"))
    except Refused:
        enter(workshop, tag)


@pytest.mark.parametrize("most", [1, 2, 7, 1000])
def test_every_entry_is_given_once_and_in_order(workshop: Workshop, most: int) -> None:
    """However many are asked for at once, from the beginning or the middle on."""
    assert events_after(workshop, 0, most) == events_after(workshop, 0, most, FIRST_PREVIOUS)
    whole = [entry.sequence for entry in ledger_entries(workshop, 1, None)]

    assert whole == [entry.sequence for entry in followed(workshop, most)]
    assert whole[3:] == [entry.sequence for entry in followed(workshop, most, after=3)]
    end = events_after(workshop, whole[-1], most)
    assert ((), whole[-1], False) == (end.entries, end.last, end.more)


def test_nothing_is_left_out_while_others_write(
    workshop: Workshop, book_file: Path, installed_plugins: Plugins
) -> None:
    """Three write act after act, each by a connection of its own, while one reads on: no gap, nothing twice."""

    def write(name: int) -> None:
        clock, chance = Clock("2031-04-02 09:00"), Random(1000 + name)
        with open_workshop(book_file, clock=clock, chance=chance, plugins=installed_plugins) as own:
            for number in range(ACTS):
                enter(own, f"bike {name}-{number}")

    before = workshop.book.head().sequence
    writers = [Thread(target=write, args=(name,)) for name in range(WRITERS)]
    for each in writers:
        each.start()
    read: list[Entry] = []
    while any(each.is_alive() for each in writers):
        read += followed(workshop, 5, read[-1].sequence if read else before)
    for each in writers:
        each.join()
    read += followed(workshop, 5, read[-1].sequence if read else before)

    assert list(range(before + 1, before + 1 + WRITERS * ACTS)) == [entry.sequence for entry in read]
    assert WRITERS * ACTS == len({entry.id for entry in read})


def test_a_backup_that_was_put_back_shows(
    workshop: Workshop, book_file: Path, tmp_path: Path, installed_plugins: Plugins
) -> None:
    """A shorter book is refused by the number alone, one that went on otherwise by the hash."""
    copy = Path(shutil.copy(book_file, tmp_path / "backup.book"))
    add_vehicle(workshop, "bike 1", "Kestrel 500", None, {}, Say("P-1"))
    read = events_after(workshop, 0, 1000)
    with open_workshop(copy, clock=Clock("2031-04-02 09:00"), chance=Random(1008), plugins=installed_plugins) as back:
        with pytest.raises(Refused, match=f"ends at entry {read.last - 1}, before {read.last}: a backup was put back"):
            events_after(back, read.last, 9)
        add_vehicle(back, "bike 2", "Kestrel 500", None, {}, Say("P-1"))
        assert () == events_after(back, read.last, 9).entries
        with pytest.raises(Refused, match="is another one than the one that you read: a backup was put back"):
            events_after(back, read.last, 9, read.hash)
    assert () == events_after(workshop, read.last, 9, read.hash).entries


def test_what_is_given_last_is_a_head_that_proves_the_book(workshop: Workshop) -> None:
    """It is written down as told before it is given, and stands wherever a program keeps it."""
    read = events_after(workshop, 0, 1000)
    head = Head(workshop.book.site, read.last, read.hash)
    add_vehicle(workshop, "bike 1", "Kestrel 500", None, {}, Say("P-1"))

    assert head == newest(workshop.book.path)
    assert [] == workshop.book.verify(head)
    assert [] != workshop.book.verify(head._replace(hash="0" * 64))


def test_no_free_words_and_no_names_are_given(workshop: Workshop) -> None:
    """Whatever somebody typed in their own words, who lent a wrench, and what is known of an owner."""
    number = add_wrench(workshop, NewWrench("setting", "red", "5 N·m", "50 N·m", owner="Irmgard Irgendwer"), Say("P-1"))
    mishandle(workshop, number, "dropped", "Irmgard let it fall", Say("P-1"))
    change_vehicle(workshop, "V-1", VehicleChange(personal={"plate": "IR 1 MGARD"}), Say("P-1"))
    told = repr(events_after(workshop, 0, 1000).entries)

    assert "mishandled.2" in told
    assert [] == [word for word in ("Irmgard", "MGARD") if word in told]
