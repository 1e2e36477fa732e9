"""`torqueaudit signed`: what was signed for in some days, by whom, and what an auditor would ask about."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import as_typed, json_option, print_json, workshop_here

if TYPE_CHECKING:
    from torqueaudit.model.shown.sign_off import SignOff
    from torqueaudit.model.shown.signed_job import SignedJob


@click.command()
@click.option(
    "--from", "first", metavar="DAY", help="The first local day, such as 2031-03-31. Default: last week's Monday."
)
@click.option("--to", "last", metavar="DAY", help="The last one. Default: six days after the first.")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="The folder for the PDF, JSON and CSV files."
)
@json_option
def signed(first: str | None, last: str | None, out: Path | None, *, as_json: bool) -> None:
    """Show each job that was checked, released or handed over in some days, and what stands out.

    Without days it is last week, Monday to Sunday. Every job is told as it stood at the end of the days.
    """
    from torqueaudit.read.day import read_day
    from torqueaudit.reports.json.sign_off import sign_off_json
    from torqueaudit.workshop.sign_off.sign_off import sign_off_of, with_head

    days = [as_typed(read_day, day) if day else None for day in (first, last)]
    with workshop_here() as workshop:
        told = with_head(workshop, sign_off_of(workshop, *days))
    written = _write(told, out) if out else ()
    if as_json:
        print_json(sign_off_json(told))
    else:
        for line in _lines(told):
            click.echo(line)
    for path in written:
        click.echo(f"written: {path}", err=as_json)


def _write(told: "SignOff", folder: Path) -> Sequence[Path]:
    from torqueaudit.reports.sign_off.files import write_sign_off  # few ask for files

    return write_sign_off(told, folder)


def _lines(told: "SignOff") -> Iterator[str]:
    from torqueaudit.model.shown.sign_off import jobs_text

    demo = " (demo: an invented workshop)" if told.demo else ""
    yield f"{told.site}, signed for from {told.days}{demo}"
    yield from told.remarks
    if told.nothing:
        yield told.nothing
    yield from (f"{says}: {jobs_text(jobs)}" for says, jobs in told.summary)
    for job in told.jobs:
        yield from _job_lines(job)
    yield f"What an auditor would ask about: {len(told.facts) or 'none'}"
    yield f"  {told.before_facts}"
    yield from (f"  {fact.text}" for fact in told.facts)
    yield f"Head of the chain: {told.head}"


def _job_lines(job: "SignedJob") -> Iterator[str]:
    named = f"{job.tag} ({job.vehicle})" if job.tag else job.vehicle
    yield f"Job {job.number}: {job.title}, {named}: {job.state}"
    for name, said in job.signed:
        yield f"  {name}: {said}"
    for fastener in job.fasteners:
        yield f"  {fastener.name}: {fastener.says}"
    for name, said in job.beside:
        yield f"  {name}: {said}"
