"""What every door shows of a re-check in the list of those that are due."""

from typing import NamedTuple

from torqueaudit.model.shown.recheck import RecheckView, waits_words

AHEAD, MOST_AHEAD = 14, 92  # days that the list looks ahead; each job in it is judged


class DueRecheck(NamedTuple):
    """A re-check that is waited for, of which job; `holds` is what the job's fasteners hold first ("wheel")."""

    job: str
    vehicle: str
    tag: str
    title: str
    holds: str
    recheck: RecheckView

    @property
    def says(self) -> str:
        """How it stands, in words."""
        return waits_words(self.job, self.recheck)
