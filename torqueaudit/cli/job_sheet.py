"""A job as lines of text, for whoever stands at the bench."""

from collections.abc import Iterator, Sequence

from torqueaudit.model.report import ExtraSection
from torqueaudit.model.together import together
from torqueaudit.model.token import grouped
from torqueaudit.model.words import applied_text, distance_text
from torqueaudit.workshop.showing import recheck_words
from torqueaudit.workshop.views import FastenerView, JobView

HEADING = ("fastener", "specified", "applied", "mark", "who")


def lines_of(view: JobView) -> Iterator[str]:
    """What matters first: the state and what forbids release, then the fasteners, then the rest."""
    if view.demo:
        yield "DEMO: every name and value here is invented."
    yield f"job {view.number} · {view.vehicle_tag} ({view.vehicle}) · {view.title}, edition {view.edition}"
    yield f"state: {view.state.upper()}" + (f" ({view.withdrawn})" if view.withdrawn else "")
    yield from (f"  ! {f.name}: {f.undone}" for f in view.fasteners if f.undone)
    yield from _recheck(view)
    yield from _findings(view)
    if view.carried:
        yield f"carried over from job {view.follows}:"
        yield from (f"  {sentence}" for sentence in view.carried)
    if view.fasteners:
        yield ""
        yield from columns([HEADING, *(_fastener(each) for each in view.fasteners)])
    yield ""
    yield from columns([(i.name, i.said or "–", i.limits, _entry(i.entry)) for i in view.items])
    if view.next:
        yield ""
        yield "next, in order:"
        yield from (f"  {number}. {each}" for number, each in enumerate(view.next[:5], start=1))
    yield from (line for panel in view.panels for line in _panel(panel))
    yield ""
    yield from (f"struck: {each}" for each in view.strikes)
    yield from (f"warning: {each}" for each in view.warnings)
    yield f"token: {grouped(view.token)}"
    yield f"head of the ledger: {view.head}"


def columns(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """The rows below each other, each column as wide as its widest word; the last runs on."""
    widths = [max(len(row[index]) for row in rows) for index in range(len(rows[0]) - 1)] if rows else []
    for row in rows:
        fitted = [word.ljust(width) for word, width in zip(row, widths, strict=False)]
        yield "  ".join([*fitted, row[-1]]).rstrip()


def _recheck(view: JobView) -> Iterator[str]:
    follows = f", follows job {view.follows}" if view.follows else ""
    follows += f", followed by job {' and '.join(view.followed_by)}" if view.followed_by else ""
    yield f"opened on {view.opened_on} by {view.opened_by}{follows}  {_entry(view.opened_entry)}"
    if view.released_by:
        yield f"released by {view.released_by}  {_entry(view.released_entry)}"
        yield "The listed work was done to the listed sources. Nothing else was looked at."
    if view.handed_over_on and view.odometer_m is not None:
        left = f"handed over on {view.handed_over_on} at {distance_text(view.odometer_m)}"
        yield f"{left}  {_entry(view.hand_over_entry)}"
    if view.recheck and view.recheck.done_on:
        yield f"re-check: done on {view.recheck.done_on} by {view.recheck.done_by}"
    elif view.recheck:
        late = f" – {view.recheck.late_days} days late" if view.recheck.late_days else ""
        late += f" – {distance_text(view.recheck.late_m)} late" if view.recheck.late_m else ""
        yield f"re-check: due {recheck_words(view.recheck)}{late}"


def _findings(view: JobView) -> Iterator[str]:
    for each in together(found.finding for found in view.findings if not found.concession):
        yield f"  {each.weight.value.upper()}: {each.says} [{each.rule}]"
    for found in view.findings:
        if found.concession:
            yield f"  CONCEDED: {found.finding.says} [{found.finding.rule}]"
            yield f"    {found.concession}"


def _fastener(each: FastenerView) -> tuple[str, ...]:
    """One line of the table; what a later job undid is history, and never stands where the current value would."""
    if each.undone:
        return each.name, each.specified, "history", "history", f"{each.undone}  {_entry(each.entry)}"
    certain = f"{applied_text(each.applied_nm, each.expanded_nm)}{each.beyond}" if each.applied_nm is not None else ""
    applied = certain or (each.outcome if each.outcome and each.state == "tightened" else each.state)
    who = f"{each.by} with {each.wrench} at {each.shown}" if each.wrench else each.by
    who += f" on {each.when:%Y-%m-%d %H:%M}" if each.when else ""
    check = f", checked by {each.checked_by} ({each.check_method})" if each.checked_by else ""
    return each.name, each.specified, applied, each.mark, f"{who}{check}  {_entry(each.entry)}"


def _panel(panel: ExtraSection) -> Iterator[str]:
    yield ""
    yield f"{panel.title}:"
    yield from (f"  {sentence}" for sentence in panel.told)
    yield from (f"  {line}" for line in columns([row for row in (panel.columns, *panel.rows) if row]))


def _entry(entry: int | None) -> str:
    return f"#{entry}" if entry else ""
