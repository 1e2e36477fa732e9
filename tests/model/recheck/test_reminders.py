"""Which reminder an owner gets on which day. The days are the project's own choice: common practice, no source."""

from datetime import date, timedelta

import pytest

from torqueaudit.model.recheck.reminders import Awaited, ReminderKey, ReminderKind, Sent, due_reminder
from torqueaudit.model.recheck.state import RecheckState

LEFT = date(2031, 4, 1)
NOT_YET, DUE, MISSED = RecheckState.NOT_YET_DUE, RecheckState.DUE, RecheckState.MISSED


def told_day_by_day(states: dict[int, RecheckState], most_weekly: int = 2, *, asks: bool = True) -> list[str]:
    """What is sent on which day since it left, where somebody looks each day."""
    sent: list[Sent] = []
    state = NOT_YET
    for day in range(60):
        today = LEFT + timedelta(days=day)
        state = states.get(day, state)
        if due := due_reminder(Awaited(state, LEFT, asks), sent, most_weekly, today):
            sent.append(Sent(due[0], due[1], today))
    return [f"{(each.on - LEFT).days} {each.kind}{f' {each.n}' if each.n else ''}" for each in sent]


def test_the_owner_is_told_when_it_leaves_two_days_later_when_due_when_missed_then_weekly() -> None:
    """Up to a limit."""
    expected = ["0 left", "2 ridden", "14 due", "22 missed", "29 weekly 1", "36 weekly 2"]

    assert expected == told_day_by_day({14: DUE, 22: MISSED})


def test_nobody_asks_for_a_distance_that_is_told_or_does_not_count() -> None:
    assert ["0 left", "14 due", "22 missed"] == told_day_by_day({14: DUE, 22: MISSED}, 0, asks=False)


@pytest.mark.parametrize("state", [state for state in RecheckState if state not in {NOT_YET, DUE, MISSED}])
def test_nothing_is_sent_of_what_nobody_waits_for(state: RecheckState) -> None:
    """Also while it stands in the workshop."""
    assert [] == told_day_by_day({0: state})


def test_only_the_last_of_what_would_have_been_due_is_sent() -> None:
    """However long nothing ran."""
    expected = (ReminderKind.MISSED, 0)

    assert expected == due_reminder(Awaited(MISSED, LEFT, asks=True), [], 4, LEFT + timedelta(days=90))


def test_a_clock_that_was_set_back_sends_nothing_twice() -> None:
    sent = [Sent("left", 0, LEFT), Sent("missed", 0, LEFT + timedelta(days=22))]

    assert due_reminder(Awaited(MISSED, LEFT, asks=True), sent, 4, LEFT) is None


def test_a_key_gives_the_same_id_for_ever_and_no_other_key_has_it() -> None:
    """What is part of it is told apart; the token is not read out of it."""
    key = ReminderKey("1", "h9kd3nyxpwn4deyvhpr", leaving=7, target=5, kind=ReminderKind.LEFT)
    others = [
        key._replace(token="another"),
        key._replace(leaving=8),
        key._replace(target=6),
        key._replace(kind=ReminderKind.DUE),
        key._replace(n=1),
        key._replace(since=9),
    ]

    assert "a58239ed5c96553ca557e6befe087f3a" == key.id  # as mails in readers' boxes have it
    assert 7 == len({key.id, *(each.id for each in others)})
    assert key.token not in key.id
