"""`torqueaudit vehicle`: motorcycles that come in."""

import click

from torqueaudit.cli.common import answer, json_option, print_json, say_of, who_says, workshop_here
from torqueaudit.cli.values import VEHICLE, odometer_option
from torqueaudit.model.register.distance import distance_text
from torqueaudit.reports.json.register import vehicle_json
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.lists import vehicles
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, report_loosened
from torqueaudit.workshop.vehicles.visits import arrive


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
    by: str,
    at: str | None,
    ago: int,
    act_id: str,
    as_json: bool,
) -> None:
    """Enter a vehicle under a tag that names nobody, such as “Kestrel 500, blue”."""
    personal = {"plate": plate, "frame_number": frame_number, "contact": contact}
    with workshop_here() as workshop:
        number = add_vehicle(workshop, tag, model, year, personal, say_of(workshop, by, at, ago, act_id))
    answer({"vehicle": number}, f"{number}: {tag}", as_json=as_json)


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


@vehicle.command("arrived")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@odometer_option("The odometer now: “12 100 km”.")
@who_says
@json_option
def arrived(
    *, number: str, odometer: int, sure: bool, by: str, at: str | None, ago: int, act_id: str, as_json: bool
) -> None:
    """Record that a vehicle came in; it leaves when a job on it is handed over."""
    with workshop_here() as workshop:
        arrive(workshop, number, odometer, say_of(workshop, by, at, ago, act_id)._replace(sure=sure))
    answer({"vehicle": number}, f"{number}: here, at {distance_text(odometer)}", as_json=as_json)


@vehicle.command("loosened")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.argument("position")
@click.option("--why", required=True, help="Who reported it, and why it was undone.")
@who_says
def loosened(*, number: str, position: str, why: str, by: str, at: str | None, ago: int, act_id: str) -> None:
    """Record a report that a fastener was undone outside a job."""
    with workshop_here() as workshop:
        report_loosened(workshop, number, position, why, say_of(workshop, by, at, ago, act_id))
    click.echo(f"{number}: {position} is recorded as undone; the jobs that tightened it now say so")


@vehicle.command("forget")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.confirmation_option(prompt="Plate, frame number and contact are erased for good. Go on?")
def forget_one(*, number: str) -> None:
    """Erase what names a vehicle's owner; its jobs stay."""
    with workshop_here() as workshop:
        forget(workshop, f"vehicle/{number}")
    click.echo(f"{number}: plate, frame number and contact are erased")
