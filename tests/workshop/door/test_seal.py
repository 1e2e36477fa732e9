"""The ledger sealed: what is signed, what is hashed anew, and when it is not sealed."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.book import seals
from torqueaudit.book.places import seals_of
from torqueaudit.book.secrets import Secrets
from torqueaudit.ledger.entry import hash_of
from torqueaudit.ledger.merkle import leaf_of, root_of
from torqueaudit.ledger.note import in_base64, is_signed
from torqueaudit.model.act import Refused, Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.seal import Damaged, change_key, key_at_hand, keys_of, seal
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.settings import settle

Change = Callable[[Workshop], None]


@pytest.fixture
def secrets(workshop: Workshop, tmp_path_factory: pytest.TempPathFactory) -> Secrets:
    """A file of secrets of the test's own."""
    return Secrets(tmp_path_factory.mktemp("own") / "secrets.json", workshop.book.path)


def sealed(workshop: Workshop, secrets: Secrets) -> seals.Seal:
    """Seal it, as a night does."""
    return seal(workshop, key_at_hand(workshop, secrets))


def say_something(workshop: Workshop, minutes: int = 90) -> None:
    """One entry more."""
    settle(workshop, {"late_minutes": minutes}, Say("P-1"))


def root_over_all(workshop: Workshop) -> bytes:
    """The root worked out from the first entry on."""
    return root_of(leaf_of(document) for document, _ in workshop.book.documents())


def written_over(workshop: Workshop, sequence: int, old: str, new: str, *, with_hash: bool = True) -> None:
    """Change an entry's text in the file, past the triggers, perhaps with the hash that belongs to it."""
    engine = workshop.book.engine
    ((text,),) = engine.rows("select document from ledger where position = ?", (sequence,))
    assert old in text
    changed = text.replace(old, new)
    engine.run("drop trigger ledger_no_update")
    engine.run("update ledger set document = ? where position = ?", (changed, sequence))
    if with_hash:
        engine.run("update ledger set hash = ? where position = ?", (hash_of(changed), sequence))


def cut(workshop: Workshop) -> None:
    """Take away the newest entries, past the trigger."""
    workshop.book.engine.run("drop trigger ledger_no_delete")
    workshop.book.engine.run("delete from ledger where position > 5")


def alter_note(workshop: Workshop, old: str, new: str) -> None:
    """Write over the newest seal."""
    file = seals.files_of(workshop.book.path)[-1]
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.usefixtures("book_file")
def test_the_first_seal_names_its_key_in_the_ledger_and_covers_that_entry(workshop: Workshop, secrets: Secrets) -> None:
    """Size, head and root are those of the ledger, and the signature is by the key that the entry names."""
    made = sealed(workshop, secrets)
    (key,) = keys_of(workshop)
    checkpoint = made.checkpoint

    assert (workshop.book.head(), root_over_all(workshop)) == (checkpoint.head, checkpoint.root)
    assert (checkpoint.size, "night") == (key.entry, key.by)
    assert "2031-04-02T08:00:00Z" == checkpoint.sealed_at
    assert is_signed(made.note, "torqueaudit/YARD", key.public)
    assert made == seals.kept(seals.files_of(workshop.book.path)[-1])
    assert f"yard.book.seals/YARD-{checkpoint.size:010}.txt" == "/".join(made.file.parts[-2:])


def test_the_ledger_never_holds_the_private_key(workshop: Workshop, secrets: Secrets) -> None:
    """Nor does anything beside the book."""
    sealed(workshop, secrets)
    (key,) = keys_of(workshop)
    private = secrets.private_of(in_base64(key.public)) or "none"
    kept = [each.read_bytes() for each in workshop.book.path.parent.rglob("*") if each.is_file()]

    assert 44 == len(private)
    assert [] == [text for text in kept if private.encode() in text]


def test_what_was_sealed_stands_until_something_is_recorded(workshop: Workshop, secrets: Secrets, clock: Clock) -> None:
    """The moment at which it was sealed first is worth more than a later one."""
    first = sealed(workshop, secrets)
    clock.set("2031-04-03 04:15")
    again = sealed(workshop, secrets)
    say_something(workshop)
    later = sealed(workshop, secrets)

    assert first == again
    assert (first.checkpoint.size + 1, "2031-04-03T04:15:00Z") == (later.checkpoint.size, later.checkpoint.sealed_at)
    assert [first.file, later.file] == seals.files_of(workshop.book.path)
    assert root_over_all(workshop) == later.checkpoint.root


@pytest.mark.parametrize("spoilt", [None, "", "7\n", "x\ny\n", "5\n{0}\n{0}\n", "\u00e4"])
def test_a_frontier_that_is_lost_or_spoilt_is_worked_out_anew(
    workshop: Workshop, secrets: Secrets, spoilt: str | None
) -> None:
    """It is believed only where the newest seal says its root."""
    sealed(workshop, secrets)
    file = seals_of(workshop.book.path) / "frontier"
    file.unlink()
    if spoilt is not None:
        file.write_text(spoilt.format(in_base64(bytes(32))), encoding="utf-8")
    say_something(workshop)

    assert sealed(workshop, secrets).checkpoint.root == root_over_all(workshop)


@pytest.mark.usefixtures("book_file")
@pytest.mark.parametrize("behind", [True, False], ids=["more recorded", "nothing recorded"])
@pytest.mark.parametrize(
    ("harm", "says"),
    [
        (cut, "the ledger was sealed up to entry .*, and ends before that: its tail is lost"),
        (lambda w: alter_note(w, "— torqueaudit", "— forqueaudit"), "was not made of this ledger with a key"),
        (lambda w: alter_note(w, "sealed 2031-04-02T08", "sealed 2031-04-02T09"), "was not made of this ledger"),
        (lambda w: alter_note(w, "torqueaudit/YARD\n", "torqueaudit/FARM\n"), "holds no checkpoint"),
        (lambda w: alter_note(w, "\n— ", "\n"), "is no line of a signature"),
    ],
)
def test_a_ledger_that_does_not_fit_its_newest_seal_is_not_sealed(
    workshop: Workshop, secrets: Secrets, *, harm: Change, says: str, behind: bool
) -> None:
    """It is told what does not fit, and no new seal is kept."""
    made = sealed(workshop, secrets)
    harm(workshop)
    if behind and harm is not cut:
        say_something(workshop)
    with pytest.raises(Damaged, match=says):
        seal(workshop, key_at_hand(workshop, secrets))

    assert [made.file] == seals.files_of(workshop.book.path)


@pytest.mark.usefixtures("book_file")
def test_an_entry_written_anew_below_the_seal_is_noticed_when_all_is_hashed(
    workshop: Workshop, secrets: Secrets
) -> None:
    """Without the frontier every entry is; with it a night looks at what is new alone, and verifies the rest apart."""
    sealed(workshop, secrets)
    written_over(workshop, 2, "P-1", "P-9", with_hash=False)
    (seals_of(workshop.book.path) / "frontier").unlink()
    with pytest.raises(Damaged, match="entry 2 was altered, or does not follow the one before it"):
        seal(workshop, key_at_hand(workshop, secrets))


@pytest.mark.usefixtures("book_file")
def test_the_newest_sealed_entry_written_anew_is_noticed(workshop: Workshop, secrets: Secrets) -> None:
    """With a hash that belongs to it."""
    size = sealed(workshop, secrets).checkpoint.size
    written_over(workshop, size, '"number":', '"number": ')
    with pytest.raises(Damaged, match=f"sealed up to entry {size}, and was written anew since"):
        seal(workshop, key_at_hand(workshop, secrets))


@pytest.mark.usefixtures("book_file")
@pytest.mark.parametrize("with_hash", [True, False])
def test_an_entry_that_was_altered_before_its_first_night_is_not_sealed(
    workshop: Workshop, secrets: Secrets, *, with_hash: bool
) -> None:
    """By its own hash, or by the one of the entry behind it."""
    size = sealed(workshop, secrets).checkpoint.size
    for minutes in (90, 100, 110):
        say_something(workshop, minutes)
    written_over(workshop, size + 2, '_minutes":100', '_minutes":101', with_hash=with_hash)
    with pytest.raises(Damaged, match=f"entry {size + 2 + with_hash} was altered, or does not follow"):
        seal(workshop, key_at_hand(workshop, secrets))


def test_a_lost_key_is_replaced_and_what_it_sealed_holds_on(workshop: Workshop, secrets: Secrets) -> None:
    """The ledger names both, each from its entry on."""
    first = sealed(workshop, secrets)
    secrets.path.unlink()
    at_hand = key_at_hand(workshop, secrets)
    later = seal(workshop, at_hand)
    before, now = keys_of(workshop)

    assert (True, before, now) == (at_hand.made, at_hand.before, at_hand.key)
    assert is_signed(first.note, "torqueaudit/YARD", before.public)
    assert is_signed(later.note, "torqueaudit/YARD", now.public)
    assert not key_at_hand(workshop, secrets).made


@pytest.mark.parametrize("private", ["", "x", in_base64(bytes(31)), in_base64(bytes(32))])
def test_a_private_key_that_is_none_or_another_is_as_good_as_lost(
    workshop: Workshop, secrets: Secrets, private: str
) -> None:
    """What it would sign, the ledger's key could not check."""
    sealed(workshop, secrets)
    secrets.keep(in_base64(keys_of(workshop)[0].public), private)

    assert key_at_hand(workshop, secrets).made


def test_a_foreman_changes_the_key_with_a_reason(workshop: Workshop, secrets: Secrets) -> None:
    """From that entry on the new one seals; the private key of before is gone, and so is nobody else's."""
    sealed(workshop, secrets)
    secrets.keep("another book's", "key")
    (before,) = keys_of(workshop)
    key = change_key(workshop, secrets, "the machine was sold", Say("P-1", id="act-7"))
    again = change_key(workshop, secrets, "the machine was sold", Say("P-1", id="act-7"))

    assert (before, key) == keys_of(workshop)
    assert key == again
    assert secrets.private_of(in_base64(before.public)) is None
    assert secrets.private_of("another book's") == "key"
    assert is_signed(sealed(workshop, secrets).note, "torqueaudit/YARD", key.public)
    with pytest.raises(Refused, match="say why the key is changed"):
        change_key(workshop, secrets, " ", Say("P-1"))


def test_a_key_that_may_not_be_recorded_is_not_kept(workshop: Workshop, secrets: Secrets) -> None:
    """A mechanic is refused, and the key of before seals on."""
    sealed(workshop, secrets)
    kept = secrets.path.read_text(encoding="utf-8")
    with pytest.raises(Refused, match="P-2 is mechanic; only a foreman or night may do this"):
        change_key(workshop, secrets, "why not", Say("P-2"))

    assert kept == secrets.path.read_text(encoding="utf-8")


def test_a_note_that_another_program_wrote_among_the_seals_is_left_alone(workshop: Workshop, secrets: Secrets) -> None:
    """What is not named after a size is no seal."""
    made = sealed(workshop, secrets)
    for name in ("README.txt", "YARD-later.txt", "copy-of.txt"):
        (Path(made.file).parent / name).write_text("mine", encoding="utf-8")

    assert [made.file] == seals.files_of(workshop.book.path)


@pytest.mark.usefixtures("book_file")
def test_a_night_reads_no_entry_that_was_sealed_before(workshop: Workshop, secrets: Secrets) -> None:
    """But the newest one of them, by its number: what is asked of the ledger begins behind it."""
    sealed(workshop, secrets)
    size = sealed(workshop, secrets).checkpoint.size
    say_something(workshop)
    asked: list[str] = []
    engine: Any = workshop.book.engine
    engine.connection.set_trace_callback(asked.append)
    sealed(workshop, secrets)
    engine.connection.set_trace_callback(None)
    read = [each for each in asked if "position > " in each or "between " in each]

    assert [] == [each for each in read if "position > 0" in each or "between 1 and" in each]
    assert 1 == len([each for each in read if f"position > {size} and position <= {2**53} order by position" in each])
