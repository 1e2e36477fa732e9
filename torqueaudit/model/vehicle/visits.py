"""A vehicle comes into the workshop, is worked on, and leaves: a visit."""

from datetime import datetime
from typing import NamedTuple


class Presence(NamedTuple):
    """Whether a vehicle stands in the workshop, and since when; None where nothing says.

    One that is away for good says why it will not come back.
    """

    here: bool
    since: datetime | None = None
    gone: str = ""
