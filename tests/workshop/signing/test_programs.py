"""Other programs: let in up to a day by a key that is shown once, and withdrawn at once."""

from datetime import date, timedelta

import pytest

from torqueaudit.book.places import written_of
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.register.withdrawal import Withdrawal
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.search.disclosures import disclose
from torqueaudit.workshop.signing.hashes import digest_of
from torqueaudit.workshop.signing.programs import (
    MOST_DAYS,
    LetIn,
    let_in,
    program_of_key,
    see_program,
    show_programs,
    withdraw_program,
)

from .conftest import FOREMAN, Wait


def accounts(workshop: Workshop, days: int = 30, role: ProgramRole = ProgramRole.READS) -> LetIn:
    """A program that is let in for some days."""
    return let_in(workshop, FOREMAN, "  accounts ", role, workshop.today() + timedelta(days=days))


@pytest.mark.usefixtures("book_file")
def test_a_program_is_let_in_by_a_foreman(workshop: Workshop) -> None:
    """An entry says for what and until when; the book holds nothing of its key but a digest."""
    given = accounts(workshop)
    (entry,) = workshop.book.entries("program/A-1")
    files = b"".join(path.read_bytes() for path in written_of(workshop.book.path) if path.is_file())

    assert ("A-1", "program_admitted.1", "P-1") == (given.program, entry.kind, entry.who)
    assert {"role": "reads", "last_day": f"{workshop.today() + timedelta(days=30)}"} == entry.said
    assert {"name": "accounts"} == entry.words
    assert "A-1" == program_of_key(workshop, given.key).number
    assert 64 == len(given.key)
    assert given.key.encode() not in files
    assert digest_of(given.key).encode() in files
    assert workshop.book.verify() == []


def test_a_key_that_is_none_is_refused(workshop: Workshop) -> None:
    """Also one that differs in a single character."""
    key = accounts(workshop).key
    for wrong in ("", "A-1", key[:-1], key[:-1] + ("1" if key[-1] == "0" else "0"), key.upper() + "x"):
        with pytest.raises(Refused, match="no program's, or it was withdrawn; ask a foreman"):
            program_of_key(workshop, wrong)


def test_a_key_holds_up_to_and_with_its_last_day(workshop: Workshop, wait: Wait) -> None:
    """By the days of the workshop; then one sentence says that it ended."""
    given = accounts(workshop, days=2)
    wait(hours=48)
    assert "A-1" == program_of_key(workshop, given.key).number
    wait(hours=24)

    with pytest.raises(Refused, match=r"the key of A-1 ended on \d{4}-\d\d-\d\d; ask a foreman for a new one"):
        program_of_key(workshop, given.key)
    assert [False] == [each.is_let_in for each in show_programs(workshop)]


def test_a_program_that_is_withdrawn_is_let_in_no_more(workshop: Workshop) -> None:
    """At once, and once; others stay."""
    first, second = accounts(workshop), accounts(workshop)
    withdraw_program(workshop, FOREMAN, "A-1", "accounts are kept elsewhere")
    known = show_programs(workshop)

    with pytest.raises(Refused, match="it was withdrawn"):
        program_of_key(workshop, first.key)
    assert "A-2" == program_of_key(workshop, second.key).number
    assert Withdrawal(workshop.today(), "P-1", "accounts are kept elsewhere") == known[0].program.withdrawn
    assert [False, True] == [each.is_let_in for each in known]
    for number, says in (("A-1", "withdrawn on .* already"), ("A-9", "no program of that number")):
        with pytest.raises(Refused, match=says):
            withdraw_program(workshop, FOREMAN, number, "again")
    assert workshop.book.verify() == []


def test_what_lets_nobody_in_is_refused(workshop: Workshop) -> None:
    """A name that names somebody, no name, a day that is over or far away, and a mechanic."""
    today = workshop.today()
    refused = {
        "is over": ("accounts", today - timedelta(days=1)),
        "further than two years": ("accounts", today + timedelta(days=MOST_DAYS + 1)),
        "1 to 60 characters": ("", today),
        "holds a name or number of P-2": (f"list of {workshop.book.personal_of('person/P-2')['name']}", today),
    }
    for says, (name, day) in refused.items():
        with pytest.raises(Refused, match=says):
            let_in(workshop, FOREMAN, name, ProgramRole.READS, day)
    with pytest.raises(Refused, match="only a foreman or setup"):
        let_in(workshop, Say("P-2", came=Came("terminal")), "accounts", ProgramRole.READS, today)
    assert () == show_programs(workshop)


def test_a_form_that_is_sent_twice_lets_one_in(workshop: Workshop) -> None:
    """And says that its key was shown before: another one would open nothing."""
    say, day = FOREMAN._replace(id="form-1"), date(2031, 12, 31)
    given = let_in(workshop, say, "accounts", ProgramRole.READS, min(day, workshop.today()))

    with pytest.raises(Refused, match="A-1 was let in by this before: its key was shown then"):
        let_in(workshop, say, "accounts", ProgramRole.READS, min(day, workshop.today()))
    assert "A-1" == program_of_key(workshop, given.key).number
    assert 1 == len(show_programs(workshop))


def test_when_it_last_asked_is_noted_once_a_minute(workshop: Workshop, wait: Wait) -> None:
    """So that a foreman sees one that nobody uses any more."""
    accounts(workshop)
    assert [None] == [each.last_seen for each in show_programs(workshop)]
    see_program(workshop, "A-1")
    first = workshop.clock()
    wait(minutes=0.5)
    see_program(workshop, "A-1")
    assert [first] == [each.last_seen for each in show_programs(workshop)]
    wait(minutes=1)
    see_program(workshop, "A-1")

    assert [workshop.clock()] == [each.last_seen for each in show_programs(workshop)]


def test_names_are_shown_to_a_program_that_was_let_in_for_them(workshop: Workshop) -> None:
    """What it is shown is noted under its number and by its door; any other program is refused."""
    accounts(workshop)
    accounts(workshop, role=ProgramRole.READS_NAMES)
    disclose(workshop, Say("A-2", came=Came("program", "key")), {"vehicle/V-1": ["plate"]})
    (noted,) = workshop.book.disclosures.newest("", 9)

    assert ("A-2", "program", ("plate",)) == (noted.by, noted.door, noted.shown)
    with pytest.raises(Refused, match="A-1 is a program that reads no names"):
        disclose(workshop, Say("A-1", came=Came("program", "key")), {"vehicle/V-1": ["plate"]})
    withdraw_program(workshop, FOREMAN, "A-2", "lost")
    with pytest.raises(Refused, match="A-2 is a program that reads no names"):
        disclose(workshop, Say("A-2", came=Came("program", "key")), {"vehicle/V-1": ["plate"]})
    assert 1 == len(workshop.book.disclosures.newest("", 9))


def test_a_program_records_nothing(workshop: Workshop) -> None:
    """Whatever it was let in for: it is nobody who works here."""
    given = accounts(workshop, role=ProgramRole.READS_NAMES)

    with pytest.raises(Refused, match="nobody of that number works here"):
        let_in(workshop, Say(given.program), "another", ProgramRole.READS, workshop.today())
