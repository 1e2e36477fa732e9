"""Does the chain go round, and what do other teeth change?

chain: 108 links around 15 and 43 teeth are taut at 623.0 mm, and the adjusters begin at 645 mm: it is too short.
"""

from collections.abc import Iterator

from torqueaudit.plugin import ActName, Around, Finding, Job, Next, Subject, Weight, subject_of
from torqueaudit_plugins.final_drive.calc.length import centre_at, links_within
from torqueaudit_plugins.final_drive.calc.sprockets import (
    Drive,
    drive_of,
    ratio,
    ratio_change_percent,
    turns_to_meet_again,
)
from torqueaudit_plugins.final_drive.rules.counts import is_absurd
from torqueaudit_plugins.final_drive.rules.drive_set import (
    COUNTED,
    DrivePart,
    Teeth,
    before_of,
    count_of,
    fits_of,
    parts_of,
    pitch_now,
    teeth_before,
    teeth_now,
)
from torqueaudit_plugins.final_drive.table.content import CHAIN, FRONT, REAR, Stated


def review_gearing(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """Once every counted part that the procedure fits is on: length, ratio against the old set, meeting teeth."""
    parts = {role: part for role, part in parts_of(job, stated).items() if role in COUNTED}
    planned = {role for role in fits_of(job, stated) if role in COUNTED}
    counted = {role for role, part in parts.items() if count_of(part.attributes.get(COUNTED[role], "")) is not None}
    if not parts or planned - counted or any(is_absurd(part, role, stated) for role, part in parts.items()):
        return
    now, before = teeth_now(job, around, stated), teeth_before(job, around, stated)
    newest = max(part.entry for part in parts.values())
    if chain := parts.get(CHAIN):
        yield from _length(chain, now, pitch_now(job, stated), stated.centre_mm, newest)
        known = before_of(job, around, stated, CHAIN)
        if known and before.links and now.links != before.links:
            says = f"{now.links} links in place of {before.links}. Lay it beside the old one and count both."
            yield Finding(
                rule="final_drive/links-differ",
                weight=Weight.CAUTION,
                about=subject_of(chain.fit),
                words=says,
                entry=chain.entry,
            )
    sprockets = [parts[role] for role in (FRONT, REAR) if role in parts]
    if sprockets:
        yield from _ratio(max(part.entry for part in sprockets), now, before)
        yield from _meeting(parts, now)


def _length(
    chain: DrivePart, now: Teeth, pitch: float | None, ends: tuple[float, float] | None, newest: int
) -> Iterator[Finding]:
    """Of chain and sprockets together, so it is said with whichever of them was entered last."""
    if now.links is None or now.front is None or now.rear is None or pitch is None or now.links % 2:
        return  # an odd number is said of the chain alone
    try:
        drive = drive_of(now.front, now.rear, pitch)
        taut = centre_at(drive, now.links)
        says = _outside(drive, now.links, taut, ends) if ends else ""
    except ValueError as error:
        says = f"{error}."
    if says:
        yield Finding(
            rule="final_drive/chain-length",
            weight=Weight.STOP,
            about=subject_of(chain.fit),
            words=says,
            entry=newest,
            answer=Next(ActName.FIT, chain.fit.key),
        )


def _outside(drive: Drive, links: int, taut: float, ends: tuple[float, float]) -> str:
    """Why the adjusters cannot take such a chain, "" where they can."""
    least, most = ends
    if least <= taut <= most:
        return ""
    where = f"begin at {least:g} mm: it is too short" if taut < least else f"end at {most:g} mm: it is too long"
    fitting = " or ".join(map(str, links_within(drive, least, most)))
    do = f"Fit {fitting} links" if fitting else "No number of links fits these sprockets; fit others"
    taut_at = f"{links} links around {drive.front} and {drive.rear} teeth are taut at {taut:.1f} mm"
    return f"{taut_at}, and the adjusters {where}. {do}."


def _ratio(newest: int, now: Teeth, before: Teeth) -> Iterator[Finding]:
    if not (now.front and now.rear and before.front and before.rear):
        return
    change = ratio_change_percent(ratio(before.front, before.rear), ratio(now.front, now.rear))
    if not change:
        return
    by = f"{abs(float(change)):.1f} % {'higher' if change > 0 else 'lower'}"
    says = (
        f"{now.rear}/{now.front} teeth in place of {before.rear}/{before.front}, a ratio {by}. A speed "
        f"taken at the gearbox reads {by} than before, one taken at a wheel as before. Have the reading put right, and "
        "ask whether the vehicle's papers allow it."
    )
    yield Finding(
        rule="final_drive/ratio-changed", weight=Weight.CAUTION, about=Subject("sprockets"), words=says, entry=newest
    )


def _meeting(parts: dict[str, DrivePart], now: Teeth) -> Iterator[Finding]:
    """A common divisor of teeth and links lets few pairs wear each other."""
    for role, teeth in ((FRONT, now.front), (REAR, now.rear)):
        part = parts.get(role)
        if part is None or not teeth or not now.links:
            continue
        turns = turns_to_meet_again(teeth, now.links)
        if turns < now.links:
            says = (
                f"with {teeth} teeth and {now.links} links the same tooth meets the same link every "
                f"{turns} turns; without a common divisor it would be {now.links}, and wear more even (common "
                "practice, no source)."
            )
            chain = parts.get(CHAIN)
            newest = max(part.entry, chain.entry if chain else 0)
            yield Finding(
                rule="final_drive/same-tooth", weight=Weight.NOTE, about=subject_of(part.fit), words=says, entry=newest
            )
