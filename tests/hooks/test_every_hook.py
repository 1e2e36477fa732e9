"""Every hook: an answer of another kind is found by the one method that asks for it."""

import inspect
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import Any

import pytest

from torqueaudit import hooks
from torqueaudit.model.log.rows import LogSource
from torqueaudit.model.recheck.reminders import ReminderKind
from torqueaudit.model.shown.reminder import CalendarDay, Contact, Reminder
from torqueaudit.model.torque.correction import WrenchUse
from torqueaudit.plugins import Plugins
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.owner import owner_view

Written = Callable[..., Plugins]

# What is told of a plugin that answers [1] to each hook; the first three refuse it as a whole.
WRONG = {
    "torque_units": "its units were refused: it gave something that is not a list of units",
    "measurement_kinds": "its measurement kinds were refused: it gave something that is not a list of kinds",
    "part_kinds": "its part kinds were refused: it gave something that is not a list of kinds",
    "correct_setting": "[1]",
    "review_job": "answered with something that is not a list of findings",
    "rules_follow_entries": "answered with something that is neither yes nor no",
    "review_procedure": "answered with something that is not a list of remarks",
    "procedure_tables": "it gave something that is not a list of tables",
    "label_kinds": "it gave something that is not a list of label kinds",
    "label_stocks": "it gave something that is not a list of label stocks",
    "label_file": "answered with something that is not a file of labels",
    "send_reminder": "answered with something that is not the way in one word",
    "read_log": "answered with something that is no rows of a log",
    "report_sections": "answered with something that is not a list of report sections",
    "record_panels": "answered with something that is not a list of record sections",
}


def reminder_of(workshop: Workshop) -> Reminder:
    """What an owner is reminded of."""
    return Reminder(
        id="5a",
        kind=ReminderKind.DUE,
        view=owner_view(workshop, "1"),
        calendar=CalendarDay("a", 1, None, cancelled=False),
        address="",
        stop="",
        asked_at=workshop.clock(),
    )


def told(plugins: Plugins, hook: str, workshop: Workshop) -> Iterator[str]:
    """What is found wrong with the plugin "odd" where one hook is asked."""
    job = workshop.job("1")
    around = around_of(workshop, job)
    ways: dict[str, Callable[[], Iterable[Any]]] = {
        "correct_setting": lambda: plugins.corrections(WrenchUse("W-1", Decimal(20), ())),
        "review_job": lambda: plugins.findings(job, around),
        "rules_follow_entries": plugins.rules_follow_entries,
        "review_procedure": lambda: plugins.remarks(job.procedure),
        "procedure_tables": plugins.tables,
        "label_kinds": plugins.label_kinds,
        "label_stocks": plugins.label_stocks,
        "label_file": lambda: plugins.label_files((), "paper that nobody has", ".pdf", 1),
        "send_reminder": lambda: plugins.reminders_sent(reminder_of(workshop), Contact(), None),
        "read_log": lambda: plugins.log_rows(LogSource("log.that nobody reads", b"", ())),
        "report_sections": lambda: plugins.report_sections(night_of(workshop), ()),
        "record_panels": lambda: plugins.panels(job, around),
    }
    if hook not in ways:
        yield plugins.asked_through().states["odd"].state
        return
    for answer in ways[hook]():
        if answer.plugin == "odd":
            assert [] == answer.given
            yield str(answer.fault)


def hook_names() -> list[str]:
    """Every hook there is."""
    return [name for name, each in vars(hooks).items() if hasattr(each, "torqueaudit_spec")]


def implementing(hook: str, body: str) -> str:
    """A plugin's text with one hook."""
    arguments = ", ".join(inspect.signature(getattr(hooks, hook)).parameters)
    return f"@hookimpl\ndef {hook}({arguments}):\n    {body}\n"


def test_every_hook_has_a_bundled_user(installed_plugins: Plugins) -> None:
    """A hook that no bundled plugin uses is one that nobody has tried."""
    bundled = [
        each
        for each in installed_plugins.states.values()
        if each.distribution and each.distribution.name == "torqueaudit"
    ]
    used = {hook for each in bundled for hook in each.hooks}

    assert set(hook_names()) == used


@pytest.mark.parametrize("hook", hook_names())
def test_an_answer_of_another_kind_is_found(workshop: Workshop, written: Written, ready: str, hook: str) -> None:
    """A list of numbers is no hook's answer; it is told and nothing of it is used."""
    play(workshop, ready)
    plugins = written(odd=implementing(hook, "return [1]"))

    assert [WRONG[hook]] == list(told(plugins, hook, workshop))


@pytest.mark.parametrize("hook", hook_names())
def test_no_answer_is_no_fault(workshop: Workshop, written: Written, ready: str, hook: str) -> None:
    """A plugin that has nothing to give says None."""
    play(workshop, ready)
    said = list(told(written(odd=implementing(hook, "return None")), hook, workshop))

    assert said in ([], ["loaded"])
