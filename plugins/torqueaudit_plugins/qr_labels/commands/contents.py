"""What the book has to say on labels: the kinds of every plugin, and the contents for jobs and wrenches."""

import re
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import click

from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock, stock_names

if TYPE_CHECKING:
    from torqueaudit.plugin import LabelContent, LabelKind, Settings
    from torqueaudit.plugin.commands import Workshop

_WRENCH_NUMBER = re.compile(r"W-[0-9]{1,9}")


def ask(numbers: tuple[str, ...], kind_name: str, stock: Stock | None) -> "tuple[list[LabelContent], list[str]]":
    """What the labels say, and sentences for whoever prints them. Raises LabelRefused."""
    from torqueaudit.plugin import did_you_mean
    from torqueaudit.plugin.commands import workshop_here

    with workshop_here() as workshop:
        kinds = all_kinds(workshop)
        if kind_name not in kinds:
            near = did_you_mean(kind_name, kinds, f"there are {', '.join(sorted(kinds))}")
            raise LabelRefused(f"{kind_name}: no such kind of label; {near}")
        kind = kinds[kind_name]
        if stock and kind.stocks and stock.name in stock_names() and stock.name not in kind.stocks:
            raise LabelRefused(f"{kind_name}: this label fits {', '.join(sorted(kind.stocks))}, not {stock.name}")
        settings = workshop.settings
        try:
            told = _no_phone(settings)
            if kind.of_wrench:
                return [_of_wrench(workshop, kind, number, settings) for number in numbers], told
            contents, says = _of_jobs(workshop, kind, numbers, settings)
            if kind_name == "owner" and not settings.telephone:
                told.append(
                    "the owner's tag leaves the telephone to be written; set it by `settings change --telephone …`"
                )
            return contents, told + says
        except LabelRefused:
            raise
        except ValueError as error:
            raise LabelRefused(str(error)) from error


def _no_phone(settings: "Settings") -> list[str]:
    """A sentence where the labels' address is this machine's alone."""
    host = urlsplit(settings.base_address).hostname or ""
    here = host in {"localhost", "::1"} or host.endswith(".localhost") or host.startswith("127.")
    return [f"no phone can open {host}; `settings change --address …` sets what labels open"] if here else []


def all_kinds(workshop: "Workshop") -> "dict[str, LabelKind]":
    """The kinds of every plugin by name; a plugin that broke is told and passed over."""
    known: dict[str, LabelKind] = {}
    for plugin, given, fault in workshop.plugins.label_kinds():
        if fault:
            click.echo(f"plugin {plugin} broke while it was asked for its labels: {fault}", err=True)
        known |= {kind.name: kind for kind in given if kind.name not in known}
    return known


def _of_wrench(workshop: "Workshop", kind: "LabelKind", number: str, settings: "Settings") -> "LabelContent":
    from torqueaudit.plugin import read_wrench_number
    from torqueaudit.plugin.commands import seen_by, show_wrench

    if kind.of_wrench is None:
        raise LabelRefused(f"{kind.name}: this kind of label is for jobs")
    return kind.of_wrench(seen_by("stranger", show_wrench(workshop, read_wrench_number(number))), settings)


def _of_jobs(
    workshop: "Workshop", kind: "LabelKind", numbers: tuple[str, ...], settings: "Settings"
) -> "tuple[list[LabelContent], list[str]]":
    from torqueaudit.plugin import read_wrench_number
    from torqueaudit.plugin.commands import replaced_by, seen_by, show_job

    if kind.of_job is None:
        raise LabelRefused(f"{kind.name}: this kind of label says nothing of a job or a wrench; repair its plugin")
    wrench = next((number for number in numbers if _WRENCH_NUMBER.fullmatch(read_wrench_number(number))), None)
    if wrench:
        raise LabelRefused(f"{wrench} is a wrench's number; its label is printed with --kind wrench")
    views = [show_job(workshop, number) for number in numbers]
    withdrawn = next((view for view in views if view.withdrawn), None)
    if withdrawn:
        raise LabelRefused(f"job {withdrawn.number} was withdrawn ({withdrawn.withdrawn}); it gets no label")
    says = [
        f"job {view.number} replaces job {old} on {view.vehicle_tag}: remove the old labels of job {old}."
        for view in views
        for old in replaced_by(workshop, view.number)
    ]
    for view in views:
        newer = [number for number in view.followed_by if view.number in replaced_by(workshop, number)]
        if newer:
            says.append(
                f"job {view.number} was followed by job {newer[-1]}, whose label belongs on {view.vehicle_tag} now."
            )
    return [kind.of_job(seen_by("stranger", view), settings) for view in views], says
