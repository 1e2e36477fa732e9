"""What the nightly report says of chains: which will be at their limit before long, while their owners are called."""

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.plugin import Around, ExtraSection, Job, NightJob
from torqueaudit_plugins.final_drive.calc.trend import Reach
from torqueaudit_plugins.final_drive.panels.wear import is_past, line_of, reach_words
from torqueaudit_plugins.final_drive.rules.wear_history import limit_percent, sure_percent, worn_chain
from torqueaudit_plugins.final_drive.table.content import WEAR, stated_in

TITLE = "Chains near their limit"
SAYS = (
    "Of the vehicles in this report. Have chain and sprockets ready, and measure again when the vehicle comes in: "
    "wear quickens near its end."
)
COLUMNS = ("vehicle", "job", "limit", "reached at (95 % interval)", "newest distance")
SOON_KM = 1000  # from the newest distance to where the limit may be reached (ours, no source)


class NearLimit(NamedTuple):
    """A chain that is on and not past its limit, and where the line of its wear reaches it."""

    limit_percent: Decimal
    reach: Reach
    newest_km: float


def sections_of(jobs: Iterable[NightJob]) -> list[ExtraSection]:
    """One section, of the last job on each vehicle that measures wear; none where no chain is near its limit."""
    last = {around.vehicle.number: (job, around) for job, around in jobs if _measures_wear(job)}
    near = [(job, around, found) for job, around in last.values() if (found := near_limit(job, around))]
    rows = tuple(_row(job, around, found) for job, around, found in near)
    return [ExtraSection(TITLE, (SAYS,), COLUMNS, rows)] if rows else []


def near_limit(job: Job, around: Around) -> NearLimit | None:
    """What is near of the chain that a job measured; None where its limit is not known, not near, or passed already.

    What is past its limit is a stop on the job, and needs no second sentence here.
    """
    stated = stated_in(job.procedure.x)
    item = next(each for each in job.procedure.measurements() if each.kind == WEAR)
    limit, worn = limit_percent(item, stated), worn_chain(job, around, stated)
    line = line_of(worn, sure_percent(job, stated)[0])
    if limit is None or line is None or worn.off or is_past(worn, line, limit, stated):
        return None
    reach = line.reaches(float(limit))
    newest = max((each.run_m / 1000 for each in around.odometers), default=max(worn.points)[0])
    return NearLimit(limit, reach, newest) if reach and reach.low_km - newest <= SOON_KM else None


def _measures_wear(job: Job) -> bool:
    return not job.record.withdrawn and any(each.kind == WEAR for each in job.procedure.measurements())


def _row(job: Job, around: Around, near: NearLimit) -> tuple[str, ...]:
    at, _, between = reach_words(near.reach)
    vehicle = f"{around.vehicle.number} {around.vehicle.tag}"
    return (
        vehicle,
        job.number,
        f"{near.limit_percent:.3g} %",
        f"{at} km ({between})",
        f"{near.newest_km:.0f} km",
    )
