"""Ways to specify beyond a value and its tolerance: one limit, an angle, printed stages, castle nut, drag."""

import json
from decimal import Decimal

import pytest

from torqueaudit.ledger.canonical import canonical
from torqueaudit.model.procedure.normal_form import from_normal_form, normal_form
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.procedure.toml.values import ProcedureMistakes
from torqueaudit.model.torque.specification import Specification
from torqueaudit.model.torque.units import UnitTable
from torqueaudit.model.torque.words import derived_text, specified_text
from torqueaudit.plugin.commands import unit_table

HEAD = """format = 1
name = "small"
title = "Small work"
edition = "1"
[source.manual]
document = "Manual"
edition = "3"
model = "Kestrel 500"
years = [2028, 2031]
[[work]]
tighten = "nut"
name = "nut"
source = "manual"
page = "1"
"""
VALUE = 'torque = "30 N·m"\ntolerance = "5 %"\n'
ANGLE = f'{VALUE}method = "torque and angle"\nangle = "90°"\n'
CASTLE = 'locking = "castle nut"\n'


@pytest.fixture(scope="module")
def units() -> UnitTable:
    """N·m and the bundled units."""
    return unit_table()


def nut(lines: str, units: UnitTable) -> Fastener:
    """The nut, as the ledger gives it back."""
    procedure = read_procedure(HEAD + lines, units, Decimal(10))
    stored = canonical(normal_form(procedure))
    again = from_normal_form(json.loads(stored))

    assert procedure == again
    assert "null" not in stored
    return again.fasteners()[0]


def specification(lines: str, units: UnitTable) -> Specification:
    """The specification, as the ledger gives it back."""
    return nut(lines, units).specification


def mistakes(lines: str, units: UnitTable) -> list[str]:
    """What is wrong with the nut."""
    try:
        read_procedure(HEAD + lines, units, Decimal(10))
    except ProcedureMistakes as wrong:
        return [f"{mistake.key.removeprefix('nut.')}: {mistake.says}" for mistake in wrong.mistakes]
    return []


@pytest.mark.parametrize(
    ("torque", "lower", "upper"),
    [
        ("at least 90 N·m", Decimal(90), None),
        ("≥ 90 N·m", Decimal(90), None),
        ("at most 12 N·m", None, Decimal(12)),
        ("≤ 12 N·m", None, Decimal(12)),
    ],
)
def test_one_limit_leaves_the_other_side_without_any(
    torque: str, lower: Decimal | None, upper: Decimal | None, units: UnitTable
) -> None:
    """A missing limit is missing, never a very large number; what is aimed for is the limit itself."""
    one = specification(f'torque = "{torque}"', units)

    assert (lower, upper, None) == (one.lower_nm, one.upper_nm, one.nominal_nm)
    assert one.target_nm == (lower or upper)
    assert torque == specified_text(one)


def test_an_angle_has_a_window_and_a_torque_at_its_end(units: UnitTable) -> None:
    """30 N·m, then 85° to 95°, after which the wrench may show 60 to 110 N·m."""
    one = specification(f'{ANGLE}angle_tolerance = "5°"\nfinal_torque = "60 … 110 N·m"', units)

    assert (Decimal(90), Decimal(5)) == (one.angle, one.angle_tolerance)
    assert (Decimal(60), Decimal(110), "60 … 110 N·m") == (one.final_lower_nm, one.final_upper_nm, one.final_written)
    assert specified_text(one) == "30 N·m + 90° (85 … 95), then 60 … 110 N·m"


def test_an_angle_without_a_tolerance_has_no_window(units: UnitTable) -> None:
    """It is shown, not judged; the end may have one limit."""
    one = specification(f'{ANGLE}final_torque = "at least 60 N·m"', units)

    assert (None, Decimal(60), None) == (one.angle_tolerance, one.final_lower_nm, one.final_upper_nm)
    assert specified_text(one) == "30 N·m + 90°, then at least 60 N·m"


@pytest.mark.parametrize("count", ["", "count = 2\n"], ids=["one", "group"])
@pytest.mark.parametrize("method", [VALUE, ANGLE], ids=["torque", "angle"])
def test_stages_may_be_torques_as_the_document_prints_them(method: str, count: str, units: UnitTable) -> None:
    """First by hand, then 10 N·m and 20 N·m, then the whole; also of a single fastener, also before an angle."""
    one = nut(f'{method}{count}stages = ["hand", "10 N·m", "20 N·m", "100%"]', units)

    assert ("hand", "10 N·m", "20 N·m", "100 %") == one.stages
    assert [None, Decimal(10), Decimal(20), Decimal(30)] == [one.stage_nm(stage) for stage in (1, 2, 3, 4)]


def test_a_share_aims_at_its_part_of_the_whole(units: UnitTable) -> None:
    """30 % of 30 N·m; one go is one stage."""
    group = nut(f'{VALUE}count = 4\nstages = ["30 %", "100 %"]', units)

    assert [Decimal(9), Decimal(30)] == [group.stage_nm(1), group.stage_nm(2)]
    assert Decimal(30) == nut(VALUE, units).stage_nm(1)


@pytest.mark.parametrize("torque", ['torque = "60 … 80 N·m"', 'torque = "60 N·m"\ntolerance = "+20 N·m / -0 N·m"'])
def test_a_castle_nut_has_a_printed_maximum(torque: str, units: UnitTable) -> None:
    """A range, or a tolerance that the document prints."""
    castle = nut(f"{torque}\n{CASTLE}", units)

    assert castle.locking == "castle nut"
    assert (Decimal(60), Decimal(80)) == (castle.specification.lower_nm, castle.specification.upper_nm)


@pytest.mark.parametrize(
    ("said", "excluded", "shown"),
    [
        ("", False, "30 N·m (28.5 … 31.5)"),
        ('prevailing_torque = "included"', False, "30 N·m (28.5 … 31.5)"),
        ('prevailing_torque = "excluded"', True, "30 N·m (28.5 … 31.5) + drag"),
        ('prevailing_torque_min = "1 N·m"', False, "30 N·m (28.5 … 31.5), drag at least 1 N·m"),
    ],
)
def test_drag_comes_on_top_only_where_the_document_says_so(
    said: str, *, excluded: bool, shown: str, units: UnitTable
) -> None:
    """Reference section 10: set the maker's value as printed, else."""
    one = specification(VALUE + said, units)

    assert (excluded, shown) == (one.drag_excluded, specified_text(one))


@pytest.mark.parametrize(
    ("torque", "also", "expected"),
    [
        ('torque = "60 N·m"\ntolerance = "5 N·m"', ["6.0 kgf·m", "43 lbf·ft"], ["6.0 kgf·m", "43 lbf·ft"]),
        ('torque = "60 N·m"\ntolerance = "5 N·m"', ["44 lbf·ft", "6.1 kgf·m"], []),
        ('torque = "108 N·m"\ntolerance = "10 %"', ["80 lbf·ft", "11.0 kgf·m"], []),
        ('torque = "80 lbf·ft"\ntolerance = "10 %"', ["108 N·m"], []),
        ('torque = "80 lbf·ft"\ntolerance = "10 %"', ["110 N·m"], ["110 N·m"]),
        # 80.0 says more than 80, and 108.4654… is not 108.0.
        ('torque = "80.0 lbf·ft"\ntolerance = "10 %"', ["108.0 N·m"], ["108.0 N·m"]),
        ('torque = "47 … 53 N·m"', ["35 … 39 lbf·ft"], []),
        ('torque = "47 … 53 N·m"', ["35 … 41 lbf·ft"], ["35 … 41 lbf·ft"]),
        ('torque = "at least 90 N·m"', ["at least 66 lbf·ft"], []),
        ('torque = "at least 90 N·m"', ["at least 60 lbf·ft"], ["at least 60 lbf·ft"]),
        # Beside a value with a printed tolerance a range may be its limits: 55 and 65 N·m are 40.6 and 47.9 lbf·ft.
        ('torque = "60 N·m"\ntolerance = "5 N·m"', ["41 … 48 lbf·ft"], []),
        ('torque = "60 N·m"\ntolerance = "5 N·m"', ["40 … 50 lbf·ft"], ["40 … 50 lbf·ft"]),
    ],
)
def test_printed_values_disagree_where_rounding_does_not_explain_it(
    torque: str, also: list[str], expected: list[str], units: UnitTable
) -> None:
    """Reference fact 7: 60 N·m is 6.118 kgf·m and 44.25 lbf·ft. Half a last digit of either value is rounding.

    Read from the stored form, which needs no plugin for its units.
    """
    one = specification(f"{torque}\nalso = {json.dumps(also)}", units)

    assert also == [other.written for other in one.also]
    assert expected == [other.written for other in one.disagreeing()]


@pytest.mark.parametrize(
    ("torque", "unit", "expected"),
    [
        ('torque = "108 N·m"\ntolerance = "10 %"', "lbf·ft", "108 N·m (= about 79.7 lbf·ft, derived)"),
        ('torque = "108 N·m"\ntolerance = "10 %"', "kgf·m", "108 N·m (= about 11 kgf·m, derived)"),
        ('torque = "108.0 N·m"\ntolerance = "10 %"', "lbf·ft", "108.0 N·m (= about 79.66 lbf·ft, derived)"),
        # Two digits, 44 lbf·ft, would be 1.36 N·m apart and say less than 60 N·m does: one more.
        ('torque = "60 N·m"\ntolerance = "5 N·m"', "lbf·ft", "60 N·m (= about 44.3 lbf·ft, derived)"),
        ('torque = "60 N·m"\ntolerance = "5 N·m"', "kgf·m", "60 N·m (= about 6.1 kgf·m, derived)"),
        ('torque = "25 N·m"\ntolerance = "5 N·m"', "lbf·in", "25 N·m (= about 221 lbf·in, derived)"),
        ('torque = "9 N·m"\ntolerance = "1 N·m"', "lbf·ft", "9 N·m (= about 6.6 lbf·ft, derived)"),
        ('torque = "62 … 68 N·m"', "lbf·ft", "62 … 68 N·m (= about 45.8 … 50.1 lbf·ft, derived)"),
        ('torque = "at least 90 N·m"', "lbf·ft", "at least 90 N·m (= about 66.4 lbf·ft, derived)"),
        # 31 lbf·ft would be 42.03 N·m, past the maximum, and 7.7 kgf·m 75.5 N·m, below the least.
        ('torque = "at most 42 N·m"', "lbf·ft", "at most 42 N·m (= about 30.9 lbf·ft, derived)"),
        ('torque = "at least 76 N·m"', "kgf·m", "at least 76 N·m (= about 7.8 kgf·m, derived)"),
        ('torque = "80 lbf·ft"\ntolerance = "10 %"', "N·m", "80 lbf·ft (= about 108 N·m, derived)"),
        ('torque = "80 lbf·ft"\ntolerance = "10 %"', "lbf·ft", "80 lbf·ft"),
    ],
)
def test_another_unit_is_shown_as_derived_to_what_the_printed_digits_support(
    torque: str, unit: str, expected: str, units: UnitTable
) -> None:
    """As many digits as printed, at most one more; limits inwards. Values: reference section 1, rounded by hand."""
    assert expected == derived_text(specification(torque, units), units.unit(unit))


@pytest.mark.parametrize(
    ("lines", "key", "says"),
    [
        ('torque = "at least 90"', "torque", "has no unit"),
        ('torque = "at least 90 to 100 N·m"', "torque", "more than one number"),
        ('torque = "at least 90 N·m"\ntolerance = "10 %"', "tolerance", "does not go with a limit on one side"),
        ('torque = "at least 90 N·m"\nalso = ["66 lbf·ft"]', "also", "is one value beside a limit on one side"),
        ('torque = "at least 90 N·m"\nalso = ["at most 66 lbf·ft"]', "also", "in the same form"),
        ('torque = "47 … 53 N·m"\nalso = ["37 lbf·ft"]', "also", "is one value beside a range"),
        (
            'torque = "50 N·m"\ntolerance = "workshop"\nalso = ["35 … 39 lbf·ft"]',
            "also",
            "is a range beside one value",
        ),
        (VALUE + 'also = ["22 lb"]', "also", "so it is no torque"),
        (ANGLE.replace(VALUE, 'torque = "at least 30 N·m"\n'), "torque", "needs both limits"),
        (ANGLE + 'angle_tolerance = "workshop"', "angle_tolerance", "no angle tolerance of its own"),
        (ANGLE + 'angle_tolerance = "90°"', "angle_tolerance", "as wide as the angle"),
        (ANGLE + 'angle_tolerance = "5"', "angle_tolerance", "in degrees"),
        (VALUE + 'angle_tolerance = "5°"', "angle_tolerance", "no angle to belong to"),
        (VALUE + 'angle = "90°"', "angle", "needs method"),
        (VALUE + 'final_torque = "60 … 110 N·m"', "final_torque", "needs method"),
        (ANGLE + 'final_torque = "75 N·m"', "final_torque", "is one value"),
        (ANGLE + 'final_torque = "20 … 110 N·m"', "final_torque", "begins below 30 N·m"),
        (ANGLE + 'final_torque = "at most 20 N·m"', "final_torque", "begins below 30 N·m"),
        (ANGLE + 'final_torque = "110 … 60 N·m"', "final_torque", "not below the upper limit"),
        ('torque = "60 N·m"\ntolerance = "workshop"\n' + CASTLE, "locking", "only up to a printed maximum"),
        ('torque = "at least 60 N·m"\n' + CASTLE, "locking", "only up to a printed maximum"),
        (ANGLE + CASTLE, "locking", "does not go with torque and angle"),
        (VALUE + 'locking = "castel nut"', "locking", '"castel nut" is not known; write castle nut'),
        (VALUE + 'adapter = "50@45"', "adapter", '"50@45" is not known; write needed'),
        (VALUE + 'prevailing_torque = "added"', "prevailing_torque", "write included or excluded"),
        (VALUE + 'direction = "left-hand"', "direction", '"left-hand" is not known; write right or left'),
        (VALUE + 'stages = ["10 N·m", "20 N·m"]', "stages", 'end in "100 %"'),
        (VALUE + 'stages = ["10 N·m", "50 %", "100 %"]', "stages", "do not mix"),
        (VALUE + 'stages = ["10 N·m", "hand", "100 %"]', "stages", "do not mix"),
        (VALUE + 'stages = ["20 N·m", "10 N·m", "100 %"]', "stages", "have to rise, and 20 N·m, 10 N·m do not"),
        (VALUE + 'stages = ["10", "100 %"]', "stages", "has no unit"),
        (VALUE + 'stages = ["10 kg", "100 %"]', "stages", "no torque"),
        (VALUE + 'stages = ["31.5 N·m", "100 %"]', "stages", "not below 31.5 N·m"),
        (VALUE + 'stages = ["30 %", "100 %"]', "stages", "add count"),
        (ANGLE + 'count = 2\nstages = ["30 %", "100 %"]', "stages", "not for torque and angle"),
        (
            VALUE + 'condition = "threadlocker"\ncure_time_h = 2\nstages = ["10 N·m", "100 %"]',
            "stages",
            "in one go",
        ),
    ],
)
def test_what_contradicts_itself_is_told_in_one_sentence(lines: str, key: str, says: str, units: UnitTable) -> None:
    """One mistake, at its key."""
    found = mistakes(lines, units)

    assert len(found) == 1, found
    assert found[0].startswith(f"{key}: ")
    assert says in found[0]
