"""`torqueaudit part`: parts fitted."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, again_option, here_option, json_option, who_says
from torqueaudit.model.job.acts import Part
from torqueaudit.workshop.jobs.steps_and_parts import fit


@click.group()
def part() -> None:
    """Parts fitted."""


@part.command("fit")
@click.argument("job")
@click.argument("key")
@click.argument("part_name", metavar="PART")
@click.option("--lot", default="")
@click.option("--used", is_flag=True, help="It was used before.")
@click.option("--attribute", type=(str, str), multiple=True, metavar="NAME VALUE")
@again_option
@here_option
@who_says
@json_option
def fit_one(
    *,
    job: str,
    key: str,
    part_name: str,
    lot: str,
    used: bool,
    attribute: tuple[tuple[str, str], ...],
    again: bool,
    here: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Record a part fitted, new unless --used."""
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: fit(w, job, key, Part(part_name, lot, not used, attribute), say),
        here=here,
        again=again,
    )
