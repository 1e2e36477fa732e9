"""The card of a motorcycle's owner: how to reach them, what they agreed to, what is due, and what was said."""

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.model.job.road import (
    DayAsked,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
    Reminded,
    Ride,
    run_of,
)
from torqueaudit.model.recheck.state import WAITING, RecheckState
from torqueaudit.model.shown.customer import CustomerView, Known, OtherVehicle, Told
from torqueaudit.model.shown.recheck import waits_words
from torqueaudit.model.vehicle.instrument import run_text
from torqueaudit.model.vehicle.vehicle import REPORTED, fold_vehicle, standing_events
from torqueaudit.workshop.search.disclosures import disclose, disclosures_of
from torqueaudit.workshop.vehicles.contact import AGREED, CONTACT, ENDED, STOP, STOPPED, WAYS, contact_of, ways_of
from torqueaudit.workshop.vehicles.corrections import said_in
from torqueaudit.workshop.vehicles.present import vehicle_view

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.model.job.noted import Noted
    from torqueaudit.model.job.record import JobRecord
    from torqueaudit.model.vehicle.instrument import Instrument
    from torqueaudit.workshop.door.workshop import Workshop

MOST = 12  # lines of one kind
FIELDS = ("plate", "frame_number", CONTACT, *WAYS)  # in the order in which they are shown
TOLD = (*WAITING, RecheckState.REFERRED, RecheckState.REFUSED)


def customer_card(workshop: "Workshop", number: str, say: "Say") -> CustomerView:
    """What is known of a vehicle's owner. Who is shown it is noted before (decision 0117).

    Raises Refused for an unknown vehicle and for whoever may be shown nothing, BookError where it cannot be noted.
    """
    view, subject = vehicle_view(workshop, number), f"vehicle/{number}"
    known = workshop.book.personal_of(subject)
    fields = [*FIELDS, *sorted(known.keys() - {*FIELDS, STOP})]
    shown = tuple(Known(field.replace("_", " "), known[field]) for field in fields if known.get(field))
    before = tuple(_disclosed(workshop, subject))
    disclose(workshop, say, {subject: [each.field for each in shown]} if shown else {})
    records = [workshop.record(str(row.job)) for row in queries.jobs_of_vehicle(workshop.book, number)]
    return CustomerView(
        vehicle=number,
        tag=view.tag,
        model=view.model,
        known=shown,
        consent=_consent(workshop, number),
        reminded_by=ways_of(contact_of(workshop, number)),
        others=tuple(_others(workshop, number)),
        due=tuple(
            waits_words(work.number, work.recheck)
            for work in view.works
            if work.recheck and work.recheck.standing.state in TOLD
        ),
        said=_newest(
            [
                *_said_of_vehicle(workshop, number),
                *(told for each in records for told in _said(workshop, each, view.instrument)),
            ]
        ),
        reminders=_newest([told for each in records for told in _reminders(workshop, each)]),
        disclosed=before,
        demo=workshop.settings.demo,
    )


def _newest(told: list[Told]) -> tuple[Told, ...]:
    return tuple(sorted(told, key=lambda each: (each.on, each.entry), reverse=True)[:MOST])


def _consent(workshop: "Workshop", number: str) -> str:
    """Whether the owner wants to be reminded, since when, and by whom that was told."""
    said = [each for each in workshop.book.entries(f"vehicle/{number}") if each.kind in (AGREED, ENDED)]
    if not said:
        return "Nobody has asked yet whether the owner wants reminders."
    last = said[-1]
    on = workshop.local_day(datetime.fromisoformat(last.happened_at))
    if last.kind == AGREED and not any(contact_of(workshop, number)):
        return f"What was agreed on {on} is forgotten with its address: nobody is reminded."
    if last.kind == AGREED:
        ways = " and ".join(each.replace("mobile", "short message") for each in last.said["ways"])
        by = last.said.get("heard_by", last.who)  # of a list, who heard it
        return f"Said yes on {on} to reminders by {ways} (told by {by})."
    how = "by the link of a reminder" if last.said["what"] == STOPPED else f"{last.said['what']}, {last.who}"
    return f"Nobody is reminded since {on} ({how})."


def _others(workshop: "Workshop", number: str) -> Iterator[OtherVehicle]:
    """The vehicles of which the same name, telephone or mail address is known."""
    same = workshop.book.sharing(f"vehicle/{number}", (CONTACT, *WAYS, "owner"))
    numbers = [subject.partition("/")[2] for subject in same if subject.startswith("vehicle/")]
    tags = queries.tags_of(workshop.book, numbers)
    yield from (OtherVehicle(each, tags.get(each, "")) for each in numbers)


def _disclosed(workshop: "Workshop", subject: str) -> Iterator[str]:
    """Who was shown what of it before, in words."""
    zone = workshop.settings.timezone
    for each in disclosures_of(workshop, subject, MOST):
        at = datetime.fromisoformat(each.at).astimezone(zone)
        yield f"{at:%Y-%m-%d %H:%M} {each.by}, {each.door}: {', '.join(each.shown)}"


def _said(workshop: "Workshop", record: "JobRecord", instrument: "Instrument") -> Iterator[Told]:
    """What an owner said of a job, or what was agreed with them about its re-check."""

    def told(noted: "Noted", says: str, words: str = "") -> Told:
        on = workshop.local_day(noted.happened_at)
        return Told(on, record.number, f"{says}: {words}" if words else says, noted.entry)

    for ride in record.of(Ride):
        read = run_text(run_of(ride), instrument)
        yield told(ride.noted, f"rode it{f' to {read}' if read else ''}", ride.remark)
    for asked in record.of(DayAsked):
        yield told(asked.noted, f"asked to come on {asked.on} in the {asked.half}")
    for postponed in record.of(RecheckPostponed):
        yield told(postponed.noted, "re-check put off", postponed.why)
    for refused in record.of(RecheckRefused):
        yield told(refused.noted, "does not want the re-check", refused.why)
    for referred in record.of(RecheckReferred):
        yield told(referred.noted, f"re-check done by {referred.to_whom}", referred.why)


def _said_of_vehicle(workshop: "Workshop", number: str) -> Iterator[Told]:
    """What was reported undone outside of any job."""
    entries = workshop.book.entries(f"vehicle/{number}")
    for each in standing_events(fold_vehicle(entries), entries):
        if each.what == REPORTED:
            on = workshop.local_day(datetime.fromisoformat(each.happened_at))
            yield Told(on, "", f"{said_in(each)}: {each.told('why')}", each.sequence)


def _reminders(workshop: "Workshop", record: "JobRecord") -> Iterator[Told]:
    """What the owner was reminded of, and by which way."""
    for each in record.of(Reminded):
        on = workshop.local_day(each.noted.happened_at)
        yield Told(on, record.number, f"reminded by {each.way}: {each.kind}", each.noted.entry)
