"""The course of a job, and a job as it stood at an entry of the record, as JSON."""

from torqueaudit.model.shown.course import Happening, JobThen
from torqueaudit.reports.json.job import record_json
from torqueaudit.reports.json.values import Object, iso


def job_then_json(told: JobThen) -> Object:
    """The job as it stood then, behind which entry that is, and its course."""
    return {
        **record_json(told.job),
        "as_of": told.entry,
        "as_of_recorded_at": iso(told.recorded),
        "riding": told.vehicle.riding.value,
        "newest": told.newest,
        "before": told.before,
        "after": told.after,
        "course": [happening_json(each) for each in told.course],
    }


def happening_json(told: Happening) -> Object:
    """One act as it was told; `struck` and `late` are empty where it was neither."""
    return {
        "job": told.job,
        "entries": list(told.entries),
        "by": told.by,
        "when": iso(told.when),
        "recorded_at": iso(told.recorded),
        "says": told.says,
        "why": told.why,
        "late": told.late,
        "struck": told.struck,
    }
