"""Are teeth and links what the source states? Each part is held against it as soon as it is entered.

front sprocket: 16 teeth, and the source states 15. Count again; …
"""

from collections.abc import Iterator, Mapping

from torqueaudit.plugin import ActName, Finding, Next, Weight, subject_of
from torqueaudit_plugins.final_drive.calc.sprockets import require_links
from torqueaudit_plugins.final_drive.kinds.parts import LINKS, TEETH, WHY
from torqueaudit_plugins.final_drive.rules.drive_set import COUNTED, DrivePart, count_of
from torqueaudit_plugins.final_drive.table.content import CHAIN, FRONT, REAR, Stated

LEAST_BELIEVED = 9  # teeth or links; fewer were mistyped (common practice, no source)
ONE = {TEETH: "tooth", LINKS: "link"}
MOST_OFF = 0.2  # of what the source states, without a word of why (ours, no source)


def review_counts(parts: Mapping[str, DrivePart], stated: Stated) -> Iterator[Finding]:
    """A caution for what differs from the source, a stop for what can hardly be true or cannot be closed."""
    for role, name in COUNTED.items():
        part = parts.get(role)
        words = part.attributes.get(name, "") if part else ""
        if part is None or not words:
            continue
        count = count_of(words)
        if count is None:
            says = f"“{words}” is no number of {name}, so nothing was worked out. Count, and record it again."
            yield Finding(
                rule="final_drive/count-unreadable",
                weight=Weight.CAUTION,
                about=subject_of(part.fit),
                words=says,
                entry=part.entry,
            )
        elif is_absurd(part, role, stated):
            said = f"{count} {ONE[name] if count == 1 else name}{_beside(role, stated)}"
            says = f"{said} is hardly true. Count, and record it again{_or_why(count)}."
            yield Finding(
                rule="final_drive/count-absurd",
                weight=Weight.STOP,
                about=subject_of(part.fit),
                words=says,
                entry=part.entry,
                answer=Next(ActName.FIT, part.fit.key),
            )
        else:
            yield from _odd(part, role, count)
            yield from _unlike(part, role, count, stated)


def is_absurd(part: DrivePart, role: str, stated: Stated) -> bool:
    """Whether a count can hardly be true: far too few, or far from the source's without a word of why."""
    count = count_of(part.attributes.get(COUNTED.get(role, ""), ""))
    if count is None:
        return False
    asked = _asked(role, stated)
    far = asked is not None and abs(count - asked) > MOST_OFF * asked
    return count < LEAST_BELIEVED or (far and not part.attributes.get(WHY, "").strip())


def _asked(role: str, stated: Stated) -> int | None:
    return {CHAIN: stated.links, FRONT: stated.front, REAR: stated.rear}[role]


def _beside(role: str, stated: Stated) -> str:
    asked = _asked(role, stated)
    return "" if asked is None else f" where the source states {asked}"


def _or_why(count: int) -> str:
    return "" if count < LEAST_BELIEVED else f"; if it is meant, with “{WHY}”"


def _odd(part: DrivePart, role: str, count: int) -> Iterator[Finding]:
    """A chain that no link closes needs no sprockets to be wrong."""
    if role != CHAIN:
        return
    try:
        require_links(count)
    except ValueError as error:
        yield Finding(
            rule="final_drive/chain-length",
            weight=Weight.STOP,
            about=subject_of(part.fit),
            words=f"{error}.",
            entry=part.entry,
            answer=Next(ActName.FIT, part.fit.key),
        )


def _unlike(part: DrivePart, role: str, count: int, stated: Stated) -> Iterator[Finding]:
    asked = _asked(role, stated)
    if asked is None or count == asked:
        return
    why = part.attributes.get(WHY, "").strip()
    do = (
        f"Why was told: {why}"
        if why
        else f"Lay it beside the old one and count both; if it is meant, record it with “{WHY}”"
    )
    says = f"{count} {COUNTED[role]}, and the source states {asked}. {do}."
    yield Finding(
        rule="final_drive/count-not-as-stated",
        weight=Weight.CAUTION,
        about=subject_of(part.fit),
        words=says,
        entry=part.entry,
    )
