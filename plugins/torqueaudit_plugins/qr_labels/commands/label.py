"""`torqueaudit label`: prints labels for jobs, wrenches and people, and lists what they can be printed on."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.plugin import MOST_IN, read_decimal
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock, find_stock, stock_names, stock_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from torqueaudit.plugin import LabelContent


class JobsOrCommand(click.Group):
    """A group whose first word may be a job's number: then it is `print` that is meant."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put `print` before an option that is no call for help, and before a number."""
        first = args[0] if args else ""
        is_option = first.startswith("-") and first not in ctx.help_option_names
        if is_option or any(map(str.isdigit, first)):
            args = ["print", *args]
        return super().parse_args(ctx, args)

    def format_usage(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Show the short form first."""
        formatter.write_usage(ctx.command_path, "JOB... --stock NAME --out FILE")
        formatter.write_usage(ctx.command_path, "WRENCH... --kind wrench --stock NAME --out FILE")
        formatter.write_usage(ctx.command_path, "PERSON... --kind person --stock NAME --out FILE")
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
            right, down = (float(read_decimal(part, "--shift", MOST_IN["mm"])) for part in value.split(","))
        except ValueError:
            self.fail(f"{value}: write how far to the right and down in millimetres, such as 1.5,-0.5", param, ctx)
        return right, down


_STOCK = click.option(
    "--stock", "stock_name", metavar="NAME", help="The label paper: a name of `label stocks`, or a .toml of your own."
)
_SHIFT = click.option(
    "--shift",
    type=Shift(),
    help="Print so many millimetres farther to the right and down, such as 1.5,-0.5; `label test` shows how many.",
)
_FORCE = click.option("--force", is_flag=True, help="Replace FILE when it exists.")


@click.group(cls=JobsOrCommand)
def label() -> None:
    """Print labels whose QR code opens a record, of a job or of a wrench, or the page on which a person signs in.

    Every label is read back before it is handed out. A .svg holds the QR code alone, of one record, and needs no stock.
    """


@label.command("print", short_help="Print labels; the word `print` may be left out.")
@click.argument("numbers", metavar="JOB...", nargs=-1, required=True)
@_STOCK
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="A .pdf, .png or .svg to write.")
@click.option("--printer", metavar="NAME", help="Print at once on this printer, by `lp`, instead of writing a file.")
@click.option(
    "--option",
    "options",
    multiple=True,
    metavar="NAME=VALUE",
    help="A setting of the printer, such as media=A4, given to `lp`; may be repeated.",
)
@click.option(
    "--from",
    "start",
    default=1,
    metavar="N",
    help="The first label that is still on a used sheet, counted along the rows from 1.",
)
@click.option(
    "--kind",
    "kind_name",
    default="job",
    show_default=True,
    metavar="NAME",
    help="What the label is for, such as owner, marks, wrench or person; see `label kinds`.",
)
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
    """Write or print labels for jobs, given by their numbers, or for wrenches or people with `--kind`.

    Every label is read back before it is handed out. A .svg holds the QR code alone, of one record, and needs no stock.
    """
    if (out is None) == (printer is None):
        raise click.UsageError("Missing option '--out': name a FILE to write, or a --printer, and not both")
    alone = out is not None and out.suffix == ".svg"
    if stock_name is None and not alone:
        raise click.UsageError("Missing option '--stock'; `torqueaudit label stocks` lists them")
    _require_printer(printer, options)
    try:
        stock = _stock(stock_name, shift) if stock_name else None
        _require_place(start, shift, None if alone else stock)
        contents = _contents(numbers, kind_name, stock)
        if alone and out:
            from torqueaudit_plugins.qr_labels.printing.make import make_drawing  # loads pillow and the decoder

            make_drawing(contents, out, force=force)
            click.echo(f"{out}: the symbol of {contents[0].title}, read back.")
        elif stock:
            _make(contents, stock, out, printer or "", options, start=start, force=force)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused


@label.command(short_help="List the label papers that are known.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option(
    "--pictures",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="FOLDER",
    help="Draw each one into this folder, with a label at its first place.",
)
@click.option("--text", "name", metavar="NAME", help="Print the file of one, to begin a stock of your own from.")
def stocks(*, as_json: bool, pictures: Path | None, name: str | None) -> None:
    """List the stocks (label papers) that come with the program, each with its dimensions.

    Measure a label of yours and take the stock of that size. For another size print the file of a stock that is like
    it (--text), change its dimensions, save it as NAME.toml, and give --stock NAME.toml.
    """
    try:
        if name:
            click.echo(stock_text(name), nl=False)
            return
        found = [find_stock(each) for each in stock_names()]
        if pictures:
            from torqueaudit_plugins.qr_labels.printing.stock_picture import draw_pictures  # loads pillow

            draw_pictures(found, pictures)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused
    if as_json:
        rows = [
            {"name": stock.name, "width_mm": stock.label_mm[0], "height_mm": stock.label_mm[1], "dpi": stock.dpi}
            for stock in found
        ]
        click.echo(json.dumps(rows, indent=2))
        return
    for stock in found:
        click.echo(f"{stock.name:<12} {stock.says}")
    if pictures:
        click.echo(f"\nA picture of each lies in {pictures}, by its name: {found[0].name}.png and so on.")
    else:
        click.echo("\n--pictures FOLDER draws each one; --text NAME begins a stock of another size, see --help.")


@label.command(short_help="List what labels there are, and the stocks each fits.")
def kinds() -> None:
    """List the kinds of label, with the stocks each fits."""
    from torqueaudit.plugin.commands import label_kinds, workshop_here

    with workshop_here() as workshop:
        known, broken = label_kinds(workshop)
        for sentence in broken:
            click.echo(sentence, err=True)
        for kind in known.values():
            fits = f" ({', '.join(sorted(kind.stocks))})" if kind.stocks else ""
            click.echo(f"{kind.name:<8} {kind.says}{fits}")


@label.command("test", short_help="Write a test page, to find out how far a printer is off.")
@_STOCK
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="A .pdf to write.")
@_SHIFT
@_FORCE
def test_page(*, stock_name: str | None, out: Path | None, shift: tuple[float, float] | None, force: bool) -> None:
    """Write a test page with rulers and a frame for each label, to find out how far a printer is off on a stock.

    Print it at its full size on plain paper and hold it against the stock. With --shift the frames are moved as the
    labels would be.
    """
    if stock_name is None or out is None:
        raise click.UsageError("name a stock with --stock and a .pdf to write with --out")
    try:
        stock = _stock(stock_name, shift)
        from torqueaudit_plugins.qr_labels.printing.ruler import make_test_page  # loads pillow

        make_test_page(stock, out, force=force)
    except LabelRefused as refused:
        raise click.UsageError(str(refused)) from refused
    click.echo(
        f"{out}: a test page for {stock.name}. Print it at its full size on plain paper, hold it against the stock, "
        "and read off how far a frame lies from its label. Then print with --shift RIGHT,DOWN, or write shift_x_mm and "
        f"shift_y_mm into a stock of your own (`torqueaudit label stocks --text {stock.name} > mine.toml`)."
    )


def _require_printer(printer: str | None, options: tuple[str, ...]) -> None:
    """Refuse what `lp` could make nothing of."""
    if printer is not None and not printer.strip():
        raise click.UsageError("--printer names no printer; `lpstat -p` lists them")
    if options and printer is None:
        raise click.UsageError("--option is a setting of a printer; name one with --printer, or leave --option out")
    for option in options:
        if not option.partition("=")[0].strip():
            raise click.UsageError(f"--option {option!r} names no setting; write one such as media=A4")


def _require_place(start: int, shift: tuple[float, float] | None, stock: Stock | None) -> None:
    """Refuse a place where the labels have none: on a roll, or without a stock."""
    if stock is None and (start != 1 or shift):
        raise LabelRefused("a .svg holds the QR code alone, and that has no place; leave --from and --shift out")
    if stock and not stock.is_sheet and start != 1:
        raise LabelRefused(f"--from is for a sheet that is partly used, and {stock.name} is a roll; leave --from out")


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
    from torqueaudit_plugins.qr_labels.printing import make  # loads pillow and the decoder

    tell = _progress() if len(contents) > stock.per_page > 1 else lambda *_: None
    if out:
        names, says = make.make_labels(contents, stock, out, start=start, force=force, tell=tell)
        done = f"{', '.join(map(str, names))}: "
    else:
        from torqueaudit.plugin.commands import NotPrinted, spool
        from torqueaudit_plugins.qr_labels.calc.places import place

        files, says = make.checked(place(contents, stock, start), stock, make.PDF, tell=tell)
        try:
            done = f"{spool(files, printer, make.title_of(contents), options)}: "
        except NotPrinted as refused:
            raise LabelRefused(str(refused)) from refused
    for sentence in says:
        click.echo(sentence, err=True)
    click.echo(f"{done}{len(contents)} label{'s' if len(contents) > 1 else ''} on {stock.says}, each read back.")


def _progress() -> "Callable[[str, int, int], None]":
    """Say on the error output how far a long run is."""

    def tell(what: str, done: int, of: int) -> None:
        click.echo(f"{what} {done} of {of} labels", err=True)

    return tell


def _contents(numbers: tuple[str, ...], kind_name: str, stock: Stock | None) -> list["LabelContent"]:
    """What the labels say, with what is told to whoever prints them on the error output."""
    from torqueaudit.plugin.commands import NoLabel, labels_of, refusal, typed, workshop_here

    with workshop_here() as workshop:
        try:
            labels = labels_of(workshop, kind_name, numbers, stock.name if stock else "")
        except NoLabel as refused:
            raise click.UsageError(refusal(refused)) from refused
    for sentence in labels.says:
        click.echo(typed(*sentence), err=True)
    return list(labels.contents)
