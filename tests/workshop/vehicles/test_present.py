"""The present truth of a vehicle: each fastener stands as the job left it that did it last, whichever label is read."""

from datetime import date
from decimal import Decimal

import pytest

from torqueaudit.cli.vehicle_sheet import lines_of
from torqueaudit.model.act import Say
from torqueaudit.model.shown.vehicle import VehicleView
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.testing import play
from torqueaudit.web.record_page import RecordPage, record_page
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.wrenches.calibrations import calibrate

GONE = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
2031-04-05 19:00 rear-axle-nut mark disturbed by owner
"""
ANEW = """
2031-04-06 08:00 job 2 opened axle on V-1 at 12080 km after job 1 by P-2
2031-04-06 08:05 rear-axle-nut loosened: the mark had moved by P-2
2031-04-06 08:10 rear-axle-nut 107 N·m with W-1 by P-2
2031-04-06 08:11 rear-axle-nut mark intact by P-2
2031-04-06 08:15 rear-axle-nut checked mark seen by P-3
"""
AWAY = """
2031-04-06 08:20 job 2 released by P-1
2031-04-06 08:30 handed over at 12081 km by P-1
"""


def page(workshop: Workshop, job: str) -> RecordPage:
    """What the label of a job opens."""
    return record_page(show_job(workshop, job), show_vehicle(workshop, "V-1"))


def nut(view: VehicleView) -> tuple[str, bool, str, str]:
    """The nut as it stands: by which job, whether that is signed, how, and its mark."""
    (present,) = view.fasteners
    return present.job, present.signed, present.fastener.applied, present.fastener.mark.state


@pytest.mark.parametrize(
    ("cards", "expected", "figure"),
    [
        ((GONE,), ("1", True, "108 N·m", "disturbed"), "Do not ride"),
        ((GONE, ANEW), ("2", False, "107 N·m", "intact"), "In the workshop"),
        ((GONE, ANEW, AWAY), ("2", True, "107 N·m", "intact"), "No stop stands"),
    ],
    ids=["disturbed on the road", "done anew at the bench", "away again"],
)
def test_every_label_of_a_vehicle_tells_one_truth(
    workshop: Workshop, cards: tuple[str, ...], expected: tuple[str, bool, str, str], figure: str
) -> None:
    """The label of job 1 does not say "do not ride" any more once job 2 has put it right and it was released."""
    for card in cards:
        play(workshop, card)
    view = show_vehicle(workshop, "V-1")
    pages = [page(workshop, str(number)) for number in range(1, len(view.jobs) + 1)]

    assert expected == nut(view)
    assert {figure} == {each.vehicle.figure for each in pages}
    assert {expected[2]} == {each.fasteners[0].figure for each in pages}
    assert (figure == "Do not ride") is any(each.weight == "stop" for each in pages if each.job.hand_over)


def test_what_a_later_job_has_put_right_is_no_stop_of_the_earlier_one(workshop: Workshop) -> None:
    """Its own record says so: what it told of the nut is history."""
    play(workshop, GONE)
    before = [each.rule for each in show_job(workshop, "1").stops]
    play(workshop, ANEW)
    view = show_job(workshop, "1")

    assert (["workshop_rules/mark-disturbed"], ()) == (before, view.stops)
    assert ("tightened again on 2031-04-06, see job 2", "2") == (
        view.fasteners[0].undone,
        view.fasteners[0].overtaken_by,
    )


def test_what_a_withdrawn_job_told_of_a_nut_is_no_present_truth(workshop: Workshop) -> None:
    """It was another motorcycle's: what stands on this one is not known, and its stop says so."""
    play(workshop, GONE)
    opening = workshop.book.entries("job/1")[0].sequence
    strike(workshop, "1", opening, "on the other motorcycle", Say("P-1"))
    view = show_vehicle(workshop, "V-1")

    assert () == view.fasteners
    assert "workshop_rules/withdrawn-on-the-road" in [each.finding.rule for each in view.stops]


def test_a_later_job_with_a_stop_is_told_on_the_earlier_label(workshop: Workshop) -> None:
    """It left with the nut loose: whoever scans the old label must know."""
    play(workshop, GONE)
    play(workshop, "\n".join(ANEW.splitlines()[:3]))
    play(workshop, "2031-04-06 09:00 handed over at 12081 km with stops: fetched on a trailer by P-1")
    told = page(workshop, "1").vehicle

    assert ("stop", "Do not ride") == (told.weight, told.figure)
    assert told.stops[0].startswith("Job 2: rear axle nut: loosened since (the mark had moved).")


def test_a_wrench_found_out_shows_the_torque_as_corrected(workshop: Workshop) -> None:
    """The large figure is what reached the nut; what was told stands beside it."""
    play(workshop, GONE + "2031-04-06 12:00 clock")
    found = ("40 N·m: 37 37 37 37 37", "100 N·m: 92.5 92.5 92.5 92.5 92.5", "200 N·m: 185 185 185 185 185")
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 6), as_found=found, certificate="C-9"), Say("P-1"))
    line = page(workshop, "1").fasteners[0]
    (present,) = show_vehicle(workshop, "V-1").fasteners

    assert present.fastener.done
    assert Decimal("99.9") == round(present.fastener.done.corrected_nm or Decimal(0), 1)
    assert ("99.9 N·m", "corrected; told as 108 N·m") == (line.figure, line.note)


def test_a_vehicle_is_shown_at_the_bench(workshop: Workshop) -> None:
    """Where it is, what stands on each fastener, from which job, signed or not, and its jobs."""
    play(workshop, GONE)
    play(workshop, ANEW)
    shown = list(lines_of(show_vehicle(workshop, "V-1")))

    assert shown[:4] == [
        "V-1 · bike-1 (Kestrel 500, 2030)",
        "HERE since 2031-04-06 08:00, at 12080 km",
        "  signed by nobody: work of job 2",
        "  no stop stands.",
    ]
    assert any(line.startswith("rear axle nut") and "2, unsigned" in line for line in shown)
    assert ["1", "2"] == [line.split()[0] for line in shown if line.startswith("  ") and "2031-04-0" in line]
