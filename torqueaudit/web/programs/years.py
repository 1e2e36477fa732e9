"""What is given as data over the years: the life of a vehicle, a job as it stood, two jobs side by side."""

from typing import TYPE_CHECKING, cast

from torqueaudit.read.number import read_entry_number, read_vehicle_number
from torqueaudit.reports.json.compared import compared_json
from torqueaudit.reports.json.course import job_then_json
from torqueaudit.reports.json.life import life_json
from torqueaudit.web.programs.one import shown
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.life.compare import compare_jobs
from torqueaudit.workshop.life.job_then import show_job_then
from torqueaudit.workshop.life.life import show_life

if TYPE_CHECKING:
    from torqueaudit.reports.json.values import Object
    from torqueaudit.web.programs.asked import Asked


def life(asked: "Asked") -> "Object":
    """The life of a vehicle, now or at an entry."""
    number, entry = read_vehicle_number(asked.address["number"]), cast("int | None", asked.query["as_of"])
    return life_json(shown(asked, show_life(asked.workshop, number, entry)))


def job_then(asked: "Asked") -> "Object":
    """A job as it stood at an entry."""
    with refused_if_unreadable():
        entry = read_entry_number(asked.address["entry"])
    return job_then_json(shown(asked, show_job_then(asked.workshop, asked.address["number"], entry)))


def two_jobs(asked: "Asked") -> "Object":
    """Two jobs side by side."""
    one, other = (str(asked.query[name]) for name in ("one", "other"))
    return compared_json(shown(asked, compare_jobs(asked.workshop, one, other)))
