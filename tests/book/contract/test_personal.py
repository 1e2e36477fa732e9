"""Personal data: beside the ledger, found in free text, and erasable."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.errors import Moved
from torqueaudit.ledger.entry import Act, Draft

Tell: TypeAlias = Callable[[Book, str, Mapping[str, str]], None]


@pytest.fixture
def known(book: Book, tell: Tell) -> Book:
    """A book that knows a mechanic and a vehicle, both invented."""
    tell(book, "person/P-7", {"name": "Edda Vorlage-Muster", "telephone": "0555 12 34 56", "secret": "tangerine"})
    tell(book, "vehicle/V-1", {"plate": "XX-YZ 12", "frame": "ZZZ0TEST1AB123456"})
    return book


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("seen by Edda", ["person/P-7"]),
        ("edda vorlage muster looked", ["person/P-7"]),
        ("Muster looked twice", ["person/P-7"]),
        ("ask EddaVorlageMuster", ["person/P-7"]),
        ("call 0555-123456", ["person/P-7"]),
        ("the one with xx yz 12", ["vehicle/V-1"]),
        ("XXYZ12 is back", ["vehicle/V-1"]),
        ("frame zzz0test1ab123456 (Edda)", ["person/P-7", "vehicle/V-1"]),
        ("muster looked at the paint", ["person/P-7"]),
        ("a mustering of the paint", []),
        ("Edda Vorlage-Muster, and XX-YZ 12 is hers", ["person/P-7"]),
        ("XX is worn, YZ 12 mm", []),
        ("tangerine paint", []),
        ("98 N·m, chain 12 mm slack", []),
        ("", []),
    ],
)
def test_a_text_that_names_somebody_is_found(known: Book, text: str, found: list[str]) -> None:
    """Whole values however they are spaced, single parts of a name as whole words; of several who is meant most."""
    assert found == known.mentions(text)


def test_short_values_are_not_sought(book: Book, tell: Tell) -> None:
    """A plate "98" would forbid every torque of 98 N·m."""
    tell(book, "vehicle/V-2", {"plate": "98", "frame": "1205"})

    assert [] == book.mentions("98 N·m, part 1205")


def test_of_two_with_one_last_name_the_other_name_decides(book: Book, tell: Tell) -> None:
    """And where nothing does, both may be meant."""
    tell(book, "person/P-1", {"name": "Ottoline Sample"})
    tell(book, "person/P-2", {"name": "Barnaby Sample"})

    assert ["person/P-2"] == book.mentions("Barnaby Sample dropped it")
    assert ["person/P-1", "person/P-2"] == book.mentions("one Sample or the other")


def test_what_a_text_is_about_is_not_sought_singly(book: Book, tell: Tell) -> None:
    """A motorcycle may be called like somebody; whole names and numbers are sought all the same."""
    tell(book, "vehicle/V-1", {"contact": "Jo Plover, 0555 12 34 56"})

    assert ["vehicle/V-1"] == book.mentions("Plover 400")
    assert [] == book.mentions("Plover 400", singly=False)
    assert ["vehicle/V-1"] == book.mentions("Jo Plover", singly=False) == book.mentions("0555123456", singly=False)


def test_a_rebuild_works_out_anew_how_names_are_written(known: Book) -> None:
    """As an older program may have written them otherwise."""
    with known.engine.writing():
        known.engine.run("delete from personal_written")
    before = known.mentions("seen by Edda")
    known.rebuild()

    assert ([], ["person/P-7"]) == (before, known.mentions("seen by Edda"))


def test_fields_are_set_singly_and_taken_away(known: Book, tell: Tell) -> None:
    """What is not named stays; the old value is no longer found."""
    tell(known, "person/P-7", {"name": "Jorid Beispiel", "telephone": ""})

    assert {"name": "Jorid Beispiel", "secret": "tangerine"} == known.personal_of("person/P-7")
    assert [] == known.mentions("Edda, 0555 12 34 56")
    assert ["person/P-7"] == known.mentions("Jorid")


def test_personal_data_enters_with_the_act_that_brings_it(book: Book) -> None:
    """And never stands in the ledger."""
    draft = Draft(
        subject="person/P-8",
        kind="entered.1",
        happened_at=datetime(2031, 4, 2, tzinfo=UTC),
        who="owner",
        said={"role": "mechanic"},
    )
    book.append(Act("A", "ab" * 32), [draft], {"person/P-8": 0}, personal={"person/P-8": {"name": "Jorid Beispiel"}})

    assert {"name": "Jorid Beispiel"} == book.personal_of("person/P-8")
    assert "Jorid" not in repr(book.ledger())


def test_what_no_entry_tells_is_not_set(known: Book) -> None:
    """Nothing would prove it, and a verification would call it altered."""
    draft = Draft(
        subject="person/P-8", kind="entered.1", happened_at=datetime(2031, 4, 2, tzinfo=UTC), who="owner", said={}
    )
    with pytest.raises(ValueError, match="person/P-7 has no entry in the act that tells what is known of it"):
        known.append(Act("A", "ab" * 32), [draft], {}, personal={"person/P-7": {"name": "Jorid Beispiel"}})

    assert ([], "Edda Vorlage-Muster", 2) == (
        known.verify(),
        known.personal_of("person/P-7")["name"],
        known.head().sequence,
    )


def test_what_is_forgotten_is_gone(known: Book) -> None:
    """From every answer, and what is known of others stays."""
    known.forget("person/P-7")

    assert {} == known.personal_of("person/P-7")
    assert [] == known.mentions("Edda Vorlage-Muster, 0555 12 34 56")
    assert ["vehicle/V-1"] == known.mentions("XX-YZ 12")
    assert [] == known.verify()


def test_personal_data_of_an_act_that_is_refused_stays_out(known: Book) -> None:
    """All of it or nothing: the act came behind another one."""
    act = Act("A", "ab" * 32)
    draft = Draft(
        subject="person/P-7", kind="entered.1", happened_at=datetime(2031, 4, 2, tzinfo=UTC), who="owner", said={}
    )
    with pytest.raises(Moved):
        known.append(act, [draft], {"person/P-7": 2}, personal={"person/P-7": {"name": "Jorid Beispiel"}})

    assert [] == known.mentions("Jorid")
    assert "Edda Vorlage-Muster" == known.personal_of("person/P-7")["name"]


@pytest.fixture
def told(book: Book, tell: Tell) -> Book:
    """A book in which an entry tells what is known of a vehicle."""
    tell(book, "vehicle/V-1", {"plate": "XX-YZ 12", "contact": "Jo Plover"})
    return book


@pytest.mark.parametrize(
    ("done", "says"),
    [
        ("update personal set value = 'XX-YZ 13' where field = 'plate'", "The plate of vehicle/V-1 was altered"),
        ("update personal set salt = null where field = 'plate'", "The plate of vehicle/V-1 was altered"),
        ("update personal set salt = 'ab' || substr(salt, 3) where field = 'plate'", "The plate of vehicle/V-1 was"),
        ("delete from personal where field = 'contact'", "The contact of vehicle/V-1 is lost"),
        (
            "insert into personal values ('vehicle/V-1', 'frame_number', 'Z', 'ab')",
            "The frame number of vehicle/V-1 is",
        ),
        ("delete from personal_written", "How names and numbers of vehicle/V-1 are written differs"),
        ("insert into personal_written values ('chain', 'person/P-9')", "How names and numbers of person/P-9 are"),
    ],
)
def test_what_was_changed_behind_the_program_is_told(told: Book, done: str, says: str) -> None:
    """The entry that told it holds a salted digest of it."""
    before = told.verify()
    with told.engine.writing():
        told.engine.run(done)

    assert [] == before
    assert [fault for fault in told.verify() if fault.startswith(says)]


def test_what_is_told_anew_taken_away_or_forgotten_is_sound(told: Book, tell: Tell) -> None:
    """The digest told last counts; what is gone by an act or was forgotten is no damage, and is known no more."""
    tell(told, "vehicle/V-1", {"plate": "XX-YZ 13", "contact": ""})
    known = told.personal_of("vehicle/V-1"), told.verify()
    told.forget("vehicle/V-1")

    assert ({"plate": "XX-YZ 13"}, []) == known
    assert ({}, {}, []) == (told.personal_of("vehicle/V-1"), told.known_by("plate"), told.verify())


def test_a_digest_gives_nothing_away(told: Book, tell: Tell) -> None:
    """Salted anew each time, so that whoever tries out plates finds none."""
    tell(told, "vehicle/V-1", {"plate": "XX-YZ 12"})
    first, second = (entry.personal["plate"] for entry, _ in told.ledger())

    assert first != second
    assert "XX-YZ" not in repr(told.ledger())
