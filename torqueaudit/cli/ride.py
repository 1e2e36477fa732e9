"""`torqueaudit ride`: rides after the hand-over."""

from typing import TYPE_CHECKING

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, json_option, who_says
from torqueaudit.cli.values import odometer_option
from torqueaudit.workshop.recheck.road import report_ride

if TYPE_CHECKING:
    from torqueaudit.model.vehicle.instrument import Run


@click.group()
def ride() -> None:
    """Rides after the hand-over."""


@ride.command("report")
@click.argument("job")
@odometer_option("The odometer after it: “12 000 km”.")
@click.option("--remark", default="")
@who_says
@json_option
def report(*, job: str, odometer: "Run | None", sure: bool, remark: str, who: Who, as_json: bool) -> None:
    """Report a ride."""
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: report_ride(w, job, odometer, remark, say),
        sure=sure,
    )
