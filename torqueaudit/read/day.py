"""Days and moments as people write them."""

from datetime import date, datetime, tzinfo


def read_day(text: str) -> date:
    """A day, "2031-04-02". Raises ValueError."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{text}: write a date as 2031-04-02") from None


def read_moment(text: str, zone: tzinfo) -> datetime:
    """A moment, "2031-04-02 09:15", in the given zone where it names none of its own. Raises ValueError."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{text}: write a time as 2031-04-02 09:15") from None
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)
