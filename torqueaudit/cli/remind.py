"""`torqueaudit remind`: the owners whose re-checks are due."""

from collections.abc import Iterator
from contextlib import ExitStack
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import as_typed, json_option, print_json, workshop_here
from torqueaudit.read.mail import read_mail_address, read_mail_server

if TYPE_CHECKING:
    from torqueaudit.model.shown.reminder import Post
    from torqueaudit.workshop.door.workshop import Workshop
    from torqueaudit.workshop.recheck.sending import Run, Told


@click.command()
@click.option(
    *("--mail-from", "sender"),
    metavar="ADDRESS",
    envvar="TORQUEAUDIT_MAIL_FROM",
    default="",
    help="From whom reminders come (TORQUEAUDIT_MAIL_FROM). Default: the workshop's own mail address.",
)
@click.option(
    *("--mail-server", "server"),
    metavar="URL",
    envvar="TORQUEAUDIT_SMTP",
    default="",
    help="Such as smtp://localhost or smtps://user@mail.example (TORQUEAUDIT_SMTP).",
)
@json_option
def remind(sender: str, server: str, *, as_json: bool) -> None:
    """Send the owners who agreed to it what is due of their re-checks; run it every hour.

    Each reminder goes out once, whenever a run is cut off. What is not taken waits and is tried again. Exit code 0,
    also where some of it waits.
    """
    from torqueaudit.workshop.recheck.sending import remind as send  # slow, and few commands remind anybody

    with workshop_here() as workshop, ExitStack() as until:
        post = _post(workshop, sender, server, until)
        run = send(workshop, post)
    if as_json:
        from torqueaudit.reports.json.reminders import reminders_json

        print_json(reminders_json(run))
        return
    for line in _lines(run, is_post=post is not None):
        click.echo(line)


def _post(workshop: "Workshop", sender: str, server: str, until: ExitStack) -> "Post | None":
    """The mail server that was named; None where none was. Raises a usage error for one that cannot be."""
    sender = sender or workshop.settings.mail_address
    if not (sender and server):
        return None
    from torqueaudit.book.secrets import Secrets, default_place
    from torqueaudit.model.shown.reminder import Post
    from torqueaudit.reports.smtp import MailsTo

    own, taking = as_typed(read_mail_address, sender), as_typed(read_mail_server, server)
    password = Secrets(default_place(), workshop.book.path).password() if taking.user else ""
    return Post(own, until.enter_context(MailsTo(taking, password)).send)


def _lines(run: "Run", *, is_post: bool) -> Iterator[str]:
    """What became of each reminder, and what waits; no address is in it."""
    from torqueaudit.book.outbox import NOT_TAKEN, State

    yield from map(_line, run.told)
    yield from run.unread
    sent = sum(told.state is State.SENT for told in run.told)
    failed = sum(told.state in NOT_TAKEN for told in run.told)
    yield f"{sent} sent, {run.waiting} wait{'s' * (run.waiting == 1)}, {failed} not taken"
    if run.quiet_until is not None:
        yield f"Nobody is reminded before {run.quiet_until}:00."
    if run.waiting and not is_post:
        yield "No mail server is named: give --mail-server and --mail-from."


def _line(told: "Told") -> str:
    from torqueaudit.book.outbox import NOT_TAKEN, State

    where = f"job {told.job}, {told.vehicle}: {_about(told.kind)}"
    if told.state is State.SENT:
        return f"sent by {told.says}: {where}"
    return f"{'not taken' if told.state in NOT_TAKEN else 'waits'}: {where} – {told.says}"


def _about(kind: str) -> str:
    from torqueaudit.model.recheck.reminders import ReminderKind

    return {
        ReminderKind.LEFT: "it left, and when it is to come back",
        ReminderKind.RIDDEN: "how far it was ridden",
        ReminderKind.DUE: "the re-check is due",
        ReminderKind.MISSED: "the re-check was missed",
        ReminderKind.WEEKLY: "the re-check was missed, told again",
        ReminderKind.OVER: "nobody waits for it any more",
    }[ReminderKind(kind)]
