"""`torqueaudit recheck`: the look after the first ride."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, json_option, who_says
from torqueaudit.cli.values import odometer_option
from torqueaudit.workshop.recheck.road import recheck as conclude


@click.group()
def recheck() -> None:
    """The look after the first ride."""


@recheck.command("done")
@click.argument("job")
@odometer_option("The odometer now: “12 100 km”.")
@click.option("--remark", default="")
@who_says
@json_option
def done_recheck(*, job: str, odometer: int, sure: bool, remark: str, who: Who, as_json: bool) -> None:
    """Conclude the re-check, once every mark and measurement of the plan was looked at."""
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: conclude(w, job, odometer, remark, say),
        sure=sure,
        whole=True,
    )
