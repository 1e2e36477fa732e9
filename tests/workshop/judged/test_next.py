"""What comes next on a job, and the command that records it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.cli.command import commands_of
from torqueaudit.model.act import Say
from torqueaudit.testing import findings, play, procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source

# Invented: these values must not be used on any vehicle.
HEAD = procedure_head("drive", "Chain drive")
PARTS = """
[[work]]
fit = "clip"
name = "clip"
part = "clip"
single_use = true
attributes = ["size", "closed end"]
[[work]]
measure = "slack"
name = "chain slack"
kind = "chain slack"
limit = "32 … 42 mm"
source = "manual"
page = "1"
[[work]]
step = "teeth"
name = "teeth"
says = "Look."
look = true
"""


@pytest.fixture
def enter(workshop: Workshop, tmp_path: Path) -> Callable[[str], None]:
    def entered(tables: str) -> None:
        path = tmp_path / "drive.toml"
        path.write_text(HEAD + tables, encoding="utf-8")
        read_against_source(workshop, enter_procedure(workshop, path, Say("P-2")), "", Say("P-3"))

    return entered


def then(workshop: Workshop) -> list[tuple[str, str]]:
    view = show_job(workshop, "1")
    return list(zip(view.next, commands_of(view), strict=True))


def test_each_kind_of_item_names_its_command(workshop: Workshop, enter: Callable[[str], None]) -> None:
    """With the inputs of its kind; a look is never answered beforehand."""
    enter(PARTS)
    play(workshop, "2031-04-02 10:00 job 1 opened drive on V-1 by P-2")

    assert [
        ("fit clip", 'torqueaudit part fit 1 clip "…" --attribute "size" … --attribute "closed end" …'),
        ("measure chain slack", 'torqueaudit measurement take 1 slack --input "slack=… mm"'),
        ("teeth", 'torqueaudit step done 1 teeth "…"   (in order, or fault --remark "…")'),
    ] == then(workshop)


def test_what_is_there_and_wrong_comes_next_again(workshop: Workshop, enter: Callable[[str], None]) -> None:
    """A part used before, and a value outside its limits; a fault found waits until nothing else is left."""
    enter(PARTS)
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened drive on V-1 by P-2
        2031-04-02 10:01 clip fitted used clip with size=525, closed end=way of travel by P-2
        2031-04-02 10:02 slack measured slack 52 mm by P-2
        2031-04-02 10:03 teeth no: hooked by P-2
        """,
    )
    reused, outside = (
        findings(workshop, rule=rule)[0]
        for rule in ("workshop_rules/locking-part-reused", "workshop_rules/measurement-outside")
    )
    assert [reused, outside] == [says for says, _ in then(workshop)]

    play(
        workshop,
        """
        2031-04-02 10:04 job 1 clip fitted clip with size=525, closed end=way of travel by P-2
        2031-04-02 10:05 job 1 slack measured slack 37 mm by P-2
        """,
    )
    assert [(says, "") for says in findings(workshop, rule="workshop_rules/fault-found")] == then(workshop)


GONE = """
2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
2031-04-02 10:01 tab-washer fitted washer by P-2
2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
2031-04-02 10:03 sprocket-nut mark intact by P-2
2031-04-02 10:04 slack measured 37 mm by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
"""


def test_after_the_hand_over_the_looks_of_the_re_check_come_next(workshop: Workshop) -> None:
    """And once all were made, the stops that stand."""
    play(workshop, GONE)
    look = '"…"   (intact, disturbed, unreadable)'
    assert [
        ("look at the mark on the front sprocket nut", f"torqueaudit fastener mark 1 sprocket-nut {look}"),
        ("look at the mark on the rear axle nut", f"torqueaudit fastener mark 1 rear-axle-nut {look}"),
        ("measure chain slack", 'torqueaudit measurement take 1 slack "… mm"'),
    ] == then(workshop)

    play(
        workshop,
        """
        2031-04-05 10:00 job 1 sprocket-nut mark intact by P-2
        2031-04-05 10:01 job 1 rear-axle-nut mark intact by P-2
        2031-04-05 10:02 job 1 slack measured 37 mm by P-2
        """,
    )
    stops = findings(workshop, weight="stop")
    assert 5 == len(then(workshop))
    assert {says for says, _ in then(workshop)} <= set(stops)


def test_the_bolts_of_a_group_are_looked_at_together(workshop: Workshop, enter: Callable[[str], None]) -> None:
    enter(
        """
        [[work]]
        tighten = "bolt"
        name = "bolt"
        count = 3
        torque = "100 N·m"
        tolerance = "10 %"
        mark = true
        source = "manual"
        page = "1"
        [recheck]
        days = 14
        marks = "all"
        torques = ["bolt"]
        """
    )
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened drive on V-1 by P-2
        2031-04-02 10:01 bolt 100 N·m with W-1 by P-2
        2031-04-02 10:02 handed over at 9 km with stops: fetched at once by P-1
        """,
    )
    torque = 'torqueaudit fastener tighten 1 bolt --wrench W-… --shown "… N·m" --outcome "…"'

    assert [
        (
            "look at the mark on each of the bolts",
            'torqueaudit fastener mark 1 bolt "…"   (intact, disturbed, unreadable)',
        ),
        ("torque on each of the bolts", torque),
    ] == then(workshop)

    play(workshop, "2031-04-02 10:03 job 1 bolt-1 mark intact by P-2")
    play(workshop, "2031-04-02 10:04 job 1 bolt-3 mark intact by P-2")
    assert (
        "look at the mark on the bolt 2",
        'torqueaudit fastener mark 1 bolt-2 "…"   (intact, disturbed, unreadable)',
    ) == then(workshop)[0]


def test_what_only_undoing_puts_right_names_the_loosening(workshop: Workshop) -> None:
    """Of the very bolt."""
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
        2031-04-02 10:01 bike-secured yes by P-2
        2031-04-02 10:02 sprocket-bolt stage 1 15 N·m with W-2 by P-2
        2031-04-02 10:03 sprocket-bolt-2 stage 2 40 N·m with W-1 by P-2
        """,
    )

    assert 'torqueaudit fastener loosen 1 sprocket-bolt-2 --why "…"' == then(workshop)[0][1]
