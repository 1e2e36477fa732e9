"""What the owner tells from a page that no server takes forms of: links that open a mail with the words filled in."""

from typing import NamedTuple
from urllib.parse import quote

from torqueaudit.web.owner_page import OwnerPage

LINE = "\r\n"  # RFC 6068, section 5
BLANK = "____"


class Answer(NamedTuple):
    """A link: its words, and the mail that it opens."""

    says: str
    address: str


def answers(page: OwnerPage, label: str, to: str) -> tuple[Answer, ...]:
    """The mails that an owner may want to write; none where the workshop has chosen no address. `label` is its own."""
    view, stopped = page.view, page.weight == "stop"
    if not to:
        return ()
    told = []
    if view.back and view.away and not stopped:
        shown, counts = view.instrument, f"I have ridden: tell the {view.instrument.figures}"
        if shown.unit:
            told.append((counts, "I have ridden", f"The {shown.called} shows: {BLANK} {shown.unit}"))
        told.append(("Ask for a day", "I ask for a day", f"I would like to come on: {BLANK}, in the morning"))
    if view.away and view.places:
        turned = f"A nut or a bolt was turned. Which one: {BLANK}{LINE}What happened: {BLANK}"
        told.append(("Somebody loosened it: do not ride, tell us", "Somebody loosened it", turned))
    return tuple(
        Answer(says, mail_link(to, f"{view.tag}: {subject}", f"{words}{LINE}{LINE}Label: {label}"))
        for says, subject, words in told
    )


def mail_link(to: str, subject: str, words: str) -> str:
    """A link to a mail (RFC 6068)."""
    return f"mailto:{quote(to, safe='@')}?subject={quote(subject, safe='')}&body={quote(words, safe='')}"
