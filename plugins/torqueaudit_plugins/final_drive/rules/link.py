"""Is the chain closed as it has to be?

rivet link: a clip link, and the source asks for a rivet link. Fit that.
"""

from collections.abc import Iterator

from torqueaudit.plugin import ActName, Around, Finding, Job, Next, Weight, subject_of
from torqueaudit_plugins.final_drive.kinds.parts import (
    ALONG,
    CLIP,
    CLOSED_END,
    MAKE,
    RIVET,
    SEAL,
    TYPE,
    closed_end_in,
    link_type_in,
)
from torqueaudit_plugins.final_drive.rules.drive_set import DrivePart, parts_of
from torqueaudit_plugins.final_drive.table.content import CHAIN, FLARE, LINK, Stated

WAY = "The closed end of its clip has to face the way the chain travels, forward on the upper run"


def review_link(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """The link of the chain's own make and of the kind asked for; its clip the right way, its rivets measured."""
    del around
    parts = parts_of(job, stated)
    link = parts.get(LINK)
    if link is None:
        return
    kind = link_type_in(link.attributes.get(TYPE, "")) or stated.link
    if stated.link and kind != stated.link:
        says = f"a {kind} link, and the source asks for a {stated.link} link. Fit that."
        yield Finding(
            rule="final_drive/link-type",
            weight=Weight.STOP,
            about=subject_of(link.fit),
            words=says,
            entry=link.entry,
            answer=Next(ActName.FIT, link.fit.key),
        )
    if kind == CLIP:
        yield from _clip(link)
    if kind == RIVET:
        yield from _rivets(job, link)
    if chain := parts.get(CHAIN):
        yield from _same(chain, link)


def _clip(link: DrivePart) -> Iterator[Finding]:
    told = link.attributes.get(CLOSED_END, "").casefold()
    way = closed_end_in(told)
    if way == ALONG:
        return
    if not told:
        says = f"nobody wrote down which way its clip faces. {WAY}: look, and record its “{CLOSED_END}”"
    elif not way:
        says = f"{CLOSED_END} “{told}” does not say which way, or on which run. {WAY}: look, and record “{ALONG}”"
    else:
        says = f"{CLOSED_END} “{told}” was written. {WAY}: turn it, and record “{ALONG}”"
    yield Finding(
        rule="final_drive/clip-direction",
        weight=Weight.STOP,
        about=subject_of(link.fit),
        words=f"{says}.",
        entry=link.entry,
        answer=Next(ActName.FIT, link.fit.key),
    )


def _rivets(job: Job, link: DrivePart) -> Iterator[Finding]:
    asked = [item for item in job.procedure.measurements() if item.kind == FLARE]
    if not asked:
        says = (
            "this procedure does not measure its flare. Measure both rivets against the chain maker's "
            "limits; a link that is flared too little comes open."
        )
        yield Finding(
            rule="final_drive/flare-not-asked",
            weight=Weight.CAUTION,
            about=subject_of(link.fit),
            words=says,
            entry=link.entry,
        )
    for item in asked:
        taken = job.record.measured(item.key)
        if taken and taken.noted.order < link.fitted.noted.order:
            says = f"measured before this {link.name} was fitted. Measure both rivets again."
            yield Finding(
                rule="final_drive/flare-before-link",
                weight=Weight.STOP,
                about=subject_of(item),
                words=says,
                entry=link.entry,
                answer=Next(ActName.MEASURE, item.key),
            )


def _same(chain: DrivePart, link: DrivePart) -> Iterator[Finding]:
    for name in (MAKE, SEAL):
        ours, theirs = link.attributes.get(name, ""), chain.attributes.get(name, "")
        if ours and theirs and ours.casefold() != theirs.casefold():
            says = f"{name} {ours}, and the chain has {theirs}. Fit the link that was made for this chain."
            yield Finding(
                rule="final_drive/link-differs",
                weight=Weight.CAUTION,
                about=subject_of(link.fit),
                words=says,
                entry=max(link.entry, chain.entry),
            )
