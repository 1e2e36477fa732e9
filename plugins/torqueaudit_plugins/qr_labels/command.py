"""`torqueaudit label`: prints labels for jobs and wrenches, and lists what they can be printed on."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit_plugins.qr_labels.stock import LabelRefused, Stock, find_stock, stock_names, stock_text

if TYPE_CHECKING:
    from collections.abc import Callable

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


class Shift(click.ParamType[tuple[float, float]]):
    """Two lengths in millimetres with a comma between them."""

    name = "RIGHT,DOWN"

    def convert(
        self, value: str | tuple[float, float], param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """Read "1.5,-0.5"."""
        if isinstance(value, tuple):
            return value
        try:
            right, down = (float(part) for part in value.split(","))
        except ValueError:
            self.fail(f"{value}: write how far to the right and down in millimetres, such as 1.5,-0.5", param, ctx)
        return right, down


_OUT = click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="A .pdf, .png or .svg to write.")
_STOCK = click.option("--stock", "stock_name", metavar="NAME", help="What to print on; see `label stocks`.")
_SHIFT = click.option("--shift", type=Shift(), help="Millimetres to move the print against what the printer is off.")
_FORCE = click.option("--force", is_flag=True, help="Replace FILE when it exists.")


@click.group(cls=JobsOrCommand)
def label() -> None:
    """Print labels whose QR code opens a record: of a job, or of a wrench."""


@label.command("print")
@click.argument("numbers", metavar="JOB...", nargs=-1, required=True)
@_STOCK
@_OUT
@click.option("--printer", metavar="NAME", help="Print by the system's spooler (lp) instead of writing a file.")
@click.option("--option", "options", multiple=True, metavar="NAME=VALUE", help="An option for lp; may be repeated.")
@click.option("--from", "start", default=1, metavar="N", help="First free position of a used sheet, counted by rows.")
@click.option("--kind", "kind_name", default="job", show_default=True, help="Which label; see `label kinds`.")
@_SHIFT
@_FORCE
def print_labels(
    *,
    numbers: tuple[str, ...],
    stock_name: str | None,
    out: Path | None,
    printer: str | None = None,
    options: tuple[str, ...] = (),
    start: int = 1,
    kind_name: str = "job",
    shift: tuple[float, float] | None = None,
    force: bool = False,
) -> None:
    """Write or print labels for JOBS, or for wrenches with `--kind wrench`; the word `print` may be left out.

    Each label is read back by a decoder before it is handed out. A .svg holds the symbol alone and needs no stock.
    """
    if (out is None) == (printer is None):
        raise click.UsageError("Missing option '--out': name a FILE to write, or a --printer, and not both")
    alone = out is not None and out.suffix == ".svg"
    if stock_name is None and not alone:
        raise click.UsageError("Missing option '--stock'; `torqueaudit label stocks` lists them")
    try:
        stock = _stock(stock_name, shift) if stock_name else None
        contents = _contents(numbers, kind_name, stock)
        if alone and out:
            from torqueaudit_plugins.qr_labels.make import make_drawing  # loads pillow and the decoder

            make_drawing(contents, out, force=force)
            click.echo(f"{out}: the symbol of {contents[0].title}, read back.")
        elif stock:
            _make(contents, stock, out, printer or "", options, start=start, force=force)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused


@label.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--pictures", type=click.Path(path_type=Path, file_okay=False), help="Draw each one into this folder.")
@click.option("--text", "name", metavar="NAME", help="Print the file of one, to begin a stock of your own from.")
def stocks(*, as_json: bool, pictures: Path | None, name: str | None) -> None:
    """List the stocks that come with the program; a stock of your own is named by its .toml file."""
    try:
        if name:
            click.echo(stock_text(name), nl=False)
            return
        found = [find_stock(each) for each in stock_names()]
        if pictures:
            from torqueaudit_plugins.qr_labels.stock_picture import draw_pictures  # loads pillow

            draw_pictures(found, pictures)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused
    if as_json:
        import json  # printing needs none

        rows = [
            {"name": stock.name, "width_mm": stock.label_mm[0], "height_mm": stock.label_mm[1], "dpi": stock.dpi}
            for stock in found
        ]
        click.echo(json.dumps(rows, indent=2))
        return
    for stock in found:
        click.echo(f"{stock.name:<12} {stock.says}")
    if pictures:
        click.echo(f"\nA picture of each lies in {pictures}.")


@label.command()
def kinds() -> None:
    """List the kinds of label, with the stocks each fits."""
    from torqueaudit_plugins.qr_labels.asking import all_kinds, book_here

    with book_here() as workshop:
        for kind in all_kinds(workshop).values():
            fits = f" ({', '.join(sorted(kind.stocks))})" if kind.stocks else ""
            click.echo(f"{kind.name:<8} {kind.says}{fits}")


@label.command("test")
@_STOCK
@_OUT
@_SHIFT
@_FORCE
def test_page(*, stock_name: str | None, out: Path | None, shift: tuple[float, float] | None, force: bool) -> None:
    """Write a page with rulers, to find out how far a printer is off on a stock."""
    if stock_name is None or out is None:
        raise click.UsageError("name a stock with --stock and a .pdf to write with --out")
    try:
        stock = _stock(stock_name, shift)
        from torqueaudit_plugins.qr_labels.ruler import make_test_page  # loads pillow

        make_test_page(stock, out, force=force)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused
    click.echo(
        f"{out}: a test page for {stock.name}. Print it at its full size on plain paper, hold it against the stock, "
        "and read off how far a frame lies from its label. Then print with --shift RIGHT,DOWN, or write shift_x_mm and "
        f"shift_y_mm into a stock of your own (`torqueaudit label stocks --text {stock.name} > mine.toml`)."
    )


def _stock(name: str, shift: tuple[float, float] | None) -> Stock:
    stock = find_stock(name)
    return stock.shifted(*shift) if shift else stock


def _make(
    contents: list["LabelContent"],
    stock: Stock,
    out: Path | None,
    printer: str,
    options: tuple[str, ...],
    *,
    start: int,
    force: bool,
) -> None:
    from torqueaudit_plugins.qr_labels import make  # loads pillow and the decoder

    tell = _progress() if len(contents) > stock.per_page > 1 else lambda *_: None
    if out:
        names, says = make.make_labels(contents, stock, out, start=start, force=force, tell=tell)
        done = f"{', '.join(map(str, names))}: "
    else:
        from torqueaudit_plugins.qr_labels.handing import spool
        from torqueaudit_plugins.qr_labels.placing import place

        files, says = make.checked(place(contents, stock, start), stock, make.PDF, tell=tell)
        done = f"{spool(files, printer, make.title_of(contents), options)}: "
    for sentence in says:
        click.echo(sentence, err=True)
    click.echo(f"{done}{len(contents)} label{'s' if len(contents) > 1 else ''} on {stock.says}, each read back.")


def _progress() -> "Callable[[str, int, int], None]":
    """Say on the error output how far a long run is."""

    def tell(what: str, done: int, of: int) -> None:
        click.echo(f"{what} {done} of {of} labels", err=True)

    return tell


def _contents(numbers: tuple[str, ...], kind_name: str, stock: Stock | None) -> list["LabelContent"]:
    from torqueaudit_plugins.qr_labels.asking import ask  # `label stocks` needs no book

    contents, says = ask(numbers, kind_name, stock)
    for sentence in says:
        click.echo(sentence, err=True)
    return contents
