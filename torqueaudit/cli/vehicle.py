"""`torqueaudit vehicle`: motorcycles that come in."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import (
    Who,
    answer,
    as_typed,
    entry_of,
    json_option,
    print_json,
    say_of,
    who_says,
    why_option,
    words_left_line,
    workshop_here,
)
from torqueaudit.cli.life import life
from torqueaudit.cli.owner_card import owner
from torqueaudit.cli.values import VEHICLE, OneOf, ReadOff, odometer_option
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.vehicle.instrument import Instrument, run_text
from torqueaudit.reports.json.register import struck_of_vehicle_json, vehicle_changed_json, vehicle_json
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.lists import vehicles
from torqueaudit.workshop.door.words import words_left
from torqueaudit.workshop.vehicles.corrections import Changed, change_vehicle, strike_of_vehicle
from torqueaudit.workshop.vehicles.gone import gone
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, called_alike, report_loosened
from torqueaudit.workshop.vehicles.visits import arrive

if TYPE_CHECKING:
    from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.instrument import Run


@click.group()
def vehicle() -> None:
    """Motorcycles that come in. Plate, frame number and contact stay outside the ledger."""


@vehicle.command("add")
@click.argument("tag")
@click.option("--model", required=True)
@click.option("--year", type=click.IntRange(1900, 2200))
@click.option("--plate", default="")
@click.option("--frame-number", default="")
@click.option("--contact", default="", help="How to reach the owner.")
@click.option(
    "--instrument",
    type=OneOf(Instrument),
    default=Instrument.KM.value,
    show_default=True,
    help="What tells how far it has run: an odometer in km or mi, an hour meter, or nothing.",
)
@who_says
@json_option
def add(
    *,
    tag: str,
    model: str,
    year: int | None,
    plate: str,
    frame_number: str,
    contact: str,
    instrument: str,
    who: Who,
    as_json: bool,
) -> None:
    """Enter a vehicle under a tag that names nobody, such as “Kestrel 500, blue”."""
    personal = {"plate": plate, "frame_number": frame_number, "contact": contact}
    with workshop_here() as workshop:
        say = say_of(workshop, who)
        number = add_vehicle(workshop, tag, model, year, personal, say, Instrument(instrument))
        alike = called_alike(workshop, number)
    remark = f"{' and '.join(alike)} {'is' if len(alike) == 1 else 'are'} called so too" if alike else ""
    apart = f"\n  caution: {remark}; `torqueaudit vehicle change {number} --tag …` tells them apart." if alike else ""
    answer({"vehicle": number, "remark": remark}, f"{number}: {tag}{apart}", as_json=as_json)


@vehicle.command("change")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.option("--tag", help="Another name that people know it by; it names nobody.")
@click.option("--model", help="The right model, as its source prints it.")
@click.option("--year", type=click.IntRange(1900, 2200), help="The right year.")
@click.option("--plate", help="The right plate; empty takes it away.")
@click.option("--frame-number", help="The right frame number; empty takes it away.")
@click.option("--contact", help="How to reach the owner now; empty takes it away.")
@click.option("--instrument", type=OneOf(Instrument), help="What it has been read off from the beginning.")
@who_says
@json_option
def change(
    *,
    number: str,
    tag: str | None,
    model: str | None,
    year: int | None,
    plate: str | None,
    frame_number: str | None,
    contact: str | None,
    instrument: str | None,
    who: Who,
    as_json: bool,
) -> None:
    """Put right what was entered of a vehicle; whether its jobs' sources hold for it is judged anew."""
    fields = {"plate": plate, "frame_number": frame_number, "contact": contact}
    personal = {field: value.strip() for field, value in fields.items() if value is not None}
    kind = Instrument(instrument) if instrument else None
    told = VehicleChange(tag=tag, model=model, year=year, instrument=kind, personal=personal)
    if not told.said:
        raise click.UsageError(
            "say what changes: --tag, --model, --year, --plate, --frame-number, --contact or --instrument"
        )
    with workshop_here() as workshop:
        done = change_vehicle(workshop, number, told, say_of(workshop, who))
    if as_json:
        print_json(vehicle_changed_json(done))
        return
    for line in _changed(done):
        click.echo(line)


@vehicle.command("strike")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.argument("entry", metavar="ENTRY")
@why_option("What was wrong", "“it was another motorcycle”")
@who_says
@json_option
def strike(*, number: str, entry: str, why: str, who: Who, as_json: bool) -> None:
    """Take back a report, an arrival or an exchange that was false (“#77”). By who said it, or a foreman."""
    told = entry_of(entry, "vehicle loosened")
    with workshop_here() as workshop:
        done = strike_of_vehicle(workshop, number, told, why, say_of(workshop, who))
    if as_json:
        print_json(struck_of_vehicle_json(done))
        return
    click.echo(f"{number}: #{done.entry} is struck; nothing says any more that {done.said} then")


@vehicle.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every vehicle."""
    with workshop_here() as workshop:
        rows = vehicles(workshop)
    if as_json:
        print_json([vehicle_json(row) for row in rows])
        return
    for row in rows:
        click.echo(f"{row.vehicle:<6} {row.tag}")


@vehicle.command("show")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@json_option
def show_one(*, number: str, as_json: bool) -> None:
    """Show what stands on each fastener of a vehicle now, over all its jobs."""
    from torqueaudit.workshop.vehicles.present import show_vehicle

    with workshop_here() as workshop:
        view = show_vehicle(workshop, number)
    if as_json:
        from torqueaudit.reports.json.vehicle import vehicle_view_json

        print_json(vehicle_view_json(view))
        return
    from torqueaudit.cli.vehicle_sheet import lines_of

    click.echo("\n".join(lines_of(view)))


@vehicle.command("arrived")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@odometer_option("The odometer now: “12 100 km”.")
@who_says
@json_option
def arrived(*, number: str, odometer: "Run | None", sure: bool, who: Who, as_json: bool) -> None:
    """Record that a vehicle came in; it leaves when a job on it is handed over."""
    with workshop_here() as workshop:
        arrive(workshop, number, odometer, say_of(workshop, who)._replace(sure=sure))
        read = run_text(odometer, workshop.vehicle(number).instrument)
    answer({"vehicle": number}, f"{number}: here{f', at {read}' if read else ''}", as_json=as_json)


@vehicle.command("instrument")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.option(
    "--last",
    type=ReadOff(),
    help="What the old one showed last, “18 400 km”; of a dead one, what was read off it last.",
)
@click.option("--first", type=ReadOff(), help="What the new one showed first: “0 km”.")
@click.option("--kind", type=OneOf(Instrument), help="What the new one is, where that is another kind.")
@click.option("--sure", is_flag=True, help="The old one showed that, although it fits none that was read before.")
@who_says
@json_option
def instrument_one(
    *, number: str, last: "Run | None", first: "Run | None", kind: str | None, sure: bool, who: Who, as_json: bool
) -> None:
    """Record that the odometer or hour meter was replaced, so that what it ran before is not lost.

    `vehicle strike` takes that back.
    """
    from torqueaudit.model.vehicle.exchange import Replaced
    from torqueaudit.workshop.vehicles.exchange import exchange_instrument

    with workshop_here() as workshop:
        new = Instrument(kind) if kind else workshop.vehicle(number).instrument
        say = say_of(workshop, who)._replace(sure=sure)
        own = exchange_instrument(workshop, number, Replaced(new, last, first), say)
    entry = own.exchanges[-1].order[1]
    shows = run_text(first, own.instrument)
    now = f"{own.instrument.says}{f', at {shows}' if shows else ''}"
    answer({"vehicle": number, "instrument": new.value}, f"{number}: {now}  #{entry}", as_json=as_json)


@vehicle.command("gone")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@why_option("Why it will not come back", "“scrapped”")
@click.option("--sure", is_flag=True, help="It is gone although a stop stands; the night tells of that stop no more.")
@who_says
@json_option
def gone_one(*, number: str, why: str, sure: bool, who: Who, as_json: bool) -> None:
    """Record that a vehicle will not come back: no re-check of it is waited for, and nobody is called."""
    with workshop_here() as workshop:
        gone(workshop, number, why, say_of(workshop, who)._replace(sure=sure))
    answer({"vehicle": number}, f"{number}: gone for good; the night calls nobody about it any more", as_json=as_json)


@vehicle.command("contact")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.option("--mail", default="", metavar="ADDRESS", help="Where the owner wants reminders by mail.")
@click.option("--mobile", default="", metavar="NUMBER", help="Where short messages reach the owner: “+43 660 1234567”.")
@click.option("--consent", is_flag=True, help="The owner has said yes to it.")
@click.option("--end", is_flag=True, help="The owner wants no reminders any more.")
@click.option("--new-owner", is_flag=True, help="It was sold: whatever reaches the old owner is taken away.")
@who_says
@json_option
def contact(
    *,
    number: str,
    mail: str,
    mobile: str,
    consent: bool,
    end: bool,
    new_owner: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Record that the owner agreed to be reminded of re-checks, by which way, or wants it no more.

    Address and number stay outside the ledger, and lie in no entry.
    """
    from torqueaudit.workshop.vehicles.contact import NEW_OWNER, TOLD_SO, agree_contact, end_contact

    if [bool(mail or mobile), end, new_owner].count(True) != 1:
        raise click.UsageError("say one of it: --mail or --mobile with --consent, --end, or --new-owner")
    if not consent and not (end or new_owner):
        raise click.UsageError("nobody is reminded who has not agreed; ask the owner, then say --consent")
    told = as_typed(_read_contact, (mail, mobile))
    with workshop_here() as workshop:
        if end or new_owner:
            end_contact(workshop, number, NEW_OWNER if new_owner else TOLD_SO, say_of(workshop, who))
            answer({"vehicle": number}, f"{number}: nobody is reminded of it any more", as_json=as_json)
            return
        agree_contact(workshop, number, told, say_of(workshop, who))
    ways = " and ".join(name for name, value in (("mail", mail), ("short message", mobile)) if value)
    answer({"vehicle": number}, f"{number}: its owner is reminded of re-checks by {ways}", as_json=as_json)


def _read_contact(typed: tuple[str, str]) -> "Contact":
    from torqueaudit.model.shown.reminder import Contact
    from torqueaudit.read.mail import read_mail_address
    from torqueaudit.read.mobile import read_mobile

    mail, mobile = typed
    return Contact(mail=read_mail_address(mail) if mail else "", mobile=read_mobile(mobile) if mobile else "")


@vehicle.command("loosened")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.argument("position")
@click.option("--why", required=True, help="Who reported it, and why it was undone.")
@who_says
def loosened(*, number: str, position: str, why: str, who: Who) -> None:
    """Record a report that a fastener was undone outside a job."""
    with workshop_here() as workshop:
        entry = report_loosened(workshop, number, position, why, say_of(workshop, who))
    click.echo(f"{number}: {position} is recorded as undone (#{entry}); the jobs that tightened it now say so")


@vehicle.command("forget")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.confirmation_option(prompt="Plate, frame number and contact are erased for good. Go on?")
def forget_one(*, number: str) -> None:
    """Erase what names a vehicle's owner; its jobs stay."""
    with workshop_here() as workshop:
        forget(workshop, f"vehicle/{number}")
        left = words_left(workshop, f"vehicle/{number}")
    click.echo(f"{number}: plate, frame number and contact are erased")
    for line in words_left_line(f"of {number} and its jobs", left):
        click.echo(line)


vehicle.add_command(owner)
vehicle.add_command(life)


def _other(instrument: Instrument) -> tuple[str, ...]:
    """What it is read off, where that is not what most have."""
    return () if instrument is Instrument.KM else (instrument.says,)


def _changed(done: Changed) -> Iterator[str]:
    """The vehicle as it is known now, and each job that is judged otherwise since."""
    vehicle = done.vehicle
    facts = [vehicle.tag, vehicle.model, str(vehicle.year or "year not known"), *_other(vehicle.instrument)]
    if done.personal:
        names = " and ".join(field.replace("_", " ") for field in done.personal)
        facts.append(f"{names} put right outside the ledger")
    yield f"{vehicle.number}: {', '.join(facts)}  #{done.entry}"
    for each in done.rejudged:
        if each.now:
            yield f"  stop: job {each.job} ({each.state}): {each.now} Look at `torqueaudit job show {each.job}`."
        else:
            yield f"  job {each.job} ({each.state}): its sources hold for the vehicle now"
