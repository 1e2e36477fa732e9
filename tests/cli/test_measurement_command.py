"""`measurement take`, as it is typed."""

import json
import subprocess
from collections.abc import Callable

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]
OPEN = ("job", "open", "--vehicle", "V-1", "--procedure", "final-drive")
TAKE = ("measurement", "take", "1", "slack")


def test_a_value_is_taken_with_its_uncertainty_and_place(run: Run) -> None:
    run(*OPEN)
    done = run(*TAKE, "25 mm", "--uncertainty", "0.5 mm", "--place", "mid-span")
    shown = json.loads(run("job", "show", "1", "--json").stdout)

    assert (0, "") == (done.returncode, done.stderr)
    assert ["25 mm ± 0.5 mm (mid-span)"] == [each["said"] for each in shown["items"] if each["key"] == "slack"]


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--input", "25 mm"), 2, "--input: write NAME=VALUE, such as --input “length=287.6 mm”"),
        (("25 mm", "--condition", "posture="), 2, "--condition: write NAME=VALUE"),
        (("--input", "length=25 mm"), 1, "chain slack: it is one value and has no inputs; write “25 mm”"),
        (("25 mm", "--condition", "posture=rider on"), 1, "the procedure states no condition “posture”"),
        ((), 1, "chain slack: say what was measured; write “25 mm”"),
    ],
)
def test_what_cannot_be_taken_is_one_sentence(run: Run, words: tuple[str, ...], code: int, says: str) -> None:
    run(*OPEN)
    done = run(*TAKE, *words)

    assert (code, True) == (done.returncode, says in done.stderr)
