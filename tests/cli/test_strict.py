"""An option that holds one value is told once: the last of two would hold, and nobody would be told which."""

import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from torqueaudit.cli.main import cli
from torqueaudit.cli.strict import strict

Run = Callable[..., subprocess.CompletedProcess[str]]


def commands(command: click.Command, *path: str) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command with the words it is typed as, groups before what is in them."""
    yield path, command
    if isinstance(command, click.Group):
        context = click.Context(command)
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            assert below is not None, name
            yield from commands(below, *path, name)


def single() -> Iterator[tuple[tuple[str, ...], click.Option]]:
    """Every option that holds one value, of every command, with those that plugins bring."""
    for path, command in commands(cli):
        for each in command.params:
            if isinstance(each, click.Option) and not (each.multiple or each.count or each.is_flag):
                yield path, each


def refusal(*words: str) -> str:
    """Why the command line refused, which it has to do as wrong use."""
    result = CliRunner().invoke(cli, words, env={"TORQUEAUDIT_BOOK": None})
    assert (result.exit_code, result.stdout) == (2, ""), (words, result.output)
    return result.stderr.strip().splitlines()[-1].removeprefix("Error: ")


def test_every_option_of_every_command_is_strict() -> None:
    """Each in turn, before anything else is looked at; flags, and what may be told several times, stay as they are."""
    asked = 0
    for path, option in single():
        first, second = ([f"{value}{part}" for part in range(option.nargs)] for value in ("one", "two"))
        named = option.opts[-1]
        expected = f"{named} was told twice ({' '.join(first)}, {' '.join(second)}); say it once"
        assert expected == refusal(*path, named, *first, named, *second)
        asked += 1

    assert asked > 200


def test_what_is_told_three_times_or_with_a_sign_of_equality_is_the_same() -> None:
    """However it is typed."""
    thrice = refusal("setting", "1", "nut", "--wrench", "W-1", "--wrench=W-2", "--wrench", "W-3")

    assert "--wrench was told 3 times (W-1, W-2, W-3); say it once" == thrice


def test_yes_and_no_are_not_both_told() -> None:
    """The two ends of one switch."""
    expected = "--single-handed and --several were both told; say one of them"

    assert expected == refusal("settings", "change", "--single-handed", "--several")


@pytest.mark.parametrize(
    "words",
    [
        ("convert", "80 lbf·ft", "N·m", "--json", "--json"),
        ("setting", "100 N·m", "--length", "500", "--adapter", "50@0", "--adapter", "50@0"),
        ("convert", "80 lbf·ft", "N·m", "--digits", "4", "--", "--digits"),
    ],
)
def test_what_may_stand_twice_is_not_refused_for_that(words: tuple[str, ...]) -> None:
    """A flag says the same again; an adapter is told for each; after -- there are no options."""
    assert "told twice" not in CliRunner().invoke(cli, words).output


def test_a_command_of_an_outside_plugin_is_asked_alike() -> None:
    """It was made with click alone, and its group too."""

    @click.group()
    def outside() -> None:
        """Some plugin's group."""

    @outside.command("do")
    @click.option("--what")
    def do(what: str) -> None:
        click.echo(what)

    group = strict(outside)
    twice = CliRunner().invoke(group, ["do", "--what", "this", "--what", "that"])
    once = CliRunner().invoke(group, ["do", "--what", "this"])

    assert (2, True) == (twice.exit_code, "--what was told twice (this, that); say it once" in twice.stderr)
    assert (0, "this\n") == (once.exit_code, once.stdout)


def test_nothing_is_recorded_and_the_sentence_stands_alone(run: Run) -> None:
    """As a mechanic types it."""
    done = run("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "W-1", "--wrench", "W-2", "--outcome", "shown")

    assert (2, "", "--wrench was told twice (W-1, W-2); say it once\n") == (done.returncode, done.stdout, done.stderr)


@pytest.mark.parametrize("name", ["half\ud800.toml", "null\0.toml"])
def test_what_names_no_file_is_refused_in_a_sentence(book_file: Path, name: str) -> None:
    """No shell hands it over; a program that calls the commands may."""
    done = CliRunner().invoke(cli, ["--book", str(book_file), "procedure", "enter", name, "--by", "P-1"])

    assert done.exit_code == 2
    assert "no word and no name of a file holds such a sign; write it without" in done.output
