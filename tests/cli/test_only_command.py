"""A job of some fasteners alone at the command line: offered, opened by the command that was offered, and done."""

import json
import re
import shlex
from pathlib import Path

import pytest

from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop

from .conftest import Run

OFFERED = re.compile(r"^    torqueaudit (job open --follows .+)$", re.MULTILINE)
NUT = (
    'fastener tighten {} rear-axle-nut --wrench W-1 --shown "108 N·m" --outcome "turned, then clicked"',
    "fastener mark {} rear-axle-nut intact",
    'check record {} rear-axle-nut "mark seen" --by P-3',
    "job release {} --by P-1",
)


def typed(run: Run, line: str) -> str:
    """What a command says that is not refused."""
    told = run(*shlex.split(line))
    assert 0 == told.returncode, told.stderr
    return told.stdout


def test_a_walk_from_a_disturbed_mark_to_a_silent_night(run: Run, tmp_path: Path) -> None:
    """Whoever types what is offered comes to the end, and the nut has a re-check of its own."""
    typed(run, 'job open --vehicle V-1 --procedure axle --odometer "12000 km" --ago 9')
    for line in (*NUT, 'job hand-over {} --odometer "12001 km"'):
        typed(run, f"{line.format(1)} --ago 6")
    typed(run, 'vehicle arrived V-1 --odometer "12090 km" --ago 5')
    told = typed(run, "fastener mark 1 rear-axle-nut disturbed --ago 3")
    (offered,) = OFFERED.findall(told)

    assert "job open --follows 1 --only rear-axle-nut" == offered
    assert f"then loosen and inspect on a job that follows: `torqueaudit {offered}` opens it.\n" in told
    assert "job 2: opened on bike-1, Rear axle nut (only the rear axle nut), follows job 1.\n" in typed(run, offered)
    typed(run, 'fastener loosen 2 rear-axle-nut --why "its mark had moved"')
    for line in NUT:
        typed(run, line.format(2))
    left = typed(run, 'job hand-over 2 --odometer "12091 km"')
    again = json.loads(typed(run, "job show 2 --json"))

    assert "or at 12191 km, whichever comes first" in left
    assert (["rear-axle-nut"], "1", "not yet due") == (again["only"], again["follows"], again["recheck"]["state"])
    night = run("nightly", "--date", again["asked_at"][:10], "--out", str(tmp_path))
    assert (0, True) == (night.returncode, "Nothing was missed." in night.stdout), night.stdout


def test_one_bolt_of_a_group_is_said_to_stand_for_all(run: Run, workshop: Workshop) -> None:
    """Before anybody wonders why there are five."""
    play(workshop, "2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2")
    told = typed(run, "job open --follows 1 --only sprocket-bolt-3")
    expected = """job 2: opened on bike-1, Chain and sprockets (only sprocket bolt 1 to 5), follows job 1.
  sprocket-bolt-3: one of a group, so the whole group is in this job.
"""

    assert told.startswith(expected)


WRONG = [
    ("--only axle", "give --vehicle, or with --follows the job on it that this one follows"),
    ("--vehicle V-1 --only axle", "give --procedure, or --follows and --only for some fasteners of the job it follows"),
    ("--follows 1", "give --procedure, or --follows and --only for some fasteners of the job it follows"),
]


@pytest.mark.parametrize(("words", "says"), WRONG)
def test_what_is_missing_is_said_in_one_sentence(run: Run, words: str, says: str) -> None:
    """With exit code 2, as any wrong use."""
    told = run("job", "open", *words.split())

    assert (2, says) == (told.returncode, told.stderr.strip())


def test_a_job_that_follows_needs_no_vehicle(run: Run, workshop: Workshop) -> None:
    """What was found on one is put right on the same, by whatever procedure."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-2 by P-2")

    assert "job 2: opened on bike-2, Chain and sprockets.\n" in typed(
        run, "job open --follows 1 --procedure final-drive"
    )
