"""What labels say and what is told to whoever prints them, for the command and the pages alike; and their file."""

import re
from collections.abc import Callable, Container, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar
from urllib.parse import urlsplit

from torqueaudit.book import queries
from torqueaudit.model.act import Refused, See, Sentence, Topic
from torqueaudit.model.nearest import did_you_mean, near
from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.label import JOB, WRENCH, LabelContent, LabelFile, LabelKind, LabelStock, base_of
from torqueaudit.plugins.answers import Answer, named
from torqueaudit.read.number import read_person_number, read_wrench_number
from torqueaudit.workshop.door.refusal import nobody
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.labels import replaced_by
from torqueaudit.workshop.wrenches.view import show_wrench

if TYPE_CHECKING:
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.model.shown.job import JobView
    from torqueaudit.workshop.door.workshop import Workshop

Named = TypeVar("Named", LabelKind, LabelStock)

PDF = ".pdf"
_OTHERS = {"wrench": re.compile(r"W-[0-9]{1,9}"), "person": re.compile(r"P-[0-9]{1,9}")}  # numbers that are no job's


class NoLabel(Refused):
    """Why no label is printed."""


class Offered(NamedTuple):
    """A kind of label that a job or a person may have: what it says, or why there is none."""

    kind: LabelKind
    content: LabelContent | None
    why_not: str = ""


class Labels(NamedTuple):
    """What labels say, and what is told to whoever prints them."""

    contents: tuple[LabelContent, ...]
    says: tuple[Sentence, ...]


def label_kinds(workshop: "Workshop") -> tuple[dict[str, LabelKind], tuple[str, ...]]:
    """The kinds of label of every plugin by name; a plugin that broke is passed over and told in a sentence."""
    return _by_name(workshop.plugins.label_kinds(), "labels")


def label_stocks(workshop: "Workshop") -> tuple[dict[str, LabelStock], tuple[str, ...]]:
    """What every plugin prints labels on, by name; a plugin that broke is passed over and told in a sentence."""
    workshop.asks_outside()  # a stock may be described in a file
    return _by_name(workshop.plugins.label_stocks(), "label stocks")


def _by_name(answers: Iterable[Answer[Named]], what: str) -> tuple[dict[str, Named], tuple[str, ...]]:
    """What plugins gave under each name, the first one's; and which broke while they were asked."""
    known: dict[str, Named] = {}
    broken: list[str] = []
    for plugin, given, fault in answers:
        if fault:
            broken.append(f"plugin {plugin} broke while it was asked for its {what}: {fault}")
        known |= {each.name: each for each in given if each.name not in known}
    return known, tuple(broken)


def labels_of(workshop: "Workshop", kind_name: str, numbers: Iterable[str], stock: str = "") -> Labels:
    """The labels of one kind, of jobs, wrenches or people by their numbers, as a stranger reads them.

    `stock` is what they are printed on, where that is chosen. Raises NoLabel, and Refused for an unknown number.
    """
    kinds, broken = label_kinds(workshop)
    if kind_name not in kinds:
        near = did_you_mean(kind_name, kinds, f"there are {', '.join(sorted(kinds))}")
        raise NoLabel(f"{kind_name}: no such kind of label; {near}")
    kind = kinds[kind_name]
    _require_fit(workshop, kind, stock)
    says = [*map(Sentence, broken), *not_chosen(workshop, kind)]
    if kind.of_wrench:
        contents = [_of_wrench(workshop, kind, number) for number in numbers]
    elif kind.of_person:
        contents = [_of_person(workshop, kind, number) for number in numbers]
    else:
        views = _jobs(workshop, kind, numbers)
        says += [sentence for view in views for sentence in beside_others(workshop, view)]
        contents = [_of_job(workshop, kind, view) for view in views]
    return Labels(tuple(contents), tuple(says))


def beside_others(workshop: "Workshop", view: "JobView") -> list[Sentence]:
    """Which labels come off where the label of a job goes on, and which one belongs there in its place."""
    says = [
        Sentence(f"job {view.number} replaces job {old} on {view.vehicle_tag}: remove the old labels of job {old}.")
        for old in replaced_by(workshop, view.number)
    ]
    newer = [number for number in view.followed_by if view.number in replaced_by(workshop, number)]
    if newer:
        where = f"whose label belongs on {view.vehicle_tag} now."
        says.append(Sentence(f"job {view.number} was followed by job {newer[-1]}, {where}"))
    return says


def offered_for_job(workshop: "Workshop", view: "JobView") -> list[Offered]:
    """Every kind of label of a job, as staff see the job, with what it says today."""
    kinds = [kind for kind in label_kinds(workshop)[0].values() if kind.of_job]
    return [_offered(kind, partial(_of_job, workshop, kind, view)) for kind in kinds]


def offered_for_person(workshop: "Workshop", number: str) -> list[Offered]:
    """Every kind of label of a person by their number. Raises Refused where nobody of that number works here."""
    own = person_here(workshop, number)
    kinds = [kind for kind in label_kinds(workshop)[0].values() if kind.of_person]
    return [_offered(kind, partial(_of_person, workshop, kind, own)) for kind in kinds]


def label_file(
    workshop: "Workshop", contents: tuple[LabelContent, ...], stock: str, ending: str = PDF, start: int = 1
) -> LabelFile:
    """Labels as a file that was read back, made by the first plugin that knows the stock. Raises NoLabel."""
    for plugin, given, fault in workshop.plugins.label_files(contents, stock, ending, start):
        if isinstance(fault, ValueError):
            raise NoLabel(str(fault))
        if fault:
            raise NoLabel(f"plugin {plugin} broke while it made the labels ({named(fault)}); repair or block it")
        return given[0]
    raise NoLabel(f"{stock}: no plugin makes labels on such a stock", See(Topic.STOCKS))


def require_stock(workshop: "Workshop", name: str) -> None:
    """Refuse a stock that the workshop could not print on: neither a name that is known nor the path of a file."""
    if not name or name in (known := label_stocks(workshop)[0]):
        return
    path = Path(name)
    if path.suffix.lower() != ".toml":
        says = f"; {did_you_mean(name, known)}" if near(name, known) else ""
        raise Refused(f"{name}: no such label stock{says}", None if says else See(Topic.STOCKS))
    if not (path.is_absolute() and path.is_file()):
        raise Refused(f"{name}: the pages find no such file; give its whole path, from the root of the disk")


def has_room(kind: LabelKind, stock: str, known: Container[str]) -> bool:
    """Whether a kind of label fits a stock; whoever describes one of their own finds out by printing."""
    return not kind.stocks or stock in kind.stocks or stock not in known


def _require_fit(workshop: "Workshop", kind: LabelKind, stock: str) -> None:
    """Refuse a stock that comes with a plugin and on which this kind of label has no room."""
    if stock and kind.stocks and not has_room(kind, stock, label_stocks(workshop)[0]):
        raise NoLabel(f"{kind.name}: this label fits {', '.join(sorted(kind.stocks))}, not {stock}")


def not_chosen(workshop: "Workshop", kind: LabelKind) -> list[Sentence]:
    """What the workshop has not chosen and a label needs: an address that a phone opens, a telephone."""
    settings = workshop.settings
    says = unreachable(settings, JOB if kind.of_job else WRENCH)
    if kind.telephone and not settings.telephone:
        says.append(Sentence(f"{kind.named} leaves the telephone to be written", See(Topic.TELEPHONE)))
    return says


def unreachable(settings: "Settings", way: str) -> list[Sentence]:
    """What is said of addresses of a way that this machine alone opens."""
    host = urlsplit(base_of(settings, way)).hostname or ""
    own = host in {"localhost", "::1"} or host.endswith(".localhost") or host.startswith("127.")
    return [Sentence(f"no phone can open {host}", See(Topic.ADDRESS))] if own else []


def _of_wrench(workshop: "Workshop", kind: LabelKind, number: str) -> LabelContent:
    view = seen_by("stranger", show_wrench(workshop, read_wrench_number(number)))
    return _said(kind, lambda: kind.of_wrench and kind.of_wrench(view, workshop.settings))


def job_of_vehicle(workshop: "Workshop", number: str) -> str:
    """The newest job of a motorcycle, whose label hangs on it. Raises Refused where it has none."""
    tag = workshop.vehicle(number).tag
    newest = next((row for row in reversed(queries.jobs_of_vehicle(workshop.book, number)) if not row.withdrawn), None)
    if newest is None:
        raise NoLabel(f"{number} ({tag}) has no job yet, and a label is of a job")
    return str(newest.job)


def person_here(workshop: "Workshop", written: str) -> str:
    """The number of somebody who works here, as it was typed. Raises Refused."""
    number = read_person_number(written)
    person = workshop.person(number)
    if person is None or person.left:
        raise nobody(number)
    return number


def _of_person(workshop: "Workshop", kind: LabelKind, written: str) -> LabelContent:
    number = person_here(workshop, written)
    return _said(kind, lambda: kind.of_person and kind.of_person(number, workshop.settings))


def _jobs(workshop: "Workshop", kind: LabelKind, numbers: Iterable[str]) -> "list[JobView]":
    """The jobs whose labels are printed, as staff see them."""
    if kind.of_job is None:
        raise NoLabel(f"{kind.name}: this kind of label says nothing of a job or a wrench; repair its plugin")
    asked = list(numbers)
    for number in asked:
        for whose, form in _OTHERS.items():
            if form.fullmatch(read_person_number(read_wrench_number(number))):
                raise NoLabel(f"{number} is a {whose}'s number", See(Topic.KIND_OF_LABEL, whose))
    return [show_job(workshop, number) for number in asked]


def _of_job(workshop: "Workshop", kind: LabelKind, view: "JobView") -> LabelContent:
    if view.withdrawn:
        raise NoLabel(f"job {view.number} was withdrawn ({view.withdrawn}); it gets no label")
    return _said(kind, lambda: kind.of_job and kind.of_job(seen_by("stranger", view), workshop.settings))


def _offered(kind: LabelKind, asked: Callable[[], LabelContent]) -> Offered:
    try:
        return Offered(kind, asked())
    except NoLabel as refused:
        return Offered(kind, None, str(refused))


def _said(kind: LabelKind, asked: Callable[[], LabelContent | None]) -> LabelContent:
    """What a kind of label says. Raises NoLabel with its own sentence, or with what broke in its plugin."""
    try:
        content = asked()
    except ValueError as refused:
        raise NoLabel(str(refused)) from refused
    except Exception as error:  # whatever a plugin does wrong, no label is printed and the others go on
        raise NoLabel(f"{kind.name}: this kind of label broke ({named(error)}); repair its plugin") from error
    if not isinstance(content, LabelContent):
        raise NoLabel(f"{kind.name}: this kind of label answered with something that is no label; repair its plugin")
    return content
