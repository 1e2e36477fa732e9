"""The chain, the sprockets and the link that a job fitted, what was written down with them, and what was on before.

What is written down are attributes with agreed names: decision 0030.
"""

import re
from collections.abc import Mapping
from typing import NamedTuple

from torqueaudit.plugin import Around, Fit, Job, PartFitted, VehiclePart
from torqueaudit_plugins.final_drive.calc.sprockets import PITCHES_MM, Drive, drive_of, require_links
from torqueaudit_plugins.final_drive.kinds.parts import LINKS, SIZE, TEETH
from torqueaudit_plugins.final_drive.table.content import CHAIN, FRONT, REAR, Stated

COUNTED = {CHAIN: LINKS, FRONT: TEETH, REAR: TEETH}
SET = (CHAIN, FRONT, REAR)
_COUNT = re.compile(r"(?P<count>[0-9]{1,4})\s*(?:teeth|links)?", re.IGNORECASE)


class DrivePart(NamedTuple):
    """One part of the drive as the job fitted it; `attributes` are what was written down with it."""

    fit: Fit
    fitted: PartFitted
    attributes: Mapping[str, str]

    @property
    def name(self) -> str:
        """In words, as the procedure calls it."""
        return self.fit.name

    @property
    def entry(self) -> int:
        """The entry that says it was fitted."""
        return self.fitted.noted.entry

    @property
    def size(self) -> str:
        """The chain size, the first number of what was written: "520" of "520 X-ring"; "" where none was."""
        found = re.search(r"[0-9]{3}", self.attributes.get(SIZE, ""))
        return found[0] if found else ""


class Teeth(NamedTuple):
    """Teeth front and rear, and links, each None where it is not known."""

    front: int | None
    rear: int | None
    links: int | None


def count_of(words: str) -> int | None:
    """A count as written: "15", "15 teeth"; None where it is none."""
    read = _COUNT.fullmatch(words.strip())
    return int(read["count"]) if read else None


def parts_of(job: Job, stated: Stated) -> dict[str, DrivePart]:
    """The parts that the job fitted, by role, each as it was told last."""
    found = {}
    for role, fit in fits_of(job, stated).items():
        if fitted := job.record.fitted(fit.key):
            found[role] = DrivePart(fit, fitted, dict(fitted.attributes))
    return found


def fits_of(job: Job, stated: Stated) -> dict[str, Fit]:
    """What the procedure fits of the drive, by role."""
    fits = {fit.key: fit for fit in job.procedure.fits()}
    return {role: fits[key] for role, keys in stated.parts.items() for key in keys if key in fits}


def before_of(job: Job, around: Around, stated: Stated, role: str) -> VehiclePart | None:
    """The part of this role that was on the vehicle before this job fitted its own; None where no job recorded one."""
    keys = stated.parts[role]
    own = next((fact for key in keys if (fact := job.record.fitted(key))), None)
    until = own.noted.happened_at if own else job.record.last.happened_at
    others = [
        each for each in around.fitted if each.key in keys and each.job != job.number and each.happened_at <= until
    ]
    return others[-1] if others else None


def teeth_before(job: Job, around: Around, stated: Stated) -> Teeth:
    """What was on before, as an earlier job wrote it down, else as the source states it."""
    known = {}
    for role, name in COUNTED.items():
        part = before_of(job, around, stated, role)
        known[role] = count_of(dict(part.attributes).get(name, "")) if part else None
    return Teeth(known[FRONT] or stated.front, known[REAR] or stated.rear, known[CHAIN] or stated.links)


def teeth_now(job: Job, around: Around, stated: Stated) -> Teeth:
    """What is on now: as this job fitted it, else what was on before."""
    own = {
        role: count_of(part.attributes.get(COUNTED[role], ""))
        for role, part in parts_of(job, stated).items()
        if role in COUNTED
    }
    before = teeth_before(job, around, stated)
    return Teeth(own.get(FRONT) or before.front, own.get(REAR) or before.rear, own.get(CHAIN) or before.links)


def pitch_now(job: Job, stated: Stated) -> float | None:
    """The pitch of the chain that is on, in mm."""
    chain = parts_of(job, stated).get(CHAIN)
    pitch = PITCHES_MM.get(chain.size) if chain else None
    known = pitch or stated.pitch_mm
    return float(known) if known else None


def drive_now(job: Job, around: Around, stated: Stated) -> tuple[Drive, int] | None:
    """The drive that is on and the links of its chain; None where they are not known or make no drive."""
    teeth, pitch = teeth_now(job, around, stated), pitch_now(job, stated)
    if not (teeth.front and teeth.rear and teeth.links and pitch):
        return None
    try:
        require_links(teeth.links)
        return drive_of(teeth.front, teeth.rear, pitch), teeth.links
    except ValueError:
        return None
