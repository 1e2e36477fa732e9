"""The normalised form of a procedure, and what a procedure says of its positions."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from torqueaudit.ledger.canonical import canonical
from torqueaudit.model.procedure.in_book import digest
from torqueaudit.model.procedure.normal_form import from_normal_form, normal_form
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.specification import Printed, Specification
from torqueaudit.model.torque.units import NEWTON_METRE, UnitTable
from torqueaudit.plugins import load_plugins

EXAMPLES = Path(__file__).parents[3] / "examples" / "procedures"


def example(name: str) -> Procedure:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    plugins = load_plugins()
    units = UnitTable([NEWTON_METRE])
    return read_procedure(text, units, Decimal(10), kinds=plugins.kinds, part_kinds=plugins.part_kinds)


def test_the_last_stage_reaches_the_torque() -> None:
    """The fourth of a group that is done in four; of what is done in one go the first."""
    last = {each.key: (len(each.stages), each.last_stage) for each in example("final-drive").fasteners()}

    assert ((4, 4), (0, 1)) == (last["sprocket-bolt"], last["rear-axle-nut"])


@pytest.mark.parametrize("name", ["drive-jerks", "final-drive", "front-wheel"])
def test_what_the_ledger_gives_back_is_the_procedure_that_went_in(name: str) -> None:
    """Canonical bytes of the ledger and back: nothing is lost, and the second time the bytes are the same."""
    procedure = example(name)
    stored = canonical(normal_form(procedure))
    again = from_normal_form(json.loads(stored))

    assert procedure == again
    assert stored == canonical(normal_form(again))
    assert "null" not in stored


def test_a_specification_is_stored_as_written_and_in_newton_metres() -> None:
    """108 N·m with 10 % is 97.2 to 118.8 N·m."""
    work = normal_form(example("final-drive"))["work"]
    expected = {
        "written": "108 N·m",
        "unit": "N·m",
        "nominal_nm": "108",
        "lower_nm": "97.2",
        "upper_nm": "118.8",
        "tolerance": "10 %",
        "source": "manual",
        "page": "7-12",
        "half_digit_nm": ["0.5"],
    }
    assert isinstance(work, list)
    actual = [item for item in work if isinstance(item, dict) and item["key"] == "rear-axle-nut"]

    assert [expected] == [item["specification"] for item in actual]


def test_a_group_is_numbered_and_turned_crosswise() -> None:
    """Five bolts: 1-3-5-2-4 (trade; cross pattern as in ASME PCC-1, value from memory)."""
    group = example("final-drive").fastener_at("sprocket-bolt-3")
    assert group is not None
    expected = ["sprocket-bolt-1", "sprocket-bolt-3", "sprocket-bolt-5", "sprocket-bolt-2", "sprocket-bolt-4"]

    assert expected == list(group.turning_order)
    assert sorted(expected) == list(group.positions)
    assert group.name_of("sprocket-bolt-3") == "rear sprocket bolt 3"


def test_a_single_fastener_is_its_own_position() -> None:
    """Only a group is numbered."""
    procedure = example("final-drive")
    nut = procedure.fastener_at("rear-axle-nut")
    assert nut is not None

    assert nut.positions == ("rear-axle-nut",) == nut.turning_order
    assert nut.name_of("rear-axle-nut") == "rear axle nut"
    assert procedure.fastener_at("sprocket-bolt") is None
    assert procedure.fastener_at("rear-axle-nut-1") is None
    with pytest.raises(ValueError, match="not in tuple"):
        nut.name_of("front-axle")


def test_the_final_drive_is_done_in_an_order_that_works() -> None:
    """Reference section 10: chain and snug axle before the front nut, slack before the axle nut and after it."""
    order = [item.key for item in example("final-drive").work]
    expected = [
        "bike-secured",
        "front-nut-loosened",
        "chain-off",
        "wheel-out",
        "compared",
        "bearings-look",
        "dampers-look",
        "axle-look",
        "sprocket-bolt",
        "wheel-in",
        "caliper-carrier-bolt",
        "torque-arm-bolt",
        "sensor-ring-clear",
        "axle-snug",
        "shaft-look",
        "front-sprocket",
        "chain",
        "rivet-link",
        "rivet-flare",
        "pedal-pumped",
        "front-sprocket-nut",
        "cover-on",
        "slack",
        "alignment",
        "rear-axle-nut",
        "adjuster-lock-left",
        "wheel-free",
        "pedal-firm",
        "brake-tried",
    ]

    assert expected == [key for key in order if key in expected]
    assert all(item.mark for item in example("final-drive").fasteners())
    for item in example("final-drive").measurements()[1:]:
        assert ("rear-axle-nut", "adjuster-lock-left", "adjuster-lock-right") == item.again_after


def test_work_is_sorted_by_kind_without_losing_its_order() -> None:
    """Every piece of work is of exactly one kind and found by its key."""
    procedure = example("final-drive")
    kinds = (procedure.fasteners(), procedure.measurements(), procedure.steps(), procedure.fits())

    assert sorted(item.key for kind in kinds for item in kind) == sorted(item.key for item in procedure.work)
    assert all(procedure.item(item.key) is item for item in procedure.work)
    assert procedure.item("no-such-thing") is None


def test_a_printed_range_aims_at_its_middle_and_a_value_at_itself() -> None:
    """A range prints no nominal value."""
    low, high = Decimal(47), Decimal(53)
    printed = Specification(written="47 … 53 N·m", unit="N·m", lower_nm=low, upper_nm=high, source="manual", page="1")

    assert Decimal(50) == printed.target_nm
    assert Decimal(48) == printed._replace(nominal_nm=Decimal(48)).target_nm


def test_a_plugins_table_keeps_keys_the_ledger_could_not_hold() -> None:
    """Capitals, hyphens and spaces belong to the plugin."""
    table = {"Slack Posture": "side-stand", "pitch-mm": ["15.875", 2, {"Ä": True}], "table": {"table": "x"}}
    procedure = Procedure(name="a", title="A", edition="1", sources=(), work=(), x={"chain-care": table})  # type: ignore[dict-item]

    assert procedure == from_normal_form(json.loads(canonical(normal_form(procedure))))


def test_equal_numbers_are_stored_alike_and_exactly() -> None:
    """No exponent, no zeros at the end, no digit lost."""
    long = "12345678901234567890.1234567890123456789"
    written = ["108.0", "1E+2", "0.10", "100", "0", long]

    assert ["108", "100", "0.1", "100", "0", long] == [decimal_text(Decimal(number)) for number in written]


def test_a_procedure_is_known_by_the_digest_of_its_text() -> None:
    """FIPS 180-2 appendix B.1 prints the SHA-256 of "abc" (value from memory)."""
    assert digest("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_left_handed_threadlocked_fastener_survives_the_ledger() -> None:
    """Every field that the examples leave at its default."""
    printed = Specification(
        written="30 N·m",
        unit="N·m",
        lower_nm=Decimal("28.5"),
        upper_nm=Decimal("31.5"),
        source="s",
        page="1",
        nominal_nm=Decimal(30),
        tolerance="5 %",
    )
    specification = printed._replace(
        own_tolerance=True, also=(Printed("22 lbf·ft", (Decimal("29.8"),), (Decimal("0.68"),)),)
    )
    nut = Fastener("nut", "nut", specification, direction="left", condition="threadlocker", cure_time_h=Decimal("0.5"))
    procedure = Procedure(name="a", title="A", edition="1", sources=(), work=(nut,), needs=("imperial",))

    assert procedure == from_normal_form(json.loads(canonical(normal_form(procedure))))
