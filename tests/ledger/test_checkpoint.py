"""A checkpoint as it is signed, printed and read back."""

import pytest

from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.checkpoint import Checkpoint, checkpoint_of
from torqueaudit.ledger.merkle import leaf_of
from torqueaudit.ledger.note import Note, is_signed, new_key, note_of, of_base64, signed

PRIVATE = bytes(range(32))
PUBLIC = new_key(PRIVATE)
SEALED = Checkpoint(Head("YARD-2", 12, "ab" * 32), leaf_of(b"x"), "2031-04-02T02:15:00Z")
NOTE = signed(SEALED.text, SEALED.name, PRIVATE)


def test_a_checkpoint_is_read_as_it_was_signed() -> None:
    """Its lines say whose ledger, how long, the root, the head and the moment."""
    note = note_of(str(NOTE))

    assert NOTE == note
    assert SEALED == checkpoint_of(note.text)
    assert ["torqueaudit/YARD-2", "12"] == note.text.splitlines()[:2]
    assert is_signed(note, SEALED.name, PUBLIC)


@pytest.mark.parametrize("told", ["\ufeff{}", "{}\n\n", "\n{}"])
def test_a_note_is_read_whatever_a_mail_or_an_editor_did_to_its_lines(told: str) -> None:
    """Ends of lines, empty ones at the end, and the mark of Unicode before it."""
    assert NOTE == note_of(told.format(str(NOTE)).replace("\n", "\r\n"))


def test_a_note_with_any_bit_turned_is_refused() -> None:
    """Each bit of its bytes: it cannot be read, or its signature does not hold."""
    data = str(NOTE).encode().rstrip(b"\n")
    taken = [
        (at, bit)
        for at in range(len(data))
        for bit in range(8)
        if is_taken(data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :])
    ]

    assert [] == taken
    assert is_taken(data)


def is_taken(data: bytes) -> bool:
    """Whether a note can be read, is a checkpoint and is signed."""
    try:
        note = note_of(data.decode())
        return is_signed(note, checkpoint_of(note.text).name, PUBLIC)
    except ValueError:
        return False


@pytest.mark.parametrize(
    "text",
    [
        "",
        SEALED.text.replace("\n12\n", "\n012\n"),
        SEALED.text.replace("/12/", "/13/"),
        SEALED.text.replace("02:15", "2:15"),
        SEALED.text.replace("torqueaudit", "torqueaudits"),
        SEALED.text + "more\n",
        SEALED.text.upper(),
    ],
)
def test_a_text_that_is_no_checkpoint_is_refused_in_a_sentence(text: str) -> None:
    """Also one that says the same in another spelling, for what was signed has one alone."""
    with pytest.raises(ValueError, match="this is no checkpoint of a ledger: "):
        checkpoint_of(text)


@pytest.mark.parametrize("text", ["AR==", "AQ=", "AQ", "AQ==\n", " AQ==", "A-==", "AQI=", ""])
def test_bytes_have_one_spelling_alone(text: str) -> None:
    """Other bits in the last letter say the same to most readers, and are refused here."""
    assert b"\x01" == of_base64("AQ==", 1)
    with pytest.raises(ValueError, match="base64"):
        of_base64(text, 1)


@pytest.mark.parametrize("text", ["", "a text\n", "a text\n\nno line of a signature\n", "a text\n\n— name\n"])
def test_a_text_that_is_no_note_is_refused(text: str) -> None:
    """Nothing is a signature but its line."""
    with pytest.raises(ValueError, match=r"no signed note|no line of a signature"):
        note_of(text)


def test_a_signature_of_another_name_or_key_does_not_count() -> None:
    """Nor one line among others that are of nobody."""
    other = signed(SEALED.text, "torqueaudit/YARD-3", PRIVATE)

    assert not is_signed(other, SEALED.name, PUBLIC)
    assert not is_signed(NOTE, SEALED.name, new_key(bytes(32)))
    assert is_signed(Note(NOTE.text, (*other.signatures, *NOTE.signatures)), SEALED.name, PUBLIC)
