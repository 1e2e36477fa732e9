"""Confirming what a wrench's log says: one tap of whoever tightened it, who answers for it from then on."""

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import Logged, MarkState
from torqueaudit.model.judged.sentences import bolts_together
from torqueaudit.web.bench.at_work import nth, one_by_one
from torqueaudit.web.bench.new_parts import fitted_new, new_parts
from torqueaudit.workshop.jobs.confirming import Said, confirm_logged
from torqueaudit.workshop.jobs.fasteners import see_mark
from torqueaudit.workshop.jobs.strikes import strike

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.model.procedure.procedure import Fastener
    from torqueaudit.model.shown.job import FastenerView
    from torqueaudit.model.shown.passes import LoggedView
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/confirm.html"
SO, PAINTED, NOT_SO = "so", "so, painted", "not so"  # what the buttons send


class RowLine(NamedTuple):
    """One row as it is shown, with the name of its bolt where rows of several are shown."""

    name: str
    row: "LoggedView"


class ConfirmScreen(NamedTuple):
    """What a log says of a fastener or a group; `mark` where a line is painted as soon as it is tight."""

    name: str
    specified: str
    rows: tuple[RowLine, ...]
    mark: bool
    new: tuple[tuple[str, str], ...]  # parts that go in with it: each key, and the part in words
    kept_new: tuple[str, ...]
    helper: str
    thread: str
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> ConfirmScreen:
    """What the log says, beside what is specified."""
    fastener, views = at.fastener(said.key), _views(at, said.key)
    positions = [each.position for each in views if each.logged]
    last = all(row.stage == fastener.last_stage for row in at.job.record.logged(*positions))
    several = len(positions) > 1
    rows = tuple(RowLine(each.name if several else "", row) for each in views for row in each.logged)
    return ConfirmScreen(
        name=bolts_together(fastener, positions or fastener.positions),
        specified=views[0].specification.says,
        rows=tuple(sorted(rows, key=lambda line: (line.row.when, line.row.entry))),
        mark=fastener.mark and last,
        new=new_parts(at, fastener),
        kept_new=typed.every("new"),
        helper=typed.one("helper"),
        thread=typed.one("thread"),
        why=typed.one("why"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Confirm the rows that were shown, or strike them."""
    rows = tuple(int(each) for each in typed.every("row") if each.isascii() and each.isdecimal())
    answer = typed.chosen("answer", (SO, PAINTED, NOT_SO))
    if not rows:
        raise Refused("this form is not whole; open its page anew, and send it from there")
    if answer == NOT_SO:
        return _struck(at, rows, typed.one("why"), say)
    helpers = tuple(number.upper() for number in typed.one("helper").replace(",", " ").split())
    told = Said(thread_ok=typed.one("thread") != "bad", helpers=helpers, rows=rows)
    shown = [each for each in at.job.record.of(Logged) if each.noted.entry in rows]  # also what is confirmed by now
    positions = tuple(dict.fromkeys(each.position for each in shown))
    then = say._replace(at=shown[0].noted.happened_at, minutes_ago=0) if shown else say
    acts = fitted_new(at, at.fastener(said.key), typed, then, first=2 + len(positions))
    acts.append(partial(confirm_logged, at.workshop, at.number, said.key, say, told))
    if answer == PAINTED:
        acts += [
            partial(see_mark, at.workshop, at.number, position, MarkState.INTACT, "", nth(say, number))
            for number, position in enumerate(positions, start=2)
        ]
    return one_by_one(acts)


def _struck(at: "AtWork", rows: "tuple[int, ...]", why: str, say: "Say") -> "list[Entry]":
    if not why:
        raise Refused("say why the log is not right here, and tap again")
    return one_by_one(
        partial(strike, at.workshop, at.number, row, why, nth(say, number)) for number, row in enumerate(rows, start=1)
    )


def _views(at: "AtWork", key: str) -> "list[FastenerView]":
    fastener: Fastener = at.fastener(key)
    positions = fastener.positions if key == fastener.key else (key,)
    return [each for each in at.view.fasteners if each.position in positions]
