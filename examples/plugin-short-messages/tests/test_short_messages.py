"""Short messages through a gateway on this machine, which fails in each of its ways."""

import json
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from typing import ClassVar

import pytest

from torqueaudit.plugin import Contact, Post, ReminderKind
from torqueaudit.plugin.commands import Clock, Say, Workshop, agree_contact, play, remind, reminder_of_job
from torqueaudit_short_messages.words import text_of

NUMBER = "+436600000000"
CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""


class Gateway(BaseHTTPRequestHandler):
    """Takes messages, each key once; `answers` are what it says first, 0 where it takes one and then breaks off."""

    taken: ClassVar[dict[str, dict[str, str]]] = {}
    asked: ClassVar[list[str]] = []
    answers: ClassVar[list[int]] = []

    def do_POST(self) -> None:  # as the server calls it
        body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        self.asked.append(self.headers["Idempotency-Key"])
        code = self.answers.pop(0) if self.answers else 202
        if code in {0, 202}:
            self.taken.setdefault(self.headers["Idempotency-Key"], body)
        if code:
            self.send_response(code)
            self.send_header("Content-Length", "0")
            self.end_headers()

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture
def gateway(monkeypatch: pytest.MonkeyPatch) -> Iterator[type[Gateway]]:
    """A gateway that nobody has asked yet."""
    Gateway.taken, Gateway.asked, Gateway.answers = {}, [], []
    server = ThreadingHTTPServer(("127.0.0.1", 0), Gateway)
    serving = Thread(target=server.serve_forever)
    serving.start()
    monkeypatch.setenv("SHORT_MESSAGE_GATEWAY", f"http://127.0.0.1:{server.server_port}/messages")
    yield Gateway
    server.shutdown()
    serving.join()
    server.server_close()


def reminded(workshop: Workshop, clock: Clock, *, hours: int = 3) -> list[tuple[str, str]]:
    """What became of the reminder, by how much later each was tried."""
    told = []
    for hour in range(11, 11 + hours):
        clock.set(f"2031-04-02 {hour}:00")
        told += [(each.state.value, each.says) for each in remind(workshop, None).told]
    return told


@pytest.fixture
def left(workshop: Workshop) -> Workshop:
    """A motorcycle that left, and whose owner agreed to short messages."""
    play(workshop, CARD)
    agree_contact(workshop, "V-1", Contact(mobile=NUMBER), Say("P-2"))
    return workshop


def test_a_message_is_sent_once_and_recorded_without_the_number(
    left: Workshop, clock: Clock, gateway: type[Gateway]
) -> None:
    """It says when to come back, what to look at, and how to stop."""
    assert [("sent", "message")] == reminded(left, clock)
    (message,) = gateway.taken.values()

    assert NUMBER == message["to"]
    for said in ("come back for the re-check by ", "do not ride, call us. Loosen nothing.", "/r/", "Stop: http"):
        assert said in message["text"]
    assert NUMBER not in repr(left.book.entries("job/1")[-1])
    assert "message" == left.book.entries("job/1")[-1].said["way"]


def test_a_lost_answer_sends_the_same_key_again(left: Workshop, clock: Clock, gateway: type[Gateway]) -> None:
    """So that the gateway sends it once."""
    gateway.answers = [0]
    told = reminded(left, clock)

    assert ["handing over", "sent"] == [state for state, _ in told]
    assert (2, 1, 1) == (len(gateway.asked), len(set(gateway.asked)), len(gateway.taken))


@pytest.mark.parametrize("code", [429, 500, 503])
def test_a_gateway_that_is_busy_is_asked_again(left: Workshop, clock: Clock, gateway: type[Gateway], code: int) -> None:
    gateway.answers = [code]

    assert [("waiting", f"the gateway answers {code}"), ("sent", "message")] == reminded(left, clock)


def test_a_number_that_takes_nothing_is_asked_no_more(left: Workshop, clock: Clock, gateway: type[Gateway]) -> None:
    gateway.answers = [422]

    assert [("refused", "the gateway answers 422")] == reminded(left, clock)
    assert {} == gateway.taken


def test_no_number_is_sent_without_encryption(
    left: Workshop, clock: Clock, gateway: type[Gateway], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor is anybody asked where no gateway is named."""
    monkeypatch.setenv("SHORT_MESSAGE_GATEWAY", "http://gateway.example/messages")
    (told,) = reminded(left, clock, hours=1)
    monkeypatch.delenv("SHORT_MESSAGE_GATEWAY")
    (nowhere,) = reminded(left, clock, hours=1)

    assert "does not begin with https://" in told[1]
    assert "no gateway" in nowhere[1]
    assert [] == gateway.asked


def test_who_agreed_to_both_gets_a_message_where_no_mail_goes_out(
    left: Workshop, clock: Clock, gateway: type[Gateway]
) -> None:
    """No mail server is named."""
    agree_contact(left, "V-1", Contact(mail="owner@home.example", mobile=NUMBER), Say("P-2"))

    assert [("sent", "message")] == reminded(left, clock)
    assert 1 == len(gateway.taken)


def test_who_was_reached_by_mail_gets_no_message(left: Workshop, clock: Clock, gateway: type[Gateway]) -> None:
    agree_contact(left, "V-1", Contact(mail="owner@home.example", mobile=NUMBER), Say("P-2"))
    clock.set("2031-04-02 11:00")
    (told,) = remind(left, Post("yard@yard.example", lambda _: None)).told

    assert ("sent", "mail", []) == (told.state, told.says, gateway.asked)


def test_a_refused_re_check_is_not_called_settled(left: Workshop, clock: Clock, gateway: type[Gateway]) -> None:
    """Its day is past: the message says what the label's page says."""
    reminded(left, clock)
    play(left, "2031-04-30 09:00 re-check refused: no time by P-2")
    clock.set("2031-04-30 11:00")
    remind(left, None)
    (_, message) = gateway.taken.values()

    assert (
        "You told us that you do not want it. You may come all the same. The re-check was not done and"
        in (message["text"])
    )
    assert "settled" not in message["text"]


def test_what_is_overdue_beside_a_settled_one_is_not_called_one_to_come(left: Workshop, clock: Clock) -> None:
    """As of a motorcycle with two jobs."""
    clock.set("2031-04-30 09:00")
    text = text_of(reminder_of_job(left, "1")._replace(kind=ReminderKind.OVER))

    assert "The re-check is overdue. Call us, and ride no farther than to us." in text
    assert "come back for the re-check by" not in text
