"""Which days a record may speak of: a year with a missing or a wrong digit is told before it is recorded."""

from datetime import date

FIRST_YEAR, LAST_YEAR = 2000, 2200


def may_be(day: date) -> bool:
    """Whether a day, or a moment, lies in a year that a record may speak of."""
    return FIRST_YEAR <= day.year <= LAST_YEAR


def require_year(day: date) -> None:
    """Refuse a day, or a moment, of any other year. Raises ValueError with a sentence."""
    if not may_be(day):
        told = date(day.year, day.month, day.day).isoformat()
        raise ValueError(f"{told}: a year lies between {FIRST_YEAR} and {LAST_YEAR}; look at the date")
