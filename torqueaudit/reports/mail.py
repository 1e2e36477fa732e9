"""The night in a mail: its verdict, the head and the checkpoint, so that they lie where nobody reaches them.

No job, no vehicle and no person is in it, but in the report of whoever asks for that: decision 0110. No address of a
mail is in the book or in a report.
"""

from collections.abc import Iterator, Sequence
from email.message import EmailMessage
from email.utils import format_datetime

from torqueaudit.book import seals
from torqueaudit.model.shown.night import Night
from torqueaudit.read.mail import MailServer
from torqueaudit.reports.html import VERDICTS
from torqueaudit.reports.smtp import POLICY, MailsTo, NotMailed


def night_mail(night: Night, sender: str, to: str, report: bytes | str | None = None) -> EmailMessage:
    """The mail of a night to one address, with the PDF of its report, or why there is none; None where none is wanted.

    The same night gives the same mail.
    """
    mail = EmailMessage(policy=POLICY)
    demo = " (demo: an invented workshop)" if night.demo else ""
    mail["Subject"] = f"{night.site}, {night.date}{demo}: {VERDICTS[night.exit_code]}"
    mail["From"], mail["To"] = sender, to
    mail["Date"] = format_datetime(night.asked_at)
    site, sequence, hash_ = night.head.split("/")
    form = "" if report is None else ".report"  # or a mail box that takes both would keep the one without it
    mail["Message-ID"] = f"<{site}.{night.date}.{sequence}.{hash_[:16]}{form}@{sender.rpartition('@')[2]}>"
    mail["Auto-Submitted"] = "auto-generated"  # RFC 3834: no answer that somebody is away is wanted
    missing = report if isinstance(report, str) else ""
    mail.set_content("".join(f"{line}\n" for line in _lines(night, missing)))
    if night.seal:
        mail.add_attachment(
            night.seal.note.encode(),
            maintype="text",
            subtype="plain",
            filename=seals.name_of(night.site, night.seal.size),
            params={"charset": "utf-8"},
        )
    if isinstance(report, bytes):
        named = f"nightly-{night.date.isoformat()}.pdf"
        mail.add_attachment(report, maintype="application", subtype="pdf", filename=named)
    return mail


def _lines(night: Night, missing: str) -> Iterator[str]:
    yield f"{night.site}, {night.date}: {VERDICTS[night.exit_code]}"
    if missing:
        yield f"The report is not attached: {missing}."
    yield ""
    yield f"Head of the chain: {night.head}"
    if night.seal is None:
        yield "The ledger was not sealed; the report says why."
        return
    yield f"Checkpoint, sealed with the key {night.seal.key_id} (attached as well):"
    yield ""
    yield from night.seal.note.splitlines()
    yield ""
    yield "Keep this mail: the checkpoint shows later whether the ledger was changed, also to you alone."


def send_mails(mails: Sequence[EmailMessage], server: MailServer, password: str) -> None:
    """Hand each mail to the server. Raises NotMailed where it does not take all of them."""
    refused = []
    with MailsTo(server, password) as taking:
        for mail in mails:
            try:
                taking.send(mail)
            except NotMailed as error:
                if error.code is None:
                    raise
                refused.append(f"code {error.code}")
    if refused:
        raise NotMailed(f"{len(refused)} of {len(mails)} addresses were not taken by the server ({refused[0]})")
