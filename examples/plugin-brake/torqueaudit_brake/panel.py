"""What the record shows of the brake: which fluid went in and when it is changed next, and how thick each disc was.

A phone is narrow: a table has three columns, and its title says what it is about.
"""

from calendar import monthrange
from collections.abc import Iterator
from datetime import date, datetime

from torqueaudit.plugin import Around, ExtraSection, Fit, Job, Measurement, PartFitted, distance_text, format_number
from torqueaudit_brake.kinds import CLASS, DISC, FLUID
from torqueaudit_brake.table import asked
from torqueaudit_brake.work import parts_of

OF_FLUID = ("class", "changed on", "next change")  # the label knows the panel of a fluid by these
OF_DISC = ("day", "odometer", "thinnest")


def panels(job: Job, around: Around) -> Iterator[ExtraSection]:
    """One panel for each fluid that went in, and one for each disc that was ever measured."""
    for fit, fitted in parts_of(job, FLUID.name):
        yield _fluid(job, around, fit, fitted)
    for measurement in job.procedure.measurements():
        if measurement.kind == DISC.name and any(each.key == measurement.key for each in around.measured):
            yield _disc(around, measurement)


def due(changed: date, months: int) -> date:
    """The same day so many months on, or the last day of that month."""
    years, month = divmod(changed.month - 1 + months, 12)
    last = monthrange(changed.year + years, month + 1)[1]
    return date(changed.year + years, month + 1, min(changed.day, last))


def _fluid(job: Job, around: Around, fit: Fit, fitted: PartFitted) -> ExtraSection:
    """What a later job changed again is told as history: nobody shall read it as what is in now."""
    moment, ask = fitted.noted.happened_at, asked(job.procedure.x)
    if any(each.key == fit.key and each.happened_at > moment and each.job != job.number for each in around.fitted):
        return ExtraSection(fit.name, ("A later job changed it again.",))
    day = _day(moment, around)
    following = due(day, ask.change_months).isoformat() if ask.change_months else ""
    every = (f"Changed every {ask.change_months} months ({ask.source}).",) if ask.change_months else ()
    row = (dict(fitted.attributes).get(CLASS, ""), day.isoformat(), following)
    return ExtraSection(fit.name, every, OF_FLUID, (row,))


def _disc(around: Around, measurement: Measurement) -> ExtraSection:
    """The disc over the jobs of this vehicle, by the last value of each job."""
    taken = sorted(around.measured, key=lambda each: each.happened_at)
    last = {each.job: each for each in taken if each.key == measurement.key}
    rows = tuple(
        (
            _day(each.happened_at, around).isoformat(),
            "" if each.odometer_m is None else distance_text(each.odometer_m),
            f"{format_number(each.value, 4)} {each.unit}",
        )
        for each in last.values()
    )
    limit = (f"{measurement.written} is specified.",) if measurement.written else ()
    return ExtraSection(measurement.name, limit, OF_DISC, rows)


def _day(moment: datetime, around: Around) -> date:
    return moment.astimezone(around.settings.timezone).date()
