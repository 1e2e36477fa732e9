"""How what names somebody is written, and found in a text: names, plates, addresses, numbers. All of it is invented."""

import pytest

from torqueaudit.book.common_words import not_sought
from torqueaudit.book.written import besides, ways_in, ways_of, ways_of_field
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.register.permits import ROLES

CONTACT = "Anna Example, Mill Lane 4, +43 660 123 4567"


def found(field: str, value: str, text: str) -> bool:
    """Whether something of a value stands in a text."""
    return not ways_of({field: value}).isdisjoint(ways_in(text))


@pytest.mark.parametrize(
    "text",
    [
        *("asked Anna", "ANNA was here", "anna's brother", "for the Examples: Example", "AnnaExample", "anna-example"),
        *("Mill Lane 4", "mill lane", "MillLane 4", "fetched from Mill Lane"),
        *("+43 660 123 4567", "+436601234567", "0043 660 1234567", "0043/660/123/4567", "0660 123 4567", "06601234567"),
        *("0660/1234567", "0660-123-45-67", "(0660) 123 4567", "+43 (0)660 1234567", "660 1234567", "tel.06601234567"),
        *("123 4567", "1234567", "10:40 0660 123 4567 12 km", "call 0660 1234567 after 5"),
    ],
)
def test_each_part_of_a_contact_is_found(text: str) -> None:
    """Name, street and number, in any case and in any spelling of the digits."""
    assert found("contact", CONTACT, text)


@pytest.mark.parametrize(
    "text",
    [
        *("annual service", "annotated", "the examples of the manual", "a lane", "the mill", "4 bolts", "lane 4"),
        *("108 N·m, then 92° to 74 N·m", "12 100 km", "lot 4567", "2031-04-02 10:40", "98.1 97.6 98.4 97.9", ""),
        *("0660 123 4568", "+43 660 765 4321", "43660", "frame ZZ1234567"),
    ],
)
def test_what_only_looks_like_a_part_of_a_contact_is_not(text: str) -> None:
    """Whole words and whole ends of the number count."""
    assert not found("contact", CONTACT, text)


@pytest.mark.parametrize(
    ("contact", "text"),
    [
        ("0660 1234567", "+43 660 1234567"),
        ("0660 1234567", "00436601234567"),
        ("Jörg Weißmüller", "Joerg was here"),
        ("Jörg Weißmüller", "weissmuller"),
        ("Joerg Weissmueller", "Weißmüller"),
        ("Lindengasse 12, 1010 Nirgends", "at the Lindengasse"),
        ("Lindengasse 12, 1010 Nirgends", "1010 Nirgends"),
        ("4 Mill Lane", "mill lane"),
        ("a.example@mail.example", "write to a.example@mail.example"),
        ("zita.quill@mail.example", "Zita"),
        ("Anna Example +43 660 1234567", "Example"),
        ("Anna Example +43 660 1234567", "0660 1234567"),
        ("Anna; Ben Nowhere\n555 0123", "ben"),
        ("Anna; Ben Nowhere\n555 0123", "5550123"),
        ("Anna | 01 234 567", "01234567"),
        ("frame AB123456", "AB123456"),
    ],
)
def test_contacts_are_written_in_many_ways(contact: str, text: str) -> None:
    """With or without commas, umlauts, country and order."""
    assert found("contact", contact, text)


@pytest.mark.parametrize(
    ("contact", "text"),
    [
        ("Lindengasse 12, 1010 Nirgends", "rode to Nirgends"),
        ("Anna, call after five", "at five, after the call"),
        ("An Other", "another one"),
        ("owner of the blue one", "the owner had it open"),
    ],
)
def test_towns_and_everyday_words_name_nobody(contact: str, text: str) -> None:
    """Else no remark could be written."""
    assert not found("contact", contact, text)


@pytest.mark.parametrize("text", ["W 12345 A", "w-12345a", "W12345A", "12345 A", "12345a"])
def test_a_plate_is_found_however_it_is_spaced(text: str) -> None:
    """Also without the letters of its district."""
    assert found("plate", "W-12345 A", text)


@pytest.mark.parametrize("text", ["W 12345", "12345", "A", "W", "345 A"])
def test_a_piece_of_a_plate_is_no_plate(text: str) -> None:
    """It could be anything."""
    assert not found("plate", "W-12345 A", text)


@pytest.mark.parametrize("name", ["Mechanic", "Foreman", "The Mechanic", "Left Nut", "Trainee's name"])
def test_a_name_made_of_the_programs_own_words_stops_nobody(name: str) -> None:
    """Nor of those of the trade, singly."""
    assert not any(found("name", name, text) for text in (*ROLES, *Outcome, "the nut on the left", "a name stood here"))


def test_a_whole_name_of_common_words_is_found() -> None:
    """One by one they name nobody, together they do, with their capital letters as they are."""
    assert found("name", "Mark Green", "Mark Green looked")
    assert not found("name", "Mark Green", "the mark is green, a mark green as grass")
    assert not found("name", "The Mechanic", "the mechanic was away")


def test_where_it_is_strict_only_colours_are_nobodys_name() -> None:
    """So it is for the owner's own words in a vehicle's tag."""
    ways = ways_of_field("contact", "Ann Mark Green", strict=True)

    assert "=mark" in ways
    assert "=green" not in ways
    assert "=mark" not in ways_of_field("contact", "Ann Mark Green")


def test_what_a_text_has_besides_another() -> None:
    """The free additions of a tag, for its model may be called like somebody."""
    assert "green Anna s" == besides("Plover 400, green, Anna's", "PLOVER 400")


def test_common_words_are_plain() -> None:
    """Small letters alone, and few enough that a name is seldom one of them."""
    assert {word for word in not_sought() if word != word.casefold() or not word.isalpha()} == set()
    assert len(not_sought()) < 1500
    assert not_sought().isdisjoint({"anna", "barnaby", "example", "sample", "king", "hill", "winter"})


@pytest.mark.parametrize("field", ["secret", "stop"])
def test_what_chance_has_made_is_no_name(field: str) -> None:
    """An odometer or a lot is not taken for the beginning of a link's token."""
    assert set() == ways_of_field(field, "12345678abcdef0123456789abcdef01")
