"""A proof of one entry: checked by the program and by a second one apart from it, and refused for any change."""

import json
import os
import runpy
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.checkpoint import Checkpoint
from torqueaudit.ledger.entry import FIRST_PREVIOUS, Act, Draft, Entry, document_of, entry_of, hash_of, place
from torqueaudit.ledger.merkle import leaf_of, path_to, root_of
from torqueaudit.ledger.note import new_key, signed
from torqueaudit.ledger.proof import NotProved, Proof, check, proof_of, proof_text
from torqueaudit.ledger.words import Kept

SECOND = runpy.run_path(str(Path(__file__).parents[1] / "reference" / "check_proof.py"))
PRIVATE, OTHERS = bytes(range(32)), bytes(range(1, 33))
WORDS = Kept("0f" * 16, "über „Öl“\n")
LONG = 40  # entries


def documents(length: int) -> list[str]:
    """The documents of a sound ledger; every third one has words."""
    texts: list[str] = []
    previous = FIRST_PREVIOUS
    draft = Draft("job/12", "noted.1", datetime(2031, 4, 2, tzinfo=UTC), "P-3", said={"text": 'ü "quoted" \\ \n'})
    for sequence in range(1, length + 1):
        entry = place(Act(f"A{sequence}", "ab" * 32), [draft], "YARD", "2031-04-02T12:00:00Z")[0]
        sealed = {} if sequence % 3 else {"why": WORDS.digest}
        texts.append(document_of(entry._replace(sequence=sequence, number=sequence, previous=previous, sealed=sealed)))
        previous = hash_of(texts[-1])
    return texts


LEDGER = documents(LONG)
SOUND: dict[str, Any] = json.loads(LEDGER[0])
LEAVES = [leaf_of(text.encode()) for text in LEDGER]


def checkpoint(size: int, private: bytes = PRIVATE, at: str = "2031-04-03T02:15:00Z") -> str:
    """The note that seals the first entries."""
    sealed = Checkpoint(Head("YARD", size, hash_of(LEDGER[size - 1])), root_of(LEAVES[:size]), at)
    return str(signed(sealed.text, sealed.name, private))


def proof(sequence: int, size: int, *, words: bool = False) -> Proof:
    """The proof of an entry under that checkpoint."""
    return Proof(
        document=LEDGER[sequence - 1],
        sequence=sequence,
        size=size,
        path=tuple(path_to(sequence - 1, LEAVES[:size])),
        note=checkpoint(size),
        public=new_key(PRIVATE),
        words={"why": WORDS} if words else {},
    )


def both(told: str, against: str) -> tuple[bool, bool]:
    """Whether the program takes a proof, and whether the second one does."""
    return taken(lambda: check(proof_of(told), against), NotProved), taken(
        lambda: SECOND["check"](told, against), SECOND["NotProved"]
    )


def taken(checking: Callable[[], object], refusal: type[Exception]) -> bool:
    try:
        checking()
    except refusal:
        return False
    return True


def test_every_entry_of_every_small_ledger_is_proved_by_both() -> None:
    """Each size up to 40 and each entry, also where its words are handed out."""
    for size in range(1, LONG + 1):
        for sequence in range(1, size + 1):
            told = proof_text(proof(sequence, size, words=not sequence % 3))
            assert (True, True) == both(told, checkpoint(size)), (sequence, size)


def test_what_is_proved_is_the_entry_as_it_was_sealed() -> None:
    """With the words that were handed out, and whose key it was."""
    proved = check(proof_of(proof_text(proof(12, 29, words=True))), checkpoint(29))

    assert (12, 29, "job/12") == (proved.entry.sequence, proved.checkpoint.size, proved.entry.subject)
    assert {"why": WORDS.text} == proved.words
    assert 'ü "quoted" \\ \n' == proved.entry.said["text"]
    assert proved.entry == json_of_second(12, 29)


def json_of_second(sequence: int, size: int) -> Entry:
    """The entry as the second program gives it."""
    given = SECOND["check"](proof_text(proof(sequence, size)), checkpoint(size))
    return entry_of(json.dumps(given))


@pytest.mark.proof
@pytest.mark.parametrize("part", range(8))
def test_a_proof_with_any_bit_turned_is_refused_by_both(part: int) -> None:
    """Each bit of the file's bytes; here every fifth byte, with `make proof` all of them."""
    told = proof_text(proof(12, 29, words=True))
    data, against = told.encode(), checkpoint(29)
    step = 1 if "TORQUEAUDIT_PROOF" in os.environ else 5
    ends = [at for at in range(1, len(data)) if data[at - 1 : at + 1] == b"\\n"]  # an escaped line end has neighbours
    tried = {*range(part % step, len(data.rstrip()), step), *ends}
    found = [at for at in sorted(tried) if any(both(turned(data, at, part), against))]

    assert [] == found
    assert (True, True) == both(told, against)


@pytest.mark.parametrize("part", range(8))
def test_a_checkpoint_with_any_bit_turned_is_refused_by_both(part: int) -> None:
    """Whoever keeps it has one that is whole, or none."""
    told, data = proof_text(proof(12, 29)), checkpoint(29).encode()
    found = [at for at in range(len(data.rstrip())) if any(both(told, turned(data, at, part)))]

    assert [] == found


def turned(data: bytes, at: int, bit: int) -> str:
    """A text with one bit of its bytes turned."""
    return (data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :]).decode(errors="replace")


CHANGES: dict[str, tuple[Callable[[dict[str, Any]], object], str]] = {
    "another entry": (lambda p: p.update(document=LEDGER[12]), "not the one that was sealed"),
    "another place": (lambda p: p.update(sequence=13), "not the one that was sealed"),
    "no place": (lambda p: p.update(sequence=0), "not the one that was sealed"),
    "beyond the end": (lambda p: p.update(sequence=30), "not the one that was sealed"),
    "another size": (lambda p: p.update(tree_size=28), "not the one that was sealed"),
    "a size in quotes": (lambda p: p.update(tree_size="29"), "not written as proofs are"),
    "a true place": (lambda p: p.update(sequence=True), "not written as proofs are"),
    "a shorter path": (lambda p: p["path"].pop(), "not the one that was sealed"),
    "a longer path": (lambda p: p["path"].append(p["path"][0]), "not the one that was sealed"),
    "no path": (lambda p: p.pop("path"), "not written as proofs are"),
    "a path of none": (lambda p: p.update(path=None), "not written as proofs are"),
    "one more key": (lambda p: p.update(more=1), "not written as proofs are"),
    "another form": (lambda p: p.update(format="proof"), "holds no proof of an entry"),
    "a later version": (lambda p: p.update(version=2), "of a version that this program does not know"),
    "a true version": (lambda p: p.update(version=True), "of a version that this program does not know"),
    "other words": (lambda p: p["words"]["why"].update(text="Öl"), r"the words \(why\) in the proof are not those"),
    "words of another field": (lambda p: p.update(words={"remark": p["words"]["why"]}), r"the words \(remark\)"),
    "words without salt": (lambda p: p["words"]["why"].pop("salt"), "not written as proofs are"),
    "half a character": (lambda p: p["words"]["why"].update(text="\ud800"), "not written as proofs are"),
    "half a document": (lambda p: p.update(document="\ud800"), "not written as proofs are"),
    "a later note": (lambda p: p.update(note=checkpoint(30)), "belongs to another checkpoint"),
    "an older note": (lambda p: p.update(note=checkpoint(28)), "belongs to another checkpoint"),
    "another moment": (
        lambda p: p.update(note=checkpoint(29, at="2031-04-03T02:15:01Z")),
        "belongs to another checkpoint",
    ),
    "a note of another key": (lambda p: p.update(note=checkpoint(29, OTHERS)), "does not bear the signature"),
    "another key": (lambda p: p.update(public_key=p["path"][0]), "does not bear the signature"),
    "no note": (lambda p: p.update(note="x"), "no signed note"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_proof_that_says_something_else_is_refused_by_both_in_a_sentence(change: str) -> None:
    """What does not hold is named."""
    alter, says = CHANGES[change]
    content = json.loads(proof_text(proof(12, 29, words=True)))
    alter(content)
    told = json.dumps(content)

    assert (False, False) == both(told, checkpoint(29))
    with pytest.raises(NotProved, match=says):
        check(proof_of(told), checkpoint(29))


@pytest.mark.parametrize("told", ["", "{", "[]", "null", '"x"', "[" * 100_000, "9" * 5000])
def test_what_is_no_proof_is_refused_by_both(told: str) -> None:
    """Whatever somebody hands over."""
    assert (False, False) == both(told, checkpoint(29))
    with pytest.raises(NotProved, match="the file holds no proof of an entry"):
        proof_of(told)


def test_a_key_that_stands_twice_is_refused_by_both() -> None:
    """Of two readers each might take another one."""
    told = proof_text(proof(12, 29))
    twice = told.replace('"sequence": 12,', '"sequence": 11,\n  "sequence": 12,')

    assert told != twice
    assert (False, False) == both(twice, checkpoint(29))


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text() | st.just(0.5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from([*SOUND, "x"]), inner, max_size=5),
)


@given(st.dictionaries(st.sampled_from([*SOUND, "x"]), JSON), st.sets(st.sampled_from([*SOUND])))
def test_whatever_a_stranger_seals_with_a_key_of_their_own_is_refused_or_is_an_entry(
    other: dict[str, Any], left: set[str]
) -> None:
    """A document of any shape in the place of an entry: no other fault than that it is not proved."""
    document = json.dumps({key: value for key, value in {**SOUND, **other}.items() if key not in left})
    told, note = sealed_alone(document)
    try:
        proved = check(proof_of(told), note)
    except NotProved:
        return
    assert proved.entry.told("why") is not None


@pytest.mark.parametrize(
    ("document", "says"),
    [
        ("[" * 5000, "what was sealed in place 1 is no entry: "),
        ("", "what was sealed in place 1 is no entry: "),
        (LEDGER[0].replace('"said":{', '"said": {'), "is not written as entries are"),
        (LEDGER[0].replace('"who":"P-3"', '"who":3'), "is not written as entries are"),
        (LEDGER[1], "what stands in place 1 is another entry"),
    ],
    ids=["nested", "nothing", "spaces", "a number", "another entry"],
)
def test_what_is_sealed_and_is_no_entry_is_told(document: str, says: str) -> None:
    """Its root and its signature hold."""
    told, note = sealed_alone(document)
    with pytest.raises(NotProved, match=says):
        check(proof_of(told), note)


def sealed_alone(document: str) -> tuple[str, str]:
    """A document as the only one of a ledger that a stranger sealed: the proof and the checkpoint."""
    leaf = leaf_of(document.encode())
    sealed = Checkpoint(Head("YARD", 1, "ab" * 32), leaf, "2031-04-03T02:15:00Z")
    note = str(signed(sealed.text, sealed.name, OTHERS))
    return proof_text(Proof(document, 1, 1, (), note=note, public=new_key(OTHERS))), note


def test_a_checkpoint_made_with_the_key_of_somebody_else_proves_nothing() -> None:
    """Nor does one of another site, though root and place agree."""
    told = proof_text(proof(12, 29))
    other = Checkpoint(Head("FARM", 29, hash_of(LEDGER[28])), root_of(LEAVES[:29]), "2031-04-03T02:15:00Z")
    note = str(signed(other.text, other.name, PRIVATE))

    assert (False, False) == both(told, checkpoint(29, OTHERS))
    assert (False, False) == both(told, note)
    assert (False, False) == both(proof_text(proof(12, 29)._replace(note=note)), note)


@given(st.integers(1, LONG), st.data())
def test_an_entry_is_proved_in_its_own_place_alone(size: int, data: st.DataObject) -> None:
    """Whatever size, entry, and document of the same ledger."""
    sequence, other = data.draw(st.integers(1, size)), data.draw(st.integers(1, LONG))
    told = proof_text(proof(sequence, size)._replace(document=LEDGER[other - 1]))

    assert (other == sequence,) * 2 == both(told, checkpoint(size))
