"""The ledger held against checkpoints that were kept, and entries handed out with their proof."""

import json
import shutil
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from torqueaudit.book import seals
from torqueaudit.book.places import seals_of
from torqueaudit.book.secrets import Secrets
from torqueaudit.ledger.chain import Head, chain_faults
from torqueaudit.ledger.checkpoint import Checkpoint
from torqueaudit.ledger.entry import FIRST_PREVIOUS, document_of, entry_of, hash_of
from torqueaudit.ledger.merkle import leaf_of, root_of
from torqueaudit.ledger.note import in_base64, of_base64, signed
from torqueaudit.ledger.proof import check, proof_of, proof_text
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.held import held_against
from torqueaudit.workshop.door.proving import prove
from torqueaudit.workshop.door.seal import change_key, key_at_hand, keys_of, seal
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.gone import gone


@pytest.fixture
def secrets(workshop: Workshop, tmp_path_factory: pytest.TempPathFactory) -> Secrets:
    """A file of secrets of the test's own."""
    return Secrets(tmp_path_factory.mktemp("own") / "secrets.json", workshop.book.path)


def night(workshop: Workshop, secrets: Secrets, minutes: int) -> seals.Seal:
    """An entry more, and the ledger sealed."""
    settle(workshop, {"late_minutes": minutes}, Say("P-1"))
    return seal(workshop, key_at_hand(workshop, secrets))


@pytest.fixture
def nights(workshop: Workshop, secrets: Secrets) -> list[seals.Seal]:
    """Four nights, each sealed."""
    return [night(workshop, secrets, minutes) for minutes in (90, 100, 110, 120)]


@pytest.fixture
def elsewhere(nights: list[seals.Seal], tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """The checkpoints of these nights as somebody kept them in a mail; none is left beside the book."""
    folder = tmp_path_factory.mktemp("mail")
    kept = []
    for each in nights:
        kept.append(folder / each.file.name)
        kept[-1].write_text(each.file.read_text(encoding="utf-8").replace("\n", "\r\n"), encoding="utf-8")
        each.file.unlink()
    return kept


def write_anew(workshop: Workshop, first: int) -> None:
    """Say something else from an entry on and compute every hash behind it, as who knows the form would do."""
    engine = workshop.book.engine
    engine.run("drop trigger ledger_no_update")
    previous = workshop.book.ledger(first - 1, first - 1)[0][1]
    for entry, _ in workshop.book.ledger(first):
        said = {**entry.said, "late_minutes": 7} if entry.sequence == first else entry.said
        text = document_of(entry._replace(previous=previous, said=said, words={}))
        previous = hash_of(text)
        engine.run("update ledger set document = ?, hash = ? where position = ?", (text, previous, entry.sequence))


def test_the_seals_beside_the_book_are_held_against_it(workshop: Workshop, nights: list[seals.Seal]) -> None:
    """Without anything being given; the newest says how far the ledger is proved."""
    settle(workshop, {"late_minutes": 130}, Say("P-1"))
    held = held_against(workshop, [])

    assert ((), 4, nights[-1]) == (held.faults, held.kept.number, held.kept.newest)
    assert (0, None) == (held.given.number, held.given.newest)
    assert keys_of(workshop)[0].key_id == held.kept.key_id


def test_a_book_that_was_never_sealed_is_held_against_nothing(workshop: Workshop) -> None:
    """That is no fault."""
    held = held_against(workshop, [])

    assert ((), (), 0, 0) == (held.faults, held.remarks, held.kept.number, held.given.number)


@pytest.mark.parametrize("lies", ["nothing", "an empty folder", "a file"])
def test_seals_that_are_gone_are_a_remark(workshop: Workshop, secrets: Secrets, lies: str) -> None:
    """A book that was copied alone has none, so that is no damage; but the ledger names the key of some."""
    night(workshop, secrets, 90)
    place = seals_of(workshop.book.path)
    shutil.rmtree(place)
    match lies:
        case "a file":
            place.write_text("mine", encoding="utf-8")
        case "an empty folder":
            place.mkdir()
    held = held_against(workshop, [])
    what = f"{place} is no folder" if lies == "a file" else f"no seal lies in {place}"
    says = f"The ledger names the key {keys_of(workshop)[0].key_id} that seals it, and {what}. "
    back = "Bring the seals back from a backup, or hold the ledger against a checkpoint that was kept elsewhere."

    assert ((), 0, (f"{says}{back}",)) == (held.faults, held.kept.number, held.remarks)


def test_checkpoints_kept_elsewhere_say_up_to_when_the_ledger_is_proved(
    workshop: Workshop, nights: list[seals.Seal], elsewhere: list[Path]
) -> None:
    """Those of two nights, after a mail has changed the ends of their lines."""
    held = held_against(workshop, elsewhere[:2])

    assert ((), 2) == (held.faults, held.given.number)
    assert held.given.newest
    assert nights[1].checkpoint == held.given.newest.checkpoint


@pytest.mark.usefixtures("book_file")
def test_a_tail_that_was_cut_is_told(workshop: Workshop, nights: list[seals.Seal], elsewhere: list[Path]) -> None:
    """By the checkpoints that knew it; the others hold."""
    last = nights[1].checkpoint.size
    workshop.book.engine.run("drop trigger ledger_no_delete")
    workshop.book.engine.run("delete from ledger where position > ?", (last,))
    held = held_against(workshop, elsewhere)

    assert 2 == held.given.number
    assert [
        f"{elsewhere[at]}: the ledger was sealed on 2031-04-02 up to entry {nights[at].checkpoint.size}"
        f" and ends at {last}: its tail is lost."
        for at in (2, 3)
    ] == list(held.faults)


@pytest.mark.usefixtures("book_file")
def test_a_ledger_that_was_written_anew_is_told(
    workshop: Workshop, nights: list[seals.Seal], elsewhere: list[Path]
) -> None:
    """With every hash behind it computed, so that the chain itself is sound."""
    write_anew(workshop, nights[2].checkpoint.size)
    held = held_against(workshop, elsewhere)

    assert [] == chain_faults(Head("YARD", 0, FIRST_PREVIOUS), workshop.book.documents())[1]
    assert 2 == held.given.number
    assert 2 == len(held.faults)
    says = f"{elsewhere[2]}: entry {nights[2].checkpoint.size}, or one before it, is not what was sealed on 2031-04-02"
    assert f"{says}: the ledger was written anew." == held.faults[0]


@pytest.mark.usefixtures("book_file")
def test_of_many_seals_that_do_not_fit_the_first_and_the_last_are_told(
    workshop: Workshop, nights: list[seals.Seal]
) -> None:
    """They mostly have one cause."""
    write_anew(workshop, nights[0].checkpoint.size - 1)
    faults = held_against(workshop, []).faults

    assert (True, True, "2 more seals do not fit.") == (
        str(nights[0].file) in faults[0],
        str(nights[3].file) in faults[1],
        faults[2],
    )
    assert 3 == len(faults)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("sealed 2031-04-02T08", "sealed 2031-04-01T08", "the signature does not hold; the file was altered"),
        ("— torqueaudit/YARD", "— torqueaudit/YART", "is signed by somebody else, and the ledger does not name"),
        ("\n\n", "\n", "holds no checkpoint: this is no signed note"),
        ("sealed ", "sealed  ", "holds no checkpoint: this is no checkpoint of a ledger"),
    ],
)
def test_a_checkpoint_that_was_altered_is_told(
    workshop: Workshop, elsewhere: list[Path], old: str, new: str, says: str
) -> None:
    """It is not taken for a ledger that was."""
    text = elsewhere[0].read_text(encoding="utf-8")
    assert old in text
    elsewhere[0].write_text(text.replace(old, new), encoding="utf-8")
    (fault,) = held_against(workshop, elsewhere).faults

    assert fault.startswith(str(elsewhere[0]))
    assert says in fault


@pytest.mark.usefixtures("book_file")
def test_a_file_that_is_no_text_is_told(workshop: Workshop) -> None:
    """Such as the book itself, given by mistake."""
    (fault,) = held_against(workshop, [workshop.book.path]).faults

    assert f"{workshop.book.path} holds no checkpoint: it is no text." == fault


def test_a_checkpoint_of_another_site_is_told(workshop: Workshop, elsewhere: list[Path], tmp_path: Path) -> None:
    """Whatever stands in it."""
    (tmp_path / "farm").mkdir()
    book = tmp_path / "farm" / "farm.book"
    new_workshop(book, "FARM", {"zone": "UTC"}, clock=Clock(), chance=Random(4))
    with open_workshop(book, clock=Clock(), chance=Random(5)) as farm:
        kept = seal(farm, key_at_hand(farm, Secrets(tmp_path / "farm-secrets" / "s.json", book)))

    assert (f"{kept.file} is a checkpoint of site FARM; this book is of site YARD.",) == held_against(
        workshop, [*elsewhere, kept.file]
    ).faults


def test_a_key_that_the_ledger_does_not_name_at_that_point_is_told(
    workshop: Workshop, secrets: Secrets, nights: list[seals.Seal], tmp_path: Path
) -> None:
    """One of before the change signs what came later, one of after signs what came before, and a stranger's signs."""
    old = of_base64(secrets.private_of(in_base64(keys_of(workshop)[0].public)) or "", 32)
    change_key(workshop, secrets, "the machine was sold", Say("P-1"))
    later = night(workshop, secrets, 130).checkpoint
    new = key_at_hand(workshop, secrets).private
    early = nights[0].checkpoint
    forged = [tmp_path / f"{number}.txt" for number in range(3)]
    for file, (sealed, key) in zip(forged, ((later, old), (early, new), (early, bytes(32))), strict=True):
        file.write_text(str(signed(sealed.text, sealed.name, key)), encoding="utf-8")
    held = held_against(workshop, forged)
    before, after = (key.key_id for key in keys_of(workshop))

    assert 5 == held.kept.number
    assert 0 == held.given.number
    assert [
        f"{forged[0]} is signed with the key {before}, and the ledger does not name that key at entry {later.size}.",
        f"{forged[1]} is signed with the key {after}, and the ledger does not name that key at entry {early.size}.",
    ] == list(held.faults[:2])
    assert held.faults[2].endswith(f"and the ledger does not name that key at entry {early.size}.")


@pytest.mark.usefixtures("book_file")
def test_a_ledger_and_seals_written_anew_show_against_what_was_kept_elsewhere_alone(
    workshop: Workshop, secrets: Secrets, nights: list[seals.Seal], tmp_path: Path
) -> None:
    """Who has book and key can make both anew; a checkpoint in a mail says so."""
    mail = tmp_path / "mail.txt"
    mail.write_text(str(nights[3].note), encoding="utf-8")
    write_anew(workshop, nights[1].checkpoint.size)
    private = key_at_hand_of(workshop, secrets)
    for each in nights:
        (_, hash_), head = workshop.book.ledger(each.checkpoint.size, each.checkpoint.size)[0], each.checkpoint.head
        forged = Checkpoint(head._replace(hash=hash_), root_at(workshop, head.sequence), each.checkpoint.sealed_at)
        seals.keep(workshop.book.path, signed(forged.text, forged.name, private))
    workshop.book.rebuild()

    assert () == held_against(workshop, []).faults
    (fault,) = held_against(workshop, [mail]).faults
    assert fault.endswith("is not what was sealed on 2031-04-02: the ledger was written anew.")


def key_at_hand_of(workshop: Workshop, secrets: Secrets) -> bytes:
    """The private key that seals the ledger now."""
    return of_base64(secrets.private_of(in_base64(keys_of(workshop)[-1].public)) or "", 32)


def root_at(workshop: Workshop, size: int) -> bytes:
    """The root over the first entries."""
    return root_of(leaf_of(document) for document, _ in islice(workshop.book.documents(), size))


def test_a_seal_that_is_not_the_one_that_was_kept_is_told(workshop: Workshop, nights: list[seals.Seal]) -> None:
    """Also one that holds, under the name of another, or with no more than its last line end lost."""
    nights[3].file.write_bytes(nights[2].file.read_bytes())
    nights[0].file.write_bytes(nights[0].file.read_bytes().rstrip())
    held = held_against(workshop, [nights[3].file])
    says = "is not the seal that was kept there; bring it back from a backup."

    assert (f"{nights[0].file} {says}", f"{nights[3].file} {says}") == held.faults
    assert (2, 1) == (held.kept.number, held.given.number)


def test_an_entry_is_proved_under_the_newest_checkpoint_or_under_the_one_that_is_given(
    workshop: Workshop, nights: list[seals.Seal]
) -> None:
    """Each proof holds against its own."""
    newest, given = prove(workshop, 3, None), prove(workshop, 3, nights[0])

    assert (nights[3].checkpoint.size, nights[0].checkpoint.size) == (newest.size, given.size)
    for proof, against in ((newest, nights[3]), (given, nights[0])):
        proved = check(proof_of(proof_text(proof)), str(against.note))
        assert workshop.book.ledger(3, 3)[0][0]._replace(words={}) == proved.entry
        assert keys_of(workshop)[0].key_id == proved.key_id


def test_words_are_handed_out_only_where_they_are_asked_for(workshop: Workshop, secrets: Secrets) -> None:
    """And those that were erased never are."""
    gone(workshop, "V-3", "scrapped after the flood", Say("P-1"))
    entry = workshop.book.head().sequence
    sealed = night(workshop, secrets, 90)
    without, with_words = prove(workshop, entry, None), prove(workshop, entry, None, with_words=True)

    assert "flood" not in proof_text(without)
    assert {} == check(without, str(sealed.note)).words
    assert {"why": "scrapped after the flood"} == check(with_words, str(sealed.note)).words
    with pytest.raises(Refused, match="entry 3: no words of it stand that could be handed out"):
        prove(workshop, 3, None, with_words=True)
    erase_words(workshop, [entry], "it named a customer", Say("P-1"))
    with pytest.raises(Refused, match=f"entry {entry}: no words of it stand"):
        prove(workshop, entry, None, with_words=True)
    assert check(with_words, str(sealed.note))


def test_a_proof_holds_no_word_and_no_name_of_the_book(workshop: Workshop, secrets: Secrets) -> None:
    """Nothing but what the entry itself holds."""
    gone(workshop, "V-1", "scrapped after the flood", Say("P-1"))
    entry = workshop.book.head().sequence
    night(workshop, secrets, 90)
    content = json.loads(proof_text(prove(workshop, entry, None)))

    assert workshop.book.ledger(entry, entry)[0][0]._replace(words={}) == entry_of(content["document"])
    assert "words" not in content


def test_no_proof_holds_a_plate(workshop: Workshop, secrets: Secrets) -> None:
    """Of the entry that tells it there is a digest, and its salt is not handed out, with or without words."""
    change_vehicle(workshop, "V-1", VehicleChange(personal={"plate": "Y-ARD 909"}), Say("P-1"))
    entry = workshop.book.head().sequence
    sealed = night(workshop, secrets, 90)
    proof = prove(workshop, entry, None)

    assert "plate" in check(proof, str(sealed.note)).entry.personal
    assert "909" not in proof_text(proof)
    with pytest.raises(Refused, match=f"entry {entry}: no words of it stand"):
        prove(workshop, entry, None, with_words=True)


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (0, "entry 0: there is no such entry; the newest one is"),
        (99, "entry 99: there is no such entry; the newest one is"),
        (-1, "entry -1: there is no such entry"),
    ],
)
def test_an_entry_that_there_is_not_is_refused(
    workshop: Workshop, nights: list[seals.Seal], entry: int, says: str
) -> None:
    """With the newest one."""
    assert nights
    with pytest.raises(Refused, match=says):
        prove(workshop, entry, None)


def test_what_is_not_sealed_yet_is_not_proved(workshop: Workshop, nights: list[seals.Seal]) -> None:
    """The next night seals it; nor does an older checkpoint prove what came after it."""
    sealed = nights[3].checkpoint.size
    settle(workshop, {"late_minutes": 130}, Say("P-1"))
    newer = f"entry {sealed + 1} is newer than the checkpoint {nights[3].file.name}; the next night seals it"
    with pytest.raises(Refused, match=newer):
        prove(workshop, sealed + 1, None)
    with pytest.raises(Refused, match=f"entry {sealed} is newer than the checkpoint {nights[0].file.name}"):
        prove(workshop, sealed, nights[0])


def test_a_book_that_was_never_sealed_proves_nothing(workshop: Workshop) -> None:
    """It says what to do."""
    with pytest.raises(Refused, match="this ledger was never sealed; the next night seals it"):
        prove(workshop, 3, None)


@pytest.mark.usefixtures("book_file")
def test_no_proof_is_made_that_would_not_hold(
    workshop: Workshop, nights: list[seals.Seal], elsewhere: list[Path]
) -> None:
    """Of a ledger that was written anew, and under a checkpoint with another signature."""
    stranger = nights[3]._replace(note=signed(nights[3].note.text, "torqueaudit/YARD", bytes(32)))
    with pytest.raises(Refused, match="does not bear the signature of the key that this ledger names there"):
        prove(workshop, 3, stranger)
    write_anew(workshop, nights[2].checkpoint.size)
    with pytest.raises(Refused, match=r"is no checkpoint of this ledger as it stands; verify the ledger against it$"):
        prove(workshop, 3, seals.read(elsewhere[3]))
    assert prove(workshop, 3, seals.read(elsewhere[1]))
