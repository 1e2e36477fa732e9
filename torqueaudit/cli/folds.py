"""The sections of a night, or of today, on the screen: each motorcycle in one row."""

from typing import TYPE_CHECKING

import click

from torqueaudit.cli.command import typed
from torqueaudit.model.shown.rows import call_text, count_text, folded, reaches_owner

if TYPE_CHECKING:
    from torqueaudit.model.shown.night import Night, Today
    from torqueaudit.model.shown.rows import Row


def print_folds(told: "Night | Today", *, empty: bool = True) -> None:
    """Section by section; those without a line only where `empty` is wanted."""
    for fold in folded(told.sections):
        if fold.section.lines or empty:
            click.echo(f"{fold.section.title}: {count_text(fold)}")
        for row in fold.rows:
            _print_row(told, fold.section.title, row)


def _print_row(told: "Night | Today", title: str, row: "Row") -> None:
    """A motorcycle with all that is told of it, each under its job and, where it is another, its section."""
    if not row.vehicle:
        click.echo(f"  {typed(row.reasons[0].line.says, row.reasons[0].line.see)}")
        return
    named = ", ".join(each for each in (row.tag, row.vehicle) if each)
    click.echo(f"  {named}{_call(told, row)}")
    for reason in row.reasons:
        of = [reason.title] if reason.title != title else []
        job = [f"job {reason.line.job}"] if reason.line.job else []
        where = f"{', '.join((*of, *job))}: " if of or job else ""
        click.echo(f"    {where}{typed(reason.line.says, reason.line.see)}")


def _call(told: "Night | Today", row: "Row") -> str:
    """Whom to call about a motorcycle, and the command that shows by which number or address."""
    if not row.calls:
        return ""
    by = f" (`torqueaudit vehicle owner {row.vehicle}` shows by what)" if reaches_owner(row, told.unreached) else ""
    return f": call {call_text(row, told.unreached)}{by}"
