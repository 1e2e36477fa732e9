"""Who was shown what is known of people and of vehicles' owners: written down before anything of it is shown.

Whoever opens a customer's card, or finds somebody by name, plate or telephone, is written down, by whatever door. The
names of colleagues in the list of people are not: whoever works here knows them. See decision 0117.
"""

from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import TYPE_CHECKING

from torqueaudit.book.disclosures import Disclosure
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.signing.programs import is_program, require_reads_names

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.workshop.door.workshop import Workshop


def require_may_be_shown(workshop: "Workshop", say: "Say") -> None:
    """Refuse whoever is shown nothing of anybody: who does not work here, or no more. Raises Refused.

    Another program is shown it where it was let in to read names.
    """
    if is_program(say.by):
        require_reads_names(workshop, say.by)
        return
    Attempt(workshop, say).permit(ActName.BE_SHOWN)


def disclose(workshop: "Workshop", say: "Say", shown: Mapping[str, Iterable[str]]) -> None:
    """Note that somebody is about to be shown these fields ("plate") of each subject ("vehicle/V-2").

    Raises Refused as `require_may_be_shown`, and BookError where it cannot be noted: nothing is to be shown then.
    """
    require_may_be_shown(workshop, say)
    note(workshop, say, shown)


def note(workshop: "Workshop", say: "Say", shown: Mapping[str, Iterable[str]]) -> None:
    """Note it of somebody who was let on already. Raises BookError where it cannot be noted."""
    now = stamp(workshop.clock())
    told = [
        Disclosure(at=now, by=say.by, door=say.came.door, subject=subject, shown=_named(fields))
        for subject, fields in shown.items()
    ]
    if told:
        workshop.book.disclosures.note(told)


def _named(fields: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({field.replace("_", " ") for field in fields}))


def subject_of(workshop: "Workshop", number: str) -> str:
    """The subject of a vehicle ("V-2") or a person ("P-4"). Raises Refused for any other number."""
    noun = {"V": "vehicle", "P": "person"}.get(number.partition("-")[0])
    subject = f"{noun}/{number}"
    if noun is None or not workshop.book.entries(subject):
        raise Refused(f"{number}: no vehicle and no person has this number", See(Topic.VEHICLES))
    return subject


def disclosures_of(workshop: "Workshop", subject: str, most: int) -> list[Disclosure]:
    """What was disclosed of a subject ("person/P-4"), or of all where that is "", the newest first."""
    return workshop.book.disclosures.newest(subject, most)


def take_old(workshop: "Workshop") -> None:
    """Take away the disclosures that are older than the workshop keeps them."""
    since = workshop.clock() - timedelta(days=workshop.settings.disclosure_days)
    workshop.book.disclosures.take_before(stamp(since))
