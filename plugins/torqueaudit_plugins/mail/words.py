"""What a reminder says to an owner, sentence by sentence; nothing of the workshop's inside, and nothing to loosen."""

from collections.abc import Iterator
from typing import NamedTuple

from torqueaudit.plugin import NO_BREAK, OwnerView, Reminder, ReminderKind, Safety, day_text, when_back

MANUAL = "The vehicle maker's manual comes first."
SETTLE = "New parts settle on the first rides. At this re-check we look whether all is still tight."
DEMO = "DEMO: an invented workshop. No value here is for any vehicle."
# How what is painted is looked at, and what it means.
LOOKS = (
    "One straight line: nothing has turned.",
    "A broken line: it has turned. Then do not ride. Call us.",
    "Only look. Loosen and tighten nothing.",
)
OVER = "Its day is taken out of your calendar."
OVER_OF_ONE = "The day of one re-check is taken out of your calendar."
_SUBJECTS = {
    ReminderKind.LEFT: "come back {when}",
    ReminderKind.RIDDEN: "how far have you ridden?",
    ReminderKind.DUE: "it is time for the re-check",
    ReminderKind.MISSED: "the re-check is overdue",
    ReminderKind.WEEKLY: "the re-check is still overdue",
}


class Paragraph(NamedTuple):
    """Some sentences under a heading, "" for none; a link goes to `address`, or calls a telephone (RFC 3966)."""

    heading: str
    sentences: tuple[str, ...]
    address: str = ""
    telephone: str = ""


def subject_of(reminder: Reminder) -> str:
    """What the mail is about, in a line."""
    view = reminder.view
    if view.safety is Safety.DO_NOT_RIDE:
        return f"{view.tag}: do not ride, call us"
    says = _over_in_a_line(view) if reminder.kind is ReminderKind.OVER else _SUBJECTS[reminder.kind]
    return f"{view.tag}: {says.format(when=when_back(view).ahead or 'for the re-check')}".replace(NO_BREAK, " ")


def _over_in_a_line(view: OwnerView) -> str:
    """That nobody waits any more: "settled" alone where it was done or later work has taken its place."""
    if view.safety is Safety.COME_BACK:
        return "come back"
    if view.no_day.settled:
        return "one re-check is settled" if view.back else "the re-check is settled"
    return _SUBJECTS[ReminderKind.LEFT] if view.back else f"{view.no_day.headline[0].lower()}{view.no_day.headline[1:]}"


def paragraphs(reminder: Reminder) -> Iterator[Paragraph]:
    """All that a mail says, what is most urgent first."""
    view = reminder.view
    yield from body(reminder)
    if view.telephone:
        yield Paragraph("Call us", (view.workshop,), telephone=view.telephone)
    yield Paragraph("How it stands now", ("Open the page of your motorcycle:",), reminder.address)
    yield Paragraph("", (f"As far as our book knows; others may have worked on it since. {MANUAL}",))
    how = "To stop all reminders:" if reminder.stop else "To stop all reminders answer this mail with the word stop."
    yield Paragraph("", (f"You get this because you agreed to be reminded. {how}",), reminder.stop)


def body(reminder: Reminder) -> Iterator[Paragraph]:
    """What a mail and a card say alike."""
    view = reminder.view
    if view.demo:
        yield Paragraph("", (DEMO,))
    if reminder.kind is ReminderKind.RIDDEN and view.safety is not Safety.DO_NOT_RIDE:
        yield Paragraph(
            "How far have you ridden?", (f"Tell us what the {view.instrument.called} shows:",), reminder.address
        )
    if view.safety is not Safety.RIDE:
        yield Paragraph(f"{view.safety[0].upper()}{view.safety[1:]}", (view.says,))
    if reminder.kind is ReminderKind.OVER:
        yield _over(view)
    if view.safety is not Safety.DO_NOT_RIDE and (view.back or reminder.kind is not ReminderKind.OVER):
        yield from _awaited(view)


def _over(view: OwnerView) -> Paragraph:
    """Why nobody waits, as the label's page has it; while another re-check is waited for nothing else is said of it."""
    if view.back is None:
        return Paragraph(view.no_day.headline, (view.no_day.says, OVER))
    return Paragraph("One re-check is settled" if view.no_day.settled else "", (OVER_OF_ONE,))


def _awaited(view: OwnerView) -> Iterator[Paragraph]:
    left = (f"Your {view.tag} left us on {day_text(view.left_on, view.asked_on)}.",) if view.left_on else ()
    says = when_back(view).says
    yield Paragraph("When to come back", (*left, f"{says[0].upper()}{says[1:]}.", SETTLE))
    if view.marks:
        painted = f"A painted line runs across each of these: {'; '.join(view.marks)}."
        yield Paragraph("Look before you ride", (painted, *LOOKS))
    yield from (Paragraph("Keep to this", (f"{limit}.",)) for limit in view.limits)
