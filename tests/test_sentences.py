"""Sentences and commands apart: nothing behind the doors names a command, and the command line words each reference."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

import torqueaudit
import torqueaudit_plugins
from torqueaudit.cli.command import TYPED, WRITTEN, command_of, typed
from torqueaudit.cli.main import cli
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.judged.next import Asked, Next
from torqueaudit.model.register.permits import ActName

ROOMS = ("workshop", "model", "read", "book")
COMMANDS = "|".join(sorted(cli.list_commands(click.Context(cli))))
NAMED = re.compile(rf"torqueaudit (?:{COMMANDS})\b|`(?:{COMMANDS}) [a-z]|(?<![\w-])--[a-z]")


def behind_the_doors() -> Iterator[Path]:
    """The code that no door is part of: four rooms, and the rules of the bundled plugins."""
    for room in ROOMS:
        yield from sorted((Path(torqueaudit.__file__).parent / room).rglob("*.py"))
    for plugin in sorted(Path(torqueaudit_plugins.__file__).parent.iterdir()):
        yield from sorted([*plugin.glob("rules.py"), *plugin.glob("rules/**/*.py")])


def said_in(file: Path) -> Iterator[str]:
    """The strings of a file that are no docstrings."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    documents = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in documents:
            yield node.value


def test_no_sentence_behind_the_doors_names_a_command_or_an_option() -> None:
    """A page has neither; what a sentence refers to is data, and each door words it."""
    files = list(behind_the_doors())
    named = [(file.name, text) for file in files for text in said_in(file) if NAMED.search(text)]

    assert 150 < len(files)
    assert [] == named


@pytest.mark.parametrize("text", ["; `torqueaudit job list` shows them", "give it as --drag", "see `job show`"])
def test_such_a_sentence_would_be_found(text: str) -> None:
    """The three ways in which one was written."""
    assert NAMED.search(text)


def test_every_reference_has_its_words_at_the_command_line() -> None:
    """What a sentence may refer to, no more and no less."""
    assert set(Topic) == set(TYPED)


@pytest.mark.parametrize("topic", list(Topic))
def test_a_command_that_is_named_is_there(topic: Topic) -> None:
    """With its group, as a person types it."""
    for group, name in re.findall(r"`(?:torqueaudit )?([a-z-]+)(?: ([a-z]+))?", TYPED[topic]):
        command = cli.get_command(click.Context(cli), group)
        assert command is not None
        assert not name or (isinstance(command, click.Group) and name in command.commands)


def test_each_door_words_a_reference_its_own_way() -> None:
    """Plain words where a door has none, the command with its number at the command line."""
    refused = Refused("entry 7 is not one of wrench W-1", See(Topic.ENTRIES_OF_WRENCH, "W-1"))

    assert "entry 7 is not one of wrench W-1; look at the numbers on the wrench" == str(refused)
    assert "entry 7 is not one of wrench W-1; `torqueaudit wrench show W-1` numbers them" == typed(
        refused.says, refused.see
    )
    assert "no such job" == typed("no such job", None)


NEXT = [
    (
        Next(ActName.TIGHTEN, "nut", stage=2, angle=True),
        'fastener tighten 1 nut --stage 2 --wrench W-… --shown "… N·m" --angle … --outcome "…"',
    ),
    (Next(ActName.TIGHTEN, "nut"), 'fastener tighten 1 nut --wrench W-… --shown "… N·m" --outcome "…"'),
    (
        Next(ActName.TIGHTEN, "nut", adapter=True),
        'fastener tighten 1 nut --wrench W-… --shown "… N·m" --adapter …@… --outcome "…"',
    ),
    (Next(ActName.CONFIRM_LOGGED, "nut"), "fastener confirm 1 nut --by P-…"),
    (Next(ActName.LOOSEN, "nut"), 'fastener loosen 1 nut --why "…"'),
    (Next(ActName.MARK, "nut"), "fastener mark 1 nut intact"),
    (Next(ActName.MARK, "nut", look=True), 'fastener mark 1 nut "…"   (intact, disturbed, unreadable)'),
    (Next(ActName.CHECK, "nut"), 'check record 1 nut "…" --by P-…   (mark seen, watched)'),
    (Next(ActName.PHOTOGRAPH, "nut"), "photo add 1 nut FILE"),
    (Next(ActName.MEASURE, "slack", asks=(Asked("", "mm"),)), 'measurement take 1 slack "… mm"'),
    (
        Next(ActName.MEASURE, "wear", asks=(Asked("length", "mm"), Asked("pins"))),
        'measurement take 1 wear --input "length=… mm" --input "pins=…"',
    ),
    (Next(ActName.STEP, "ride"), "step done 1 ride yes"),
    (Next(ActName.STEP, "teeth", look=True), 'step done 1 teeth "…"   (in order, or fault --remark "…")'),
    (Next(ActName.OPEN, "nut"), "job open --follows 1 --only nut"),
    (Next(ActName.OPEN, only=("nut", "bolt")), "job open --follows 1 --only nut --only bolt"),
    (Next(ActName.FIT, "clip", asks=(Asked("size"),)), 'part fit 1 clip "…" --attribute "size" …'),
    (Next(ActName.RELEASE), "job release 1 --by P-…"),
    (Next(ActName.HAND_OVER), 'job hand-over 1 --odometer "… km"'),
    (Next(ActName.RECHECK), 'recheck done 1 --odometer "… km"'),
    (Next(ActName.ANSWER_RECHECK), 'recheck answered 1 "…"   (in order, or fault found --remark "…")'),
]


@pytest.mark.parametrize(("said", "expected"), NEXT)
def test_an_act_that_comes_next_is_a_command_to_type(said: Next, expected: str) -> None:
    """With all that has to be told, and nothing taken for granted."""
    assert f"torqueaudit {expected}" == command_of("1", said)


def test_each_act_that_can_be_typed_is_tried_above() -> None:
    """One more needs a row there."""
    assert set(WRITTEN) == {said.act for said, _ in NEXT}


def test_what_nobody_types_has_no_command() -> None:
    """A plugin may name any act."""
    assert "" == command_of("1", Next(ActName.SETTLE))
