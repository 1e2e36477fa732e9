"""A re-check in a calendar: read back by another library than the one that writes it, and held against RFC 5545."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import vobject

from torqueaudit.model.recheck.due import uid_of
from torqueaudit.model.register.token import ALPHABET, LENGTH
from torqueaudit.reports.calendar import Event, calendar_file

TOKEN = ALPHABET[:LENGTH]
EVENT = Event(
    uid=uid_of(TOKEN, 20),
    sequence=7,
    day=date(2031, 4, 17),
    title="Second look at the red Kestrel; nuts, marks",
    says="Come by 2031-04-17,\nor at 12 100 km; “whichever” comes first. Ä\\Ö",
    asked_at=datetime(2031, 4, 2, 9, 0, tzinfo=ZoneInfo("Europe/Vienna")),
    address="http://bench.example/r/acdef",
)


def test_another_reader_finds_what_was_said() -> None:
    """Commas, semicolons, backslashes, new lines and other letters come through (RFC 5545, 3.3.11)."""
    (read,) = vobject.readOne(calendar_file(EVENT).decode()).components()

    expected = (EVENT.uid, "7", date(2031, 4, 17), EVENT.title, EVENT.says, EVENT.address, "CONFIRMED")
    actual = (
        read.uid.value,
        read.sequence.value,
        read.dtstart.value,
        read.summary.value,
        read.description.value,
        read.url.value,
        read.status.value,
    )
    assert expected == actual


def test_it_takes_the_day_and_no_more() -> None:
    """The end of whole days is the first day behind them (RFC 5545, 3.6.1); nobody is shown as busy."""
    (read,) = vobject.readOne(calendar_file(EVENT).decode()).components()

    assert (timedelta(days=1), "TRANSPARENT") == (read.dtend.value - read.dtstart.value, read.transp.value)
    assert timedelta(hours=-6) == read.valarm.trigger.value


def test_lines_are_as_the_standard_has_them() -> None:
    """At most 75 octets, each ended by CRLF (3.1), and a moment told in UTC (3.8.7.2)."""
    lines = calendar_file(EVENT._replace(title="a very long title " * 20)).split(b"\r\n")

    assert [] == [line for line in lines if len(line) > 75 or b"\n" in line]
    assert b"DTSTAMP:20310402T070000Z" in lines
    assert (b"BEGIN:VCALENDAR", b"END:VCALENDAR", b"") == (lines[0], lines[-2], lines[-1])


def test_a_file_has_no_method_and_a_mail_has_one() -> None:
    """What is published by mail says so, and who does (RFC 5546, 3.2.1); a file to be added says neither."""
    mailed = vobject.readOne(calendar_file(EVENT, "PUBLISH", "yard@workshop.example").decode())

    assert ("PUBLISH", "mailto:yard@workshop.example") == (mailed.method.value, mailed.vevent.organizer.value)
    assert b"METHOD" not in calendar_file(EVENT)
    assert b"ORGANIZER" not in calendar_file(EVENT)


def test_one_that_is_cancelled_rings_no_more() -> None:
    """The same UID with a higher sequence takes its place (RFC 5546, 2.1.4)."""
    cancelled = calendar_file(EVENT._replace(sequence=8, cancelled=True), "CANCEL", "yard@workshop.example")
    (read,) = vobject.readOne(cancelled.decode()).components()

    assert (EVENT.uid, "8", "CANCELLED") == (read.uid.value, read.sequence.value, read.status.value)
    assert [] == list(read.components())


def test_a_re_check_keeps_its_uid_and_no_other_has_it() -> None:
    """Of the same leaving it is the same; the token, which opens the record, is not in it (RFC 7986, 5.3)."""
    other = TOKEN[::-1]
    uids = [uid_of(TOKEN, 20), uid_of(TOKEN, 21), uid_of(other, 20)]

    assert uid_of(TOKEN, 20) == uids[0]
    assert 3 == len(set(uids))
    assert TOKEN not in "".join(uids)


def test_moments_of_every_zone_are_told_in_utc() -> None:
    """What was asked at nine in Vienna was asked at seven in UTC."""
    there, here = EVENT, EVENT._replace(asked_at=datetime(2031, 4, 2, 7, 0, tzinfo=UTC))

    assert calendar_file(here) == calendar_file(there)
