"""`torqueaudit check`: independent checks."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, json_option, who_says
from torqueaudit.cli.values import OneOf
from torqueaudit.model.job.facts import CheckMethod
from torqueaudit.read.words import read_method
from torqueaudit.workshop.jobs.checks import check as check_it


@click.group()
def check() -> None:
    """Independent checks."""


@check.command("record")
@click.argument("job")
@click.argument("key")
@click.argument("method", type=OneOf(CheckMethod, read_method))
@click.option("--why", default="", help="Why nobody else could look (self re-inspection).")
@who_says
@json_option
def record_check(*, job: str, key: str, method: str, why: str, who: Who, as_json: bool) -> None:
    """Record that a second person looked."""
    act_on(
        job,
        who,
        as_json=as_json,
        act=lambda w, say: check_it(w, job, key, CheckMethod(method), why, say),
    )
