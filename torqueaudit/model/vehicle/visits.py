"""A vehicle comes into the workshop, is worked on, and leaves: a visit."""

from datetime import datetime
from typing import NamedTuple


class Presence(NamedTuple):
    """Whether a vehicle stands in the workshop, and since when; None where nothing says.

    One that is `gone` will not come back, and nobody can be called about it.
    """

    here: bool
    since: datetime | None = None
    gone: bool = False

    @property
    def with_owner(self) -> bool:
        """Whether it is away and will come back."""
        return not self.here and not self.gone
