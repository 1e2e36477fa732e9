"""`review_job`: a rule that breaks is itself a finding that stops release."""

from collections.abc import Callable

import pytest

from torqueaudit.plugins import Plugins

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
