"""`torqueaudit step`: steps done or looked at."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, here_option, json_option, who_says
from torqueaudit.cli.values import OneOf
from torqueaudit.read.words import ANSWERS, read_answer
from torqueaudit.workshop.jobs.steps_and_parts import do_step


@click.group()
def step() -> None:
    """Steps done or looked at."""


@step.command("done")
@click.argument("job")
@click.argument("key")
@click.argument("answer", type=OneOf(ANSWERS, read_answer), required=False)
@click.option("--remark", default="", help="What was seen, or why it is not applicable.")
@here_option
@who_says
@json_option
def done_step(
    *,
    job: str,
    key: str,
    answer: str | None,
    remark: str,
    here: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Record a step: yes (default), no or not applicable; a look: “in order” or “fault”, which is never assumed."""
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: do_step(w, job, key, answer or "", remark, say),
        here=here,
    )
