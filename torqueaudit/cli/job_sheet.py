"""A job as lines of text, for whoever stands at the bench."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.rule_name import name_among
from torqueaudit.model.judged.sentences import Saying, names_together, together
from torqueaudit.model.register.distance import distance_text
from torqueaudit.model.register.token import grouped
from torqueaudit.model.shown.job import FastenerView, ItemView, JobView
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.model.torque.words import applied_text
from torqueaudit.workshop.judged.job_view import recheck_words

WIDTH = 120  # characters of a line that is a sentence
# Stops that say of an item what is still to be done with it, in front of its name.
TO_COME = {
    "workshop_rules/step-not-done": "steps: ",
    "workshop_rules/brake-not-proved": "steps: ",
    "workshop_rules/part-missing": "fit: ",
    "workshop_rules/measurement-missing": "measure: ",
    "workshop_rules/not-tightened": "tighten: ",
    "workshop_rules/not-marked": "mark: ",
    "workshop_rules/not-checked": "second person's look: ",
}
BEGUN = frozenset(
    {"workshop_rules/not-marked", "workshop_rules/not-checked"}
)  # due once it is tight; the others since the job was opened

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
    if carried := [sentence for sentence in view.carried if sentence not in view.put_right]:
        yield f"carried over from job {view.follows}:"
        yield from (line for sentence in carried for line in _wrapped(f"  {sentence}"))
    if view.fasteners:
        yield ""
        yield from columns([HEADING, *(_fastener(each) for each in view.fasteners)])
    yield ""
    yield from _items(view.items)
    if view.put_right:
        yield ""
        yield f"put right here, found on job {view.follows}:"
        yield from (line for sentence in view.put_right for line in _wrapped(f"  {sentence}"))
    if view.next:
        yield ""
        yield "next, in order:"
        yield from _next(view)
    yield from (line for panel in view.panels for line in _panel(panel))
    yield ""
    yield from (f"struck: {each}" for each in view.strikes)
    yield from (line for each in view.warnings for line in _wrapped(f"warning: {each}"))
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
    """Each finding; of a vehicle that is here, the work merely still to come is one sentence."""
    standing = [found.finding for found in view.findings if not found.concession]
    coming = [each for each in standing if not view.handed_over_on and _is_to_come(view, each)]
    others = together(finding for finding in standing if finding not in coming)
    rules = [found.finding.rule for found in view.findings]
    yield from (line for each in others if each.weight is Weight.STOP for line in _finding(each, rules))
    if coming:
        named = [f"{TO_COME[rule]}{names_together(names)}" for rule, names in _by_rule(coming).items()]
        yield from _wrapped(f"  still to do: {' · '.join(named)}")
    yield from (line for each in others if each.weight is not Weight.STOP for line in _finding(each, rules))
    for found in view.findings:
        if found.concession:
            yield from _wrapped(f"  CONCEDED: {found.finding.says} [{name_among(found.finding.rule, rules)}]")
            yield from _wrapped(f"    {found.concession}")


def _finding(each: Saying, rules: Sequence[str]) -> list[str]:
    return _wrapped(f"  {each.weight.value.upper()}: {each.says} [{name_among(each.rule, rules)}]")


def _is_to_come(view: JobView, finding: Finding) -> bool:
    """Whether a stop says no more than that something was not done yet."""
    begun = finding.rule in BEGUN or finding.entry == view.opened_entry
    return finding.weight is Weight.STOP and finding.rule in TO_COME and begun


def _by_rule(findings: Sequence[Finding]) -> dict[str, list[str]]:
    named: dict[str, list[str]] = {}
    for finding in findings:
        rule = "workshop_rules/step-not-done" if finding.rule == "workshop_rules/brake-not-proved" else finding.rule
        named.setdefault(rule, []).append(finding.subject)
    return named


def _items(items: Sequence[ItemView]) -> Iterator[str]:
    """A row for each, with the key that commands take; what was said in many parts goes on below itself."""
    rows = columns([(item.name, item.key, item.limits, "|") for item in items])
    for item, row in zip(items, rows, strict=True):
        begins = row.removesuffix("|")
        first, *parts = f"{item.said or '–'}  {_entry(item.entry)}".split("; ")
        line = f"{begins}{first}"
        for part in parts:
            fits = len(f"{line}; {part}") <= WIDTH
            if not fits:
                yield f"{line};"
            line = f"{line}; {part}" if fits else f"{' ' * len(begins)}{part}"
        yield line.rstrip()


def _next(view: JobView) -> Iterator[str]:
    """The first of what comes next, each with what to type."""
    for number, (says, command) in enumerate(list(zip(view.next, view.next_commands, strict=True))[:5], start=1):
        yield from _wrapped(f"  {number}. {says}")
        if command:
            yield f"     {command}"


def _wrapped(line: str) -> list[str]:
    """A sentence in lines that fit a window; a word or a command is never cut."""
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    return wrap(line, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


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
    yield from (f"  {sentence}" for sentence in panel.in_words)
    yield from (f"  {line}" for line in columns([row for row in (panel.columns, *panel.rows) if row]))


def _entry(entry: int | None) -> str:
    return f"#{entry}" if entry else ""
