"""`torqueaudit vehicle life`, `job show --as-of` and `job compare`, as they are typed."""

import subprocess
from collections.abc import Callable

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]
TIGHTEN = ("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "W-1", "--shown")
TURNED = ("--outcome", "turned, then clicked")


def last_entry(run: Run) -> str:
    """The number of the newest entry."""
    return run("ledger", "head").stdout.split("/")[1]


def test_from_the_life_to_the_job_of_the_past(run: Run) -> None:
    """The number that the line of time shows is what `--as-of` takes, with its sign or without."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km")
    run(*TIGHTEN, "90 N·m", *TURNED)
    wrong = last_entry(run)
    run("job", "strike", "1", wrong, "--why", "wrong nut")
    run(*TIGHTEN, "108 N·m", *TURNED)
    life = run("vehicle", "life", "v1").stdout
    then, again = (run("job", "show", "1", "--as-of", number).stdout for number in (f"#{wrong}", wrong))

    assert f"#{wrong}\n" in life
    assert "      STRUCK ON " in life
    assert then.startswith("AS IT STOOD ON ")
    assert then == again
    assert ("90.0 N·m" in then, "108.0 N·m" in then) == (True, False)


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("job", "show", "1", "--as-of", "x"), 2, "x: give an entry's number as `vehicle life` prints it, such as #77"),
        (("job", "show", "1", "--as-of", "9999"), 1, "entry 9999: the record has none of that number"),
        (("job", "show", "1", "--as-of", "2"), 1, "job 1 was opened later, in entry "),
        (("vehicle", "life", "V-9"), 1, "V-9: no such vehicle"),
        (("vehicle", "life", "V-1", "--as-of", "9999"), 1, "entry 9999: the record has none of that number"),
        (("job", "compare", "1", "1"), 1, "job 1: name two jobs"),
        (("job", "compare", "1", "7"), 1, "job 7: no such job"),
    ],
)
def test_what_is_mistyped_is_said_in_one_sentence(run: Run, words: tuple[str, ...], code: int, says: str) -> None:
    """What, and what to give; nothing else is printed."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km")
    done = run(*words)

    assert (code, "") == (done.returncode, done.stdout)
    assert says in done.stderr
    assert "Traceback" not in done.stderr
