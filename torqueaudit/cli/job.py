"""`torqueaudit job`: opened, listed, shown, put on paper, released, handed over, struck.

Each command imports its own act: whoever only shows a job does not wait for the others.
"""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import Who, as_typed, entry_of, json_option, print_json, say_of, who_says, workshop_here
from torqueaudit.cli.values import VEHICLE, odometer_option

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torqueaudit.model.judged.finding import Finding
    from torqueaudit.model.shown.job import JobView
    from torqueaudit.model.vehicle.instrument import Run


@click.group()
def job() -> None:
    """Open, list and show jobs, write their records; release, hand over, strike."""


@job.command("open")
@click.option("--vehicle", type=VEHICLE, default="", help="The vehicle's number, V-3; with --follows not needed.")
@click.option("--procedure", default="", help="Its name, or the first characters of its digest.")
@odometer_option("“12 000 km”.")
@click.option("--follows", default="", metavar="JOB", help="The job on this vehicle that found what is put right.")
@click.option(
    "--only", multiple=True, metavar="KEY", help="A fastener that is done alone, by the procedure of the job followed."
)
@click.option("--second", is_flag=True, help="Another one by this procedure is open on the vehicle.")
@who_says
@json_option
def open_one(
    *,
    vehicle: str,
    procedure: str,
    odometer: "Run | None",
    sure: bool,
    follows: str,
    only: tuple[str, ...],
    second: bool,
    who: Who,
    as_json: bool,
) -> None:
    """Open a job on a vehicle by a procedure, or by some of its fasteners alone (--only).

    A job of some fasteners holds these, their parts that hold once only, what is measured or done right after them, and
    what proves the brake. With --follows, vehicle and procedure are those of the job that it follows.
    """
    _require_what_is_meant(vehicle, procedure, follows, only)
    from torqueaudit.cli.act import tell_next
    from torqueaudit.cli.command import typed
    from torqueaudit.model.job.acts import Opening
    from torqueaudit.workshop.jobs.job import open_job
    from torqueaudit.workshop.judged.job_view import view_of

    opening = Opening(vehicle, procedure, odometer, follows, second=second, only=only)
    with workshop_here() as workshop:
        number = open_job(workshop, opening, say_of(workshop, who)._replace(sure=sure))
        view = view_of(workshop, number)
    if as_json:
        print_json({"job": number, "token": view.token, "only": list(view.procedure.only)})
    else:
        following = f", follows job {follows}" if follows and only else ""
        click.echo(f"job {number}: opened on {view.vehicle_tag}, {view.procedure.title}{following}.")
        for key in (each for each in only if each not in view.procedure.only):
            click.echo(f"  {key}: one of a group, so the whole group is in this job.")
        for each in _of_opening(view):
            click.echo(f"  {each.weight.value}: {typed(each.sentence, each.see)}")
        if view.follows:
            for found in view.follows.carried:
                click.echo(f"  carried over from job {view.follows.job}: {found}")
        tell_next(view)


def _require_what_is_meant(vehicle: str, procedure: str, follows: str, only: tuple[str, ...]) -> None:
    if not (vehicle or follows):
        raise click.UsageError("give --vehicle, or with --follows the job on it that this one follows")
    if not (procedure or (follows and only)):
        raise click.UsageError("give --procedure, or --follows and --only for some fasteners of the job it follows")


def _of_opening(view: "JobView") -> "Iterator[Finding]":
    """What is wrong with the opening itself: no work takes it away, so it is not about any of the work."""
    for found in (each.finding for each in view.findings if not each.concession):
        if found.weight.value != "note" and found.entry == view.opening.entry and not found.about.key and not found.due:
            yield found


@job.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every job, the newest first."""
    from torqueaudit.workshop.door.lists import jobs

    with workshop_here() as workshop:
        rows = jobs(workshop)
    if as_json:
        from torqueaudit.reports.json.register import job_row_json

        print_json([job_row_json(row) for row in rows])
        return
    for row in rows:
        click.echo(f"{row.job:>6}  {row.vehicle:<6} {row.state:<12} {row.opened_on}  {row.title}")


@job.command("show")
@click.argument("number", metavar="JOB")
@click.option(
    "--as-of", metavar="ENTRY", default="", help="As it stood at an entry of the record, by its number (“#77”)."
)
@json_option
def show_one(*, number: str, as_of: str, as_json: bool) -> None:
    """Show a job at a glance, as it stands now or as it stood at an entry of the record.

    As it stood then it has its course beside it: every act up to there, what was struck, and what was told late. It is
    judged by the rules of today, from what was known then.
    """
    if as_of:
        _show_then(number, entry_of(as_of, "vehicle life"), as_json=as_json)
        return
    from torqueaudit.workshop.judged.job_view import show_job

    with workshop_here() as workshop:
        view = show_job(workshop, number)
    if as_json:
        from torqueaudit.cli.command import commands_of
        from torqueaudit.reports.json.job import job_json

        print_json(job_json(view, commands_of(view)))
        return
    from torqueaudit.cli.job_sheet import lines_of

    click.echo("\n".join(lines_of(view)))


def _show_then(number: str, entry: int, *, as_json: bool) -> None:
    from torqueaudit.workshop.life.job_then import show_job_then

    with workshop_here() as workshop:
        told = show_job_then(workshop, number, entry)
    if as_json:
        from torqueaudit.reports.json.course import job_then_json

        print_json(job_then_json(told))
        return
    from torqueaudit.cli.then_sheet import lines_of

    click.echo("\n".join(lines_of(told)))


@job.command("compare")
@click.argument("one", metavar="JOB")
@click.argument("other", metavar="JOB")
@json_option
def compare(*, one: str, other: str, as_json: bool) -> None:
    """Show two jobs side by side: what was specified, applied and seen in each, and what differs."""
    from torqueaudit.workshop.life.compare import compare_jobs

    with workshop_here() as workshop:
        told = compare_jobs(workshop, one, other)
    if as_json:
        from torqueaudit.reports.json.compared import compared_json

        print_json(compared_json(told))
        return
    from torqueaudit.cli.compared_sheet import lines_of

    click.echo("\n".join(lines_of(told)))


@job.command("record")
@click.argument("number", metavar="JOB")
@click.option(
    "--out", required=True, type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help="The PDF to write."
)
def record_one(*, number: str, out: Path) -> None:
    """Write the record of a job as a PDF, for its owner and for the file; a file of that name is replaced.

    It is made to be kept (PDF/A-3), with the record as JSON in it, and judged at the last entry of the book: the same
    book gives the same file. People stand in it by their numbers.
    """
    if out.suffix.lower() != ".pdf":
        raise click.UsageError(f"{out}: a record is a PDF; write it as {out.with_suffix('.pdf')}")
    from torqueaudit.book.flushing import write_all
    from torqueaudit.cli.common import note_made
    from torqueaudit.reports.paper_record import record_pdf
    from torqueaudit.workshop.paper.record import changed_since, paper_of

    with workshop_here() as workshop:
        paper = paper_of(workshop, number)
        changed = changed_since(workshop, paper.record)
    pdf = record_pdf(paper.record, paper.photos)
    try:
        write_all({out: pdf})
    except OSError as error:
        raise click.ClickException(f"{out} cannot be written: {error.strerror}; name another folder or file") from None
    note_made(f"{out} is a whole record")
    book = paper.record.job.book
    click.echo(f"written: {out}, as the book stood on {book.asked_at:%Y-%m-%d %H:%M} ({book.head.rpartition('/')[0]})")
    for sentence in changed:
        click.echo(f"  the days since have changed how it stands: {sentence}", err=True)


@job.command("release")
@click.argument("number", metavar="JOB")
@who_says
@json_option
def release_one(*, number: str, who: Who, as_json: bool) -> None:
    """Permit the hand-over; refused while a stop stands."""
    from torqueaudit.cli.act import act_on
    from torqueaudit.workshop.jobs.release import release

    act_on(number, who, as_json=as_json, act=lambda w, say: release(w, number, say))
    if not as_json:
        from torqueaudit.model.shown.job import SIGNATURE

        click.echo(f"  {SIGNATURE}")


@job.command("hand-over")
@click.argument("number", metavar="JOB")
@odometer_option("“12 000 km”.")
@click.option("--with-stops", is_flag=True, help="It leaves although stops stand; say why.")
@click.option("--why", default="", help="Why it leaves with them, such as “owner towed it away”.")
@click.option(
    "--recheck-by",
    metavar="DAY",
    help="A foreman names the day of the re-check where its plan names none and the vehicle shows none of it.",
)
@who_says
@json_option
def hand_over_one(
    *,
    number: str,
    odometer: "Run | None",
    sure: bool,
    with_stops: bool,
    why: str,
    recheck_by: str | None,
    who: Who,
    as_json: bool,
) -> None:
    """Record that the vehicle left; the re-check counts from here."""
    if with_stops != bool(why.strip()):
        raise click.UsageError("--with-stops and --why belong together: say why it leaves although stops stand")
    from torqueaudit.cli.act import act_on
    from torqueaudit.read.day import read_day
    from torqueaudit.workshop.jobs.release import hand_over

    by = as_typed(read_day, recheck_by) if recheck_by else None
    act_on(
        number,
        who,
        as_json=as_json,
        act=lambda w, say: hand_over(w, number, odometer, say, why, by),
        sure=sure,
    )


@job.command("strike")
@click.argument("number", metavar="JOB")
@click.argument("entry", metavar="ENTRY")
@click.option("--why", required=True)
@who_says
@json_option
def strike_one(*, number: str, entry: str, why: str, who: Who, as_json: bool) -> None:
    """Withdraw one fact of a job, by its entry's number (“#77”); striking the opening withdraws the job."""
    from torqueaudit.cli.act import act_on
    from torqueaudit.workshop.jobs.strikes import strike

    act_on(number, who, as_json=as_json, act=lambda w, say: strike(w, number, entry_of(entry), why, say))
