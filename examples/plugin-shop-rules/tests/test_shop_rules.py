"""The shop's own rule, tried on job cards."""

from torqueaudit.plugin.commands import Workshop
from torqueaudit.testing import findings


def test_a_trainees_wheel_nut_waits_for_the_foreman(played: Workshop) -> None:
    """A colleague's look is not the foreman's.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-4
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-4
    2031-04-02 10:06 rear-axle-nut mark intact by P-4
    2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
    """
    expected = ["rear axle nut: P-4 is a trainee, and the foreman has not looked at it."]

    assert expected == findings(played, weight="caution")


def test_nobody_waits_once_the_foreman_has_looked(played: Workshop) -> None:
    """The rule is answered by the look.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-4
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-4
    2031-04-02 10:06 rear-axle-nut mark intact by P-4
    2031-04-02 10:09 rear-axle-nut checked mark seen by P-1
    """
    assert [] == findings(played)
