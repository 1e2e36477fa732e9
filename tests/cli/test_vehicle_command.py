"""`torqueaudit vehicle change` and `strike`, as they are typed at the bench."""

import subprocess
from collections.abc import Callable

Run = Callable[..., subprocess.CompletedProcess[str]]
TIGHTEN = ("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "W-1", "--shown", "108 N·m")


def said(done: subprocess.CompletedProcess[str]) -> list[str]:
    """What was printed, of a command that did what it was asked."""
    assert 0 == done.returncode, done.stderr
    return done.stdout.splitlines()


def test_a_wrong_model_is_put_right_and_the_jobs_concerned_are_told(run: Run) -> None:
    """First the vehicle as it is known now, then each job that is judged otherwise."""
    said(run("job", "open", "--vehicle", "V-3", "--procedure", "axle"))
    wrong = said(run("vehicle", "change", "V-3", "--model", "Kestrel 500", "--plate", "Y-ARD 103"))
    again = said(run("vehicle", "change", "V-3", "--year", "2020"))

    assert [
        "V-3: bike-3, Kestrel 500, 2030, plate put right outside the ledger  #17",
        "  job 1 (open): its sources hold for the vehicle now",
    ] == wrong
    assert [
        "V-3: bike-3, Kestrel 500, 2020  #18",
        (
            "  stop: job 1 (open): Kestrel 500 manual holds for the years 2028 to 2031, and this is of 2020. "
            "Look at `torqueaudit job show 1`."
        ),
    ] == again


def test_a_report_is_taken_back_by_the_number_it_was_told_with(run: Run) -> None:
    """With or without its sign."""
    said(run("job", "open", "--vehicle", "V-1", "--procedure", "axle"))
    said(run(*TIGHTEN, "--outcome", "turned, then clicked"))
    (told,) = said(run("vehicle", "loosened", "V-1", "rear-axle-nut", "--why", "seen loose"))
    struck = said(run("vehicle", "strike", "v1", "#18", "--why", "it was V-2"))

    assert "V-1: rear-axle-nut is recorded as undone (#18); the jobs that tightened it now say so" == told
    assert ["V-1: #18 is struck; nothing says any more that rear-axle-nut was undone then"] == struck
    assert "undone" not in run("job", "show", "1").stdout


def test_nothing_to_change_and_no_reason_are_wrong_use(run: Run) -> None:
    """Exit code 2, with what to give."""
    nothing, silent = run("vehicle", "change", "V-1"), run("vehicle", "strike", "V-1", "5")

    assert (2, 2) == (nothing.returncode, silent.returncode)
    assert "say what changes: --tag, --model, --year, --plate, --frame-number or --contact" in nothing.stderr
    assert "Write it like --why “it was another motorcycle”." in silent.stderr
