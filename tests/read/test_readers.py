"""Words of a person, and the one sentence for those that cannot be read."""

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import count
from zoneinfo import ZoneInfo

import pytest

from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome, Slot
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.units import NEWTON_METRE, UnitTable
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.day import read_day, read_day_either_way, read_moment
from torqueaudit.read.number import (
    read_entry_number,
    read_person_number,
    read_vehicle_number,
    read_wrench_number,
)
from torqueaudit.read.odometer import read_odometer
from torqueaudit.read.pair import read_pair
from torqueaudit.read.tightening import read_angle, read_differing, read_torque
from torqueaudit.read.words import (
    METHODS,
    OUTCOMES,
    SAID,
    SLOTS,
    read_answer,
    read_mark,
    read_method,
    read_outcome,
    read_slot,
)
from torqueaudit.read.wrench import read_class, read_lever, read_range, read_scales, read_temperature

UNITS = UnitTable([NEWTON_METRE])
VIENNA = ZoneInfo("Europe/Vienna")
APRIL = date(2031, 4, 2)


@pytest.mark.parametrize(
    ("reader", "text", "expected"),
    [
        (read_day, "2031-04-02", date(2031, 4, 2)),
        (read_day_either_way, "2031-04-02", date(2031, 4, 2)),
        (read_day_either_way, "02.04.2031", date(2031, 4, 2)),
        (read_day_either_way, "2. 4. 2031", date(2031, 4, 2)),
        (lambda text: read_moment(text, VIENNA), "2031-04-02 09:15", datetime(2031, 4, 2, 7, 15, tzinfo=UTC)),
        (lambda text: read_moment(text, VIENNA), "2031-04-02T09:15Z", datetime(2031, 4, 2, 9, 15, tzinfo=UTC)),
        (read_odometer, "12 000 km", 12_000_000),
        (read_odometer, "7500 mi", 12_070_080),
        (read_odometer, "18450 km", 18_450_000),
        (read_odometer, "18 450 km", 18_450_000),
        (read_odometer, "18450,4 km", 18_450_400),
        (read_odometer, "0.450 km", 450),
        (read_odometer, "18.45 km", 18_450),
        (read_adapter, "50 @ 45", Fitted("adapter", {"length_mm": "50", "angle_deg": "45"})),
        (read_adapter, "45mm@60°", Fitted("adapter", {"length_mm": "45", "angle_deg": "60"})),
        (read_adapter, "60 deg @ 45 MM", Fitted("adapter", {"length_mm": "45", "angle_deg": "60"})),
        (read_adapter, "40@90", Fitted("adapter", {"length_mm": "40", "angle_deg": "90"})),
        (read_adapter, "80@180", Fitted("adapter", {"length_mm": "80", "angle_deg": "180"})),
        (read_adapter, "50,5@-45", Fitted("adapter", {"length_mm": "50,5", "angle_deg": "-45"})),
        (lambda text: read_torque(UNITS, text), "108,5 Nm", Decimal("108.5")),
        (read_angle, "92", Decimal(92)),
        (read_angle, "92.5°", Decimal("92.5")),
        (read_differing, "3=clicked without turning", (3, Outcome.CLICKED_ONLY)),
        (read_differing, "3 = Clicked, without turning", (3, Outcome.CLICKED_ONLY)),
        (lambda text: read_moment(text, VIENNA), "2031-04-02 8:10", datetime(2031, 4, 2, 6, 10, tzinfo=UTC)),
        (lambda text: read_moment(text, VIENNA), "2031-04-02T8:10:30", datetime(2031, 4, 2, 6, 10, 30, tzinfo=UTC)),
        (lambda text: read_moment(text, VIENNA, APRIL), " 8:10 ", datetime(2031, 4, 2, 6, 10, tzinfo=UTC)),
        (lambda text: read_moment(text, VIENNA, APRIL), "08:10", datetime(2031, 4, 2, 6, 10, tzinfo=UTC)),
        (lambda text: read_moment(text, UTC), "2031-04-02 08:10+02:00", datetime(2031, 4, 2, 6, 10, tzinfo=UTC)),
        (read_person_number, "p3", "P-3"),
        (read_person_number, "P 03", "P-3"),
        (read_person_number, "Owner", "owner"),
        (read_vehicle_number, "v-2", "V-2"),
        (read_wrench_number, " w1 ", "W-1"),
        (read_wrench_number, "W\u20131", "W-1"),
        (read_wrench_number, "p1", "p1"),
        (read_entry_number, "#77", 77),
        (read_entry_number, "77", 77),
        (read_outcome, "Turned, then clicked", Outcome.TURNED_CLICKED),
        (read_outcome, "turned then clicked", Outcome.TURNED_CLICKED),
        (read_outcome, "TURNED AND CLICKED", Outcome.TURNED_CLICKED),
        (read_outcome, "clicked, did not turn", Outcome.CLICKED_ONLY),
        (read_outcome, "shown", Outcome.VALUE_SHOWN),
        (read_outcome, "not reached", Outcome.NOT_REACHED),
        (read_outcome, "no wrench fits", Outcome.NO_WRENCH),
        (read_mark, "Intact", MarkState.INTACT),
        (read_mark, "not-seen", MarkState.NOT_SEEN),
        (read_method, "Mark seen", CheckMethod.MARK_SEEN),
        (read_method, "self reinspection", CheckMethod.SELF),
        (read_slot, "Turned on", Slot.TURNED_ON),
        (read_answer, "NO", "no"),
        (read_answer, "In order", "in order"),
        (read_answer, "n/a", "not applicable"),
        (lambda text: read_pair(text, "--input"), "length = 287.6 mm", ("length", "287.6 mm")),
        (lambda text: read_pair(text, "under"), "posture=a=b", ("posture", "a=b")),
        (
            read_adapter,
            "50±0.5@45±2",
            Fitted("adapter", {"length_mm": "50", "angle_deg": "45", "length_u_mm": "0.25", "angle_u_deg": "1"}),
        ),
        (
            read_adapter,
            "60° +/- 1°@45 ± 0,3 mm",
            Fitted("adapter", {"length_mm": "45", "angle_deg": "60", "length_u_mm": "0.15", "angle_u_deg": "0.5"}),
        ),
        (read_adapter, "50±1@45", Fitted("adapter", {"length_mm": "50", "angle_deg": "45", "length_u_mm": "0.5"})),
        (read_lever, "480", (Decimal(480), None)),
        (read_lever, "500±2", (Decimal(500), Decimal(2))),
        (read_lever, "500 mm +/- 2,5 mm", (Decimal(500), Decimal("2.5"))),
        (lambda text: read_range(UNITS, *text.split(" to ")), "20 N·m to 200 N·m", (Decimal(20), Decimal(200))),
    ],
    ids=count(1),
)
def test_what_people_write_is_read(reader: Callable[[str], object], text: str, expected: object) -> None:
    assert expected == reader(text)


@pytest.mark.parametrize(
    ("reader", "text", "says"),
    [
        (read_day, "2.4.2031", "2.4.2031: write a date as 2031-04-02"),
        (read_day, "2031-02-30", "2031-02-30: the calendar has no such day; look again"),
        (read_day, "", ": write a date as 2031-04-02"),
        (lambda text: read_moment(text, VIENNA), "quarter past nine", "quarter past nine: write a time as"),
        (read_odometer, "18.450 km", "18.450 km: this may be thousands or decimals; write 18450 km or 18.45 km to say"),
        (
            read_odometer,
            "7,500 mi",
            "7,500 mi: this may be thousands or decimals; write 7500 mi or 7.5 mi to say which",
        ),
        (read_odometer, "18.450", "18.450: this may be thousands or decimals; write 18450 km or 18.45 km to say which"),
        (
            read_odometer,
            "1.018.450 km",
            "1.018.450 km: write an odometer without dots and commas for thousands, 1018450 km",
        ),
        (read_odometer, "12000", '"12000" is no distance: write a number and km, mi, m or mm'),
        (read_adapter, "50", "50: write an adapter as length@angle, 50@45"),
        (read_adapter, "45@60", "45@60: is it 45 mm long at 60°, or 60 mm at 45°? Write 45mm@60° or 60@45"),
        (read_adapter, "0@50", "0@50: no adapter is 0 mm long, from drive centre to fastener centre; write the length"),
        (read_adapter, "45@250", "45@250: no adapter stands at 250°, for 180° is folded back; write the length in mm"),
        (read_adapter, "45@250°", "45@250°: no adapter stands at 250°"),
        (read_adapter, "4@500", "4@500: no adapter is 4 mm long, from drive centre to fastener centre; write the "),
        (read_adapter, "50@", 'the adapter\'s angle_deg: "" is not a plain number; write it like 25 or 108,5'),
        (read_adapter, "long@45", 'the adapter\'s length_mm: "long" is not a plain number'),
        (lambda text: read_torque(UNITS, text), "108", '"108" has no unit; known are N·m'),
        (read_angle, "721", '"721" is no angle; write the degrees turned after the torque, like 92'),
        (read_angle, "92 N·m", '"92 N·m" is no angle'),
        (read_differing, "3", "3: write 3=clicked without turning"),
        (read_differing, f"{'9' * 6000}=shown", f"{'9' * 60}…: write 3=clicked without turning"),
        (read_differing, "third=clicked without turning", "third=clicked without turning: write 3=clicked"),
        (read_differing, "3=clicked", "clicked: did it turn before? Say “turned, then clicked” or “clicked without"),
        (lambda text: read_moment(text, VIENNA), "8:10", "8:10: write a time as 2031-04-02 09:15"),
        (lambda text: read_moment(text, VIENNA, APRIL), "25:10", "25:10: write a time as 2031-04-02 09:15"),
        (read_entry_number, "#", "#: write an entry's number such as #77"),
        (read_outcome, "Clicked", "Clicked: did it turn before? Say “turned, then clicked” or “clicked without"),
        (read_mark, "fine", "fine: write “not marked” or “intact” or “disturbed” or “unreadable” or “not seen”"),
        (read_answer, "", ": write “yes” or “no” or “not applicable” or “in order” or “fault”"),
        (lambda text: read_pair(text, "--input"), "length", "--input: write NAME=VALUE, such as --input “length="),
        (lambda text: read_pair(text, "with"), "links=", "with: write NAME=VALUE, such as with “length=287.6 mm”"),
        (read_lever, "48", "48: a lever is given in mm, drive centre to hand mark, and lies between 150 and 2000"),
        (read_lever, "52", "52: a lever is given in mm, drive centre to hand mark, and lies between 150 and 2000; was"),
        (read_lever, "5O0", "5O0: a lever is given in mm"),
        (read_adapter, "50±@45", "50±: no number behind the ±; write 50±0.5"),
        (read_adapter, "50±60@45", "50±60@45: an uncertainty is above 0 and below 50 here, not 60"),
        (read_adapter, "50±0.5@45±90", "50±0.5@45±90: an uncertainty is above 0 and below 90 here, not 90"),
        (read_adapter, "50mm±0.5°@45", "50mm±0.5°: two units; write the uncertainty in that of its value"),
        (read_adapter, "50±oil@45", 'the adapter\'s uncertainty: "oil" is not a plain number'),
        (read_lever, "500±0", "500±0: the uncertainty of a lever is above 0 and at most 100 mm"),
        (read_lever, "500±", "500±: a lever is given in mm"),
        (lambda text: read_range(UNITS, text, ""), "20 N·m", "a wrench's range goes from its lowest"),
        (lambda text: read_range(UNITS, text, "20 N·m"), "20 N·m", "a wrench's range goes from its lowest"),
        (lambda text: read_scales(UNITS, [text, text], None), "1 N·m", "two scales of one wrench in the same unit"),
        (lambda text: read_scales(UNITS, [text], Decimal(200)), "200 N·m", "a division of 200 N·m is as wide as"),
    ],
    ids=count(1),
)
def test_what_cannot_be_read_is_said_in_one_sentence(reader: Callable[[str], object], text: str, says: str) -> None:
    with pytest.raises(ValueError) as refused:  # noqa: PT011  # the sentence is compared below
        reader(text)

    assert str(refused.value).startswith(says)
    assert "\n" not in str(refused.value)


def test_a_wrench_without_range_and_scales_has_none() -> None:
    """Neither is guessed."""
    assert read_range(UNITS, "", "") is None
    assert read_scales(UNITS, [], None) == ()


@pytest.mark.parametrize(
    ("reader", "short"), [(read_outcome, OUTCOMES), (read_method, METHODS), (read_slot, SLOTS), (read_answer, SAID)]
)
def test_a_short_form_means_one_word_alone(reader: Callable[[str], object], short: Mapping[str, str]) -> None:
    """Each is read as what it stands for, and none of them is the word itself."""
    assert dict(short) == {text: reader(text) for text in short}
    assert set() == {text for text, word in short.items() if text == word}


@pytest.mark.parametrize("text", ["II A", "IIA", "iia", "ii-a", "II.A", "type II class A", "Type II, Class a"])
def test_type_and_class_are_read_however_they_are_written(text: str) -> None:
    """As ISO 6789 writes them, and as people do."""
    assert read_class(text) == "II A"


@pytest.mark.parametrize("text", ["III A", "II H", "I F", "A", "2 A", ""])
def test_what_is_no_class_of_iso_6789_is_refused_with_those_there_are(text: str) -> None:
    """Type I has classes A to E, type II A to G (from memory)."""
    with pytest.raises(ValueError, match=r"type and class of ISO 6789 are I A, I B, .*, II G"):
        read_class(text)


@pytest.mark.parametrize("text", ["21.5", "21,5 °C", "21.5°C", "21.5 C"])
def test_a_temperature_is_read_in_degrees_celsius(text: str) -> None:
    """With its unit or without."""
    assert read_temperature(text) == Decimal("21.5")


@pytest.mark.parametrize("text", ["70", "-1", "70 °F", "warm"])
def test_what_is_no_temperature_of_a_room_is_refused(text: str) -> None:
    """70 is Fahrenheit."""
    with pytest.raises(ValueError, match=r"temperature|calibrated between 0 and 50 °C"):
        read_temperature(text)


@pytest.mark.parametrize("text", ["2031-03-30 02:00", "2031-03-30 2:30", "2031-03-30T02:59:59"])
def test_a_time_that_no_clock_showed_is_asked_back(text: str) -> None:
    """In the European Union clocks go from 02:00 to 03:00 on the last Sunday of March (Directive 2000/84/EC)."""
    with pytest.raises(ValueError, match="clocks were set forward over this time; write one that a clock showed"):
        read_moment(text, VIENNA)


@pytest.mark.parametrize(
    ("text", "hour"),
    [("2031-03-30 01:59", 0), ("2031-03-30 03:00", 1), ("2031-10-26 02:30", 0), ("2031-03-30 02:30Z", 2)],
)
def test_a_time_beside_it_is_read(text: str, hour: int) -> None:
    """As one is that clocks show twice in autumn, and one with a zone of its own; the hour is of UTC."""
    assert hour == read_moment(text, VIENNA).astimezone(UTC).hour
