"""`torqueaudit device`: phones and tablets on which people sign."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.book.disk import check_free
from torqueaudit.cli.command import typed
from torqueaudit.cli.common import (
    Who,
    answer,
    by_option,
    json_option,
    print_json,
    said_by,
    say_of,
    who_says,
    why_option,
    workshop_here,
)
from torqueaudit.cli.values import DEVICE
from torqueaudit.model.shown.label import ADMIT
from torqueaudit.reports.json.register import device_json, invitation_json
from torqueaudit.workshop.signing.devices import DeviceView, admission_address, invite, show_devices, withdraw_device

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


@click.group()
def device() -> None:
    """Phones and tablets on which people sign. Each is let in once, by a foreman."""


@device.command("admit")
@click.option("--name", required=True, help="What it is called, such as “tablet at lift 2”; name nobody.")
@click.option("--png", type=click.Path(path_type=Path, dir_okay=False), help="Write the square code into this file.")
@by_option("Who lets it in: a foreman's number. Default: setup, who keeps the book.")
@json_option
def admit(*, name: str, png: Path | None, by: str, as_json: bool) -> None:
    """Print an address, and its square code, that lets one phone or tablet in: once, within ten minutes.

    Whoever opens it first is let in, so show it to nobody else.
    """
    from torqueaudit.workshop.register.printing import unreachable  # brings all of labels with it

    if png:
        check_free(png)  # before anybody is invited by an address that is then shown to nobody
    with workshop_here() as workshop:
        given = invite(workshop, said_by(workshop, by), name)
        address = admission_address(workshop, given.code)
        until = given.until.astimezone(workshop.settings.timezone)
        alone = unreachable(workshop.settings, ADMIT)
    for each in alone:  # a phone that opens nothing looks like one that was refused
        click.echo(typed(each.says, each.see), err=True)
    if png:
        _write(png, address)
    if as_json:
        print_json(invitation_json(given, address))
        return
    click.echo(f"Open this on {given.name}, before {until:%H:%M}. It lets in one device, once; show it to nobody else.")
    click.echo(f"  {address}")
    if png:
        click.echo(f"{png}: its square code. Take the file away once the device is let in.")
        return
    from torqueaudit.reports.symbol import block_symbol  # slow to load

    for line in block_symbol(address):
        click.secho(line, fg="black", bg="bright_white")


def _write(png: Path, address: str) -> None:
    from torqueaudit.book.flushing import write_whole
    from torqueaudit.reports.symbol import png_symbol

    try:
        write_whole(png, png_symbol(address), rights=0o600)  # whoever reads it is let in
    except OSError as error:
        raise click.ClickException(f"{png} cannot be written: {error.strerror}") from None


@device.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every device that was let in, also those that were withdrawn."""
    with workshop_here() as workshop:
        rows, zone = show_devices(workshop), workshop.settings.timezone
    if as_json:
        print_json([device_json(row) for row in rows])
        return
    for row in rows:
        click.echo(f"{row.number:<6} {row.name:<24} {'; '.join(_facts(row, zone))}")


def _facts(row: DeviceView, zone: "ZoneInfo") -> Iterator[str]:
    yield f"let in on {row.admitted_on} by {row.by}"
    if row.withdrawn_on:
        yield f"WITHDRAWN on {row.withdrawn_on}"
        return
    if row.last_seen:
        yield f"last seen {row.last_seen.astimezone(zone):%Y-%m-%d %H:%M}"
    if row.locked:
        yield f"LOCKED after wrong PINs: `torqueaudit person unlock {row.number}`"
    if not row.has_key:
        yield "this book does not know its key: let it in anew, and withdraw this number"


@device.command("withdraw")
@click.argument("number", metavar="DEVICE", type=DEVICE)
@why_option("Why it is withdrawn", "“left on a train”")
@who_says
@json_option
def withdraw(*, number: str, why: str, who: Who, as_json: bool) -> None:
    """Let a device in no more, as one that is lost; whoever is signed in there is signed out. By a foreman."""
    with workshop_here() as workshop:
        withdraw_device(workshop, say_of(workshop, who), number, why)
    answer({"device": number}, f"{number}: withdrawn; nobody signs on it any more", as_json=as_json)
