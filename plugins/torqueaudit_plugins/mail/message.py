"""A reminder as a mail: plain text, the same as a page without pictures, and a day for the reader's calendar."""

from collections.abc import Iterator
from email.headerregistry import BaseHeader, HeaderRegistry, UnstructuredHeader
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime, formataddr
from html import escape
from typing import TYPE_CHECKING

from torqueaudit.plugin import NO_BREAK, Event, Reminder, calendar_file, call_of, recheck_event
from torqueaudit_plugins.mail.words import OVER_OF_ONE, Paragraph, paragraphs, subject_of

if TYPE_CHECKING:
    from email.message import Message
    from email.policy import Policy


class _Addresses(UnstructuredHeader, BaseHeader):
    """Addresses of links, each in a line of its own: Python writes a long one otherwise as no program reads it."""

    def fold(self, *, policy: "Policy[Message]") -> str:
        """Write it into the head; a line may have 998 characters (RFC 5322, 2.1.1)."""
        return f"{self.name}: {str(self).replace(', ', f',{policy.linesep} ')}{policy.linesep}"


_HEADERS = HeaderRegistry()
_HEADERS.map_to_type("list-unsubscribe", _Addresses)
_7_BITS = SMTP.clone(cte_type="7bit", header_factory=_HEADERS)  # any server takes them
_VIEWPORT = '<meta name="viewport" content="width=device-width,initial-scale=1">'
_STYLE = "font:16px/1.45 sans-serif;max-width:36em;margin:0 auto;padding:1em;overflow-wrap:anywhere"


def mail_of(reminder: Reminder, sender: str, to: str) -> EmailMessage:
    """The mail to one address; the same reminder has the same Message-ID (RFC 5322), however often it is sent."""
    mail = EmailMessage(policy=_7_BITS)
    mail["Subject"] = f"{subject_of(reminder)}{' (demo)' * reminder.view.demo}"
    mail["From"], mail["To"] = formataddr((reminder.view.workshop, sender)), to
    mail["Date"] = format_datetime(reminder.asked_at)
    mail["Message-ID"] = f"<{reminder.id}@{sender.rpartition('@')[2]}>"
    mail["Auto-Submitted"] = "auto-generated"  # RFC 3834: no answer that somebody is away is wanted
    by_mail = f"<mailto:{sender}?subject=stop>"  # RFC 2369
    if reminder.stop.startswith("https://"):  # RFC 8058: a reader's program may stop it, by a link that is encrypted
        mail["List-Unsubscribe"] = f"{by_mail}, <{reminder.stop}>"
        mail["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    else:
        mail["List-Unsubscribe"] = by_mail
    said = list(paragraphs(reminder))
    mail.set_content("\n".join(_as_text(said)))
    mail.add_alternative(_as_page(subject_of(reminder), said), subtype="html")
    if event := _event(reminder):
        method = "CANCEL" if event.cancelled else "PUBLISH"
        text = calendar_file(event, method, sender)
        mail.add_alternative(text, maintype="text", subtype="calendar", params={"method": method, "charset": "utf-8"})
    return mail


def _event(reminder: Reminder) -> Event | None:
    """The day in the reader's calendar, told anew or taken away; None where none was ever told."""
    day = reminder.calendar
    if day.cancelled:
        if day.day is None:
            return None
        view = reminder.view
        return Event(
            uid=day.uid,
            sequence=day.sequence,
            day=day.day,
            title=f"Re-check of the {view.tag} at {view.workshop}",
            says=view.no_day.says if view.back is None else OVER_OF_ONE,
            asked_at=reminder.asked_at,
            cancelled=True,
        )
    return recheck_event(reminder.view, reminder.address, reminder.asked_at)


def _as_text(said: list[Paragraph]) -> Iterator[str]:
    for each in said:
        yield from filter(None, (each.heading.upper(), *each.sentences, each.address, each.telephone))
        yield ""


def _as_page(title: str, said: list[Paragraph]) -> str:
    """The same as a page: no script, no picture, nothing that a reader's program has to load."""
    body = "".join(_block(each) for each in said)
    head = f'<meta charset="utf-8">{_VIEWPORT}<title>{escape(title)}</title>'
    return f'<!doctype html>\n<html lang="en"><head>{head}</head>\n<body style="{_STYLE}">\n{body}</body></html>\n'


def _block(each: Paragraph) -> str:
    heading = f'<h2 style="font-size:1.1em;margin:1em 0 .2em">{escape(each.heading)}</h2>\n' if each.heading else ""
    says = "<br>\n".join(escape(sentence) for sentence in each.sentences)
    call = call_of(each.telephone)
    leads, shown = (each.address, each.address) if each.address else (f"tel:{call}", f"Call {each.telephone}")
    link = f'<br>\n<a href="{escape(leads)}">{escape(shown)}</a>' if each.address or call else ""
    return f'{heading}<p style="margin:.2em 0">{says.replace(NO_BREAK, "&nbsp;")}{link}</p>\n'
