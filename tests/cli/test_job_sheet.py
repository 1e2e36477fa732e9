"""`job show` at a glance."""

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.workshop.showing import show_job
from torqueaudit.workshop.workshop import Workshop


def line_of(workshop: Workshop, job: str, name: str) -> str:
    """The one line of the table that begins with a fastener's name."""
    return next(line for line in lines_of(show_job(workshop, job)) if line.startswith(name))


def test_what_a_later_job_undid_is_history(played: Workshop) -> None:
    """Neither its torque nor its mark stands where the current ones would.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 11:00 job 2 opened axle on V-1 at 12000 km by P-3
    2031-04-02 11:05 rear-axle-nut loosened: tyre by P-3
    """
    assert line_of(played, "1", "rear axle nut").split() == [
        *("rear", "axle", "nut", "108", "N·m", "(97.2", "…", "118.8)", "history", "history"),
        *("undone", "on", "2031-04-02,", "see", "job", "2", "#17"),
    ]


def test_a_line_says_who_with_what_when_and_who_looked(played: Workshop) -> None:
    """What stood between the wrench and the nut is said, else its setting looks wrong.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:01 rear-axle-nut 98 N·m with W-1 adapter 50@0 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut checked mark seen by P-3
    """
    expected = (
        "rear axle nut  108 N·m (97.2 … 118.8)  107.8 N·m ± 5.0 N·m  intact  "
        "P-2 with W-1 at 98 N·m, adapter 50 mm at 0° on 2031-04-02 10:01, checked by P-3 (mark seen)  #17"
    )

    assert expected == line_of(played, "1", "rear axle nut")


def test_the_facts_that_may_be_struck_carry_their_numbers(played: Workshop) -> None:
    """Opening, release and hand-over are found without reading the whole ledger.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut checked mark seen by P-3
    2031-04-02 10:04 released by P-1
    2031-04-02 10:05 handed over at 12010 km by P-1
    """
    lines = list(lines_of(show_job(played, "1")))

    assert "opened on 2031-04-02 by P-2  #16" in lines
    assert "released by P-1  #20" in lines
    assert "handed over on 2031-04-02 at 12010 km  #21" in lines
