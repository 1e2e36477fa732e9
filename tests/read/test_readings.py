"""Readings as people tell them, and the conditions they were taken under."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from torqueaudit.model.procedure.kinds import Derived, InputSpec, MeasurementKind, Reading
from torqueaudit.model.procedure.procedure import Measurement
from torqueaudit.read.readings import only_input, read_dimension, read_inputs, read_reading, require_comparable

PINS, LENGTH, NOTE = InputSpec("pins"), InputSpec("length", "mm", several=True), InputSpec("sag", "mm", required=False)
WEAR = MeasurementKind("wear", ("%",), (PINS, LENGTH, NOTE), lambda _readings, _asked, _tables: Derived(Decimal(1)))
ASKED = Measurement("wear", "chain wear", "%", "wear", conditions=(("posture", "side stand"), ("load", "7 kg")))
SLACK = Measurement("slack", "chain slack", "mm")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("288.0 mm", Reading(Decimal("288.0"))),
        ("288,0mm", Reading(Decimal("288.0"))),
        ("-0.5 mm", Reading(Decimal("-0.5"))),
        ("−0.5 mm", Reading(Decimal("-0.5"))),
        ("288.0 mm at link 40", Reading(Decimal("288.0"), None, "link 40")),
        ("288.0 mm ± 0.5 mm", Reading(Decimal("288.0"), Decimal("0.5"))),
        ("288.0 ± 0.5 mm", Reading(Decimal("288.0"), Decimal("0.5"))),
        ("288.0 mm ± 0.5", Reading(Decimal("288.0"), Decimal("0.5"))),
        ("288.0 mm +/- 0.5 mm at link 40", Reading(Decimal("288.0"), Decimal("0.5"), "link 40")),
    ],
)
def test_a_reading_is_read_with_its_uncertainty_and_place(text: str, expected: Reading) -> None:
    assert expected == read_reading("length", LENGTH, text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("288.0", "length: “288.0” has to be told in mm; write “288.0 mm”"),
        ("288.0 cm", "length: “288.0 cm” has to be told in mm"),
        ("288.0 mm ± 0.5 cm", "length: “288.0 mm ± 0.5 cm” has to be told in mm"),
        ("288.0 ± 0.5", "length: “288.0 ± 0.5” has to be told in mm; write “288.0 mm”"),
        ("288.0 mm ± 0 mm", "length: an uncertainty is above zero, for no instrument is without"),
        ("288.0 mm ±", 'length: "" is not a plain number; write it like 25 or 108,5'),
        ("long", 'length: "long" is not a plain number; write it like 25 or 108,5'),
        ("1e3 mm", "length: “1e3 mm” has to be told in mm"),
        ("1,000 mm", 'length: "1,000" may be thousands or decimals; write 1000 or 1 to say which'),
    ],
)
def test_a_reading_that_is_none_is_refused_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=r".") as refused:
        read_reading("length", LENGTH, text)

    assert says == str(refused.value)


def test_a_number_has_no_unit() -> None:
    assert Reading(Decimal(19)) == read_reading("pins", PINS, "19")
    with pytest.raises(ValueError, match="as a number without unit"):
        read_reading("pins", PINS, "19 mm")


def test_inputs_stand_in_the_order_of_their_kind_each_in_the_order_told() -> None:
    told = [("length", "288.0 mm at link 40"), ("pins", "19"), ("length", "287.6 mm ± 0.2 mm")]
    expected = {
        PINS: (Reading(Decimal(19)),),
        LENGTH: (Reading(Decimal("288.0"), Decimal("0.5"), "link 40"), Reading(Decimal("287.6"), Decimal("0.2"))),
    }

    assert expected == read_inputs(ASKED, WEAR, told, "± 0.5 mm")


@pytest.mark.parametrize(
    ("told", "uncertainty", "says"),
    [
        ([], "", "chain wear: say also pins and length; it is measured by pins, length, sag"),
        ([("pins", "19")], "", "chain wear: say also length; it is measured by pins, length, sag"),
        ([("pns", "19")], "", 'chain wear: there is no input “pns”; did you mean "pins"?'),
        ([("pins", "19"), ("pins", "20")], "", "chain wear: pins was told twice; say it once"),
        (
            [("pins", "19"), ("length", "287.6 mm")],
            "0.5 %",
            "chain wear: no reading is in the unit of the uncertainty “0.5 %”; write it like “0.5 mm”",
        ),
        (
            [("pins", "19"), ("length", "287.6 mm")],
            "0.5",
            "chain wear: no reading is in the unit of the uncertainty “0.5”; write it like “0.5 mm”",
        ),
    ],
)
def test_inputs_that_are_not_those_of_the_kind_are_refused(
    told: list[tuple[str, str]], uncertainty: str, says: str
) -> None:
    with pytest.raises(ValueError, match=r".") as refused:
        read_inputs(ASKED, WEAR, told, uncertainty)

    assert says == str(refused.value)


def test_a_value_without_a_name_is_of_the_only_input_there_must_be() -> None:
    one = WEAR._replace(inputs=(LENGTH, NOTE))

    assert "length" == only_input(ASKED, one, "287.6 mm")
    with pytest.raises(ValueError, match=r"“287\.6 mm” does not say which it is of pins, length; name each input"):
        only_input(ASKED, WEAR, "287.6 mm")


def test_a_dimension_takes_the_instruments_uncertainty_unless_it_tells_its_own() -> None:
    told = [read_dimension(SLACK, text, "0.5 mm").expanded for text in ("25 mm", "25 mm ± 0.2 mm")]

    assert [Decimal("0.5"), Decimal("0.2")] == told
    with pytest.raises(ValueError, match="chain slack: say what was measured; write “25 mm”"):
        read_dimension(SLACK, " ", "")


words = st.text("abcdefg hijklmnopqrstuvwxyzÄß-ABC", min_size=1).filter(str.strip)


def same(one: str, other: str) -> bool:
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()


@given(name=words, wanted=words, told=words)
def test_another_posture_is_never_comparable(name: str, wanted: str, told: str) -> None:
    assume(not same(wanted, told))
    asked = SLACK._replace(conditions=((name, wanted),))
    with pytest.raises(ValueError, match="is not comparable"):
        require_comparable(asked, [(name, told)])


@given(name=words, wanted=words, other=words)
def test_a_condition_that_is_misspelt_is_never_passed_over(name: str, wanted: str, other: str) -> None:
    """It would else be a way past the posture."""
    assume(not same(name, other))
    with pytest.raises(ValueError, match="the procedure states no condition"):
        require_comparable(SLACK._replace(conditions=((name, wanted),)), [(other, wanted)])


@given(name=words, wanted=words)
def test_the_same_posture_is_comparable_however_it_is_spaced_or_capitalised(name: str, wanted: str) -> None:
    asked = SLACK._replace(conditions=((name, wanted),))
    require_comparable(asked, [])
    require_comparable(asked, [(f" {name.upper()}", f"{wanted}  ")])


def test_a_place_may_be_told_with_from() -> None:
    """As people say where a length begins."""
    assert Reading(Decimal("410.5"), None, "the pivot") == read_reading("left", LENGTH, "410.5 mm from the pivot")


def test_a_kind_may_know_other_words_for_a_condition() -> None:
    """It alone; without it only the same words are the same."""
    asked = SLACK._replace(conditions=(("end", "front, at the pivot"),))

    require_comparable(asked, [("End", "pivot")], lambda name, _asked, told: (name, told) == ("end", "pivot"))
    for same in (None, lambda _name, _asked, _told: False):
        with pytest.raises(ValueError, match="taken with End “pivot” it is not comparable"):
            require_comparable(asked, [("End", "pivot")], same)
