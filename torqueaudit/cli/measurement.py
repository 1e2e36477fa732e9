"""`torqueaudit measurement`: dimensions taken."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import json_option, who_says
from torqueaudit.workshop.working import measure


@click.group()
def measurement() -> None:
    """Dimensions taken."""


@measurement.command("take")
@click.argument("job")
@click.argument("key")
@click.argument("value")
@click.option("--place", default="", help="Where it was taken.")
@who_says
@json_option
def take(
    *, job: str, key: str, value: str, place: str, by: str, at: str | None, ago: int, act_id: str, as_json: bool
) -> None:
    """Record a dimension with its unit: “25 mm”."""
    act_on(job, by, at, ago, act_id, as_json=as_json, act=lambda w, say: measure(w, job, key, value, place, say))
