"""Reminders by electronic mail: as plain text, as a page, and as a day for the reader's calendar."""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import Contact, Post, Reminder, SentBy


@hookimpl
def send_reminder(reminder: "Reminder", contact: "Contact", post: "Post | None") -> "SentBy | None":
    """Mail it to whoever agreed to mails."""
    if not contact.mail:
        return None
    from torqueaudit.plugin import NotSent, SentBy
    from torqueaudit_plugins.mail.message import mail_of

    if post is None:
        raise NotSent("no mail server is named", untried=True)
    post.send(mail_of(reminder, post.sender, contact.mail))
    return SentBy("mail")
