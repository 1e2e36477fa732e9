"""A job as it stood at an entry of the record, and the course of it, as lines of text."""

from collections.abc import Iterable, Iterator

from torqueaudit.cli import job_sheet
from torqueaudit.cli.job_sheet import wrapped
from torqueaudit.model.shown.course import Happening, JobThen


def lines_of(told: JobThen) -> Iterator[str]:
    """As of when it is told, the job as it stood then, and its course up to there."""
    yield f"{told.title.upper()}, at entry #{told.entry}; the record ends with #{told.newest} now."
    yield "Judged by the rules of today, from what was known then."
    yield f"The motorcycle then: {told.vehicle.riding}."
    yield ""
    yield from job_sheet.lines_of(told.job)
    yield ""
    yield "its course, in the order of the work:"
    yield from course_lines(each._replace(job="") for each in told.course)


def course_lines(course: Iterable[Happening]) -> Iterator[str]:
    """Each act in a line, with its job where that is told, and what is to be known before it is believed."""
    for each in course:
        job = f"job {each.job}: " if each.job else ""
        yield from wrapped(f"  {each.when:%Y-%m-%d %H:%M}  {each.by:<4}  {job}{each.text}  {each.numbers}")
        for mark in each.marks:
            yield from wrapped(f"      {mark.upper() if mark == each.struck else mark}")
