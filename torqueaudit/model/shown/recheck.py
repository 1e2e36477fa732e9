"""How the look after the first ride is shown, and its words, which every door says."""

from datetime import date
from typing import NamedTuple

from torqueaudit.model.recheck.state import Standing
from torqueaudit.model.register.distance import distance_text


class RecheckView(NamedTuple):
    """The look after the first ride: when it is due, how it stands, who has done it, what is still to look at."""

    due_on: date | None
    due_distance_m: int | None
    standing: Standing
    done_on: date | None
    done_by: str
    looks: tuple[str, ...]


def recheck_words(view: RecheckView) -> str:
    """When the re-check is due, in words: "by 2031-04-16 or at 12 100 km, whichever comes first"."""
    parts = [f"by {view.due_on}"] if view.due_on else []
    parts += [f"at {distance_text(view.due_distance_m)}"] if view.due_distance_m is not None else []
    return " or ".join(parts) + (", whichever comes first" if len(parts) > 1 else "")


def lateness_words(standing: Standing) -> str:
    """How late a re-check is, in words: "9 days and 110 km"; "" where it is not."""
    days = [f"{standing.late_days} day{'s' * (standing.late_days > 1)}"] if standing.late_days else []
    return " and ".join([*days, *([distance_text(standing.late_m)] if standing.late_m else [])])
