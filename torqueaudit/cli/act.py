"""Running one act on a job, and what the person sees next."""

from collections.abc import Callable, Sequence

import click

from torqueaudit.cli.command import commands_of, typed
from torqueaudit.cli.common import Who, print_json, say_of, workshop_here
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Say
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.sentences import stops_text, together
from torqueaudit.model.shown.job import JobView
from torqueaudit.reports.json.job import act_json
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.answer import answered
from torqueaudit.workshop.judged.job_view import view_of

OUT = "The vehicle is out with a stop standing. Reach whoever rides it before anything else:"


def act_on(
    job: str,
    who: Who,
    *,
    as_json: bool,
    act: Callable[[Workshop, Say], Sequence[Entry]],
    whole: bool = False,
    here: bool = False,
    again: bool = False,
    sure: bool = False,
) -> None:
    """Do it, then tell what was understood, what the rules think of it and what comes next.

    The stops of a vehicle that is out are listed where the act changed them, or where they are wanted `whole`.
    """
    with workshop_here() as workshop:
        before = workshop.book.head().sequence
        stood = _stops_since_it_left(workshop, job)
        entries = act(workshop, say_of(workshop, who)._replace(here=here, again=again, sure=sure))
        view, answer = answered(workshop, job, entries)
    fresh = [each.finding for each in view.findings if each.finding.entry > before and not each.concession]
    if as_json:
        print_json(act_json(view, answer, fresh, commands_of(view)))
        return
    click.echo(f"job {job}: recorded. It is {view.state}, with {stops_text(len(view.told_stops))} standing.")
    click.echo(
        f"  {view.vehicle_tag} ({view.vehicle}){', here again' if answer.arrived else ''}, {view.procedure.title}"
    )
    click.echo(f"  {answer.says}")
    new = [each for each in view.stops if stood is not None and each.says not in stood and each not in fresh]
    _tell(view, [*fresh, *new], whole=whole or stood != {each.says for each in view.stops})


def _stops_since_it_left(workshop: Workshop, job: str) -> set[str] | None:
    """The stops of a vehicle that left, so that an act tells which of them it changed; None before it left."""
    record = workshop.record(job)
    return {each.says for each in view_of(workshop, job).stops} if record.hand_over else None


def _tell(view: JobView, fresh: Sequence[Finding], *, whole: bool) -> None:
    """What is new; of a vehicle that is out every stop that stands, or how many there are."""
    many = len(view.told_stops)
    if view.on_the_road and many:
        click.echo(f"  {OUT}" if whole else f"  The vehicle is out, with the same {stops_text(many)}: see `job show`.")
        fresh = [*(view.stops if whole else ()), *(each for each in fresh if each not in view.stops)]
    for each in together(fresh):
        click.echo(f"  {each.weight.value}: {typed(each.sentence, each.see)}")
    tell_next(view)


def tell_next(view: JobView) -> None:
    """What comes next, and what to type then."""
    for each, command in list(zip(view.to_do, commands_of(view), strict=True))[:1]:
        click.echo(f"  next: {typed(each.sentence, each.see)}")
        if command:
            click.echo(f"    {command}")
