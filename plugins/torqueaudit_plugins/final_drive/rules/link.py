"""Is the chain closed as it has to be?

rivet link: a clip link, and the source asks for a rivet link. Fit that.
"""

import re
from collections.abc import Iterator

from torqueaudit.plugin import Around, Finding, Job, Weight
from torqueaudit_plugins.final_drive.rules.drive_set import CLOSED_END, MAKE, SEAL, DrivePart, link_type, parts_of
from torqueaudit_plugins.final_drive.table.content import CHAIN, FLARE, LINK, Stated

WAY = "The closed end of its clip has to face the way the chain travels, forward on the upper run"
RIGHT = "way of travel"  # as it is best written down


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
        yield Finding(rule="final_drive/link-type", weight=Weight.STOP, subject=link.name, says=says, entry=link.entry)
    if kind == "clip":
        yield from _clip(link)
    if kind == "rivet":
        yield from _rivets(job, link)
    if chain := parts.get(CHAIN):
        yield from _same(chain, link)


def _clip(link: DrivePart) -> Iterator[Finding]:
    told = link.attributes.get(CLOSED_END, "").casefold()
    right = faces_travel(told)
    if right:
        return
    if not told:
        says = f"nobody wrote down which way its clip faces. {WAY}: look, and record its “{CLOSED_END}”"
    elif right is None:
        says = f"{CLOSED_END} “{told}” does not say which way, or on which run. {WAY}: look, and record “{RIGHT}”"
    else:
        says = f"{CLOSED_END} “{told}” was written. {WAY}: turn it, and record “{RIGHT}”"
    yield Finding(
        rule="final_drive/clip-direction",
        weight=Weight.STOP,
        subject=link.name,
        says=f"{link.name}: {says}.",
        entry=link.entry,
    )


def faces_travel(told: str) -> bool | None:
    """Whether words say that the closed end faces the way the chain travels; None where they do not say it.

    The upper run travels forward and the lower run back, so "back" is right on the lower run; without a run it says
    nothing. "Forward" without a run is taken as on the upper one, where a clip is looked at.
    """
    against = bool(re.search(r"against|opposite|contrary|away|trailing|reverse|\bnot\b", told))
    along = bool(re.search(r"travel|leading|rotation", told))
    lower, upper = bool(re.search(r"lower|bottom", told)), bool(re.search(r"upper|top", told))
    forward, back = bool(re.search(r"forward|front|ahead", told)), bool(re.search(r"back|rear", told))
    said = {not against} if along or against else set()
    if forward != back and (forward or lower or upper):
        said.add(back if lower else forward)
    return said.pop() if len(said) == 1 else None


def _rivets(job: Job, link: DrivePart) -> Iterator[Finding]:
    asked = [item for item in job.procedure.measurements() if item.kind == FLARE]
    if not asked:
        says = (
            f"{link.name}: this procedure does not measure its flare. Measure both rivets against the chain maker's "
            "limits; a link that is flared too little comes open."
        )
        yield Finding(
            rule="final_drive/flare-not-asked", weight=Weight.CAUTION, subject=link.name, says=says, entry=link.entry
        )
    for item in asked:
        taken = job.record.measured(item.key)
        if taken and taken.noted.order < link.fitted.noted.order:
            says = f"{item.name}: measured before this {link.name} was fitted. Measure both rivets again."
            yield Finding(
                rule="final_drive/flare-before-link", weight=Weight.STOP, subject=item.name, says=says, entry=link.entry
            )


def _same(chain: DrivePart, link: DrivePart) -> Iterator[Finding]:
    for name in (MAKE, SEAL):
        ours, theirs = link.attributes.get(name, ""), chain.attributes.get(name, "")
        if ours and theirs and ours.casefold() != theirs.casefold():
            says = f"{link.name}: {name} {ours}, and the chain has {theirs}. Fit the link that was made for this chain."
            yield Finding(
                rule="final_drive/link-differs",
                weight=Weight.CAUTION,
                subject=link.name,
                says=says,
                entry=max(link.entry, chain.entry),
            )
