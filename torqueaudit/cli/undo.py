"""`torqueaudit undo`: the last act of a job taken back at once."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, json_option, who_says
from torqueaudit.workshop.jobs.undo import AT_ONCE
from torqueaudit.workshop.jobs.undo import undo as take_back


@click.command()
@click.argument("job")
@click.option("--why", default=AT_ONCE, show_default=True, help="Why.")
@who_says
@json_option
def undo(*, job: str, why: str, who: Who, as_json: bool) -> None:
    """Take back the last thing you recorded of JOB, a group as one; a foreman takes back anybody's.

    Only within twelve hours, and before anybody built on it. Both stay to be seen, as with every strike.
    """
    act_on(job, who, as_json=as_json, act=lambda w, say: take_back(w, job, why, say))
