"""Reminders by short message, through a gateway that takes them by HTTP."""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import Contact, Reminder, SentBy

REQUIRES = 1  # the version of torqueaudit.plugin that this was written for


@hookimpl
def send_reminder(reminder: "Reminder", contact: "Contact") -> "SentBy | None":
    """Hand it to the gateway, for whoever agreed to short messages."""
    if not contact.mobile:
        return None
    from torqueaudit.plugin import SentBy
    from torqueaudit_short_messages.gateway import hand_over
    from torqueaudit_short_messages.words import text_of

    hand_over(reminder.id, contact.mobile, text_of(reminder))
    return SentBy("message")
