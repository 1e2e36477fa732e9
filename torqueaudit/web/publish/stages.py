"""What an owner's page says from which day on, until which day."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from itertools import groupby, pairwise
from typing import NamedTuple

from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.owner import OwnerView, Safety, day_text
from torqueaudit.web.owner_page import OwnerPage, owner_page

STRICTNESS = (Safety.RIDE, Safety.NOT_KNOWN, Safety.COME_BACK, Safety.DO_NOT_RIDE)


class Stage(NamedTuple):
    """The page from one day until another; None where it holds already, or to no end."""

    page: OwnerPage
    since: date | None
    until: date | None

    @property
    def when(self) -> str:
        """Its days in words, "" where it holds always; also the distance at which a ride ends before the day."""
        if self.since:
            return f"From {day_text(self.since)} on"
        due = self.page.view.back or self.page.view.no_day
        ends = [day_text(self.until)] if self.until else []
        if due.due_at and self.page.weight == "good":
            ends.append(due.due_at)
        first = ", whichever comes first" if len(ends) > 1 else ""
        return f"Until {' or '.join(ends)}{first}" if ends else ""


def pages_of(views: Iterable[OwnerView]) -> list[OwnerPage]:
    """The pages of today and of later days. What stands against a ride never ends by itself."""
    return [owner_page(seen_by("stranger", view), dated=True) for view in _never_milder(views)]


def stages(pages: Sequence[OwnerPage], says: Callable[[OwnerPage], object]) -> list[Stage]:
    """The pages that say something else than the one before, each with its days."""
    different = [next(same) for _, same in groupby(pages, says)]
    since = [None, *(page.view.asked_on for page in different[1:])]
    return [Stage(page, first, last) for page, (first, last) in zip(different, pairwise([*since, None]), strict=True)]


def ride_of(page: OwnerPage) -> object:
    """What a page says of riding."""
    return page.headline, page.view.says, page.view.limits


def back_of(page: OwnerPage) -> object:
    """What a page says of when to come back."""
    return (
        page.first,
        page.when,
        page.due if page.first else "",
        page.to_come,
        None if page.view.back else page.view.no_day,
    )


def turns_on(pages: Sequence[OwnerPage]) -> date | None:
    """The first later day on which a page says something else; None where none does."""
    later = stages(pages, lambda page: (ride_of(page), back_of(page)))[1:]
    return later[0].since if later else None


def first_day(rides: Iterable[Stage], *weights: str) -> str:
    """The first day on which a ride is judged so; "0" where it is already, "" where it never will be."""
    found = next((stage for stage in rides if stage.page.weight in weights), None)
    return "" if found is None else found.since.isoformat() if found.since else "0"


def _never_milder(views: Iterable[OwnerView]) -> Iterator[OwnerView]:
    strictness = 0
    for view in views:
        if STRICTNESS.index(view.safety) < strictness:
            return
        strictness = STRICTNESS.index(view.safety)
        yield view
