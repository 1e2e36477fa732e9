"""A night sealed: where the ledger stands once everything is judged, signed, and told with the report."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from torqueaudit.book import seals
from torqueaudit.book.secrets import Secrets
from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.judged.sentences import sentence
from torqueaudit.model.shown.night import Line, Night, NightSeal
from torqueaudit.workshop.door.seal import AtHand, Damaged, key_at_hand, keys_of, seal, seals_gone
from torqueaudit.workshop.night.desk import KEEP, VERIFYING
from torqueaudit.workshop.night.in_full import DAYS, subject_of
from torqueaudit.workshop.night.night import with_line
from torqueaudit.workshop.night.sections import NOT_AUDITED, REST

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def sealed(workshop: "Workshop", night: Night, secrets: Path | None) -> Night:
    """The night with its checkpoint, or with a line that says why there is none; it is never lost over that.

    A book that did not verify is not sealed: a checkpoint would say that it stood so. A ledger that does not agree with
    its newest seal is told among what could not be audited; whatever else keeps it from being sealed is told under the
    rest, and among what could not be audited once something lies under no seal for a week.
    """
    if not night.sound:
        return with_line(night, NOT_AUDITED, Line("Not sealed, because the book does not verify."))
    try:
        if gone := seals_gone(workshop.book.path, keys_of(workshop)):
            night = with_line(night, REST, Line(gone))
        at_hand = key_at_hand(workshop, Secrets(secrets, workshop.book.path))
        if at_hand.made:
            night = with_line(night, REST, Line(_key_made(at_hand)))
        done = seal(workshop, at_hand)
        workshop.book.tell_head()
    except Damaged as error:
        return with_line(night, NOT_AUDITED, Line(f"Not sealed: {error}. {KEEP}", see=VERIFYING))
    except Exception as error:  # noqa: BLE001  # whatever keeps it from being sealed, the report comes and says so
        says = str(error) or type(error).__name__
        return _not_sealed(workshop, night, f"The ledger could not be sealed: {sentence(says)}")
    checkpoint = done.checkpoint
    shown = NightSeal(
        note=str(done.note),
        size=checkpoint.size,
        key_id=at_hand.key.key_id,
        sealed_at=datetime.fromisoformat(checkpoint.sealed_at).astimezone(night.asked_at.tzinfo),
    )
    return night._replace(head=str(checkpoint.head), seal=shown)


def _not_sealed(workshop: "Workshop", night: Night, says: str) -> Night:
    """The night with what keeps it from being sealed, and since when, where that is long ago."""
    since = _unsealed_since(workshop)
    if since is None or (workshop.today() - since).days < DAYS:
        return with_line(night, REST, Line(says))
    return with_line(night, NOT_AUDITED, Line(f"{says} What was recorded since {since} lies under no seal."))


def _unsealed_since(workshop: "Workshop") -> date | None:
    """The day of the first entry under no seal; None where all lie under one, or where that cannot be read.

    Of a ledger without any seal it is the day on which a night was first recorded. No signature is checked: where
    signatures do not work the day is asked for as well.
    """
    book = workshop.book
    try:
        kept = (seals.kept(each).checkpoint.head for each in reversed(seals.files_of(book.path)))
        newest = next((head.sequence for head in kept if book.has(head)), None)
        first = book.entry(newest + 1) if newest else next(iter(book.entries(subject_of(book))), None)
        return workshop.local_day(moment_of(first.recorded_at)) if first else None
    except Exception:  # noqa: BLE001  # whatever is wrong with the book is told elsewhere
        return None


def _key_made(at_hand: AtHand) -> str:
    if at_hand.before is None:
        now = f"From this night on the ledger is sealed, with the key {at_hand.key.key_id}."
        return f"{now} Write that down away from the book: it tells your key from any other."
    lost = f"The key that seals the ledger changed: {at_hand.before.key_id} is no longer among the secrets"
    return f"{lost}, and {at_hand.key.key_id} was made in its place. Look who took it away."
