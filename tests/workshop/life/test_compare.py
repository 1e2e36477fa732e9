"""Two jobs side by side: what was specified, applied and seen in each, and what differs in words."""

import pytest

from torqueaudit.cli.compared_sheet import lines_of
from torqueaudit.model.act import Refused
from torqueaudit.model.shown.compared import ComparedWork
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.life.compare import compare_jobs

BOTH = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 104 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
2031-04-09 10:00 job 2 opened axle on V-2 at 5000 km by P-2
2031-04-09 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-09 10:06 rear-axle-nut mark disturbed by P-2
2031-04-09 10:20 handed over at 5010 km with stops: fetched at once by P-1
"""


def nut(workshop: Workshop) -> ComparedWork:
    """The nut of both jobs."""
    play(workshop, BOTH)
    (work,) = compare_jobs(workshop, "1", "2").works
    return work


def test_what_differs_is_said_in_words(workshop: Workshop) -> None:
    """How much more reached it, and what became of its mark; what is the same is not told as different."""
    assert nut(workshop).differing == (
        "applied: 4 N·m more in job 2",
        "wrench: W-1 at 104 N·m in the first, W-1 at 108 N·m in the second",
        "mark: intact in the first, disturbed in the second",
    )


def test_both_stand_beside_each_other(workshop: Workshop) -> None:
    """Specified, applied, seen: in the words of each job's own sheet."""
    rows = {row.what: (row.one, row.other) for row in nut(workshop).rows}

    assert ["104.0 N·m", "108.0 N·m"] == [said.partition(" ±")[0] for said in rows["applied"]]
    assert 1 == len(set(rows["specified"]))
    assert ("P-2, 2031-04-02 10:05", "P-2, 2031-04-09 10:05") == rows["tightened"]


def test_a_job_that_is_history_is_compared_as_it_was_done(workshop: Workshop) -> None:
    """The nut was done anew since by job 2: what job 1 applied to it is still told."""
    play(workshop, BOTH.replace("V-2 at 5000", "V-1 at 15000").replace("5010", "15010"))
    (work,) = compare_jobs(workshop, "1", "2").works

    assert ("applied: 4 N·m more in job 2",) == work.differing[:1]


def test_work_of_one_job_alone_says_which(workshop: Workshop) -> None:
    """Two procedures; bolts of which the same is to be said are told as one."""
    play(workshop, BOTH + "2031-04-10 10:00 job 3 opened final-drive on V-2 at 5020 km by P-2\n")
    told = compare_jobs(workshop, "1", "3")
    alone = [each for each in told.works if each.only == "3" and each.kind == "fastener"]

    assert [] == [each for each in told.works if each.only == "1" and each.kind != "fastener"]
    assert any(each.name.startswith("sprocket bolt 1, 2") for each in alone), alone
    assert told.differences[-1].startswith("only in job 3: ")


def test_the_sheet_shows_what_differs_first(workshop: Workshop) -> None:
    """Then each piece of work, each row that differs with how behind it."""
    play(workshop, BOTH)
    lines = list(lines_of(compare_jobs(workshop, "1", "2")))

    assert "different: 1 of 1 pieces of work" in lines
    assert 1 == sum(line.endswith("DIFFERS: 4 N·m more in job 2") for line in lines)


@pytest.mark.parametrize(
    ("one", "other", "why"),
    [("1", "1", "job 1: name two jobs"), ("1", "77", "job 77: no such job"), ("", "1", "job : no such job")],
)
def test_one_job_is_not_beside_itself(workshop: Workshop, one: str, other: str, why: str) -> None:
    """Nor beside one that there is not."""
    play(workshop, BOTH)
    with pytest.raises(Refused, match=why):
        compare_jobs(workshop, one, other)
