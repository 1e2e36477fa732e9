"""What is typed is understood: in any case, without a hyphen or a comma; what is stored is the word itself."""

import json
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import click
import pytest

from torqueaudit.cli.main import COMMANDS, cli
from torqueaudit.cli.values import Number, OneOf

Run = Callable[..., subprocess.CompletedProcess[str]]


def typed(run: Run, *words: str) -> str:
    """What a command answers; it has to be understood."""
    done = run(*words)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_job_is_typed_as_it_comes(run: Run) -> None:
    """w1, p3, v1, Yes, Intact, turned then clicked: stored as W-1, P-3, V-1, yes, intact, turned, then clicked."""
    typed(run, "job", "open", "--vehicle", "v1", "--procedure", "final-drive", "--by", "p2")
    typed(run, "step", "done", "1", "bike-secured", "Yes")
    typed(
        run,
        *("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "w1", "--shown", "100 N·m", "--helper", "p3"),
        *("--outcome", "Turned then clicked"),
    )
    typed(run, "fastener", "mark", "1", "rear-axle-nut", "Intact")
    typed(run, "check", "record", "1", "rear-axle-nut", "Mark Seen", "--by", "p1")
    entries = json.loads(typed(run, "ledger", "show", "--json"))[-5:]

    assert ["P-2", "P-2", "P-2", "P-2", "P-1"] == [each["who"] for each in entries]
    assert "V-1" == entries[0]["said"]["vehicle"]
    assert "yes" == entries[1]["said"]["answer"]
    assert ("W-1", ["P-3"], "turned, then clicked") == tuple(
        entries[2]["said"][name] for name in ("wrench", "helpers", "outcome")
    )
    assert ("intact", "mark seen") == (entries[3]["said"]["state"], entries[4]["said"]["method"])


def test_one_act_typed_in_two_ways_is_one_act(run: Run) -> None:
    """The same id, once as P-2 on V-1 and once as p2 on v1: nothing is recorded twice."""
    words = ("job", "open", "--procedure", "axle", "--id", "opening-7")
    typed(run, *words, "--vehicle", "V-1", "--by", "P-2")
    head = typed(run, "ledger", "head")

    assert typed(run, *words, "--vehicle", "v1", "--by", "p2").startswith("job 1: opened")
    assert head == typed(run, "ledger", "head")


def test_a_click_alone_is_asked_back(run: Run) -> None:
    """Whether it turned before is what the record is for."""
    typed(run, "job", "open", "--vehicle", "V-1", "--procedure", "axle")
    refused = run("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "w1", "--outcome", "clicked")

    assert 2 == refused.returncode
    assert "clicked: did it turn before? Say “turned, then clicked” or “clicked without turning”" in refused.stderr


def test_a_time_alone_is_of_today(run: Run) -> None:
    """Just after midnight of the workshop there has been one."""
    typed(run, "job", "open", "--vehicle", "V-1", "--procedure", "axle", "--at", "2026-04-02 8:05")
    typed(run, "job", "open", "--vehicle", "V-2", "--procedure", "axle", "--at", "0:00")
    first, second = json.loads(typed(run, "ledger", "show", "--json"))[-2:]

    assert "2026-04-02T08:05:00Z" == first["happened_at"]
    assert f"{second['recorded_at'][:10]}T00:00:00Z" == second["happened_at"]


def parameters() -> Iterator[tuple[str, click.Parameter]]:
    """Every parameter of every command of the core, with the command's name."""
    context = click.Context(cli)
    for noun in COMMANDS:
        command = cli.get_command(context, noun)
        assert command is not None
        own = command.commands.values() if isinstance(command, click.Group) else (command,)
        for each in own:
            yield from ((f"{noun} {each.name}", parameter) for parameter in each.params)


NUMBERED = {"by", "helper", "supervisor", "wrench", "vehicle"}


def test_every_number_of_somebody_or_something_is_read_alike() -> None:
    """Whatever takes one says so by its type, so that a new command cannot forget it."""
    named = [
        (command, each)
        for command, each in parameters()
        if each.name in NUMBERED or each.metavar in {"PERSON", "VEHICLE", "WRENCH"}
    ]

    assert 40 < len(named)
    assert [] == [(command, each.name) for command, each in named if not isinstance(each.type, Number)]


def test_every_choice_is_read_in_any_case() -> None:
    """No choice of the core is click's own."""
    chosen = [(command, each) for command, each in parameters() if isinstance(each.type, click.Choice)]

    assert 8 <= len(chosen)
    assert [] == [(command, each.name) for command, each in chosen if not isinstance(each.type, OneOf)]


@pytest.mark.parametrize("words", [("wrench", "show", "w1"), ("label", "w1", "--kind", "wrench", "--out", "{}")])
def test_a_wrench_is_named_in_any_way(run: Run, tmp_path: Path, words: tuple[str, ...]) -> None:
    """Its sheet, and its label."""
    typed(run, *(word.format(f"{tmp_path}/w.svg") for word in words))
