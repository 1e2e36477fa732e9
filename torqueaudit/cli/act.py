"""Running one act on a job, and what the person sees next."""

from collections.abc import Callable

import click

from torqueaudit.cli.common import print_json, say_of, workshop_here
from torqueaudit.model.together import together
from torqueaudit.workshop.acting import Say
from torqueaudit.workshop.showing import show_job
from torqueaudit.workshop.workshop import Workshop


def act_on(
    job: str, by: str, at: str | None, ago: int, act_id: str, *, as_json: bool, act: Callable[[Workshop, Say], None]
) -> None:
    """Do it, then tell what the rules think of it and what comes next."""
    with workshop_here() as workshop:
        before = workshop.book.head().sequence
        act(workshop, say_of(workshop, by, at, ago, act_id))
        view = show_job(workshop, job)
    fresh = [each.finding for each in view.findings if each.finding.entry > before and not each.concession]
    if as_json:
        print_json(
            {"job": job, "state": view.state, "findings": fresh, "stops": len(view.stops), "next": list(view.next)}
        )
        return
    click.echo(f"job {job}: recorded. It is {view.state}, with {len(together(view.stops))} stop(s) standing.")
    if view.stops and view.handed_over_on:
        click.echo("  The vehicle is out with a stop standing. Reach whoever rides it before anything else:")
        fresh = list(view.stops)
    for each in together(fresh):
        click.echo(f"  {each.weight.value}: {each.says}")
    if view.next:
        click.echo(f"  next: {view.next[0]}")
