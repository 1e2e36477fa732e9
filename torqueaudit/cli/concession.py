"""`torqueaudit concession`: permissions in spite of one finding."""

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, as_typed, json_option, who_says
from torqueaudit.model.job.acts import Permission
from torqueaudit.read.day import read_day
from torqueaudit.workshop.jobs.concessions import concede


@click.group()
def concession() -> None:
    """Permissions in spite of one finding."""


@concession.command("grant")
@click.argument("job")
@click.argument("rule")
@click.argument("subject")
@click.option("--basis", required=True, help="The technical basis.")
@click.option("--limit", required=True, help="Within what limit.")
@click.option("--until", required=True, help="Its last day, 2031-04-30.")
@who_says
@json_option
def grant(
    *,
    job: str,
    rule: str,
    subject: str,
    basis: str,
    limit: str,
    until: str,
    who: Who,
    as_json: bool,
) -> None:
    """Grant a concession for the finding RULE on SUBJECT, by key or position: `outside-tolerance rear-axle-nut`.

    The printed name (“rear axle nut”) is taken too; a group's key stands for each of its bolts that has this stop.
    """
    said = Permission(rule=rule, subject=subject, basis=basis, limit=limit, expires_on=as_typed(read_day, until))
    act_on(job, who, as_json=as_json, act=lambda w, say: concede(w, job, said, say))
