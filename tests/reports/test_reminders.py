"""Reminders as owners get them, through a real mail server on this machine, whatever dies on the way."""

import email
import json
import socket
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage, Message
from typing import Any

import pytest
import vobject
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session
from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.model.act import BY_MAIL, Refused, Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.job.road import Half
from torqueaudit.model.shown.night import Call
from torqueaudit.model.shown.reminder import Contact, Post
from torqueaudit.plugins import load_plugins
from torqueaudit.read.mail import MailServer
from torqueaudit.reports.smtp import MailsTo
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.jobs.undo import last_act, undo
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.asking import ask_day
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.recheck.sending import Run, remind
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.contact import NEW_OWNER, STOPPED, TOLD_SO, agree_contact, end_contact, stop_token_of
from torqueaudit.workshop.vehicles.visits import arrive

FROM, OWNER = "yard@yard.example", "owner@home.example"
FIRST = datetime(2031, 4, 1, 10, tzinfo=UTC)


class Mailbox:
    """A mail server and what it took, one answer for each step of the next mails: "" where it takes them."""

    def __init__(self) -> None:
        self.taken: list[EmailMessage] = []
        self.raw: list[bytes] = []
        self.rcpt: list[str] = []
        self.data: list[str] = []

    async def handle_RCPT(  # noqa: N802  # as the server calls it
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        del server, session, options
        if self.rcpt and (says := self.rcpt.pop(0)):
            return says
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802
        del server, session
        if self.data and (says := self.data.pop(0)):
            return says
        assert envelope.original_content is not None
        message: Message = email.message_from_bytes(envelope.original_content, policy=email.policy.default)
        assert isinstance(message, EmailMessage)
        self.taken.append(message)
        self.raw.append(bytes(envelope.original_content))
        return "250 OK"

    @property
    def subjects(self) -> list[str]:
        return [str(each["Subject"]) for each in self.taken]

    @property
    def read(self) -> list[str]:
        """What a reader finds, whose program drops a mail with an id that it has."""
        return list(dict.fromkeys(str(each["Message-ID"]) for each in self.taken))


@pytest.fixture
def mailbox() -> Iterator[tuple[Mailbox, Post]]:
    """A server on a free port of this machine, and the way to it."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    box = Mailbox()
    server = Controller(box, hostname="127.0.0.1", port=port)
    server.start()
    with MailsTo(MailServer("127.0.0.1", port, tls=False, user=""), "") as taking:
        yield box, Post(FROM, taking.send)
    server.stop()


Box = tuple[Mailbox, Post]


def with_owner(yard: Any, tag: str = "red tourer", address: str = OWNER) -> str:
    """A motorcycle that left, and whose owner agreed to mails; the number of its job."""
    vehicle = yard.vehicle(tag)
    agree_contact(yard.workshop, vehicle, Contact(mail=address), Say("P-2"))
    return str(yard.clean(vehicle))


def on_day(yard: Any, post: Post | None, day: int, hour: int = 0) -> Run:
    """What is sent so many days after the first one."""
    yard.clock.now = FIRST + timedelta(days=day, hours=hour)
    return remind(yard.workshop, post)


def calendar_of(mail: EmailMessage) -> Any:
    """The day in a mail, as another implementation reads it, with the method of its head."""
    part = next(each for each in mail.walk() if each.get_content_type() == "text/calendar")
    read = vobject.readOne(part.get_content())
    assert part.get_param("method") == read.method.value
    return read


def test_the_owner_reads_each_reminder_once(yard: Any, mailbox: Box) -> None:
    """When it leaves, two days later, when due, when missed, then weekly up to the workshop's limit."""
    box, post = mailbox
    settle(yard.workshop, {"weekly_reminders": 2}, Say("P-1"))
    with_owner(yard)
    sent = {day: [told.kind for told in run.told] for day in range(70) if (run := on_day(yard, post, day)).told}

    assert {0: ["left"], 2: ["ridden"], 14: ["due"], 22: ["missed"], 29: ["weekly"], 36: ["weekly"]} == sent
    assert [
        "red tourer: come back by Tuesday 15 April",
        "red tourer: how far have you ridden?",
        "red tourer: it is time for the re-check",
        "red tourer: the re-check is overdue",
        "red tourer: the re-check is still overdue",
        "red tourer: the re-check is still overdue",
    ] == box.subjects
    assert 6 == len(box.read)


def test_what_a_mail_says(yard: Any, mailbox: Box) -> None:
    """When to come back, what to look at, never to loosen anything; nothing of the inside; as text and as a page."""
    box, post = mailbox
    settle(yard.workshop, {"telephone": "+43 1 2345678"}, Say("P-1"))
    job = with_owner(yard)
    on_day(yard, post, 0)
    mail = box.taken[0]
    texts = [part.get_content() for part in mail.walk() if part.get_content_maintype() == "text"]
    token = yard.workshop.record(job).token

    assert ["text/plain", "text/html", "text/calendar"] == [part.get_content_type() for part in mail.iter_parts()]
    for text in texts[:2]:
        said = text.replace("&nbsp;", " ").replace("\N{NO-BREAK SPACE}", " ").replace("&#x27;", "'")
        for sentence in (
            "Your red tourer left us on Tuesday 1 April.",
            "Come back by Tuesday 15 April or at 1 100 km, whichever comes first.",
            "A broken line: it has turned. Then do not ride. Call us.",
            "Only look. Loosen and tighten nothing.",
            "The vehicle maker's manual comes first.",
            "+43 1 2345678",
            f"http://yard.local:8080/r/{token}",
            "http://yard.local:8080/stop/",
        ):
            assert sentence in said
        for inside in ("N·m", "P-1", "P-2", "W-1", "V-1", "job", "torque"):
            assert inside not in said
        assert "torque" not in said
        assert "<script" not in said
        assert "<img" not in said
    assert max(mail.as_bytes()) < 128


@pytest.mark.parametrize(
    ("chosen", "link", "one_click"),
    [
        ({"base_address": "https://labels.example"}, "<https://labels.example/stop/", "List-Unsubscribe=One-Click"),
        ({"base_address": "http://yard.local"}, f"<mailto:{FROM}?subject=stop>", None),
        ({"base_address": "https://labels.example", "labels_published": True}, f"<mailto:{FROM}?subject=stop>", None),
    ],
    ids=["https", "http", "published"],
)
def test_a_readers_program_is_told_how_it_is_stopped(
    yard: Any, mailbox: Box, chosen: dict[str, Any], link: str, one_click: str | None
) -> None:
    """RFC 8058 by https alone, and never where labels open files that take nothing; RFC 2369 by mail."""
    box, post = mailbox
    settle(yard.workshop, chosen, Say("P-1"))
    with_owner(yard)
    on_day(yard, post, 0)
    mail = box.taken[0]
    text = mail.get_body(("plain",))
    assert text is not None

    assert link in mail["List-Unsubscribe"]
    assert one_click == mail["List-Unsubscribe-Post"]
    assert ("/stop/" in text.get_content()) == ("labels_published" not in chosen)


@pytest.mark.parametrize("letters", [1, 30, 63])
def test_a_long_address_to_stop_stays_one_address(yard: Any, mailbox: Box, letters: int) -> None:
    """In the head as it goes to the server, whatever the length of a name (RFC 1035: at most 63 letters a label)."""
    box, post = mailbox
    base = f"https://{'a' * letters}.{'b' * letters}.example"
    settle(yard.workshop, {"base_address": base}, Say("P-1"))
    with_owner(yard)
    on_day(yard, post, 0)
    (head,) = (each for each in box.raw if b"List-Unsubscribe:" in each)

    assert f"<{base}/stop/".encode() in head
    assert b"=?utf-8?" not in head.partition(b"List-Unsubscribe:")[2].partition(b"List-Unsubscribe-Post")[0]
    assert max(map(len, head.splitlines())) <= 998


def test_nothing_that_is_recorded_or_printed_holds_the_address(yard: Any, mailbox: Box) -> None:
    """It lies beside the ledger alone."""
    _, post = mailbox
    job = with_owner(yard)
    run = on_day(yard, post, 0)
    told = yard.workshop.book.entries(f"job/{job}")[-1]
    entries = "".join(text for text, _ in yard.workshop.book.engine.texts("YARD", 1, 999))
    outbox = yard.workshop.book.rows("select * from outbox")

    assert ("reminded.1", "night", "mail") == (told.kind, told.who, told.said["way"])
    assert OWNER not in f"{run}{entries}{outbox}"
    assert [] == yard.workshop.book.verify()


def test_the_readers_calendar_is_told_anew_and_cleared_when_it_is_done(yard: Any, mailbox: Box) -> None:
    """RFC 5545 and 5546: one UID, a SEQUENCE that rises, and CANCEL in the end."""
    box, post = mailbox
    job = with_owner(yard)
    for day in range(16):
        on_day(yard, post, day)
    yard.see_at_the_bench(job)
    recheck(yard.workshop, job, 1_080_000, "", Say("P-2"))
    on_day(yard, post, 16)
    days = [calendar_of(each) for each in box.taken]
    events = [each.vevent for each in days]

    assert ["PUBLISH", "PUBLISH", "PUBLISH", "CANCEL"] == [each.method.value for each in days]
    assert ["CONFIRMED", "CONFIRMED", "CONFIRMED", "CANCELLED"] == [each.status.value for each in events]
    assert 1 == len({each.uid.value for each in events})
    sequences = [int(each.sequence.value) for each in events]
    assert sequences == sorted(set(sequences))
    assert {"2031-04-15"} == {each.dtstart.value.isoformat() for each in events}
    assert {f"mailto:{FROM}"} == {each.organizer.value for each in events}
    assert () == on_day(yard, post, 40).told


def test_a_program_that_dies_behind_the_servers_yes_doubles_nothing_for_the_reader(yard: Any, mailbox: Box) -> None:
    """Nobody knows then whether it was taken: it comes again with the same Message-ID, and is recorded once."""
    box, post = mailbox
    job = with_owner(yard)

    def die(mail: EmailMessage) -> None:
        post.send(mail)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        on_day(yard, Post(FROM, die), 0)
    waits = on_day(yard, post, 0)
    again = on_day(yard, post, 0, hour=1)

    assert ((), 1) == (waits.told, waits.waiting)  # while the dead program's lease holds
    assert ["left"] == [told.kind for told in again.told]
    assert (2, 1) == (len(box.taken), len(box.read))
    assert 1 == sum(each.kind == "reminded.1" for each in yard.workshop.book.entries(f"job/{job}"))


def test_a_program_that_dies_behind_its_entry_sends_nothing_again(yard: Any, mailbox: Box) -> None:
    """The ledger knows that it was sent, whatever the outbox says."""
    box, post = mailbox
    with_owner(yard)
    on_day(yard, post, 0)
    yard.workshop.book.engine.run("update outbox set state = 'handing over', leased_until = '', leased_by = 'x'", ())
    again = on_day(yard, post, 0, hour=1)

    assert ((), 0, 1) == (again.told, again.waiting, len(box.taken))


def test_two_programs_at_once_send_each_reminder_once(yard: Any, mailbox: Box) -> None:
    """The second begins while the first hands over."""
    box, post = mailbox
    for number in range(3):
        with_owner(yard, f"tourer {number}", f"owner{number}@home.example")
    others: list[Run] = []

    def meanwhile(mail: EmailMessage) -> None:
        if not others:
            second = Workshop(yard.workshop.book, load_plugins(), yard.clock, yard.chance)
            others.append(remind(second, post))
        post.send(mail)

    run = on_day(yard, Post(FROM, meanwhile), 0)

    assert (1, 2) == (len(run.told), len(others[0].told))
    assert (3, 3) == (len(box.taken), len(box.read))


def test_a_clock_that_was_set_back_keeps_nobody_waiting(yard: Any, mailbox: Box) -> None:
    """A lease, and a pause, that begin in days to come are over."""
    box, post = mailbox
    box.data = ["451 not now"]
    with_owner(yard)
    yard.clock.now = FIRST + timedelta(days=10)
    assert ["waiting"] == [told.state for told in remind(yard.workshop, post).told]
    on_day(yard, post, 1)

    assert 1 == len(box.taken)


def test_who_is_forgotten_or_ends_it_while_it_waits_gets_nothing(yard: Any, mailbox: Box) -> None:
    """The address is looked at when it is sent, and at no other time."""
    box, post = mailbox
    ends: list[Callable[[str], None]] = [
        lambda vehicle: forget(yard.workshop, f"vehicle/{vehicle}"),
        lambda vehicle: end_contact(yard.workshop, vehicle, TOLD_SO, Say("P-2")),
        lambda vehicle: end_contact(yard.workshop, vehicle, NEW_OWNER, Say("P-2")),
        lambda vehicle: arrive(yard.workshop, vehicle, 1_010_000, Say("P-2")),
    ]
    for number in range(len(ends)):
        with_owner(yard, f"tourer {number}", f"owner{number}@home.example")
    quiet = on_day(yard, post, 0, hour=10)
    for number, end in enumerate(ends, start=1):
        end(f"V-{number}")
    run = on_day(yard, post, 1)

    assert ((), 4, 8) == (quiet.told, quiet.waiting, quiet.quiet_until)
    assert ((), 0, []) == (run.told, run.waiting, box.taken)


def test_a_job_that_is_withdrawn_while_it_waits_reminds_nobody(yard: Any, mailbox: Box) -> None:
    """It was opened by mistake."""
    box, post = mailbox
    job = with_owner(yard)
    on_day(yard, post, 0, hour=10)
    opening = yard.workshop.book.entries(f"job/{job}")[0].sequence
    strike(yard.workshop, job, opening, "the wrong motorcycle", Say("P-1"))
    run = on_day(yard, post, 1)

    assert ((), 0, []) == (run.told, run.waiting, box.taken)


def test_it_is_quiet_at_night_by_the_workshops_clock(yard: Any, mailbox: Box) -> None:
    """Vienna is two hours ahead: from 18:00 to 06:00 UTC nobody is reminded, and then it is."""
    box, post = mailbox
    with_owner(yard)
    quiet = {hour: on_day(yard, post, 0, hour=hour).quiet_until for hour in (7, 8, 19)}
    assert {7: None, 8: 8, 19: 8} == quiet
    assert 1 == len(box.taken)
    settle(yard.workshop, {"quiet_from": 0, "quiet_until": 0}, Say("P-1"))
    assert on_day(yard, post, 2, hour=13).quiet_until is None


def test_an_address_that_takes_nothing_is_tried_no_more_until_another_is_told(yard: Any, mailbox: Box) -> None:
    """The server says that there is no such mail box."""
    box, post = mailbox
    box.rcpt = ["550 5.1.1 no such mailbox"]
    with_owner(yard)
    first = on_day(yard, post, 0)
    later = [on_day(yard, post, day) for day in (1, 3, 15)]
    agree_contact(yard.workshop, "V-1", Contact(mail="new@home.example"), Say("P-2"))
    again = on_day(yard, post, 16)

    assert [("refused", "the server does not take the address (code 550)")] == [(t.state, t.says) for t in first.told]
    assert [()] * 3 == [run.told for run in later]
    assert (["due"], "new@home.example") == ([told.kind for told in again.told], box.taken[0]["To"])


def rest_of_the_night(yard: Any) -> list[str]:
    night = night_of(yard.workshop, yard.workshop.today())
    (rest,) = (section for section in night.sections if section.key == "rest")
    return [f"{line.vehicle}, {line.tag}: {line.in_words}" for line in rest.lines if "reminder" in line.says]


def test_the_night_tells_the_foreman_whom_no_reminder_reaches(yard: Any, mailbox: Box) -> None:
    """Until another address is told, or the owner wants none; without the address, and without a code of its own."""
    box, post = mailbox
    box.rcpt = ["550 5.1.1 no such mailbox"]
    with_owner(yard)
    with_owner(yard, "blue tourer", "blue@home.example")
    on_day(yard, post, 0)
    first = rest_of_the_night(yard)
    agree_contact(yard.workshop, "V-1", Contact(mail="new@home.example"), Say("P-2"))
    second = rest_of_the_night(yard)
    end_contact(yard.workshop, "V-2", STOPPED, Say("owner", came=BY_MAIL))

    third = rest_of_the_night(yard)
    why = "the server does not take the address (code 550)"

    assert [
        f"V-1, red tourer: Its owner is not reached by reminders any more, for {why}; ask the owner for another address"
    ] == first
    assert [] == second
    assert ["V-2, blue tourer: Its owner has stopped the reminders. Call when a re-check is due."] == third
    night = night_of(yard.workshop, yard.workshop.today())
    assert [Call.NOBODY] == [line.call for each in night.sections for line in each.lines if "stopped" in line.says]
    assert 0 == night.exit_code


@pytest.mark.parametrize("code", ["5.1.1", "5.1.2", "5.1.3", "5.1.4", "5.1.6", "5.1.10", "5.2.1"])
def test_a_mail_box_that_is_not_there_is_tried_no_more(yard: Any, mailbox: Box, code: str) -> None:
    """RFC 3463, 3.2 and 3.3, and RFC 7505 (5.1.10), from memory: codes of the address to which it goes."""
    box, post = mailbox
    box.rcpt = [f"550 {code} no"]
    with_owner(yard)

    assert ["refused"] == [told.state for told in on_day(yard, post, 0).told]


NOT_OF_THE_ADDRESS = [
    *("451 4.7.1 try again later", "550 5.7.1 we know you not", "554 no"),
    # RFC 3463, 3.2, from memory: of the sender's address (5.1.7, 5.1.8), or of any; a bare code may mean policy.
    *("553 5.1.7 sender", "550 5.1.8 sender's domain", "550 5.1.0 some address", "550 no", "551 no", "553 no"),
    *("550 5.2.2 full", "550 5.1.12 what is that", "550 5.2.10 what is that"),
]


@pytest.mark.parametrize("says", NOT_OF_THE_ADDRESS)
def test_what_is_not_the_addresss_fault_is_tried_again(yard: Any, mailbox: Box, says: str) -> None:
    """After pauses that grow."""
    box, post = mailbox
    box.rcpt = [says] * 3
    with_owner(yard)
    tried = []
    for minute in range(0, 120, 5):
        yard.clock.now = FIRST + timedelta(minutes=minute)
        tried += [minute] if remind(yard.workshop, post).told else []

    assert [0, 10, 30, 70] == tried
    assert 1 == len(box.taken)


def test_a_server_that_takes_nothing_is_not_asked_for_everybody(yard: Any) -> None:
    """Five in a row, then the rest waits as it is."""
    for number in range(7):
        with_owner(yard, f"tourer {number}", f"owner{number}@home.example")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        nobody = MailServer("127.0.0.1", free.getsockname()[1], tls=False, user="")
    with MailsTo(nobody, "") as taking:
        run = on_day(yard, Post(FROM, taking.send), 0)

    assert (5, 7) == (len(run.told), run.waiting)
    assert {"the server does not answer (Connection refused)"} == {told.says for told in run.told}


def test_nobody_is_asked_for_a_distance_that_was_told(yard: Any, mailbox: Box) -> None:
    """A ride was reported."""
    _, post = mailbox
    job = with_owner(yard)
    on_day(yard, post, 0)
    report_ride(yard.workshop, job, 1_040_000, "", Say("owner"))

    assert () == on_day(yard, post, 3).told


def test_a_motorcycle_with_three_jobs_is_reminded_of_once(yard: Any, mailbox: Box) -> None:
    """Whatever was done in one visit."""
    box, post = mailbox
    with_owner(yard)
    for holds in ("brake", "sprocket"):
        yard.clean("V-1", holds)
    for day in range(20):
        on_day(yard, post, day)

    assert ["left", "ridden", "due"] == [
        entry.said["kind"]
        for job in "123"
        for entry in yard.workshop.book.entries(f"job/{job}")
        if entry.kind == "reminded.1"
    ]
    assert 3 == len(box.taken)


def test_nobody_is_told_that_all_is_well_where_a_stop_stands(yard: Any, mailbox: Box) -> None:
    """The owner saw a broken line: the mail says what the label's page says."""
    box, post = mailbox
    job = with_owner(yard)
    yard.mark(job, MarkState.DISTURBED)
    on_day(yard, post, 0)
    body = box.taken[0].get_body()
    assert body is not None

    assert ["red tourer: do not ride, call us"] == box.subjects
    assert "Do not ride</h2>" in body.get_content()
    assert "Look before" not in body.get_content()


@pytest.mark.parametrize("by", ["P-1", "P-2"])
def test_a_reminder_keeps_nobody_from_taking_back_what_they_told(yard: Any, mailbox: Box, by: str) -> None:
    """The hand-over was a slip, told a minute before its owner was reminded; the night's own entry is nobody's act."""
    _, post = mailbox
    job = with_owner(yard)
    yard.clock.now = FIRST - timedelta(hours=1)
    remind(yard.workshop, post)
    if by == "P-2":
        undo(yard.workshop, job, "it is still here", Say(by))
    else:
        assert ["handed_over"] == [entry.what for entry in last_act(yard.workshop, job, by)]

    kinds = [entry.what for entry in yard.workshop.book.entries(f"job/{job}")]
    assert ("reminded", "struck" if by == "P-2" else "reminded") == (kinds[kinds.index("reminded")], kinds[-1])


def test_the_owner_may_ask_for_a_day_and_the_mechanic_reads_why_nothing_is_taken_back(yard: Any) -> None:
    """What an owner told since is named in words."""
    job = with_owner(yard)
    ask_day(yard.workshop, job, yard.workshop.today() + timedelta(days=1), Half.MORNING, Say("owner"))
    with pytest.raises(Refused, match="owner has asked for a day since"):
        undo(yard.workshop, job, "", Say("P-2"))


def test_the_outbox_of_a_job_that_is_not_there_is_told_and_taken_away(yard: Any) -> None:
    """As of a book whose entries are lost."""
    with_owner(yard)
    on_day(yard, None, 0)
    yard.workshop.book.engine.run("update outbox set job = '77'", ())
    says = ["The table outbox holds a reminder of job 77, which the ledger does not know; rebuild the lists."]

    assert says == yard.workshop.book.verify()
    yard.workshop.book.rebuild()
    assert ([], []) == (yard.workshop.book.verify(), yard.workshop.book.rows("select * from outbox"))


@pytest.mark.parametrize("what", [TOLD_SO, STOPPED, NEW_OWNER])
def test_an_address_that_is_taken_away_is_in_no_file_any_more(yard: Any, what: str) -> None:
    """Nor is its link, in the book or beside it."""
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, Contact(mail=OWNER, mobile="+436600000001"), Say("P-2"))
    link = stop_token_of(yard.workshop, vehicle)
    secrets = [each.encode() for each in (OWNER, "+436600000001", link)]

    def lying() -> list[bytes]:
        files = [each.read_bytes() for each in yard.folder.rglob("*") if each.is_file()]
        return [each for each in secrets if any(each in file for file in files)]

    assert secrets == lying()
    agree_contact(yard.workshop, vehicle, Contact(mail="new@home.example"), Say("P-2"))
    assert [] == lying()
    agree_contact(yard.workshop, vehicle, Contact(mail=OWNER), Say("P-2"))
    end_contact(yard.workshop, vehicle, what, Say("P-2"))
    assert [] == lying()
    assert [] == yard.workshop.book.verify()


def test_nobody_agrees_to_nothing_and_nothing_ends_twice(yard: Any) -> None:
    vehicle = yard.vehicle("red tourer")
    with pytest.raises(Refused, match="say by which way"):
        agree_contact(yard.workshop, vehicle, Contact(), Say("P-2"))
    with pytest.raises(Refused, match="nobody is reminded of it"):
        end_contact(yard.workshop, vehicle, TOLD_SO, Say("P-2"))
    with pytest.raises(Refused, match="no such vehicle"):
        agree_contact(yard.workshop, "V-9", Contact(mail=OWNER), Say("P-2"))


def run(yard: Any, *words: str, **env: str) -> Result:
    return CliRunner().invoke(cli, ["--book", str(yard.path), *words], env=env)


def test_at_the_command_line(yard_of_late: Any) -> None:
    """The owner's yes is told, reminders go out, the code is 0, and no address is printed; so it is where none is."""
    yard = yard_of_late
    yard.clean(yard.vehicle("red tourer"))
    settle(yard.workshop, {"quiet_from": 0, "quiet_until": 0}, Say("P-1"))
    refused = run(yard, "vehicle", "contact", "V-1", "--mail", OWNER, "--by", "P-2")
    agreed = run(yard, "vehicle", "contact", "V-1", "--mail", OWNER, "--consent", "--by", "P-2")
    nowhere = run(yard, "remind")
    as_data = run(yard, "remind", "--json", TORQUEAUDIT_SMTP="smtp://127.0.0.1:9", TORQUEAUDIT_MAIL_FROM=FROM)
    ended = run(yard, "vehicle", "contact", "V-1", "--end", "--by", "P-2")
    after = run(yard, "remind")

    assert (2, 0) == (refused.exit_code, agreed.exit_code)
    assert "ask the owner, then say --consent" in refused.stderr
    assert "V-1: its owner is reminded of re-checks by mail\n" == agreed.stdout
    assert 0 == nowhere.exit_code
    assert (
        "waits: job 1, V-1: the re-check was missed – no mail server is named\n0 sent, 1 waits, 0 not taken\n"
        "No mail server is named: give --mail-server and --mail-from.\n"
    ) == nowhere.stdout
    assert (0, 1) == (as_data.exit_code, json.loads(as_data.stdout)["waiting"])
    assert (0, 0) == (ended.exit_code, after.exit_code)
    assert "0 sent, 0 wait, 0 not taken\n" == after.stdout
    assert OWNER not in "".join(each.output for each in (agreed, nowhere, as_data, ended, after))
