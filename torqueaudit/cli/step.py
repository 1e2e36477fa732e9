"""`torqueaudit step`: steps done or looked at."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import json_option, who_says
from torqueaudit.workshop.working import ANSWERS, do_step


@click.group()
def step() -> None:
    """Steps done or looked at."""


@step.command("done")
@click.argument("job")
@click.argument("key")
@click.argument("answer", type=click.Choice(ANSWERS), default="yes")
@click.option("--remark", default="")
@who_says
@json_option
def done_step(
    *, job: str, key: str, answer: str, remark: str, by: str, at: str | None, ago: int, act_id: str, as_json: bool
) -> None:
    """Record a step: yes, no or not applicable."""
    act_on(job, by, at, ago, act_id, as_json=as_json, act=lambda w, say: do_step(w, job, key, answer, remark, say))
