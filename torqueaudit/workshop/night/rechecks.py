"""What a night says of re-checks: missed, due, due soon, and what was agreed about those that wait."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

from torqueaudit.book import queries
from torqueaudit.book.lists.records import DAY_ASKED
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.judged.sentences import sentence
from torqueaudit.model.recheck.arranged import POSTPONED, REFERRED
from torqueaudit.model.recheck.state import RecheckState, Standing
from torqueaudit.model.shown.night import Call, Line
from torqueaudit.model.shown.recheck import RecheckView, lateness_words, recheck_words, stands_words
from torqueaudit.workshop.night.desk import HELD_RANK, Desk, Flagged, first_few


def pending(desk: Desk, ahead: int | None = None) -> list[Flagged]:
    """The jobs whose re-check is due by now or soon, by day or by instrument, the most urgent first.

    Soon is so many days ahead, or as the workshop chose.
    """
    last = desk.day + timedelta(days=desk.settings.due_soon_days if ahead is None else ahead)
    by_day = {row.job: row for row in queries.due_between(desk.book, "", last.isoformat())}
    rows = by_day | {row.job: row for row in queries.due_by_instrument(desk.book) if desk.may_be_far(row)}
    found = desk.jobs([row.job for row in rows.values() if not row.withdrawn])
    wanted = [each for each in found if each.view.recheck and (each.row.job in by_day or _is_due(each.standing))]
    return sorted(wanted, key=_urgency)


def _is_due(standing: Standing) -> bool:
    """Whether its instrument says so; nothing but that, or nothing at all, would bring it here."""
    return standing.far or standing.state is RecheckState.DUE


def _urgency(flagged: Flagged) -> tuple[int, int, int, int]:
    """Wheel and brake first, then whatever is latest."""
    standing = flagged.standing
    return HELD_RANK[flagged.row.holds or ""], -(standing.days or 0), -(standing.metres or 0), -(standing.minutes or 0)


def rechecks_missed(waiting: Iterable[Flagged]) -> Iterator[Line]:
    """Re-checks nobody did, past the day or the distance with its grace, and not replaced by a later job."""
    for flagged in waiting:
        recheck = flagged.view.recheck
        if recheck and recheck.standing.state is RecheckState.MISSED:
            yield _to_do(flagged, f"Re-check {lateness_words(recheck)} late.", recheck.standing)


def days_asked(desk: Desk) -> Iterator[Line]:
    """The days on which owners would like to come with the re-check, the first one first, while it is waited for."""
    found = desk.jobs([row.job for row in queries.attention(desk.book, DAY_ASKED)])
    asked = [(each.view.recheck.asked, each) for each in found if each.view.recheck and each.view.recheck.asked]
    for wish, flagged in sorted(asked, key=lambda each: each[0].on):
        past = "" if wish.on >= desk.day else ", and nobody has recorded that it came"
        says = f"{wish.told}{past}. Call them."
        yield flagged.line(f"{says[0].upper()}{says[1:]}", Call.OWNER)


def due(waiting: Iterable[Flagged]) -> Iterator[Line]:
    """Re-checks due today, within their grace, or soon; and those that another workshop should have answered by now."""
    for flagged in waiting:
        standing, recheck = flagged.standing, flagged.view.recheck
        if recheck and standing.state in (RecheckState.DUE, RecheckState.NOT_YET_DUE, RecheckState.POSTPONED):
            yield _to_do(flagged, f"Re-check {_due_words(recheck)}.")
        elif standing.state is RecheckState.REFERRED and standing.reached:
            says, unnamed = (f"{each} No result yet: ask them, and record it." for each in _stands(flagged))
            yield flagged.line(says, Call.ELSEWHERE, standing, unnamed=unnamed)


def arranged(desk: Desk, waiting: Iterable[Flagged], entries: Iterable[Entry]) -> Iterator[Line]:
    """Re-checks that are not waited for yet, as somebody has agreed, and those that were refused on the day."""
    told = {flagged.row.job for flagged in waiting if not _is_elsewhere(flagged)}
    agreed = [row.job for kind in (POSTPONED, REFERRED) for row in queries.rechecks_arranged(desk.book, kind)]
    refused = [int(entry.key) for entry in entries if entry.kind.startswith("recheck_refused.")]
    for flagged in desk.jobs([number for number in (*agreed, *refused) if number not in told]):
        state = flagged.standing.state
        if state in (RecheckState.POSTPONED, RecheckState.REFUSED) or _is_elsewhere(flagged):
            says, unnamed = _stands(flagged)
            yield flagged.line(says, unnamed=unnamed)


def _is_elsewhere(flagged: Flagged) -> bool:
    """Whether another workshop does it, and has time to."""
    return flagged.standing.state is RecheckState.REFERRED and not flagged.standing.reached


def _stands(flagged: Flagged) -> tuple[str, str]:
    """How a re-check stands, by whose word and why: "Re-check postponed, due by 2031-05-02. So said P-1: abroad.".

    And the same without anybody's own words.
    """
    recheck = flagged.view.recheck
    agreed = recheck.arranged if recheck else None
    if recheck is None or agreed is None:
        return "Re-check as planned.", ""
    whom = f", to {agreed.to_whom}" if agreed.to_whom else ""
    unnamed = f"Re-check {stands_words(recheck)}. So said {agreed.by} on {agreed.on}"
    return f"{unnamed}{whom}: {sentence(agreed.why)}", f"{unnamed}."


def _due_words(view: RecheckView) -> str:
    standing, called = view.standing, view.instrument.called
    if view.estimate:
        return f"may be due: {view.estimate} by its own history, an estimate; ask what the {called} shows"
    if standing.far:
        return f"due now: the vehicle has run its {'hours' if standing.metres is None else 'distance'}"
    days = -(standing.days or 0)
    if days < 0:
        return f"was due {_days(-days)} ago, within its grace"
    return f"due in {_days(days)}" if days else "due today"


def _days(days: int) -> str:
    return f"{days} day{'s' * (days > 1)}"


def _to_do(flagged: Flagged, stands: str, late: Standing | None = None) -> Line:
    """How the re-check of a job stands, and what to do about it."""
    recheck = flagged.view.recheck
    if recheck and not recheck.looks:
        right = "call it in, put right what stands against it, then " if flagged.open_stops() else ""
        says = f"{stands} Everything was looked at since it left; {right}conclude the re-check."
        return flagged.line(says, Call.OWNER if right else Call.NOBODY, late)
    look = f"Due {recheck_words(recheck)}; call it in and look: {first_few(recheck.looks)}." if recheck else ""
    return flagged.line(f"{stands} {look or 'Call the vehicle in.'}", Call.OWNER, late)
