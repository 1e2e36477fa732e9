"""What the commands share: the book, who says it, how answers are printed."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import Any, NamedTuple, TypeVar
from zoneinfo import ZoneInfo

import click

from torqueaudit.book.address import Place
from torqueaudit.cli.values import PERSON
from torqueaudit.model.act import Came, Say
from torqueaudit.model.register.permits import NOT_A_PERSON, SETUP
from torqueaudit.read.number import read_entry_number
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop

RECORDED = "torqueaudit.recorded"  # where a command's context holds the id of its last act
TOLD_AGAIN = "torqueaudit.told_again"  # whether that command takes an id
BY_SITE = "torqueaudit.by_site"  # what each site of a chain said, where all are asked
MADE = "torqueaudit.made"  # what a command made, in words
PROVED = "torqueaudit.proved"  # those whose PIN was told
TERMINAL = Came("terminal")
C = TypeVar("C", bound=Callable[..., Any])
R = TypeVar("R")
T = TypeVar("T")
A = TypeVar("A")


def book_place() -> Place:
    """The place of the book that was named. Raises a usage error when none was."""
    place: Place | None = click.get_current_context().find_root().obj
    if place is None:
        raise click.UsageError("no book named; give --book FILE or set TORQUEAUDIT_BOOK")
    return place


def book_file() -> Path:
    """The file of the book that was named. Raises a usage error when none was, or it is in a database."""
    place = book_place()
    if not isinstance(place, Path):
        raise click.UsageError(f"{place} is no file, as this command needs; docs/chain.md has the database's own way")
    return place


@contextmanager
def workshop_here() -> Iterator[Workshop]:
    """The named book, opened. What was recorded in it is noted, should the answer be lost."""
    with open_workshop(book_place()) as workshop:
        try:
            yield workshop
        finally:
            note_recorded(workshop.recorded)


def note_recorded(act_id: str) -> None:
    """Note under which id an act of this command was recorded; "" where none was."""
    context = click.get_current_context()
    if act_id:
        context.meta[RECORDED] = act_id
        context.meta[TOLD_AGAIN] = "act_id" in context.params


def note_made(says: str) -> None:
    """Note what this command made ("copy.book is a whole copy"), should the answer be lost."""
    click.get_current_context().meta[MADE] = says


class Who(NamedTuple):
    """What the options of every act tell: who says it, when it happened, and under which id."""

    by: str
    at: str | None  # as it was typed
    ago: int  # minutes
    act_id: str


who_option = click.option(
    "--by", required=True, type=PERSON, envvar="TORQUEAUDIT_BY", help="Your number, such as P-3 (TORQUEAUDIT_BY)."
)


def who_says(command: Callable[..., R]) -> Callable[..., R]:
    """The options of every act, handed to the command as its `who`."""

    @wraps(command)
    def told(*, by: str, at: str | None, ago: int, act_id: str, **others: object) -> R:
        return command(who=Who(by=by, at=at, ago=ago, act_id=act_id), **others)

    for option in reversed(
        (
            who_option,
            click.option(
                "--at", "at", help="When it happened, local time: “2031-04-02 09:15”, today “9:15”. Default: now."
            ),
            click.option("--ago", type=click.IntRange(0), default=0, help="How many minutes ago it happened."),
            click.option(
                "--id", "act_id", default="", help="An id for this act; the same act sent again changes nothing."
            ),
        )
    ):
        told = option(told)
    return told


def by_option(what: str) -> Callable[[C], C]:
    """`--by` of an act that is told as it happens, and that whoever keeps the book may do."""
    return click.option("--by", type=PERSON, default=SETUP, envvar="TORQUEAUDIT_BY", help=what)


def here_option(command: C) -> C:
    """`--here`: the vehicle left, and is here again although nobody said that it arrived."""
    return click.option("--here", is_flag=True, help="The vehicle left, and is here again.")(command)


def again_option(command: C) -> C:
    """`--again`: it was done again, although the same was told within minutes."""
    return click.option("--again", is_flag=True, help="It was done again; the same was told a moment ago.")(command)


class Words(click.types.StringParamType):
    """Words that an act cannot do without; whoever leaves them out is shown an example."""

    name = "words"

    def __init__(self, example: str) -> None:
        self.example = example

    def get_missing_message(self, param: click.Parameter, ctx: click.Context | None) -> str:
        """What follows "Missing option"."""
        del ctx
        return f"Write it like {param.opts[0]} {self.example}."


def why_option(what: str, example: str) -> Callable[[C], C]:
    """`--why`: `what` is asked for, with an example of an answer."""
    return click.option("--why", required=True, type=Words(example), help=f"{what}, such as {example}.")


def json_option(command: C) -> C:
    """`--json`: print data instead of sentences."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)


def came_by(workshop: Workshop, by: str) -> Came:
    """The terminal, with the PIN of whoever speaks where the workshop asks for it there; once for each command.

    Raises Refused for a wrong one, and a usage error where none can be asked.
    """
    if by in NOT_A_PERSON or not workshop.settings.pin_at_terminal:
        return TERMINAL
    proved = click.get_current_context().meta.setdefault(PROVED, set())
    if by not in proved:
        from torqueaudit.cli.pin import prove  # few workshops ask

        prove(workshop, by)
        proved.add(by)
    return TERMINAL._replace(proof="PIN")


def said_by(workshop: Workshop, by: str, act_id: str = "") -> Say:
    """What somebody says now, as the workshop takes it. Raises as `came_by`."""
    return Say(by, id=act_id, came=came_by(workshop, by))


def say_of(workshop: Workshop, who: Who) -> Say:
    """What the options of `who_says` told, as the workshop takes it.

    Raises as `came_by`, and a usage error for a time that is none.
    """
    came = came_by(workshop, who.by)
    if who.at is None:
        return Say(who.by, None, who.ago, who.act_id, came=came)
    from torqueaudit.read.day import read_moment  # most acts are told as they happen

    zone = ZoneInfo(workshop.settings.zone)
    moment = as_typed(lambda text: read_moment(text, zone, workshop.today()), who.at)
    return Say(who.by, moment, id=who.act_id, came=came)


def as_typed(reader: Callable[[A], T], text: A) -> T:
    """What a reader makes of what was typed. Raises a usage error with its sentence."""
    try:
        return reader(text)
    except ValueError as error:
        raise click.UsageError(str(error)) from None


def entry_of(text: str, shown_by: str = "job show") -> int:
    """An entry's number as a command prints it. Raises a usage error."""
    try:
        return read_entry_number(text)
    except ValueError:
        raise click.UsageError(f"{text}: give an entry's number as `{shown_by}` prints it, such as #77") from None


def words_left_line(of: str, entries: Sequence[int]) -> Iterator[str]:
    """What to do about the free words that are left of somebody who is forgotten; no line where none are."""
    if not entries:
        return
    from torqueaudit.workshop.door.words import entries_text  # few forget anybody

    where = f"{len(entries)} {'entry' if len(entries) == 1 else 'entries'}: {entries_text(entries)}"
    yield f"Remarks and reasons {of} stay in {where}."
    yield f"Look at them, and erase what names somebody: `torqueaudit ledger erase-words {entries[0]} --why …`"


def print_json(content: Mapping[str, Any] | Sequence[Mapping[str, Any]]) -> None:
    """Print what a writer of `reports.json` made of an answer; of each site that is asked, all is printed together."""
    by_site = click.get_current_context().meta.get(BY_SITE)
    if by_site is not None:
        by_site[str(getattr(book_place(), "site", ""))] = content
        return
    click.echo(json.dumps(content, ensure_ascii=False, indent=2))


def answer(data: Mapping[str, str], says: str, *, as_json: bool) -> None:
    """Answer an act: as JSON where asked for, else as a sentence."""
    if as_json:
        print_json(data)
    else:
        click.echo(says)
