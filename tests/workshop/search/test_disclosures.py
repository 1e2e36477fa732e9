"""Who was shown what is known of whom is noted first, and goes with whatever it is about."""

from datetime import timedelta
from random import Random

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.disclosures import Disclosure
from torqueaudit.book.errors import BookError
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import end_person
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.search.disclosures import disclose, disclosures_of, subject_of, take_old

ON_A_PAGE = Say("P-2", came=Came("page", "PIN", "D-1"))
PLATE = Disclosure(at="2031-04-02T08:00:00Z", by="P-2", door="page", subject="vehicle/V-1", shown=("plate",))
SHOWN = {"vehicle/V-1": ["plate", "contact", "plate"], "person/P-3": ["name"]}


def test_a_disclosure_tells_when_who_by_which_door_and_which_fields(workshop: Workshop) -> None:
    """The newest first; what stood in the fields is nowhere in it."""
    disclose(workshop, ON_A_PAGE, SHOWN)
    expected = [
        PLATE._replace(subject="person/P-3", shown=("name",)),
        PLATE._replace(shown=("contact", "plate")),
    ]

    assert expected == disclosures_of(workshop, "", 9)
    assert expected[1:] == disclosures_of(workshop, subject_of(workshop, "V-1"), 9)
    assert expected[:1] == disclosures_of(workshop, "", 1)
    assert [] == workshop.book.verify()


@pytest.mark.parametrize("by", ["owner", "import", "P-77", "P-3"])
def test_whoever_does_not_work_here_is_shown_nothing(workshop: Workshop, by: str) -> None:
    """And nothing is noted of it; P-3 has left."""
    end_person(workshop, "P-3", None, "", Say("P-1"))
    with pytest.raises(Refused):
        disclose(workshop, Say(by), SHOWN)

    assert [] == disclosures_of(workshop, "", 9)


def test_a_number_that_is_none_is_told(workshop: Workshop) -> None:
    """Of a wrench nothing personal is known."""
    for number in ("V-77", "P-77", "W-1"):
        with pytest.raises(Refused, match=f"{number}: no vehicle and no person has this number"):
            subject_of(workshop, number)


def test_disclosures_go_with_what_is_forgotten(workshop: Workshop) -> None:
    """And no byte of the file tells of them any more; what tells of others stays."""
    disclose(workshop, ON_A_PAGE, {"vehicle/V-1": ["plate", "uncommonfield"], "vehicle/V-2": ["plate"]})
    forget(workshop, "vehicle/V-1")
    path = workshop.book.path
    files = [path, path.with_name(f"{path.name}-wal")]

    assert ["vehicle/V-2"] == [each.subject for each in disclosures_of(workshop, "", 9)]
    assert b"uncommonfield" not in b"".join(file.read_bytes() for file in files if file.exists())


def test_disclosures_are_kept_as_long_as_the_workshop_says(workshop: Workshop, clock: Clock) -> None:
    """A year where nobody chose."""
    for days in (0, 40):
        clock.moment += timedelta(days=days)
        disclose(workshop, ON_A_PAGE, {"vehicle/V-1": ["plate"]})
    take_old(workshop)
    kept = len(disclosures_of(workshop, "", 9))
    settle(workshop, {"disclosure_days": 30}, Say("P-1"))
    take_old(workshop)

    assert (2, 1) == (kept, len(disclosures_of(workshop, "", 9)))
    with pytest.raises(Refused, match="who was shown what is kept for 1 to 3650 days"):
        settle(workshop, {"disclosure_days": 0}, Say("P-1"))


@pytest.mark.usefixtures("book_file")
def test_what_cannot_be_noted_is_not_shown(workshop: Workshop) -> None:
    """A disk that takes nothing shows nobody anything. No disk has so large a reserve."""
    with Book.open(workshop.book.path, workshop.clock, Random(1), reserve=2**62) as full:
        there = Workshop(full, workshop.plugins, workshop.clock, workshop.chance)
        with pytest.raises(BookError, match="free"):
            disclose(there, ON_A_PAGE, SHOWN)


def test_disclosures_of_what_the_ledger_does_not_know_are_told_and_go_with_a_rebuild(workshop: Workshop) -> None:
    """As where a backup of before was put back."""
    workshop.book.disclosures.note([PLATE._replace(subject="vehicle/V-9")])
    expected = ["The table disclosures tells of vehicle/V-9, which the ledger does not know; rebuild the lists."]

    assert expected == workshop.book.verify()
    workshop.book.rebuild()
    assert [] == workshop.book.verify()
