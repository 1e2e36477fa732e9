"""A job as lines of text, for whoever stands at the bench."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from torqueaudit.cli.command import commands_of, typed
from torqueaudit.model.job.record import FastenerState
from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.rule_name import name_among
from torqueaudit.model.judged.sentences import Saying, names_together, together
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.register.token import grouped
from torqueaudit.model.shown.job import SIGNATURE, FastenerView, FindingView, ItemView, JobView
from torqueaudit.model.shown.passes import PassView
from torqueaudit.model.shown.photos import photos_of
from torqueaudit.model.shown.recheck import RecheckView, stands_words
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.model.vehicle.instrument import run_text

WIDTH = 120  # characters of a line that is a sentence
# What a stop says of an item that is merely still to be done, in front of its name.
TO_COME = {
    ActName.STEP: "steps: ",
    ActName.FIT: "fit: ",
    ActName.MEASURE: "measure: ",
    ActName.TIGHTEN: "tighten: ",
    ActName.MARK: "mark: ",
    ActName.CHECK: "second person's look: ",
}
BEGUN = frozenset({ActName.MARK, ActName.CHECK})  # due once it is tight; the others since the job was opened

HEADING = ("fastener", "specified", "applied", "mark", "who")


def lines_of(view: JobView) -> Iterator[str]:
    """What matters first: the state and what forbids release, then the fasteners, then the rest."""
    yield from _heading(view)
    yield from _course(view)
    yield from _findings(view)
    if view.follows:
        yield from _listed(f"carried over from job {view.follows.job}:", view.follows.open)
    if view.fasteners:
        yield ""
        yield from columns([HEADING, *(fastener_row(each) for each in view.fasteners)])
    yield from _logged(view.fasteners)
    yield ""
    yield from _items(view.items)
    yield from _photos(view)
    if view.follows and view.follows.put_right:
        yield ""
        yield from _listed(f"put right here, found on job {view.follows.job}:", view.follows.put_right)
    if view.next:
        yield ""
        yield "next, in order:"
        yield from _next(view)
    yield from (line for panel in view.panels for line in _panel(panel))
    yield ""
    yield from (f"struck: {each}" for each in view.strikes)
    yield from (line for each in view.warnings for line in wrapped(f"warning: {each}"))
    yield f"token: {grouped(view.token)}"
    yield f"head of the ledger: {view.book.head}"


def _logged(fasteners: Sequence[FastenerView]) -> Iterator[str]:
    """What logs say and nobody has confirmed, each with its entry."""
    rows = [(each.name, row) for each in fasteners for row in each.logged]
    if rows:
        yield ""
        yield "read from a log, to be confirmed by whoever tightened it, or struck:"
    for name, row in rows:
        yield f"  {name}: {row.shown} with {row.wrench} on {row.when:%Y-%m-%d %H:%M:%S}  {_entry(row.entry)}"


def _heading(view: JobView) -> Iterator[str]:
    if view.book.demo:
        yield "DEMO: every name and value here is invented."
    procedure = f"{view.procedure.title}, edition {view.procedure.edition}"
    yield f"job {view.number} · {view.vehicle_tag} ({view.vehicle}) · {procedure}"
    yield f"state: {view.state.upper()}" + (f" ({view.withdrawn})" if view.withdrawn else "")
    yield from (f"  ! {f.name}: {f.undone}" for f in view.fasteners if f.undone)


def _listed(title: str, sentences: Sequence[str]) -> Iterator[str]:
    """Sentences below a title; nothing where there is none."""
    if sentences:
        yield title
    yield from (line for sentence in sentences for line in wrapped(f"  {sentence}"))


def columns(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """The rows below each other, each column as wide as its widest word; the last runs on."""
    widths = [max(len(row[index]) for row in rows) for index in range(len(rows[0]) - 1)] if rows else []
    for row in rows:
        fitted = [word.ljust(width) for word, width in zip(row, widths, strict=False)]
        yield "  ".join([*fitted, row[-1]]).rstrip()


def _course(view: JobView) -> Iterator[str]:
    """How the job went: opened, released, handed over, looked at again."""
    opening = view.opening
    follows = f", follows job {view.follows.job}" if view.follows else ""
    follows += f", followed by job {' and '.join(view.followed_by)}" if view.followed_by else ""
    yield f"opened on {opening.on} by {opening.by}{follows}  {_entry(opening.entry)}"
    if view.release:
        yield f"released by {view.release.by}  {_entry(view.release.entry)}"
    if view.unsigned:
        yield from wrapped(f"done since, and signed by nobody: {names_together(view.unsigned)}")
    elif view.release:
        yield SIGNATURE
    if left := view.hand_over:
        read = run_text(left.read, view.instrument)
        yield f"handed over on {left.on}{f' at {read}' if read else ''}  {_entry(left.entry)}"
        if view.presence.here and view.presence.since:
            yield f"here again since {view.presence.since.astimezone(view.book.asked_at.tzinfo):%Y-%m-%d %H:%M}"
    if view.recheck:
        yield from _recheck(view.recheck)


def _recheck(view: RecheckView) -> Iterator[str]:
    """How it stands, and what was agreed of it last, in whose words."""
    yield f"re-check: {stands_words(view)}"
    if view.asked:
        yield from wrapped(f"  {view.asked.told}  {_entry(view.asked.entry)}")
    if agreed := view.arranged:
        whom = f", to {agreed.to_whom}" if agreed.to_whom else ""
        why = f": {agreed.why}" if agreed.why else ""
        yield from wrapped(f"  {agreed.what} on {agreed.on} by {agreed.by}{whom}{why}  {_entry(agreed.entry)}")


def _findings(view: JobView) -> Iterator[str]:
    """Each finding; of a vehicle that is here, the work merely still to come is one sentence."""
    standing = [found.finding for found in view.findings if not found.concession]
    coming = [each for each in standing if not view.on_the_road and _is_to_come(view, each)]
    others = together(finding for finding in standing if finding not in coming)
    rules = [found.finding.rule for found in view.findings]
    yield from (line for each in others if each.weight is Weight.STOP for line in _finding(each, rules))
    if coming:
        named = [f"{TO_COME[act]}{names_together(about)}" for act, about in _by_act(coming).items()]
        yield from wrapped(f"  still to do: {' · '.join(named)}")
    yield from (line for each in others if each.weight is not Weight.STOP for line in _finding(each, rules))
    for found in view.findings:
        yield from _conceded(found, rules)


def _conceded(found: FindingView, rules: Sequence[str]) -> Iterator[str]:
    if found.concession:
        says = typed(found.finding.sentence, found.finding.see)
        yield from wrapped(f"  CONCEDED: {says} [{name_among(found.finding.rule, rules)}]")
        yield from wrapped(f"    {found.concession}")


def _finding(each: Saying, rules: Sequence[str]) -> list[str]:
    return wrapped(f"  {each.weight.value.upper()}: {typed(each.sentence, each.see)} [{name_among(each.rule, rules)}]")


def _is_to_come(view: JobView, finding: Finding) -> bool:
    """Whether a stop says no more than that something of the work was not done yet."""
    answer = finding.answer
    if finding.weight is not Weight.STOP or not finding.due or answer is None or not finding.about.key:
        return False
    return answer.act in TO_COME and (answer.act in BEGUN or finding.entry == view.opening.entry)


def _by_act(findings: Sequence[Finding]) -> dict[ActName, list[Subject]]:
    named: dict[ActName, list[Subject]] = {}
    for finding in findings:
        if finding.answer:
            named.setdefault(finding.answer.act, []).append(finding.about)
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


def _photos(view: JobView) -> Iterator[str]:
    """Each photo once, with all that it shows and what of that was turned since; or by whom it was erased, and when."""
    for each in photos_of(view):
        photo = each.view
        why, ends = f" ({photo.why})" if photo.why else "", f"; {each.since}" if each.since else ""
        told = f"{photo.digest[:8]} of {each.names}{why}, by {photo.by} on {photo.when:%Y-%m-%d %H:%M}"
        yield from wrapped(f"photo {told}{ends}  {_entry(photo.entry)}")


def _next(view: JobView) -> Iterator[str]:
    """The first of what comes next, each with what to type."""
    for number, (each, command) in enumerate(list(zip(view.to_do, commands_of(view), strict=True))[:5], start=1):
        yield from wrapped(f"  {number}. {typed(each.sentence, each.see)}")
        if command:
            yield f"     {command}"


def wrapped(line: str) -> list[str]:
    """A sentence in lines that fit a window; a word or a command is never cut."""
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    return wrap(line, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def fastener_row(each: FastenerView) -> tuple[str, ...]:
    """One line of the table; what a later job undid is history, and never stands where the current value would."""
    specified = each.specification.says
    if each.undone:
        return each.name, specified, "history", "history", f"{each.undone}  {_entry(each.entry)}"
    who = _who(each.done) if each.done else ""
    check = f", checked by {each.check.by} ({each.check.method})" if each.check.by else ""
    return each.name, specified, _applied(each), each.mark.state, f"{who}{check}  {_entry(each.entry)}"


def _applied(each: FastenerView) -> str:
    """What reached it with its ±, corrected where its wrench was found out or put right; else what became of it."""
    done = each.done
    if done and done.applied_nm is not None:
        if done.not_known:
            return f"not known, told as {done.reached}"
        return f"{done.corrected}, told as {done.reached}" if done.corrected else done.reached
    return done.outcome if done and each.state == FastenerState.TIGHTENED else each.state


def _who(done: PassView) -> str:
    with_what = f" with {done.wrench} at {done.shown}" if done.wrench else ""
    return f"{done.by}{with_what} on {done.when:%Y-%m-%d %H:%M}"


def _panel(panel: ExtraSection) -> Iterator[str]:
    yield ""
    yield f"{panel.title}:"
    yield from (f"  {sentence}" for sentence in panel.in_words)
    yield from (f"  {line}" for line in columns([row for row in (panel.columns, *panel.rows) if row]))


def _entry(entry: int | None) -> str:
    return f"#{entry}" if entry else ""
