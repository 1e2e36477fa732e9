"""Days and moments as people write them."""

import re
from datetime import UTC, date, datetime, time, tzinfo

from torqueaudit.model.days import require_year

_ONE_DIGIT = r"(?<![0-9:.+-])([0-9])(?=:[0-9][0-9])"  # of the hours
_TIME_ALONE = r"[0-9][0-9]?:[0-9][0-9](?::[0-9][0-9])?"


def read_day(text: str) -> date:
    """A day, "2031-04-02", of the years 2000 to 2200. Raises ValueError."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            raise ValueError(f"{text}: the calendar has no such day; look again") from None
        raise ValueError(f"{text}: write a date as 2031-04-02") from None
    require_year(day)
    return day


def read_day_either_way(text: str) -> date:
    """A day as entries write it, or with dots, the day first: "2031-04-02", "2.4.2031". Raises ValueError."""
    dotted = re.fullmatch(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})", text)
    if dotted is None:
        return read_day(text)
    day, month, year = dotted.groups()
    return read_day(f"{year}-{month:0>2}-{day:0>2}")


def read_hour(text: str) -> time:
    """An hour of a day, "14:30" or "9:15". Raises ValueError."""
    written = re.fullmatch(r"([0-9][0-9]?):([0-9][0-9])", text.strip())
    try:
        hour, minute = map(int, written.groups() if written else ())
        return time(hour, minute)
    except ValueError:
        raise ValueError(f"{text}: write an hour as 14:30") from None


def read_moment(text: str, zone: tzinfo, today: date | None = None) -> datetime:
    """A moment, "2031-04-02 09:15" or "2031-04-02 9:15", in the given zone where it names none of its own.

    A time alone, "9:15", is of `today` where that is given. Raises ValueError, also outside of the years 2000 to 2200
    and for a time that clocks were set forward over.
    """
    written = " ".join(text.split())
    if today is not None and re.fullmatch(_TIME_ALONE, written):
        written = f"{today} {written}"
    try:
        moment = datetime.fromisoformat(re.sub(_ONE_DIGIT, r"0\1", written, count=1))
    except ValueError:
        raise ValueError(f"{text}: write a time as 2031-04-02 09:15") from None
    require_year(moment)
    if moment.tzinfo:
        return moment
    local = moment.replace(tzinfo=zone)
    if local.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != moment:
        raise ValueError(f"{text}: clocks were set forward over this time; write one that a clock showed")
    return local
