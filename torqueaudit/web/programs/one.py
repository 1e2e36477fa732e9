"""What is given as data of one thing: a job, a vehicle, a wrench, an owner, a day, some days, some words."""

from typing import TYPE_CHECKING, Any, TypeVar, cast

from torqueaudit.model.shown.access import seen_by, without_names
from torqueaudit.read.number import read_vehicle_number, read_wrench_number
from torqueaudit.reports.json.customer import customer_json
from torqueaudit.reports.json.found import found_json
from torqueaudit.reports.json.job import record_json
from torqueaudit.reports.json.night import today_json
from torqueaudit.reports.json.sign_off import sign_off_json
from torqueaudit.reports.json.vehicle import vehicle_view_json
from torqueaudit.reports.json.wrench import wrench_json
from torqueaudit.reports.sign_off.table import sign_off_csv
from torqueaudit.web.access import opens
from torqueaudit.workshop.customers.card import customer_card
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.today import today_of
from torqueaudit.workshop.search.find import find
from torqueaudit.workshop.sign_off.sign_off import sign_off_of, with_head
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.wrenches.view import show_wrench

if TYPE_CHECKING:
    from datetime import date

    from torqueaudit.model.shown.sign_off import SignOff
    from torqueaudit.reports.json.values import Object
    from torqueaudit.web.programs.asked import Asked

V = TypeVar("V")


def shown(asked: "Asked", view: V) -> V:
    """A view as whoever asks may see it."""
    asking = asked.asking
    if asking.program:
        return view if asking.reads_names else without_names(view)
    return view if opens(asking.reach, "job") else seen_by("stranger", view)


def job(asked: "Asked") -> "Object":
    """A job."""
    return record_json(shown(asked, show_job(asked.workshop, asked.address["number"])))


def record(asked: "Asked") -> "Object":
    """The record that a label opens, as anybody sees it."""
    number = asked.job_of(asked.address["token"])
    return record_json(seen_by("stranger", show_job(asked.workshop, number)))


def vehicle(asked: "Asked") -> "Object":
    """A vehicle."""
    number = read_vehicle_number(asked.address["number"])
    return vehicle_view_json(shown(asked, show_vehicle(asked.workshop, number)))


def wrench(asked: "Asked") -> "Object":
    """A wrench; its page shows to everybody what a stranger sees, and data to staff what the command line does."""
    number = read_wrench_number(asked.address["number"])
    return wrench_json(shown(asked, show_wrench(asked.workshop, number)))


def today(asked: "Asked") -> "Object":
    """What is to be decided now."""
    told = today_of(asked.workshop)
    return today_json(told.without_words if asked.asking.program and not asked.asking.reads_names else told)


def signed(asked: "Asked") -> "Object":
    """What was signed for in some days."""
    return sign_off_json(with_head(asked.workshop, _sign_off(asked)))


def signed_table(asked: "Asked") -> bytes:
    """The same as a table, as the page gives it."""
    return sign_off_csv(_sign_off(asked))


def _sign_off(asked: "Asked") -> "SignOff":
    first, last = (cast("date | None", asked.query[name]) for name in ("from", "to"))
    return sign_off_of(asked.workshop, first, last)


def owner_card(asked: "Asked") -> "Object":
    """The card of an owner, which is noted."""
    number = read_vehicle_number(asked.address["number"])
    return customer_json(customer_card(asked.workshop, number, asked.say))


def found(asked: "Asked") -> "Object":
    """What is found by words, which is noted."""
    words, most = asked.query["find"], asked.query["most"]
    return found_json(find(asked.workshop, cast("Any", words), asked.say, cast("Any", most)))
