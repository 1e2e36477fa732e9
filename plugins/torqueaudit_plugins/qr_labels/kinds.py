"""What each kind of label says, and which stocks it fits."""

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from torqueaudit.plugin import (
    HEAD_LINE,
    JOB,
    MAIN_LINE,
    PERSON,
    SPARE_LINE,
    WRENCH,
    LabelContent,
    LabelKind,
    LabelLine,
    MarkState,
    grouped,
    record_address,
)

if TYPE_CHECKING:
    from torqueaudit.plugin import FastenerView, JobView, Settings, WrenchView

_ROOMY = frozenset({"a4-2x7", "a4-3x8", "letter-3x10", "roll-50x30", "roll-57x32", "roll-62x29"})
_OPEN_DAY = "__________"
_OPENS = ("Scan: may I ride?", "When to return?")
_BOX = "\N{BALLOT BOX}"
_TO_PAINT = "to paint"
_NUMBERED = re.compile(r"(.+) ([0-9]+)")


def job_label(job: "JobView", settings: "Settings") -> LabelContent:
    """Say what the label on the motorcycle and on the job card says; its address ends in the job's token.

    The re-check counts from the hand-over: before it there is no date yet, and the label leaves lines to write on,
    unless the procedure asks for no re-check; then it says when the job was opened.
    """
    opened = LabelLine("Opened", job.opening.on.isoformat())
    lines = [_vehicle(job), _recheck(job) if job.recheck_wanted else opened]
    # Two or three lines have room: which label to take off, or to leave, is of more use than an empty line.
    if beside := _beside_others(job):
        lines.append(beside)
        lines.sort(key=lambda line: not line.words)
    return _of_job(job, settings, job.number, tuple(lines))


def _beside_others(job: "JobView") -> LabelLine | None:
    """What a label says of the others of its motorcycle: which one it replaces, or which one stays beside it."""
    if job.procedure.only:
        names = ", ".join(_together([each.name for each in group]) for _, group in _groups(job.fasteners))
        return LabelLine(f"Only; the rest: job {job.follows.job}" if job.follows else "Only", names)
    return LabelLine("Replaces", f"job {job.follows.job}") if job.follows else None


def owners_tag(job: "JobView", settings: "Settings") -> LabelContent:
    """Say in plain words what to come back for: it serves when the server cannot be reached."""
    from torqueaudit.plugin import WAITING, RecheckState, recheck_words, stands_words  # few labels say it

    recheck = job.recheck
    over = recheck is not None and recheck.standing.state not in (*WAITING, RecheckState.IN_HAND)
    if not job.recheck_wanted or over:
        why = f"waits for nobody ({stands_words(recheck)})" if recheck and over else "is not asked for by its procedure"
        raise ValueError(f"job {job.number}: the re-check {why}, so there is nothing to come back for; no owner's tag.")
    due, _, first = recheck_words(recheck).partition(", ") if recheck else ("", "", "")
    lines = (
        LabelLine("Telephone", settings.telephone, rank=MAIN_LINE),
        LabelLine("Come back", f"{due or _to_write_on(job)}."),
        *([LabelLine("", f"{first.capitalize()}.")] if first else []),
        LabelLine("", f"{job.vehicle_tag}, job {job.number}.", f"{job.vehicle}, job {job.number}.", rank=SPARE_LINE),
        LabelLine("We look at", f"{_looks(recheck.looks if recheck else ())}.", rank=SPARE_LINE),
    )
    card = _of_job(job, settings, job.book.site, lines, "card")
    return card._replace(token="", under=_OPENS, remarks=tuple(_before_the_owner_has_it(job)))


def mark_card(job: "JobView", settings: "Settings") -> LabelContent:
    """List the fasteners that carry paint, each with its place in the procedure's order, to be ticked off.

    Paint that is wanted and not there is said: of all of it in the headline, else before each fastener, without a box.
    """
    marked = [
        (place, without, _together(names))
        for place, fasteners in _groups(job.fasteners)
        for without, names in _by_mark(fasteners).items()
    ]
    if not marked:
        raise ValueError(f"job {job.number}: no fastener of it carries paint, so there is no mark card to print.")
    bare = all(without == _TO_PAINT for _, without, _ in marked)
    lines = tuple(
        LabelLine(f"{_BOX} {place}" if bare or not without else f"{without}: {place}", words)
        for place, without, words in marked
    )
    return _of_job(job, settings, f"{_TO_PAINT.capitalize() if bare else 'Marks'}, job {job.number}", lines, "list")


def wrench_label(wrench: "WrenchView", settings: "Settings") -> LabelContent:
    """Say which wrench it is and until when its calibration holds; its address opens the wrench's record."""
    from torqueaudit.plugin import IN_USE, WITHDRAWN  # few labels are a wrench's

    if wrench.state == WITHDRAWN:
        raise ValueError(f"wrench {wrench.number} is withdrawn ({wrench.why}); it gets no label.")
    due = wrench.due_on.isoformat() if wrench.due_on else ""
    return LabelContent(
        title=f"wrench {wrench.number}",
        address=record_address(settings, WRENCH, wrench.number),
        figure=wrench.number,
        token="",
        lines=(LabelLine("Calibration ends", due, rank=MAIN_LINE), LabelLine("Wrench", wrench.tag, wrench.number)),
        demo=settings.demo,
        remarks=() if wrench.state == IN_USE else (f"wrench {wrench.number} is {wrench.state} ({wrench.why}).",),
    )


def persons_tag(number: str, settings: "Settings") -> LabelContent:
    """Say the number of a person, and no name; its address opens the sign-in page with the number on it.

    Whoever finds one has the number, which proves nothing without the PIN.
    """
    return LabelContent(
        title=f"person {number}",
        address=record_address(settings, PERSON, number),
        figure=number,
        token="",
        lines=(LabelLine("To sign in", "scan, then the PIN"),),
        demo=settings.demo,
    )


KINDS = (
    LabelKind(
        "job",
        "for the motorcycle and the job card: opens the job's record",
        of_job=job_label,
        called="the job label",
        at_hand_over=True,
    ),
    LabelKind(
        "owner",
        "what the owner comes back for, by when, and whom to call",
        _ROOMY,
        of_job=owners_tag,
        called="the owner's tag",
        at_hand_over=True,
        telephone=True,
    ),
    LabelKind(
        "marks", "which fasteners carry paint, to be ticked off", _ROOMY, of_job=mark_card, called="the mark card"
    ),
    LabelKind(
        "wrench",
        "a wrench's number and the end of its calibration",
        of_wrench=wrench_label,
        called="the label of the wrench",
    ),
    LabelKind(
        "person",
        "a person's number: opens the sign-in page, where the PIN is typed",
        of_person=persons_tag,
        called="the person's tag",
    ),
)


def _looks(looks: Sequence[str]) -> str:
    """What a re-check looks at, in an owner's words: "10 paint marks, torque of the rear axle nut, chain slack"."""
    marks = [f"the {each}" for each in looks if each.startswith("mark on ")]
    counted = [f"{len(marks)} paint marks"] if len(marks) > 1 else marks
    others = [each for each in looks if not each.startswith("mark on ")]
    return ", ".join(counted + others) or "the paint marks and measurements"


def _before_the_owner_has_it(job: "JobView") -> Iterator[str]:
    """What an owner's tag does not say and whoever hands it over must know."""
    if job.stops:
        many = len(job.told_stops)
        stops = "1 stop stands" if many == 1 else f"{many} stops stand"
        yield f"job {job.number}: {stops}, of which the owner's tag says nothing."
    from torqueaudit.plugin import RecheckState  # few labels are an owner's

    if job.recheck and job.recheck.standing.state is RecheckState.MISSED:
        yield f"job {job.number}: its re-check was missed; a tag reminds nobody of what is past, call the owner."


def _of_job(
    job: "JobView", settings: "Settings", figure: str, lines: tuple[LabelLine, ...], shape: str = "tag"
) -> LabelContent:
    address = record_address(settings, JOB, job.token)
    return LabelContent(
        title=f"job {job.number}",
        address=address,
        figure=figure,
        token=grouped(job.token),
        lines=lines,
        demo=job.book.demo,
        shape=shape,
    )


def _open_far(job: "JobView") -> str:
    """Where what its instrument shows then is written on; "" where it has none."""
    return f"______ {job.instrument.unit}" if job.instrument.unit else ""


def _to_write_on(job: "JobView") -> str:
    open_far = _open_far(job)
    return f"by {_OPEN_DAY}{f' or at {open_far}' if open_far else ''}"


def _recheck(job: "JobView") -> LabelLine:
    """When the re-check is due, or what became of it; lines to write on while the vehicle is here."""
    recheck = job.recheck
    from torqueaudit.plugin import WAITING, RecheckState  # few commands print labels

    if recheck is None or recheck.standing.state is RecheckState.IN_HAND:
        open_far = _open_far(job)
        return LabelLine(f"Re-check by{' or at' if open_far else ''}", "", also=open_far, rank=MAIN_LINE)
    state, agreed = recheck.standing.state, recheck.arranged
    if state is RecheckState.DONE:
        return LabelLine("Re-check done", f"{recheck.done_on}", rank=MAIN_LINE)
    if state is RecheckState.REFUSED and agreed:
        return LabelLine("Re-check refused", f"{agreed.on}", rank=MAIN_LINE)
    if state not in WAITING and state is not RecheckState.REFERRED:
        return LabelLine("Re-check", state.value.partition(" by ")[0])  # a small label has no room for by what
    called = "Re-check elsewhere" if state is RecheckState.REFERRED else "Re-check"
    distance = recheck.due_at
    if recheck.due_on is None and distance:
        return LabelLine(f"{called} at", distance, rank=MAIN_LINE)
    day = recheck.due_on.isoformat() if recheck.due_on else ""
    return LabelLine(f"{called} by{' or at' if distance else ''}", day, also=distance, rank=MAIN_LINE)


def _vehicle(job: "JobView") -> LabelLine:
    return LabelLine("Vehicle", job.vehicle_tag, job.vehicle, rank=HEAD_LINE)


def _by_mark(fasteners: Sequence["FastenerView"]) -> dict[str, list[str]]:
    """The names of those that carry paint or are to carry it, by what is wrong with it, "" for nothing."""
    found: dict[str, list[str]] = {}
    for each in fasteners:
        if each.mark.wanted or (not each.undone and each.mark.state != MarkState.NOT_MARKED):
            found.setdefault(_without(each), []).append(each.name)
    return found


def _without(fastener: "FastenerView") -> str:
    """Why no whole mark is to be expected on a fastener."""
    if fastener.undone:
        return f"see job {fastener.overtaken_by}" if fastener.overtaken_by else "loosened"
    said = {MarkState.NOT_MARKED: _TO_PAINT, MarkState.DISTURBED: "disturbed", MarkState.UNREADABLE: "unreadable"}
    return said.get(MarkState(fastener.mark.state), "")


def _groups(fasteners: Sequence["FastenerView"]) -> Iterator[tuple[int, list["FastenerView"]]]:
    """The positions of each fastener, with its place in the procedure's order, from 1."""
    groups: dict[str, list[FastenerView]] = {}
    for each in fasteners:
        groups.setdefault(_stem(each.name), []).append(each)
    yield from enumerate(groups.values(), 1)


def _together(names: list[str]) -> str:
    """One fastener's positions: "front disc bolt 1–5", "rear axle nut"."""
    if len(names) == 1:
        return names[0]
    numbers = [name.removeprefix(f"{_stem(name)} ") for name in names]
    whole = [str(number) for number in range(1, len(numbers) + 1)] == numbers
    return f"{_stem(names[0])} {f'1–{numbers[-1]}' if whole else ', '.join(numbers)}"


def _stem(name: str) -> str:
    matched = _NUMBERED.fullmatch(name)
    return matched[1] if matched else name
