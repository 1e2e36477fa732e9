"""How the look after the first ride is shown, and its words, which every door says."""

from datetime import date
from typing import NamedTuple

from torqueaudit.model.job.road import Half
from torqueaudit.model.recheck.state import RecheckState, Standing
from torqueaudit.model.register.permits import OWNER
from torqueaudit.model.vehicle.instrument import Hours, Instrument, run_text


class ArrangedView(NamedTuple):
    """What was agreed last about a re-check: what it is, since when, by whom, in which entry, and in whose words."""

    what: str
    on: date
    by: str
    entry: int
    to_whom: str
    why: str


class AskedDay(NamedTuple):
    """The day that the owner asked for last, which half of it suits, in which entry, and by whom it was told.

    `by` is a number such as P-1, or owner where it was told by a label, which may be anybody's.
    """

    on: date
    half: Half
    entry: int
    by: str

    @property
    def says(self) -> str:
        """In words."""
        return f"the owner asked to come on {self.on} in the {self.half}"

    @property
    def told(self) -> str:
        """In words, with by whom it was told."""
        return f"{self.says}, told by {'the label' if self.by == OWNER else self.by}"


# In these somebody is called, or tells the owner, by an estimate.
_ESTIMATED = (RecheckState.DUE, RecheckState.REFERRED, RecheckState.REFUSED)


class RecheckView(NamedTuple):
    """The look after the first ride: when it is due, how it stands, who has done it, what is still to look at.

    It is due by what was agreed, where that puts it off. `done_by` is who said so, where another workshop has done it.
    """

    due_on: date | None
    due_distance_m: int | None
    standing: Standing
    done_on: date | None
    done_by: str
    looks: tuple[str, ...]
    arranged: ArrangedView | None = None
    done_elsewhere: bool = False
    asked: AskedDay | None = None  # while it is waited for
    due_min: int | None = None
    instrument: Instrument = Instrument.KM  # of its vehicle

    @property
    def due_at(self) -> str:
        """What the instrument shows when it is due, in words: "12100 km"; "" where it does not count.

        One that was replaced behind that shows no less than nothing.
        """
        metres = None if self.due_distance_m is None else max(self.due_distance_m, 0)
        return run_text(metres if self.due_min is None else Hours(max(self.due_min, 0)), self.instrument)

    @property
    def estimate(self) -> str:
        """What it has run by its own history where that alone makes it due, "about 12130 km"; "" else."""
        standing = self.standing
        alone = standing.estimated and standing.far and (standing.days is None or standing.days < 0)
        if not alone or standing.state not in _ESTIMATED:
            return ""
        if self.due_min is not None:
            return f"about {run_text(Hours((standing.minutes or 0) + self.due_min), self.instrument)}"
        return f"about {run_text((standing.metres or 0) + (self.due_distance_m or 0), self.instrument)}"

    @property
    def late_far(self) -> str:
        """How late it is by its instrument: "110 km", "2.5 h"; "" where it is not."""
        far = Hours(self.standing.late_min) if self.standing.late_min else self.standing.late_m
        return run_text(far or None, self.instrument)


# What is said before the day of a re-check, by its state.
_BEFORE_DAY = {
    RecheckState.NOT_YET_DUE: "due",
    RecheckState.DUE: "due now:",
    RecheckState.MISSED: "due",
    RecheckState.IN_HAND: "in hand, due",
    RecheckState.POSTPONED: "postponed, due",
    RecheckState.REFERRED: "handed to another workshop, due",
}


def stands_words(view: RecheckView) -> str:
    """How a re-check stands, in words: "postponed, due by 2031-05-02", "due by 2031-04-16 – 9 days late"."""
    late = lateness_words(view)
    return f"{state_words(view)}{f' – {late} late' if late else ''}"


def waits_words(job: str, recheck: RecheckView) -> str:
    """A re-check that is waited for, of which job, and on which day its owner would like to come."""
    asked = f"; {recheck.asked.says}" if recheck.asked else ""
    return f"Job {job}: re-check {stands_words(recheck)}{asked}"


def state_words(view: RecheckView) -> str:
    """The same without how late it is."""
    state, agreed = view.standing.state, view.arranged
    if state in _BEFORE_DAY:
        return f"{_BEFORE_DAY[state]} {recheck_words(view)}{estimate_words(view)}"
    if state is RecheckState.DONE:
        return f"done on {view.done_on} by {_who_has_done(view)}"
    return f"{state} on {agreed.on}" if state is RecheckState.REFUSED and agreed else state.value


def _who_has_done(view: RecheckView) -> str:
    return f"another workshop, as {view.done_by} says" if view.done_elsewhere else view.done_by


def estimate_words(view: RecheckView) -> str:
    """That an estimate alone makes it due, and what it is; "" where something was read, or it is not due by that."""
    return f", {view.estimate} by its own history, an estimate" if view.estimate else ""


def recheck_words(view: RecheckView) -> str:
    """When the re-check is due, in words: "by 2031-04-16 or at 12 100 km, whichever comes first"."""
    parts = [f"by {view.due_on}"] if view.due_on else []
    parts += [f"at {view.due_at}"] if view.due_at else []
    return " or ".join(parts) + (", whichever comes first" if len(parts) > 1 else "")


def lateness_words(view: RecheckView) -> str:
    """How late a re-check is, in words: "9 days and 110 km"; "" where it is not."""
    late = view.standing.late_days
    return " and ".join(filter(None, (f"{late} day{'s' * (late > 1)}" if late else "", view.late_far)))
