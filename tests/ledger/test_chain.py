"""The chain: what it notices, and what only a printed head notices."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.ledger.chain import Head, beginning, chain_faults, form_faults, head_of, held_against
from torqueaudit.ledger.entry import FIRST_PREVIOUS, Act, Draft, document_of, hash_of, place

LENGTH = 7


def chain(length: int = LENGTH, text: str = "") -> list[tuple[bytes, str]]:
    """Stored rows of a sound ledger."""
    rows: list[tuple[bytes, str]] = []
    previous = FIRST_PREVIOUS
    draft = Draft(
        subject="job/12",
        kind="noted.1",
        happened_at=datetime(2031, 4, 2, tzinfo=UTC),
        who="P-3",
        said={"text": text, "a": {"previous": "x"}},
    )
    for sequence in range(1, length + 1):
        entry = place(Act(f"A{sequence}", "ab" * 32), [draft], "YARD", "2031-04-02T12:00:00Z")[0]
        document = document_of(entry._replace(sequence=sequence, number=sequence, previous=previous))
        previous = hash_of(document)
        rows.append((document.encode(), previous))
    return rows


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_a_sound_chain_has_no_fault_whatever_was_said(text: str) -> None:
    """No text inside an entry can look like the entry's own fields."""
    rows = chain(3, text + '},"previous":"' + FIRST_PREVIOUS + '","recorded_at":"')
    head, faults = chain_faults(beginning("YARD"), rows)

    assert [] == faults
    assert Head("YARD", 3, rows[-1][1]) == head


@given(st.data())
def test_any_changed_byte_is_noticed(data: st.DataObject) -> None:
    """One byte of one entry is enough."""
    rows = chain()
    index = data.draw(st.integers(0, LENGTH - 1))
    document, stored = rows[index]
    at = data.draw(st.integers(0, len(document) - 1))
    byte = data.draw(st.integers(0, 255).filter(lambda value: value != document[at]))
    rows[index] = (document[:at] + bytes([byte]) + document[at + 1 :], stored)

    assert [f"Entry {index + 1} was altered: its text no longer gives its hash."] == chain_faults(
        beginning("YARD"), rows
    )[1]


@given(st.data())
def test_an_entry_changed_with_its_hash_is_noticed_at_the_next(data: st.DataObject) -> None:
    """Whoever recomputes one hash breaks the link of the entry behind it."""
    rows = chain()
    index = data.draw(st.integers(0, LENGTH - 2))
    document = rows[index][0].replace(b'"who":"P-3"', b'"who":"P-4"')
    rows[index] = (document, hash_of(document.decode()))

    assert [f"Entry {index + 2} does not follow the entry before it."] == chain_faults(beginning("YARD"), rows)[1]


@pytest.mark.parametrize("site", ["YARD", "OTHER"])
def test_an_entry_of_another_site_or_place_is_noticed(site: str) -> None:
    """The place is read from the entry itself."""
    document, _ = chain(1)[0]
    document = document.replace(b'"sequence":1', b'"sequence":2')

    assert ["Entry 1 stands in the wrong place."] == chain_faults(
        beginning(site), [(document, hash_of(document.decode()))]
    )[1]


def test_fields_said_twice_are_noticed() -> None:
    """A second subject behind the first leaves more quotes than an entry has."""
    document = chain(1)[0][0].replace(b',"who"', b',"subject":"job/13","who"')

    assert ["Entry 1 stands in the wrong place."] == chain_faults(
        beginning("YARD"), [(document, hash_of(document.decode()))]
    )[1]


def test_a_fault_in_a_later_batch_names_its_entry() -> None:
    """Rows are looked at many at a time; the sentence still names the single one."""
    rows = chain(1203)
    rows[1100] = (rows[1100][0], "0" * 64)
    expected = [
        "Entry 1101 was altered: its text no longer gives its hash.",
        "Entry 1102 does not follow the entry before it.",
    ]

    assert expected == chain_faults(beginning("YARD"), rows)[1]


def test_a_row_not_in_canonical_form_is_noticed() -> None:
    """A space more, a key twice, a float: another text for the same words."""
    document = chain(1)[0][0].decode()
    actual = form_faults(1, [document.replace('"number":1', '"number":1.0'), document + " ", "{}"])

    assert (
        "Entry 1 cannot be read: this text is no ledger entry: value.number: float cannot stand in the ledger"
        in actual[0]
    )
    assert "Entry 2 is not written in canonical form." == actual[1]
    assert actual[2].startswith("Entry 3 cannot be read")


@pytest.mark.parametrize(
    ("stood", "stands"),
    [
        ('"said":{', '"more":"","said":{'),
        ('{"act":{', '{"act":{"also":1,'),
        ('},"previous"', ',"words":{}},"previous"'),
    ],
)
def test_a_row_that_says_more_than_an_entry_does_is_noticed(stood: str, stands: str) -> None:
    """Canonical in itself, but no reader would see what was added."""
    document = chain(1)[0][0].decode()

    assert [] == form_faults(1, [document])
    assert ["Entry 1 is not written in canonical form."] == form_faults(1, [document.replace(stood, stands, 1)])


def test_a_row_nested_without_end_is_noticed() -> None:
    """It can be read no more than a torn one."""
    says = form_faults(1, ["[" * 200_000 + "]" * 200_000])

    assert says[0].startswith("Entry 1 cannot be read")


def test_a_printed_head_notices_a_cut_tail_and_a_ledger_written_anew() -> None:
    """Both leave a chain without a fault."""
    rows = chain()
    printed = head_of(f" YARD/{LENGTH}/{rows[-1][1]}\n")
    cut, _ = chain_faults(beginning("YARD"), rows[:5])
    anew = chain(text="other")

    assert [] == held_against(printed, "YARD", printed, rows[-1][1])
    assert ["The ledger ends at entry 5; the printed head knew entry 7: its tail is lost."] == held_against(
        printed, "YARD", cut, None
    )
    assert ["Entry 7 is not the one the printed head knew: the ledger was written anew."] == held_against(
        printed, "YARD", chain_faults(beginning("YARD"), anew)[0], anew[-1][1]
    )
    assert ["The printed head is of site YARD; this book is of site B."] == held_against(printed, "B", printed, None)


@pytest.mark.parametrize("written", [str.lower, str.upper, str.swapcase, str])
def test_a_head_copied_from_paper_is_read_in_any_case(written: Callable[[str], str]) -> None:
    """Sites are in capitals and hashes in small letters, whatever whoever copies it writes."""
    head = chain_faults(beginning("YARD-2"), chain())[0]

    assert head == head_of(written(str(head)))


@pytest.mark.parametrize("text", ["", "YARD", "YARD/1", "YARD/x/" + "0" * 64, "YARD/1/" + "0" * 63, "/1/" + "0" * 64])
def test_what_is_no_head_is_told_so(text: str) -> None:
    """A head is copied from paper, so mistakes are expected."""
    with pytest.raises(ValueError, match="is no head"):
        head_of(text)
