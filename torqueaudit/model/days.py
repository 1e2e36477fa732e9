"""Which days a record may speak of: a year with a missing or a wrong digit is told before it is recorded."""

from datetime import date

FIRST_YEAR, LAST_YEAR = 2000, 2200


def require_year(day: date) -> None:
    """Refuse a day, or a moment, of a year that no record may speak of. Raises ValueError with a sentence."""
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        told = date(day.year, day.month, day.day).isoformat()
        raise ValueError(f"{told}: a year lies between {FIRST_YEAR} and {LAST_YEAR}; look at the date")
