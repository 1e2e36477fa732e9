"""Free words: what an entry holds of them, and that nobody can read or guess them from it."""

from datetime import UTC, datetime
from random import Random

import pytest

from torqueaudit.ledger.entry import Act, Draft, act_digest, act_of, document_of, entry_of, place
from torqueaudit.ledger.words import FreeWords, Kept, salted

WHY = "the washer was forgotten ±1 mm"
SAID = {"position": "axle-nut", "why": FreeWords(WHY)}
NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)


def test_the_digest_is_sha_256_over_salt_and_text() -> None:
    """As `printf '%s' SALTTEXT | sha256sum` of the GNU core utilities gives it, of UTF-8 bytes."""
    kept = Kept("0123456789abcdef0123456789abcdef", WHY)

    assert "e255dc6c4c8a38dc0370b5493a311e395d159643bc7d14409af0aed48d372ec8" == kept.digest


def test_every_text_has_a_salt_of_its_own() -> None:
    """So that two equal remarks do not look alike; 128 bits, always 32 characters."""
    chance = Random(1)
    salts = [salted("all well", chance).salt for _ in range(500)]

    assert 500 == len(set(salts))
    assert {32} == {len(salt) for salt in salts}
    assert set("".join(salts)) == set("0123456789abcdef")


def test_an_entry_holds_the_digest_and_not_the_words() -> None:
    """Beside what was said and judged; an entry without words has no place for them."""
    draft = Draft(subject="job/12", kind="loosened.2", happened_at=NOON, who="P-3", said=SAID)
    (placed,) = place(Act("A", "ab" * 32), [draft], "YARD", "2031-04-02T12:00:01Z")
    sealed = placed._replace(sealed={"why": "cd" * 32})
    text = document_of(sealed)

    assert f'"said":{{"position":"axle-nut"}},"words":{{"why":"{"cd" * 32}"}}}},"previous"' in text
    assert "washer" not in text
    assert '"words"' not in document_of(placed)
    assert (WHY, "") == (sealed.told("why"), sealed.told("remark"))
    assert sealed._replace(words={}) == entry_of(text)


def test_words_that_nobody_asked_for_are_there_and_not_shown() -> None:
    """Whether a wrench is withdrawn hangs on a reason, whatever became of its words."""
    entry = entry_of(text_of({"why": "cd" * 32}))

    assert ("words lost", "") == (entry.told("why"), entry.told("remark"))
    assert "fell off" == entry_of(text_of({}, said={"why": "fell off"})).told("why")


def text_of(sealed: dict[str, str], said: dict[str, str] | None = None) -> str:
    """The text of an entry with these digests."""
    draft = Draft(subject="wrench/W-2", kind="withdrawn.2", happened_at=NOON, who="P-3", said=said or {})
    (placed,) = place(Act("A", "ab" * 32), [draft], "YARD", "2031-04-02T12:00:01Z")
    return document_of(placed._replace(sealed=sealed))


def test_an_acts_digest_does_not_tell_its_words() -> None:
    """It lies in the entry without a salt, so whoever guesses the words has nothing to hold the guess against."""
    digests = {act_digest("loosen", "P-3", "job/12", {**SAID, "why": FreeWords(why)}) for why in (WHY, "seized", "x")}

    assert 1 == len(digests)
    assert act_digest("loosen", "P-3", "job/12", {"position": "axle-nut"}) not in digests
    assert act_digest("loosen", "P-3", "job/12", {"position": "axle-nut", "remark": FreeWords(WHY)}) not in digests


def test_an_act_carries_its_words_beside_its_digest() -> None:
    """By them an act that is sent again is held against what was kept."""
    act = act_of("A", "loosen", "P-3", "job/12", SAID)
    inside = act_digest("loosen", "P-3", "job/12", {"position": "axle-nut", "why": WHY})

    assert {"why": WHY} == act.words
    assert inside == act.older_digest != act.digest
    assert "" == act_of("A", "release", "P-3", "job/12", {}).older_digest


@pytest.mark.parametrize("text", ["half a \ud800", "\udfff"])
def test_words_that_are_no_text_are_refused(text: str) -> None:
    """Half a character has no bytes."""
    with pytest.raises(ValueError, match="holds half a character"):
        salted(text, Random(1))
