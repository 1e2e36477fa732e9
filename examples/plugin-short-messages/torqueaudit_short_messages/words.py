"""A reminder in a few words: what is urgent first, where to read on, how to stop."""

from torqueaudit.plugin import NO_BREAK, OwnerView, Reminder, ReminderKind, Safety, when_back

_SAYS = {
    ReminderKind.LEFT: "please come back for the re-check{by}.",
    ReminderKind.RIDDEN: "please tell us how far you have ridden.",
    ReminderKind.DUE: "it is time for the re-check.",
    ReminderKind.MISSED: "the re-check is overdue. Ride no farther than to us.",
    ReminderKind.WEEKLY: "the re-check is still overdue. Ride no farther than to us.",
}
LOOK = "Before you ride look at the painted lines; where one is broken do not ride, call us. Loosen nothing."


def text_of(reminder: Reminder) -> str:
    """The whole message; it says nothing of the workshop's inside, and gives way to the maker's manual."""
    view = reminder.view
    says = _over(view) if reminder.kind is ReminderKind.OVER else _awaited(view, reminder.kind)
    if view.safety is Safety.DO_NOT_RIDE:
        says = f"do not ride. {view.says}"
    demo = "DEMO. " if view.demo else ""
    told = f"{demo}{view.workshop}, {view.tag}: {says} The maker's manual comes first. {reminder.address}"
    return f"{told} Stop: {reminder.stop or 'call us'}".replace(NO_BREAK, " ")


def _awaited(view: OwnerView, kind: ReminderKind) -> str:
    return f"{_SAYS[kind].format(by=f' {when_back(view).ahead}'.rstrip())} {LOOK}"


def _over(view: OwnerView) -> str:
    """Why nobody waits any more, as the label's page has it, and what is to be done all the same."""
    if view.safety is Safety.COME_BACK:
        return view.says if view.back else f"{view.no_day.says} {view.says}"
    return _awaited(view, ReminderKind.LEFT) if view.back else view.no_day.says
