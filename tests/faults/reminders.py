"""A program that reminds owners is killed at any moment, through a mail server that fails now and then.

    python reminders.py FOLDER REMINDERS KILLS SEED [forget]

One reminder is to be sent for each of so many motorcycles. Round by round a child sends, through a real server that
answers wrongly in each of its ways with 3 % of what it is asked, and is killed; then others send until nothing waits.
With `forget` the server gives every mail an id of its own, which must double some for the reader. Prints the figures
as JSON: how often it was killed, which reminders are lost, and which a reader reads twice.
"""

import email
import json
import runpy
import socket
import subprocess
import sys
import time
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from torqueaudit.book.book import Book
from torqueaudit.model.act import Say
from torqueaudit.model.shown.reminder import Contact, Post
from torqueaudit.plugins import load_plugins
from torqueaudit.read.mail import MailServer
from torqueaudit.reports.smtp import MailsTo
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.recheck.sending import remind
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.contact import agree_contact

YARD = Path(__file__).parents[1] / "reports" / "conftest.py"
BEGAN = datetime(2031, 4, 1, 8, tzinfo=UTC)
MINUTES = 20  # between one program and the next
SHARE = 0.03  # of each kind of fault
GONE = "gone"  # how the address of a mail box begins that there is none of
ONE = 0.06  # seconds that one reminder takes, about
MOST_ROUNDS = 130  # in two days; then another reminder is due


class Failing:
    """A mail server: what it took by address, and what it answers wrongly."""

    def __init__(self, chance: Random, *, forget: bool) -> None:
        self.chance = chance
        self.forget = forget
        self.taken: dict[str, list[str]] = {}
        self.faults: Counter[str] = Counter()

    def fails(self, kind: str) -> bool:
        failed = self.chance.random() < SHARE
        self.faults[kind] += failed
        return failed

    async def handle_EHLO(  # noqa: N802  # as the server calls it
        self, server: SMTP, session: Session, envelope: Envelope, hostname: str, responses: list[str]
    ) -> list[str]:
        del server, envelope
        session.host_name = hostname
        return ["421 busy"] if self.fails("421 at EHLO") else responses

    async def handle_MAIL(  # noqa: N802
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        del server, session, options
        if self.fails("451 at MAIL"):
            return "451 4.3.0 not now"
        envelope.mail_from = address
        return "250 OK"

    async def handle_RCPT(  # noqa: N802
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        del server, session, options
        if address.startswith(GONE):
            self.faults["550 at RCPT"] += 1
            return "550 5.1.1 no such mailbox"
        if self.fails("450 at RCPT"):
            return "450 4.2.0 greylisted"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802
        del session
        if self.fails("452 at DATA"):
            return "452 4.3.1 no room"
        if self.fails("554 at DATA"):
            return "554 5.7.1 not liked"
        if self.fails("lost before the yes") and server.transport is not None:
            server.transport.close()
            return "451 lost"
        message = email.message_from_bytes(envelope.original_content or b"")
        told = self.chance.random() if self.forget else message["Message-ID"]
        self.taken.setdefault(envelope.rcpt_tos[0], []).append(str(told))
        if self.fails("lost behind the yes") and server.transport is not None:
            server.transport.close()
        return "250 OK"


def begun(folder: Path, reminders: int, chance: Random) -> Any:
    """A book in which so many motorcycles left and no owner was told; of some the mail box is gone."""
    yard: Any = runpy.run_path(str(YARD))["new_yard"](folder, BEGAN)
    settle(yard.workshop, {"quiet_from": 0, "quiet_until": 0}, Say("P-1"))
    for number in range(reminders):
        vehicle = yard.vehicle(f"tourer {number}")
        name = GONE if chance.random() < SHARE else "owner"
        agree_contact(yard.workshop, vehicle, Contact(mail=f"{name}{number}@home.example"), Say("P-2"))
        yard.clean(vehicle)
    return yard


def send(path: Path, port: int, minutes: int) -> None:
    """Send what is due so many minutes after the beginning."""

    def clock() -> datetime:
        return BEGAN + timedelta(minutes=minutes)

    server = MailServer("127.0.0.1", port, tls=False, user="")
    with Book.open(path, clock, Random()) as book, MailsTo(server, "") as taking:
        workshop = Workshop(book, load_plugins(), clock, Random())
        print("sends", flush=True)  # noqa: T201
        remind(workshop, Post("yard@yard.example", taking.send))


def killed(path: Path, port: int, minutes: int, after: float) -> bool:
    """Whether a program that sends was killed so many seconds after it began to; it may have come to its end."""
    words = [sys.executable, __file__, "send", str(path), str(port), str(minutes)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        child.stdout.readline()
        time.sleep(after)
        child.kill()
    return child.returncode < 0


def sent_through(yard: Any, kills: int, chance: Random, port: int, longest: float) -> int:
    """Kill programs that send, and let others send until nothing waits; how many were killed."""
    path, number, done = yard.path, 0, 0
    while done < kills and number < MOST_ROUNDS // 2:
        number += 1
        done += killed(path, port, number * MINUTES, chance.random() * longest)
    while yard.workshop.book.outbox.waiting() and number < MOST_ROUNDS:
        number += 1
        words = [sys.executable, __file__, "send", str(path), str(port), str(number * MINUTES)]
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
    return done


def figures(yard: Any, reminders: int, server: Failing) -> dict[str, Any]:
    """What was read, recorded and refused, held against each other."""
    book = yard.workshop.book
    refused = {row.vehicle for row in book.outbox.refused()}
    lost, twice, raw = list[str](), list[str](), 0
    for number in range(1, reminders + 1):
        vehicle, job = f"V-{number}", str(number)
        address = book.personal_of(f"vehicle/{vehicle}")["mail"]
        read = server.taken.get(address, [])
        told = sum(entry.kind == "reminded.1" for entry in book.entries(f"job/{job}"))
        raw += len(read)
        wanted = 0 if address.startswith(GONE) else 1
        if (len(set(read)), told, vehicle in refused) != (wanted, wanted, not wanted):
            (twice if len(set(read)) > 1 or told > 1 else lost).append(f"{vehicle}: {read}, {told} entries")
    return {
        "reminders": reminders,
        "handed_over": raw,
        "refused": len(refused),
        "lost": len(lost),
        "twice": len(twice),
        "first": "; ".join((lost + twice)[:1]),
        "faults": dict(sorted(server.faults.items())),
        "sound": not book.verify(),
    }


def main(folder: Path, reminders: int, kills: int, seed: int, control: str = "") -> dict[str, Any]:
    """The figures of one book."""
    chance = Random(seed)
    server = Failing(Random(seed + 1), forget=control == "forget")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    listening = Controller(server, hostname="127.0.0.1", port=port)
    listening.start()
    try:
        yard = begun(folder, reminders, chance)
        done = sent_through(yard, kills, chance, port, longest=2 * ONE * reminders / kills)
        return figures(yard, reminders, server) | {"kills": done}
    finally:
        listening.stop()


if __name__ == "__main__":
    if sys.argv[1] == "send":
        send(Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
    else:
        where, many, times, start_with, *wanted = sys.argv[1:]
        print(json.dumps(main(Path(where), int(many), int(times), int(start_with), *wanted)))  # noqa: T201
