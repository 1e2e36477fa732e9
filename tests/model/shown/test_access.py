"""Who sees what of a view: every field of every view is decided, and what is hidden is empty."""

from collections.abc import Iterator
from importlib import import_module
from itertools import pairwise
from pkgutil import iter_modules
from typing import Any, get_args, get_type_hints

import pytest

from torqueaudit.model import shown
from torqueaudit.model.judged.finding import Remark, Weight
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.shown.access import ACCESS, AUDIENCES, hidden_from, seen_by
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job

PRINTED = {"LabelLine", "LabelContent", "LabelKind", "LabelStock", "LabelFile"}  # made of a view that a stranger sees
FOR_PLUGINS = {"NightJob", "Reminder", "CalendarDay", "Contact", "Post", "SentBy"}  # a reminder is a stranger's view


def views() -> Iterator[type]:
    """Every view of the folder."""
    for module in iter_modules(shown.__path__, "torqueaudit.model.shown."):
        for each in vars(import_module(module.name)).values():
            if is_record(each) and each.__module__ == module.name and each.__name__ not in PRINTED | FOR_PLUGINS:
                yield each


def is_record(kind: Any) -> bool:
    return isinstance(kind, type) and hasattr(kind, "_fields")


def with_what_it_holds(kind: Any) -> Iterator[Any]:
    """A record, and those in its fields, also in tuples and where there may be none."""
    if is_record(kind):
        yield kind
    inner = get_type_hints(kind).values() if is_record(kind) else get_args(kind)
    for each in inner:
        yield from with_what_it_holds(each)


def test_every_field_of_every_view_has_one_row() -> None:
    """Also of what views hold and others define; whoever adds a field decides who sees it."""
    expected = {each.__name__: sorted(each._fields) for view in views() for each in with_what_it_holds(view)}
    actual = {name: sorted(" ".join(rows.values()).split()) for name, rows in ACCESS.items()}

    assert expected == actual


@pytest.mark.parametrize("view", ACCESS)
def test_each_audience_sees_what_the_one_before_it_sees(view: str) -> None:
    """And nothing is hidden from staff and foreman, so that the command line need not ask."""
    hidden = [hidden_from(audience, view) for audience in AUDIENCES]

    assert all(later <= earlier for earlier, later in pairwise(hidden))
    assert [frozenset(), frozenset()] == hidden[2:]


def test_a_job_is_whole_for_the_foreman_and_without_what_is_hidden_for_a_stranger(workshop: Workshop) -> None:
    """Every record in it, down to the pass on its nut."""
    opened = "2031-04-02 10:00 job 1 opened axle on V-1 by P-2"
    play(workshop, f"{opened}\n2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2")
    view = show_job(workshop, "1")
    stranger, owner = seen_by("stranger", view), seen_by("owner", view)
    done = view.fasteners[0].done

    assert view == seen_by("staff", view) == seen_by("foreman", view)
    assert done is not None
    assert any(each.answer for each in view.to_do)
    assert view.next == stranger.next
    assert ({None}, "") == ({each.answer for each in stranger.to_do}, stranger.procedure.digest)
    assert done._replace(cycles=None) == stranger.fasteners[0].done
    assert [each.says for each in view.stops] == [each.says for each in stranger.stops]
    assert stranger == owner


def test_a_view_that_nobody_decided_on_is_shown_to_nobody() -> None:
    """It is a fault of the program, and not a page."""
    with pytest.raises(KeyError):
        seen_by("foreman", Remark("a/b", Weight.NOTE, Subject("nut"), "look"))
