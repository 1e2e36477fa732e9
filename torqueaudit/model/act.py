"""What every act carries, and what is raised when nothing may be recorded."""

from datetime import datetime
from typing import NamedTuple


class Refused(Exception):  # it reads as what happened, and is no fault of the program
    """Nothing was recorded; the message is one sentence that says why and what to do."""


class Say(NamedTuple):
    """Who says something, when it happened, and the id they give it (a new one where empty)."""

    by: str
    at: datetime | None = None
    minutes_ago: int = 0
    id: str = ""
