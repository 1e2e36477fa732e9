"""`job show` at a glance."""

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job


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
    2031-04-02 10:05 handed over at 12010 km with stops: fetched at once by P-1
    """
    lines = list(lines_of(show_job(played, "1")))

    assert "opened on 2031-04-02 by P-2  #16" in lines
    assert "released by P-1  #20" in lines
    assert "handed over on 2031-04-02 at 12010 km  #21" in lines


def test_work_merely_to_come_is_one_sentence_and_a_fault_is_not(played: Workshop) -> None:
    """The JSON keeps every finding; here the faults are seen.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    2031-04-02 10:01 rear-axle-nut 90 N·m with W-1 by P-2
    """
    view = show_job(played, "1")
    lines = list(lines_of(view))
    sheet = " ".join(" ".join(lines).split())

    assert ["too-early", "outside-tolerance"] == [
        rule for rule in ("not-tightened", "too-early", "outside-tolerance", "part-missing") if f"[{rule}]" in sheet
    ]
    assert "still to do: tighten: sprocket bolt 1 to 5; front sprocket nut; disc bolt; caliper bolt" in sheet
    assert "mark: rear axle nut" in sheet
    assert "steps: motorcycle secured; rear brake tried" in sheet
    assert {"workshop_rules/not-tightened", "workshop_rules/part-missing"} <= {
        each.finding.rule for each in view.findings
    }
    assert [] == [line for line in lines if len(line) > 120 and not line.startswith("rear axle nut ")]  # of the table


def test_on_the_road_nothing_is_merely_to_come(played: Workshop) -> None:
    """What was left undone is then a stop like any other.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 handed over at 12010 km with stops: fetched at once by P-1
    """
    sheet = "\n".join(lines_of(show_job(played, "1")))

    assert "STOP: rear axle nut: not tightened. Tighten it to 108 N·m. [not-tightened]" in sheet
    assert "still to do" not in sheet


def test_what_comes_next_ends_with_its_command_and_items_show_their_keys(played: Workshop) -> None:
    """What was set and seen is left to whoever types it.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    """
    lines = list(lines_of(show_job(played, "1")))
    begin = lines.index("next, in order:")

    assert [
        "  1. motorcycle secured",
        "     torqueaudit step done 1 bike-secured yes",
        "  2. tighten sprocket bolt to 47 … 53 N·m",
        '     torqueaudit fastener tighten 1 sprocket-bolt --stage 1 --wrench W-… --shown "… N·m" --outcome "…"',
        "  3. fit tab washer",
        '     torqueaudit part fit 1 tab-washer "…"',
    ] == lines[begin + 1 : begin + 7]
    assert ["rear", "brake", "tried", "brake-tried", "–"] in [line.split() for line in lines]
