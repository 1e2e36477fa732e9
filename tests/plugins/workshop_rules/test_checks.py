"""Rules on the second person's look: each once where it speaks and once where it is silent."""

from torqueaudit.testing import findings
from torqueaudit.workshop.door.workshop import Workshop


def test_a_nut_nobody_else_looked_at_stops(played: Workshop) -> None:
    """The second person's look is missing.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected = [
        "rear axle nut: not independently checked. Somebody who had no hand in it has to look.",
    ]
    actual = findings(played, rule="workshop_rules/not-checked")

    assert expected == actual


def test_a_check_does_not_outlive_its_tightening(played: Workshop) -> None:
    """Tightened anew, checked anew.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut checked watched by P-3
    2031-04-02 10:03 rear-axle-nut 108 N·m with W-1, again by P-2
    """
    expected = [
        "rear axle nut: not independently checked. Somebody who had no hand in it has to look.",
    ]
    actual = findings(played, rule="workshop_rules/not-checked")

    assert expected == actual


def test_a_checked_nut_is_silent(played: Workshop) -> None:
    """Somebody else looked.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut checked watched by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/not-checked")

    assert expected == actual


def test_a_self_re_inspection_stops_where_others_work(played: Workshop) -> None:
    """With others in the workshop, one of them looks.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:32 rear-axle-nut checked self re-inspection: alone today by P-2
    """
    expected = [
        "rear axle nut: looked at again by the same person, P-2 (alone today); nobody else looked.",
    ]
    actual = findings(played, rule="workshop_rules/self-re-inspection")

    assert expected == actual


def test_a_check_by_somebody_else_is_no_self_re_inspection(played: Workshop) -> None:
    """Somebody else looked.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut checked watched by P-1
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/self-re-inspection")

    assert expected == actual


def test_a_check_by_another_hand_is_silent(played: Workshop) -> None:
    """The rule on one's own hand has nothing to say.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut checked watched by P-1
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/checked-by-own-hand")

    assert expected == actual
