"""Is the chain closed as it has to be?

rivet link: a clip link, and the source asks for a rivet link. Fit that.
"""

from collections.abc import Iterator

from torqueaudit.model.around import Around
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import Job
from torqueaudit_plugins.final_drive.drive_set import (
    CLOSED_END,
    MAKE,
    SEAL,
    DrivePart,
    link_type,
    parts_of,
)
from torqueaudit_plugins.final_drive.kinds import FLARE
from torqueaudit_plugins.final_drive.stated import CHAIN, LINK, Stated

WAY = "The closed end of its clip has to face the way the chain travels, forward on the upper run"
RIGHT_WAYS = ("way of travel", "forward on the upper run")  # as they are written down


def review_link(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """The link of the chain's own make and of the kind asked for; its clip the right way, its rivets measured."""
    del around
    parts = parts_of(job, stated)
    link = parts.get(LINK)
    if link is None:
        return
    kind = link_type(link) or stated.link
    if stated.link and kind != stated.link:
        says = f"{link.name}: a {kind} link, and the source asks for a {stated.link} link. Fit that."
        yield Finding("link-type", Weight.STOP, link.name, says, link.entry)
    if kind == "clip":
        yield from _clip(link)
    if kind == "rivet":
        yield from _rivets(job, link)
    if chain := parts.get(CHAIN):
        yield from _same(chain, link)


def _clip(link: DrivePart) -> Iterator[Finding]:
    told = link.told.get(CLOSED_END, "").casefold()
    if not told:
        says = f"{link.name}: nobody wrote down which way its clip faces. {WAY}: look, and record its “{CLOSED_END}”."
        yield Finding("clip-direction", Weight.STOP, link.name, says, link.entry)
    elif told not in RIGHT_WAYS:
        says = f"{link.name}: {CLOSED_END} “{told}” was written. {WAY}: turn it, and record “{RIGHT_WAYS[0]}”."
        yield Finding("clip-direction", Weight.STOP, link.name, says, link.entry)


def _rivets(job: Job, link: DrivePart) -> Iterator[Finding]:
    asked = [item for item in job.procedure.measurements() if item.kind == FLARE]
    if not asked:
        says = (
            f"{link.name}: this procedure does not measure its flare. Measure both rivets against the chain maker's "
            "limits; a link that is flared too little comes open."
        )
        yield Finding("flare-not-asked", Weight.CAUTION, link.name, says, link.entry)
    for item in asked:
        taken = job.record.measured(item.key)
        if taken and taken.noted.order < link.fitted.noted.order:
            says = f"{item.name}: measured before this {link.name} was fitted. Measure both rivets again."
            yield Finding("flare-before-link", Weight.STOP, item.name, says, link.entry)
        elif taken and taken.inside is False:
            over = item.upper is not None and taken.value > item.upper
            do = (
                "an over-flared rivet cracks: fit a new link"
                if over
                else "flare on a little at a time, measuring again"
            )
            yield Finding("flare-outside", Weight.NOTE, item.name, f"{item.name}: {do}.", taken.noted.entry)


def _same(chain: DrivePart, link: DrivePart) -> Iterator[Finding]:
    for name in (MAKE, SEAL):
        ours, theirs = link.told.get(name, ""), chain.told.get(name, "")
        if ours and theirs and ours.casefold() != theirs.casefold():
            says = f"{link.name}: {name} {ours}, and the chain has {theirs}. Fit the link that was made for this chain."
            yield Finding("link-differs", Weight.CAUTION, link.name, says, link.entry)
