"""What an odometer or an hour meter shows, in its own words."""

from decimal import Decimal

import pytest
import scipy.constants

from torqueaudit.model.register.distance import METRES
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run, has_run, run_in, run_text, told_as
from torqueaudit.read.odometer import read_run


def test_a_mile_is_the_international_mile() -> None:
    """1609.344 m exactly (NIST SP 811:2008, appendix B.8), as scipy has it too."""
    assert Decimal("1609.344") == METRES["mi"]
    assert scipy.constants.mile == pytest.approx(float(METRES["mi"]), rel=1e-15)


@pytest.mark.parametrize("miles", [0, 1, 7_562, 62_137, 999_999])
def test_miles_that_are_read_are_shown_as_they_were_read(miles: int) -> None:
    """Whole metres are kept, and no mile is lost by it."""
    assert f"{miles} mi" == run_text(read_run(f"{miles} mi"), Instrument.MILES)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("12 000 km", 12_000_000),
        ("7500 mi", 12_070_080),
        ("12.5 h", Hours(750)),
        ("12,5h", Hours(750)),
        ("1 250 hours", Hours(75_000)),
        ("0 h", Hours(0)),
        ("118.6 h", Hours(7_116)),
    ],
)
def test_what_people_read_off_is_read(text: str, expected: Run) -> None:
    """A distance in whole metres, running hours in whole minutes."""
    assert expected == read_run(text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("12.5", "is no distance: write a number and km, mi, m or mm"),
        ("h", "does not start with a number"),
        ("-3 h", "does not start with a number"),
        ("1.250 h", "may be thousands or decimals"),
        ("100000 h", "no hour meter shows more than 99999 h"),
        ("12 yards", "is no distance"),
    ],
)
def test_what_nobody_can_have_read_is_one_sentence(text: str, says: str) -> None:
    """It says what is wrong."""
    with pytest.raises(ValueError, match=says):
        read_run(text)


@pytest.mark.parametrize(
    ("run", "instrument", "expected"),
    [
        (12_070_080, Instrument.MILES, "7500 mi"),
        (12_070_080, Instrument.KM, "12070 km"),
        (Hours(750), Instrument.HOURS, "12.5 h"),
        (Hours(720), Instrument.HOURS, "12 h"),
        (12_000_000, Instrument.HOURS, "12000 km"),  # read before it got an hour meter
        (None, Instrument.NONE, ""),
    ],
)
def test_a_reading_is_said_as_the_instrument_shows_it(run: Run | None, instrument: Instrument, expected: str) -> None:
    """In whole kilometres or miles, in tenths of an hour."""
    assert expected == run_text(run, instrument)


@pytest.mark.parametrize("run", [None, 12_000_000, Hours(750)])
def test_an_entry_holds_what_was_read(run: Run | None) -> None:
    """And says it again."""
    assert run == run_in(told_as(run))


def test_an_entry_that_holds_no_whole_number_is_not_read() -> None:
    """As whoever damaged it may have written one."""
    with pytest.raises(ValueError, match="odometer"):
        run_in({"run_min": "12"})


def test_whether_it_has_run_is_known_of_two_readings_of_one_kind() -> None:
    """Where nobody can tell, it has."""
    told = [has_run(1, 2), has_run(2, 2), has_run(Hours(1), Hours(2)), has_run(Hours(2), Hours(2))]
    assert [True, False, True, False] == told
    assert all(has_run(*each) for each in ((None, None), (1, Hours(0)), (Hours(5), None), (None, 3)))
