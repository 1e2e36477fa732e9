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
    assert ["V-1: #18 is struck; nothing says any more that rear axle nut was undone then"] == struck
    assert "undone" not in run("job", "show", "1").stdout


def test_nothing_to_change_and_no_reason_are_wrong_use(run: Run) -> None:
    """Exit code 2, with what to give."""
    nothing, silent = run("vehicle", "change", "V-1"), run("vehicle", "strike", "V-1", "5")

    assert (2, 2) == (nothing.returncode, silent.returncode)
    assert (
        "say what changes: --tag, --model, --year, --plate, --frame-number, --contact or --instrument" in nothing.stderr
    )
    assert "Write it like --why “it was another motorcycle”." in silent.stderr


def test_a_plate_or_a_frame_number_is_of_one_vehicle(run: Run) -> None:
    """However it is written; the refusal names the vehicle and never the plate."""
    frame = run("vehicle", "add", "bike-4", "--model", "Kestrel 500", "--frame-number", "KS5-000500")
    before = run("ledger", "head").stdout
    twice = run("vehicle", "add", "bike-5", "--model", "Kestrel 500", "--plate", "yard 101")
    framed = run("vehicle", "add", "bike-5", "--model", "Kestrel 500", "--frame-number", "ks5 000500")
    changed = run("vehicle", "change", "V-2", "--plate", "Y ARD 101", "--by", "P-1")

    assert 0 == frame.returncode, frame.stderr
    says = (
        "V-1 has this plate already. If it is the same one, go on with V-1; if not, `torqueaudit vehicle change V-1` "
    )
    assert f"{says}puts that one right first\n" == twice.stderr == changed.stderr
    assert framed.stderr.startswith("V-4 has this frame number already.")
    assert before == run("ledger", "head").stdout


def test_a_plate_goes_where_its_vehicle_gave_it_up(run: Run) -> None:
    """Taken off the one, it may be entered for the other."""
    run("vehicle", "change", "V-1", "--plate", "", "--by", "P-1").check_returncode()

    run("vehicle", "change", "V-2", "--plate", "Y-ARD 101", "--by", "P-1").check_returncode()


def test_the_same_vehicle_sent_twice_is_one(run: Run) -> None:
    """The same act under the same id changes nothing, and is not refused for its own plate."""
    words = ("vehicle", "add", "bike-4", "--model", "Kestrel 500", "--plate", "Y-ARD 104", "--id", "phone-1")

    first, again = run(*words), run(*words)

    assert (0, "V-4: bike-4\n") == (first.returncode, first.stdout) == (again.returncode, again.stdout)


def test_a_second_vehicle_of_the_same_tag_is_a_caution(run: Run) -> None:
    """Two of one name are taken for each other."""
    told = run("vehicle", "add", "Bike 1", "--model", "Kestrel 500")

    assert 0 == told.returncode, told.stderr
    assert [
        "V-4: Bike 1",
        "  caution: V-1 is called so too; `torqueaudit vehicle change V-4 --tag …` tells them apart.",
    ] == told.stdout.splitlines()
