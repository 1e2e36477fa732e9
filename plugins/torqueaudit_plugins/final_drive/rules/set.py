"""Do chain and sprockets go together?

rear sprocket: size 525, and the chain is 520: they do not run on each other. Fit one size on all.

What has no source but common practice is said so and stops nothing: decision 0032.
"""

from collections.abc import Iterator, Mapping

from torqueaudit.plugin import ActName, Around, Finding, Job, Next, Subject, Weight, subject_of
from torqueaudit_plugins.final_drive.calc.sprockets import PITCHES_MM
from torqueaudit_plugins.final_drive.kinds.parts import MATERIAL
from torqueaudit_plugins.final_drive.rules.counts import review_counts
from torqueaudit_plugins.final_drive.rules.drive_set import SET, DrivePart, fits_of, parts_of
from torqueaudit_plugins.final_drive.table.content import CHAIN, FRONT, REAR, ROLES, Stated

NAMES = {CHAIN: "chain", FRONT: "front sprocket", REAR: "rear sprocket"}


def review_set(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """One set, one size, counts that can be read, and a material for its use."""
    del around
    parts = parts_of(job, stated)
    yield from review_counts(parts, stated)
    yield from _one_set(job, stated, parts)
    yield from _one_size(stated, parts)
    yield from _material(stated, parts)


def _one_set(job: Job, stated: Stated, parts: Mapping[str, DrivePart]) -> Iterator[Finding]:
    own = [part for role, part in parts.items() if role in SET]
    new = [part for part in own if part.fitted.new]
    planned = fits_of(job, stated)
    old = [NAMES[role] for role in SET if (not parts[role].fitted.new if role in parts else role not in planned)]
    about = Subject("chain and sprockets")
    if own and len(old) == len(SET) and all(role in parts for role in SET if role in planned):
        says = (
            "nothing of them is new. Measure the chain's wear and look at the teeth of both sprockets "
            "before they run on together (common practice, no source)."
        )
        yield Finding(
            rule="final_drive/not-one-set",
            weight=Weight.CAUTION,
            about=about,
            words=says,
            entry=max(part.entry for part in own),
        )
    if new and old:
        names = " and ".join(old)
        says = (
            f"the {names} {'is' if len(old) == 1 else 'are'} not new, and the rest of the set is. "
            "Worn parts soon wear new ones: fit all three new (common practice, no source)."
        )
        yield Finding(
            rule="final_drive/not-one-set",
            weight=Weight.CAUTION,
            about=about,
            words=says,
            entry=max(part.entry for part in own),
        )


def _one_size(stated: Stated, parts: Mapping[str, DrivePart]) -> Iterator[Finding]:
    """One sentence for one mistake: a chain of the wrong size is not said again of the sprockets."""
    chain = parts.get(CHAIN)
    sizes = [size for size in ((chain.size if chain else ""), stated.size) if size]
    if chain and chain.size and stated.size and chain.size != stated.size:
        says = f"size {chain.size}, and the source asks for {stated.size}. Fit what the source asks for."
        yield Finding(
            rule="final_drive/size-differs",
            weight=Weight.STOP,
            about=subject_of(chain.fit),
            words=says,
            entry=chain.entry,
            answer=Next(ActName.FIT, chain.fit.key),
        )
    for role in ROLES:
        part = parts.get(role)
        if part and role != CHAIN and sizes and part.size and part.size not in sizes:
            beside = f"the chain is {chain.size}" if chain and chain.size else f"the source asks for {stated.size}"
            says = f"size {part.size}, and {beside}: {_why(part.size, sizes[0])}."
            yield Finding(
                rule="final_drive/size-differs",
                weight=Weight.STOP,
                about=subject_of(part.fit),
                words=f"{says} Fit one size on chain, link and both sprockets.",
                entry=max(part.entry, chain.entry if chain and chain.size else 0),
                answer=Next(ActName.FIT, part.fit.key),
            )


def _why(size: str, other: str) -> str:
    if size in PITCHES_MM and PITCHES_MM[size] == PITCHES_MM.get(other):
        return "the pitch is the same and the width is not"
    return "they do not run on each other"


def _material(stated: Stated, parts: Mapping[str, DrivePart]) -> Iterator[Finding]:
    """Aluminium is light and soft."""
    for role in (FRONT, REAR):
        part = parts.get(role)
        aluminium = part is not None and part.attributes.get(MATERIAL, "").casefold().startswith("alu")
        if part and aluminium and (role == FRONT or stated.use == "road"):
            use = "at the front" if role == FRONT else "on the road"
            says = (
                f"aluminium wears soon {use} (common practice, no source). Fit steel, or look at its "
                "teeth each time the chain is oiled."
            )
            yield Finding(
                rule="final_drive/sprocket-material",
                weight=Weight.CAUTION,
                about=subject_of(part.fit),
                words=says,
                entry=part.entry,
            )
