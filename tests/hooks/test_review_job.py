"""`review_job`: a rule that breaks is itself a finding that stops release."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.cli.command import commands_of
from torqueaudit.model.act import Refused
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop

Written = Callable[..., Plugins]
Stops = Callable[[Plugins], list[str]]


RULE = "@hookimpl\ndef review_job(job, around):\n    "


def test_a_rule_that_raises_is_a_stop(stops: Stops, written: Written) -> None:
    """And the others are asked all the same."""
    plugins = written(raising=RULE + "raise ZeroDivisionError('no turns')\n")
    expected = ["plugin raising: broke while it looked at this job (ZeroDivisionError: no turns)"]

    assert expected == stops(plugins)


def test_a_rule_that_ends_the_program_is_a_stop(stops: Stops, written: Written) -> None:
    """And the others are asked all the same."""
    plugins = written(leaving=RULE + "raise SystemExit(0)\n")
    says = "broke while it looked at this job (RuntimeError: it wanted to end the program)"

    assert [f"plugin leaving: {says}"] == stops(plugins)


@pytest.mark.parametrize("answer", ["'not tightened'", "['not tightened']", "{}", "(x for x in ())"])
def test_a_rule_that_answers_with_something_else_is_a_stop(stops: Stops, written: Written, answer: str) -> None:
    """Only a list of findings is one."""
    plugins = written(wrong=RULE + f"return {answer}\n")
    expected = ["plugin wrong: answered with something that is not a list of findings"]

    assert expected == stops(plugins)


def test_a_rule_that_has_nothing_to_say_says_nothing(stops: Stops, written: Written) -> None:
    """None is no fault."""
    assert stops(written(silent=RULE + "return None\n")) == []


SPACER = """from torqueaudit.plugin import ActName, Finding, Next, Weight, subject_at
@hookimpl
def review_job(job, around):
    nut = job.procedure.fasteners()[0]
    return [
        Finding(
            rule="spacers/left-out", weight=Weight.STOP, about=subject_at(nut, nut.key), words="its spacer is missing.",
            entry=job.record.opened.entry, concedable=False, answer=Next(ActName.LOOSEN, nut.key),
        )
    ]
"""


def test_a_stop_of_an_outside_plugin_forbids_a_concession_and_names_the_next_act(
    book_file: Path, ready: str, written: Written
) -> None:
    """Its finding says both; the program knows no rule by its name."""
    line = "2031-04-02 10:12 conceded left-out on rear axle nut until 2031-05-01: asked the maker, 1 ride by P-1"
    with open_workshop(book_file, clock=Clock(), plugins=written(spacers=SPACER)) as workshop:
        play(workshop, ready)
        view = show_job(workshop, "1")

        assert ("rear axle nut: its spacer is missing.",) == view.next
        assert ['torqueaudit fastener loosen 1 rear-axle-nut --why "…"'] == commands_of(view)
        with pytest.raises(Refused, match="no permission makes this right"):
            play(workshop, line)
