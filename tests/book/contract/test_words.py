"""Free words: beside the ledger, proved by what the entries hold, and erasable by an entry."""

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Protocol

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.errors import IdUsed, Moved
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest, act_of, document_of
from torqueaudit.ledger.words import FreeWords

NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)
WHY = "the washer was forgotten"


class Place(Protocol):
    """Where the book lies, for a stranger who may write and for another program."""

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...

    def run(self, sql: str) -> None: ...


def said(position: str = "axle-nut", **words: str) -> dict[str, object]:
    """What somebody says of a fastener, with free words."""
    return {"position": position, **{field: FreeWords(text) for field, text in words.items()}}


def act(id_: str = "A", **words: str) -> Act:
    """An act with these words."""
    return act_of(id_, "loosen", "P-3", "job/1", said(**words))


def draft(position: str = "axle-nut", subject: str = "job/1", **words: str) -> Draft:
    """A fact with these words."""
    told = said(position, **words)
    return Draft(subject=subject, kind="loosened.2", happened_at=NOON, who="P-3", said=told)


def erasure(*entries: int) -> Draft:
    """What a foreman says when words are erased."""
    told = {"entries": list(entries), "why": FreeWords("they named a customer")}
    return Draft(
        subject="site/YARD", kind="words_erased.1", happened_at=NOON, who="P-1", said=told, judged={"on": "2031-04-02"}
    )


@pytest.fixture
def three(book: Book) -> Book:
    """Two fasteners loosened at once, and one without a word."""
    book.append(act("A", why=WHY), [draft("disc-1", why=WHY), draft("disc-2", why=WHY)], {})
    book.append(act("B"), [draft("axle-nut")], {})
    return book


def test_words_come_with_their_entries(three: Book) -> None:
    """However the entries are asked for; their text in the ledger holds none."""
    expected = [WHY, WHY, ""]

    assert expected == [entry.told("why") for entry in three.entries("job/1")]
    assert expected == [entry.told("why") for entry, _ in three.ledger()]
    assert [{"why": WHY}, {"why": WHY}, {}] == [entry.words for entry in three.entries("job/1")]
    assert all(WHY not in document_of(entry) for entry, _ in three.ledger())
    assert 2 == len({entry.sealed["why"] for entry, _ in three.ledger(1, 2)})
    assert [] == three.verify()


def test_an_act_answers_with_its_words(book: Book) -> None:
    """As they are read later."""
    told = book.append(act("A", why=WHY, remark="rusty"), [draft(why=WHY, remark="rusty")], {})

    assert {"why": WHY, "remark": "rusty"} == told[0].words
    assert told == book.entries("job/1")


def test_the_same_words_twice_change_nothing(three: Book) -> None:
    """A phone that lost the answer sends again."""
    again = three.append(act("A", why=WHY), [draft("disc-1", why=WHY), draft("disc-2", why=WHY)], {})

    assert three.entries("job/1")[:2] == again == three.earlier(act("A", why=WHY))
    assert 3 == three.head().sequence


@pytest.mark.parametrize(
    "words", [{"why": "the washer was forgotten."}, {"why": ""}, {"remark": WHY}, {"why": WHY, "remark": "rusty"}, {}]
)
def test_other_words_under_a_used_id_are_refused(three: Book, words: Mapping[str, str]) -> None:
    """They are held against what is kept, for the digests alone tell nothing."""
    with pytest.raises(IdUsed, match="The id A was used before for something else"):
        three.earlier(act("A", **words))
    with pytest.raises(IdUsed, match="The id B was used before for something else"):
        three.earlier(act("B", why=WHY))


def test_an_act_of_before_is_known_with_its_words_inside(book: Book) -> None:
    """Recorded while words still lay in the entry, and sent again now."""
    inside = {"position": "axle-nut", "why": WHY}
    older = Draft(subject="job/1", kind="loosened.1", happened_at=NOON, who="P-3", said=inside)
    recorded = book.append(Act("A", act_digest("loosen", "P-3", "job/1", inside)), [older], {})

    assert recorded == book.earlier(act("A", why=WHY))
    assert WHY == recorded[0].told("why")
    with pytest.raises(IdUsed):
        book.earlier(act("A", why="seized"))


def test_erased_words_are_shown_as_erased(three: Book) -> None:
    """Wherever the entry is asked for; the chain stays whole, and the other words stay."""
    head = three.head()
    three.append(act_of("E", "erase", "P-1", "site/YARD", {}), [erasure(1)], {})
    gone = "words erased on 2031-04-02 by P-1"

    assert [gone, WHY, ""] == [entry.told("why") for entry in three.entries("job/1")]
    assert [gone, WHY] == [entry.told("why") for entry, _ in three.ledger(1, 2)]
    assert (gone, "", "") == (three.words_erased(1), three.words_erased(2), three.words_erased(3))
    assert [] == three.verify() == three.verify(head)
    assert "they named a customer" == three.ledger()[-1][0].told("why")


def test_the_reason_of_an_erasure_can_be_erased_too(three: Book) -> None:
    """It is a free word like any other."""
    three.append(act_of("E", "erase", "P-1", "site/YARD", {}), [erasure(1)], {})
    three.append(act_of("F", "erase", "P-1", "site/YARD", {}), [erasure(4)], {})

    assert "words erased on 2031-04-02 by P-1" == three.ledger(4, 4)[0][0].told("why")
    assert [] == three.verify()


def test_an_act_whose_words_are_gone_is_known_by_its_id(three: Book) -> None:
    """Sent again it changes nothing and brings nothing back, whatever words come with it."""
    three.append(act_of("E", "erase", "P-1", "site/YARD", {}), [erasure(1, 2)], {})
    again = three.append(act("A", why=WHY), [draft("disc-1", why=WHY), draft("disc-2", why=WHY)], {})

    assert ["words erased on 2031-04-02 by P-1"] * 2 == [entry.told("why") for entry in again]
    assert again == three.earlier(act("A", why="a guess"))
    assert 4 == three.head().sequence


def test_what_another_program_erased_is_not_remembered(three: Book, place: Place) -> None:
    """A page that has been open for days shows none of it."""
    before = three.entries("job/1")[0].told("why")
    with place.open(three.clock, lambda _subject, _entries: {}) as other:
        other.append(act_of("E", "erase", "P-1", "site/YARD", {}), [erasure(1)], {})

    assert (WHY, "words erased on 2031-04-02 by P-1") == (before, three.entries("job/1")[0].told("why"))


@pytest.mark.parametrize(
    ("meddle", "says"),
    [
        ("update words set text = 'all well' where entry = 1", "were altered: they no longer give their digest"),
        ("update words set salt = '0' where entry = 1", "were altered: they no longer give their digest"),
        ("update words set salt = null where entry = 1", "are gone, and no entry says that they were erased so"),
        (
            "update words set salt = null, text = null, erased_on = '2031-04-02', erased_by = 'P-1' where entry = 1",
            "are gone, and no entry says that they were erased so",
        ),
        ("delete from words where entry = 1", "are lost; bring them back from a backup"),
    ],
)
def test_words_that_were_meddled_with_are_noticed(three: Book, place: Place, meddle: str, says: str) -> None:
    """A forged erasure too: only an entry erases."""
    place.run(meddle)

    assert [f"Entry 1: its words (why) {says}."] == three.verify()


@pytest.mark.parametrize(
    ("meddle", "says"),
    [
        (
            "update words set text = 'x', salt = 'y' where entry = 2",
            ["Entry 2: its words (why) were altered: they no longer give their digest."],
        ),
        (
            "update words set erased_by = 'P-9' where entry = 1",
            ["Entry 1: its words (why) are gone, and no entry says that they were erased so."],
        ),
        (
            "insert into words (entry, field, subject, salt, text) values (3, 'why', 'job/1', 's', 't')",
            ["Entry 3 has no such words as are kept of it (why)."],
        ),
    ],
)
def test_a_book_with_erased_words_is_proved_as_well(three: Book, place: Place, meddle: str, says: list[str]) -> None:
    """Every word that is still there, and who erased what is not."""
    three.append(act_of("E", "erase", "P-1", "site/YARD", {}), [erasure(1)], {})
    place.run(meddle)

    assert says == three.verify()


def test_words_put_back_after_their_erasure_are_noticed(three: Book, place: Place) -> None:
    """Also where somebody had kept text and salt, so that they are the very same."""
    ((salt, text),) = three.rows("select salt, text from words where entry = 1")
    three.append(act_of("E", "erase", "P-1", "site/YARD", {}), [erasure(1)], {})
    place.run(f"update words set salt = '{salt}', text = '{text}' where entry = 1")  # noqa: S608 of this test
    says = "were erased on 2031-04-02 by P-1, and are there again; erase them once more"

    assert [f"Entry 1: its words (why) {says}."] == three.verify()


def test_words_of_an_act_that_is_refused_are_not_kept(three: Book) -> None:
    """All of it or nothing: the act came behind another one, or could not be written."""
    before = three.rows("select count(*) from words")
    with pytest.raises(Moved):
        three.append(act("C", why="late"), [draft(why="late")], {"job/1": 1})
    with pytest.raises(ValueError, match="half a character"):
        three.append(Act("D", "ab" * 32), [draft(why="fine"), draft(why="\ud800")], {})

    assert before == three.rows("select count(*) from words")
    assert [] == three.verify()


def test_no_list_can_hold_words(book: Book, place: Place) -> None:
    """They are worked out from entries without them, by every act as by a rebuild, so an erasure reaches them all."""

    def rows_of(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str]]]:
        return {"vehicles": [{"vehicle": entry.key, "tag": entry.told("why")} for entry in entries]} if subject else {}

    with place.open(book.clock, rows_of) as other:
        other.append(act("A", why=WHY), [draft(why=WHY)], {})
        by_the_act = other.rows("select tag from vehicles")
        other.rebuild()

        assert [("words lost",)] == by_the_act == other.rows("select tag from vehicles")
        assert [] == other.verify()
