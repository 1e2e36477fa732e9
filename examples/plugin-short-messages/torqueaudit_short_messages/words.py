"""A reminder in a few words: what is urgent first, where to read on, how to stop."""

from torqueaudit.plugin import NO_BREAK, Reminder, ReminderKind, Safety, day_text

_SAYS = {
    ReminderKind.LEFT: "please come back for the re-check{by}.",
    ReminderKind.RIDDEN: "please tell us how far you have ridden.",
    ReminderKind.DUE: "it is time for the re-check.",
    ReminderKind.MISSED: "the re-check is overdue. Ride no farther than to us.",
    ReminderKind.WEEKLY: "the re-check is still overdue. Ride no farther than to us.",
    ReminderKind.OVER: "the re-check is settled.",
}
LOOK = "Before you ride look at the painted lines; where one is broken do not ride, call us. Loosen nothing."


def text_of(reminder: Reminder) -> str:
    """The whole message; it says nothing of the workshop's inside, and gives way to the maker's manual."""
    view, back = reminder.view, reminder.view.back
    if view.safety is Safety.DO_NOT_RIDE:
        says = f"do not ride. {view.says}"
    else:
        by = f" by {day_text(back.due_on, view.asked_on)}" if back and back.due_on else ""
        says = _SAYS[reminder.kind].format(by=by)
        says = says if reminder.kind is ReminderKind.OVER else f"{says} {LOOK}"
    demo = "DEMO. " if view.demo else ""
    told = f"{demo}{view.workshop}, {view.tag}: {says} The maker's manual comes first. {reminder.address}"
    return f"{told} Stop: {reminder.stop or 'call us'}".replace(NO_BREAK, " ")
