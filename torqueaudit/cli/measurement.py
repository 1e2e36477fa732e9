"""`torqueaudit measurement`: dimensions taken, and values derived of what was read."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, again_option, as_typed, json_option, who_says
from torqueaudit.model.job.acts import Measure
from torqueaudit.read.pair import read_pair
from torqueaudit.workshop.jobs.measurements import measure


@click.group()
def measurement() -> None:
    """Measurements taken."""


@measurement.command("take")
@click.argument("job")
@click.argument("key")
@click.argument("value", default="")
@click.option("--input", "inputs", multiple=True, metavar="NAME=VALUE", help="“length=287.6 mm at link 40”.")
@click.option("--condition", "conditions", multiple=True, metavar="NAME=VALUE", help="“posture=side stand”.")
@click.option("--place", default="", help="Where it was taken.")
@click.option("--uncertainty", default="", metavar="VALUE", help="The instrument's, expanded (k = 2): “0.5 mm”.")
@again_option
@who_says
@json_option
def take(
    *,
    job: str,
    key: str,
    value: str,
    inputs: tuple[str, ...],
    conditions: tuple[str, ...],
    place: str,
    uncertainty: str,
    again: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Record a value with its unit, “25 mm”, or what it comes of, each with --input."""
    told = Measure(
        written=value,
        place=place,
        inputs=_pairs("--input", inputs),
        conditions=_pairs("--condition", conditions),
        uncertainty=uncertainty,
    )
    act_on(job, who, as_json=as_json, act=lambda w, say: measure(w, job, key, told, say), again=again)


def _pairs(option: str, told: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    return tuple(as_typed(lambda text: read_pair(text, option), each) for each in told)
