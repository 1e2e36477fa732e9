"""Distances across instruments that were replaced: what was ridden is the sum over all of them."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from torqueaudit.model.vehicle.exchange import Exchange, Order, continued_m, moment, presently
from torqueaudit.model.vehicle.instrument import Hours, Instrument

BEGUN = datetime(2031, 4, 2, 8, tzinfo=UTC)
HISTORIES = 300


class Ridden:
    """A motorcycle that is ridden, read off, and now and then gets another odometer. `true_m` is what only we know."""

    def __init__(self, chance: Random) -> None:
        self.at, self.entry = BEGUN, 0
        self.true_m, self.shown_m = 0, chance.randrange(0, 90_000_000)
        self.read: list[tuple[Order, int, int]] = []  # when, what was shown, what is true
        self.exchanges: list[Exchange] = []
        for _ in range(30):
            self.entry += 1
            self.at += timedelta(seconds=chance.choice((0, 0, 60, 86_400)))
            if chance.random() < 0.2:
                new = chance.choice((0, 0, chance.randrange(0, 90_000_000)))
                self.exchanges.append(Exchange(self.order, self.shown_m, new, Instrument.KM))
                self.shown_m = new
            else:
                metres = chance.randrange(0, 400_000)
                self.true_m += metres
                self.shown_m += metres
                self.read.append((self.order, self.shown_m, self.true_m))

    @property
    def order(self) -> Order:
        return (self.at, self.entry)


@pytest.mark.parametrize("seed", range(HISTORIES))
def test_the_distance_between_two_readings_is_what_was_ridden(seed: int) -> None:
    """By whichever instrument each was read, also where both were told of one second."""
    ridden = Ridden(Random(seed))
    for early, shown, true in ridden.read:
        for late, shown_later, true_later in ridden.read:
            if early > late:
                continue
            then = presently(ridden.exchanges, shown, early, late)
            assert isinstance(then, int)
            assert true_later - true == shown_later - then
            assert true_later - true == continued_m(ridden.exchanges, shown_later, late) - continued_m(
                ridden.exchanges, shown, early
            )


@pytest.mark.parametrize("seed", range(50))
def test_what_was_ridden_is_the_sum_over_its_instruments(seed: int) -> None:
    """Each from what it showed first to what it showed last."""
    ridden = Ridden(Random(1000 + seed))
    (first, shown, _), (_, last, _) = ridden.read[0], ridden.read[-1]
    begins, ends = [shown], []
    for each in (each for each in ridden.exchanges if first < each.order < ridden.read[-1][0]):
        assert isinstance(each.was, int)
        assert isinstance(each.now, int)
        ends.append(each.was)
        begins.append(each.now)
    ends.append(last)

    assert sum(ends) - sum(begins) == ridden.read[-1][2] - ridden.read[0][2]
    assert sum(ends) - sum(begins) == continued_m(ridden.exchanges, last, ridden.read[-1][0]) - continued_m(
        ridden.exchanges, shown, first
    )


def test_nothing_is_known_across_an_instrument_of_another_kind() -> None:
    """Nor where there was none in between."""
    before, after = (BEGUN, 1), moment(BEGUN + timedelta(days=9))
    for was, now, kind in (
        (12_000_000, Hours(0), Instrument.HOURS),
        (12_000_000, None, Instrument.NONE),
    ):
        exchanges = [Exchange((BEGUN, 2), was, now, kind)]
        assert presently(exchanges, 11_000_000, before, after) is None
        assert 11_000_000 == presently(exchanges, 11_000_000, (BEGUN, 3), after)

    hours = [Exchange((BEGUN, 2), Hours(600), Hours(0), Instrument.HOURS)]
    assert Hours(-60) == presently(hours, Hours(540), before)
    assert presently(hours, 11_000_000, before) is None
