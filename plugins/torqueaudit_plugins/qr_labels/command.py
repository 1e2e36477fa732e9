"""`torqueaudit label`: prints labels for jobs, and lists what they can be printed on."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit_plugins.qr_labels import job_label
from torqueaudit_plugins.qr_labels.stock import LabelRefused, find_stock, stock_names

if TYPE_CHECKING:
    from torqueaudit.model.label import LabelContent


class JobsOrCommand(click.Group):
    """A group whose first word may be a job's number: then it is `print` that is meant."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put `print` before anything that is neither a command of the group nor a call for help."""
        if args and args[0] not in self.commands and args[0] not in ctx.help_option_names:
            args = ["print", *args]
        return super().parse_args(ctx, args)

    def format_usage(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Show the short form first."""
        formatter.write_usage(ctx.command_path, "JOB... --stock NAME --out FILE")
        formatter.write_usage(ctx.command_path, "stocks [--json]")

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Show the options of `print`, as its name may be left out."""
        self.commands["print"].format_options(ctx, formatter)
        self.format_commands(ctx, formatter)


@click.group(cls=JobsOrCommand)
def label() -> None:
    """Print labels whose QR code opens the job's record."""


@label.command("print")
@click.argument("jobs", metavar="JOB...", nargs=-1, required=True)
@click.option("--stock", "stock_name", required=True, metavar="NAME", help="What to print on; see `label stocks`.")
@click.option("--out", required=True, type=click.Path(path_type=Path), metavar="FILE", help="A .pdf or .png to write.")
@click.option("--from", "start", default=1, metavar="N", help="First free position of a used sheet, counted by rows.")
@click.option("--force", is_flag=True, help="Replace FILE when it exists.")
def print_labels(jobs: tuple[str, ...], stock_name: str, out: Path, start: int, *, force: bool) -> None:
    """Write labels for JOBs; the word `print` may be left out.

    Each label is read back by a decoder before FILE is written.
    """
    try:
        stock = find_stock(stock_name)
        contents = _contents(jobs)
        from torqueaudit_plugins.qr_labels.make import make_labels  # loads pillow and the decoder

        make_labels(contents, stock, out, start=start, force=force)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused
    click.echo(f"{out}: {len(contents)} label{'s' if len(contents) > 1 else ''} on {stock.says}, each read back.")


@label.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def stocks(*, as_json: bool) -> None:
    """List the stocks that come with the program; a stock of your own is named by its .toml file."""
    found = [find_stock(name) for name in stock_names()]
    if as_json:
        rows = [
            {"name": stock.name, "width_mm": stock.label_mm[0], "height_mm": stock.label_mm[1], "dpi": stock.dpi}
            for stock in found
        ]
        click.echo(json.dumps(rows, indent=2))
        return
    for stock in found:
        click.echo(f"{stock.name:<12} {stock.says}")


def _contents(jobs: tuple[str, ...]) -> list["LabelContent"]:
    """Ask the book what the labels say."""
    from torqueaudit.workshop.opening import open_workshop  # `label stocks` needs no book
    from torqueaudit.workshop.showing import show_job

    book = click.get_current_context().find_root().obj
    if book is None:
        raise click.UsageError("no book is named; give --book FILE or set TORQUEAUDIT_BOOK.")
    with open_workshop(book) as workshop:
        return [job_label(show_job(workshop, job), workshop.settings.base_address) for job in jobs]
