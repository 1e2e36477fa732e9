"""`torqueaudit label`: prints labels for jobs, and lists what they can be printed on."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit_plugins.qr_labels.stock import LabelRefused, find_stock, stock_names

if TYPE_CHECKING:
    from torqueaudit.model.label import LabelContent, LabelKind
    from torqueaudit.workshop.workshop import Workshop


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
@click.option("--kind", "kind_name", default="job", show_default=True, help="Which label; plugins add kinds.")
@click.option("--force", is_flag=True, help="Replace FILE when it exists.")
def print_labels(*, jobs: tuple[str, ...], stock_name: str, out: Path, start: int, kind_name: str, force: bool) -> None:
    """Write labels for JOBs; the word `print` may be left out.

    Each label is read back by a decoder before FILE is written.
    """
    try:
        stock = find_stock(stock_name)
        contents = _contents(jobs, kind_name, stock_name)
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


def _contents(jobs: tuple[str, ...], kind_name: str, stock_name: str) -> list["LabelContent"]:
    """Ask the book what the labels say."""
    from torqueaudit.workshop.opening import open_workshop  # `label stocks` needs no book
    from torqueaudit.workshop.showing import show_job

    path = click.get_current_context().find_root().obj
    if path is None:
        raise click.UsageError("no book named; give --book FILE or set TORQUEAUDIT_BOOK")
    with open_workshop(path) as workshop:
        kind = _kind(workshop, kind_name)
        if kind.stocks and stock_name not in kind.stocks:
            raise LabelRefused(f"{kind_name}: this label fits {', '.join(sorted(kind.stocks))}, not {stock_name}")
        address = workshop.settings.base_address
        views = [show_job(workshop, job) for job in jobs]
        withdrawn = next((view for view in views if view.withdrawn), None)
        if withdrawn:
            raise LabelRefused(f"job {withdrawn.number} was withdrawn ({withdrawn.withdrawn}); it gets no label")
        return [kind.content(view, address) for view in views]


def _kind(workshop: "Workshop", name: str) -> "LabelKind":
    """The kind of a name among those of every plugin; a plugin that broke is told and passed over."""
    known: dict[str, LabelKind] = {}
    for plugin, answer in workshop.plugins.ask("label_kinds"):
        if isinstance(answer, Exception):
            click.echo(f"plugin {plugin} broke while it was asked for its labels: {answer}", err=True)
        else:
            known |= {kind.name: kind for kind in answer if kind.name not in known}
    if name not in known:
        raise LabelRefused(f"{name}: no such kind of label; there are {', '.join(sorted(known))}")
    return known[name]
