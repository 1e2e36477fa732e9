"""Looking at `[x.final_drive]` when a procedure is entered; apart from `stated`, which every shown job reads."""

from decimal import Decimal

from torqueaudit.plugin import Fit, Measurement, Step, Table, Work, did_you_mean, digits_meant, length_m
from torqueaudit_plugins.final_drive.calc.length import centre_at, links_within
from torqueaudit_plugins.final_drive.calc.sprockets import (
    LEAST_PITCH_MM,
    LEAST_TEETH,
    MOST_LINKS,
    MOST_PITCH_MM,
    MOST_TEETH,
    PITCHES_MM,
    Drive,
)
from torqueaudit_plugins.final_drive.table.content import LINKS, ROLES, USES, WEAR

NUMBERS_MM = {  # key: from, to
    "pitch_mm": (LEAST_PITCH_MM, MOST_PITCH_MM),
    "adjuster_pitch_mm": (0.2, 6),
    "adjuster_end_mm": (0.1, 500),
    "alignment_base_mm": (10, 2000),
}
LIST_OF_TWO = "has to be the least and the most in mm, like [630, 655]"


def look_at_drive(table: Table, work: tuple[Work, ...]) -> None:
    """Note every mistake in a procedure's `[x.final_drive]`."""
    pitch = _pitch(table)
    for key in ("adjuster_pitch_mm", "adjuster_end_mm", "alignment_base_mm"):
        _number(table, key)
    table.choice("use", USES, "")
    table.choice("link", LINKS, "")
    _look_at_geometry(table, pitch)
    _look_at_wear(table, work, pitch)
    _look_at_looks(table, work)
    _look_at_parts(table.inner("parts"), work)
    _look_at_care(table)
    if not table.written():
        table.wrong("", "says nothing; write what is known of the drive, or leave it out")
    table.finish()


def _pitch(table: Table) -> Decimal | None:
    size, pitch = table.text("chain"), _number(table, "pitch_mm")
    if meant := digits_meant(size):
        table.wrong("chain", f'"{size}" has another sign where a digit belongs; write {meant}')
        return pitch
    if size in PITCHES_MM:
        if pitch is not None and pitch != PITCHES_MM[size]:
            table.wrong("pitch_mm", f"is {pitch}, but a {size} chain has {PITCHES_MM[size]}; leave one of them out")
        return PITCHES_MM[size]
    if size and not table.has("pitch_mm"):
        table.wrong("chain", f'"{size}" is no size known here ({", ".join(PITCHES_MM)}); write pitch_mm as well')
    return pitch


def _number(table: Table, key: str) -> Decimal | None:
    number = table.number(key)
    least, most = NUMBERS_MM[key]
    if number is not None and not least <= number <= most:
        table.wrong(key, f"has to lie between {least:g} and {most:g}")
        return None
    return number


def _look_at_geometry(table: Table, pitch: Decimal | None) -> None:
    """Teeth and links that the source states have to make a drive, and one that the adjusters allow."""
    front, rear = (table.whole(key, LEAST_TEETH, MOST_TEETH) for key in ("front", "rear"))
    links = table.whole("links", 1, MOST_LINKS)
    ends = _ends(table)
    if links and links % 2:
        table.wrong("links", f"is {links}; a chain closes only with an even number of links")
        return
    if not (front and rear and pitch):
        return
    drive = Drive(front, rear, float(pitch))
    try:
        taut = centre_at(drive, links) if links else None
        fitting = links_within(drive, *ends) if ends else None
    except ValueError as error:
        table.wrong("links" if links and not ends else "centre_distance_mm", str(error))
        return
    if taut and ends and not ends[0] <= taut <= ends[1]:
        fits = " or ".join(map(str, fitting or ())) or "no even number"
        says = f"are {links}, which are taut at {taut:.1f} mm, outside of centre_distance_mm; {fits} would fit"
        table.wrong("links", f"{says}. Compare teeth, links and range with the source")


def _ends(table: Table) -> tuple[float, float] | None:
    match table.raw("centre_distance_mm"):
        case None:
            return None
        case [int() | Decimal() as least, int() | Decimal() as most] if 0 < least < most:
            return float(least), float(most)
    table.wrong("centre_distance_mm", LIST_OF_TWO)
    return None


def _look_at_wear(table: Table, work: tuple[Work, ...], pitch: Decimal | None) -> None:
    """A limit printed as a length holds for so many pins."""
    pins = table.whole("wear_pins", 2, MOST_LINKS)
    for item in work:
        if not isinstance(item, Measurement) or item.kind != WEAR:
            continue
        if pitch is None:
            table.wrong("chain", f"is missing; the {item.name} needs the chain's size, or pitch_mm")
        elif item.unit == "mm" and pins is None:
            table.wrong("wear_pins", f"is missing; the limit of the {item.name} is a length over so many pins")
        elif item.unit == "mm" and pins and item.upper is not None and item.upper <= (pins - 1) * pitch:
            new = (pins - 1) * pitch
            table.wrong(
                "wear_pins", f"is {pins}; over so many pins a new chain has {new} mm, {item.upper} is its limit"
            )


def _look_at_looks(table: Table, work: tuple[Work, ...]) -> None:
    looks = {item.key for item in work if isinstance(item, Step) and item.look}
    for name in ("always_look", "complaint"):
        for key in table.keys(name):
            if key not in looks:
                table.wrong(name, f'"{key}" is no look of this procedure; {did_you_mean(key, looks)}')


def _look_at_parts(table: Table, work: tuple[Work, ...]) -> None:
    fits = {item.key for item in work if isinstance(item, Fit)}
    for role in ROLES:
        key = table.text(role)
        if key and fits and key not in fits:
            table.wrong(role, f'"{key}" is no part of this procedure; {did_you_mean(key, fits)}')
    table.finish()


def _look_at_care(table: Table) -> None:
    """Of all advice on one thing exactly one is followed, so that a record can say which."""
    followed: dict[str, list[bool]] = {}
    advice = table.listed("care")
    for each in advice:
        what = each.text("what", required=True)
        for key in ("advice", "source"):
            each.text(key, required=True)
        each.read("every", length_m)
        if not each.text("season") and not each.has("every"):
            each.wrong("", 'says not when; write every = "500 km", season = "…", or both')
        followed.setdefault(what, []).append(each.flag("follows"))
        each.finish()
    for what, flags in followed.items():
        if what and sum(flags) != 1:
            says = "none of its sources is followed" if not any(flags) else "more than one source is followed"
            table.wrong("care", f'"{what}": {says}; write follows = true at exactly one')
