"""Measurements that come of several readings: told, derived by a plugin, judged, stored, and compared over jobs."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from decimal import Decimal
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.ledger.entry import Act, Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Measure
from torqueaudit.model.job.facts import Input, Measured
from torqueaudit.model.job.words import conditions_text
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.testing import Clock, findings, play, procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.measurements import measure
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle

# What a plugin of chain wear might do: the worst place over the pitch that the procedure's own table states.
KIND = """
from decimal import Decimal
from torqueaudit.hooks import hookimpl
from torqueaudit.model.procedure.kinds import Derived, InputSpec, MeasurementKind

def derive(readings, measurement, tables):
    pins, lengths = readings.inputs["pins"][0].value, readings.inputs["length"]
    if pins < 2:
        raise ValueError(f"{pins} pins span no pitch; count again")
    if pins == 13:
        raise KeyError("thirteen")
    if pins == 14:
        return 1.5
    if pins == 15:
        return Derived(Decimal("NaN"))
    new = (pins - 1) * Decimal(tables["wear"]["pitch_mm"])
    worst = max(lengths, key=lambda each: each.value)
    expanded = None if worst.expanded is None else 100 * worst.expanded / new
    return Derived(100 * (worst.value / new - 1), expanded, f"worst at {worst.place or 'no place'}")

@hookimpl
def measurement_kinds():
    return [MeasurementKind("wear", ("%",), (InputSpec("pins"), InputSpec("length", "mm", several=True)), derive)]
"""
PROCEDURE = (
    procedure_head("wear-only", "Chain wear")
    + """[[work]]
measure = "wear"
name = "chain wear"
kind = "wear"
max = "1.0 %"
conditions = { posture = "wheel on the ground" }
source = "manual"
page = "2-23"
[[work]]
measure = "slack"
name = "chain slack"
limit = "32 … 42 mm"
conditions = { posture = "side stand" }
source = "manual"
page = "2-21"
[x.wear]
pitch_mm = 15.875
"""
)
OPENED = "2031-04-02 10:00 job 1 opened wear-only on V-1 at 12000 km by P-2\n"
READ = "wear measured pins 19, length 287.2 mm at link 3, length 288.0 mm ± 0.5 mm at link 40"
TAKEN = f"2031-04-02 10:05 {READ} by P-2\n"
WORSE = TAKEN.replace("288.0", "291.6")

Open = Callable[..., Workshop]


@pytest.fixture
def kinds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Plugins:
    """The installed plugins, and one that knows the kind "wear"."""
    monkeypatch.syspath_prepend(tmp_path)
    module = f"wear_{tmp_path.name}".replace("-", "_")
    (tmp_path / f"{module}.py").write_text(KIND, encoding="utf-8")
    return Plugins([*entry_points(group=GROUP), EntryPoint("wear_rules", module, GROUP)])


@pytest.fixture
def yard(book_file: Path, kinds: Plugins, tmp_path: Path) -> Iterator[Workshop]:
    """The ready-made book, in which the procedure above was entered and read."""
    path = tmp_path / "wear-only.toml"
    path.write_text(PROCEDURE, encoding="utf-8")
    with open_workshop(book_file, clock=Clock(), chance=Random(3), plugins=kinds) as workshop:
        enter_procedure(workshop, path, Say("P-2"))
        yield workshop


def of_wear(workshop: Workshop, number: str = "1") -> Any:
    return workshop.record(number).measured("wear")


def told(workshop: Workshop, rule: str) -> list[str]:
    return findings(workshop, rule=rule)


def test_readings_are_stored_as_told_beside_what_came_of_them(yard: Workshop) -> None:
    """Wear = 288.0 / (18 × 15.875) − 1 = 0.787… %, ± 0.5 / 285.75 = 0.174… %, worked out by hand."""
    play(yard, OPENED + TAKEN)
    entry = yard.book.entry(yard.book.head().sequence)
    wear = of_wear(yard)

    assert entry is not None
    assert {"key", "inputs"} == entry.said.keys()
    assert {"name": "length", "value": "287.2", "unit": "mm", "place": "link 3"} == entry.said["inputs"][1]
    assert (
        Input("pins", Decimal(19), ""),
        Input(name="length", value=Decimal("287.2"), unit="mm", expanded=None, place="link 3"),
        Input(name="length", value=Decimal("288.0"), unit="mm", expanded=Decimal("0.5"), place="link 40"),
    ) == wear.inputs
    assert ["0.787", "0.175", "%"] == [f"{wear.value:.3f}", f"{wear.expanded:.3f}", wear.unit]
    assert (True, "in", "simple acceptance") == (wear.inside, wear.verdict, wear.rule)
    assert ("wear", "worst at link 40") == (wear.kind, wear.says)
    assert (("posture", "wheel on the ground"),) == wear.conditions
    assert ("wear_rules", "%") == (entry.judged["plugin"], entry.judged["unit"])


def test_the_doors_show_readings_and_value(yard: Workshop) -> None:
    play(yard, OPENED + TAKEN)
    item = next(each for each in show_job(yard, "1").items if each.key == "wear")
    said = (
        "0.7874 % ± 0.17 % (pins 19, length 287.2 mm at link 3, length 288.0 mm at link 40); worst at link 40; "
        "posture: wheel on the ground (as the procedure says)"
    )

    assert said == item.said
    assert said in " ".join(" ".join(lines_of(show_job(yard, "1"))).split())


def test_what_is_outside_says_what_it_was_derived_from(yard: Workshop) -> None:
    play(yard, OPENED + WORSE)
    says = (
        "chain wear: 2.0472 % ± 0.17 % (pins 19, length 287.2 mm at link 3, length 291.6 mm at link 40); max 1.0 % is "
        "specified. Set it right and measure again."
    )

    assert [says] == told(yard, "workshop_rules/measurement-outside")


@pytest.mark.parametrize(
    ("length", "rules"),
    [
        ("288.0 mm ± 0.5 mm", {"in": []}),
        ("288.4 mm ± 0.5 mm", {"in, not proved": ["not proved"]}),
        ("288.4 mm", {"in, not proved": ["not told"]}),
        ("288.9 mm ± 0.5 mm", {"out, not proved": ["outside"]}),
        ("291.6 mm ± 0.5 mm", {"out": ["outside"]}),
    ],
)
def test_a_guard_band_asks_how_sure_the_instrument_is(yard: Workshop, length: str, rules: dict[str, list[str]]) -> None:
    """The limit lies at 285.75 × 1.01 = 289.275 mm: 0.5 mm on either side are not proved."""
    settle(yard, {"guard_factor": "1"}, Say("P-1"))
    play(yard, OPENED + f"2031-04-02 10:05 wear measured pins 19, length {length} by P-2\n")
    cautions, stops = (
        told(yard, "workshop_rules/measurement-not-proved"),
        told(yard, "workshop_rules/measurement-outside"),
    )

    ((verdict, expected),) = rules.items()
    assert verdict == of_wear(yard).verdict
    assert len(expected) == len(cautions) + len(stops)
    assert all("guard band 1·U" in says for says in cautions)
    assert [says for says in cautions if "how sure it is was not told" in says] == cautions * (expected == ["not told"])
    assert bool(stops) == (expected == ["outside"])


@pytest.mark.parametrize(
    ("key", "act", "says"),
    [
        ("wear", Measure("1 %"), "chain wear: “1 %” does not say which it is of pins, length; name each input"),
        ("wear", Measure(inputs=(("pins", "19"),)), "chain wear: say also length; it is measured by pins, length"),
        (
            "wear",
            Measure(inputs=(("pins", "1"), ("length", "287.6 mm"))),
            "chain wear: 1 pins span no pitch; count again",
        ),
        (
            "wear",
            Measure(inputs=(("pins", "13"), ("length", "287.6 mm"))),
            "plugin wear_rules broke while it worked out the chain wear (KeyError: 'thirteen'); nothing was recorded",
        ),
        (
            "wear",
            Measure(inputs=(("pins", "14"), ("length", "287.6 mm"))),
            "plugin wear_rules broke while it worked out the chain wear (it answered 1.5); nothing was recorded",
        ),
        (
            "wear",
            Measure(inputs=(("pins", "15"), ("length", "287.6 mm"))),
            (
                "plugin wear_rules broke while it worked out the chain wear (it answered Derived(value=Decimal('NaN'), "
                "expanded=None, says='', mend='')); nothing was recorded"
            ),
        ),
        ("slack", Measure("37"), "chain slack: “37” has to be told in mm; write “37 mm”"),
        ("slack", Measure(), "chain slack: say what was measured; write “25 mm”"),
        (
            "slack",
            Measure("37 mm", inputs=(("mm", "37"),)),
            "chain slack: it is one value and has no inputs; write “25 mm”",
        ),
        (
            "slack",
            Measure("37 mm", conditions=(("posture", "rider on"),)),
            (
                "chain slack: taken with posture “rider on” it is not comparable, for the procedure asks for “side "
                "stand”; take it again so"
            ),
        ),
        ("slak", Measure("37 mm"), 'slak: job 1 has no such measurement; did you mean "slack"?'),
    ],
)
def test_what_cannot_be_judged_records_nothing(yard: Workshop, key: str, act: Measure, says: str) -> None:
    play(yard, OPENED)
    head = yard.book.head()
    with pytest.raises(Refused) as refused:
        measure(yard, "1", key, act, Say("P-2"))

    assert (says, head) == (str(refused.value), yard.book.head())


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(posture=st.text("sidetan k", min_size=1).filter(str.strip) | st.sampled_from(["side stand", "SIDE  stand"]))
def test_another_posture_never_yields_a_verdict(yard: Workshop, posture: str) -> None:
    """Only what was taken as the procedure asks is judged, and stored at all."""
    if not yard.book.entries("job/1"):
        play(yard, OPENED)
    before = yard.record("1").length
    try:
        measure(yard, "1", "slack", Measure("37 mm", conditions=(("posture", posture),)), Say("P-2", again=True))
    except Refused:
        assert before == yard.record("1").length
        assert "side stand" != " ".join(posture.lower().split())
    else:
        assert "side stand" == " ".join(posture.lower().split())
        assert yard.record("1").of(Measured)[-1].verdict == "in"


def test_a_dimension_keeps_its_uncertainty_place_and_conditions(yard: Workshop) -> None:
    play(yard, OPENED + "2031-04-02 10:05 slack measured 37 mm ± 0.5 mm at mid-span under posture=Side Stand by P-2\n")
    taken = yard.record("1").measured("slack")
    entry = yard.book.entry(yard.book.head().sequence)

    assert taken is not None
    assert entry is not None
    assert (Decimal(37), Decimal("0.5"), "mid-span") == (taken.value, taken.expanded, taken.place)
    assert (("posture", "side stand"),) == taken.conditions
    assert [["posture", "Side Stand"]] == entry.said["conditions"]
    assert "posture: side stand" == conditions_text(taken)


def test_a_place_told_beside_a_value_is_the_one_that_is_asked_for(yard: Workshop, tmp_path: Path) -> None:
    """Fewer words for it will do; another place is refused, unless the condition itself is told."""
    path = tmp_path / "placed.toml"
    text = PROCEDURE.replace("wear-only", "placed").replace(
        '"side stand" }', '"side stand", place = "mid-span, below" }'
    )
    path.write_text(text, encoding="utf-8")
    enter_procedure(yard, path, Say("P-2"))
    play(yard, OPENED.replace("wear-only", "placed"))
    says = "chain slack: “at the rear” is not where the procedure asks for it, “mid-span, below”; if it was taken there"
    with pytest.raises(Refused, match=says):
        measure(yard, "1", "slack", Measure("37 mm", "at the rear"), Say("P-2"))
    expected = {
        "": "posture: side stand (as the procedure says), place: mid-span, below (as the procedure says)",
        "Mid-span": "posture: side stand (as the procedure says), place: mid-span, below",
    }
    for place, said in expected.items():
        measure(yard, "1", "slack", Measure("37 mm", place), Say("P-2"))
        assert said == conditions_text(yard.record("1").of(Measured)[-1])
    told = Measure("37 mm", "link 7", conditions=(("place", "mid-span, below"), ("posture", "side stand")))
    measure(yard, "1", "slack", told, Say("P-2"))
    assert "posture: side stand, place: mid-span, below" == conditions_text(yard.record("1").of(Measured)[-1])


def test_the_same_act_again_changes_nothing(yard: Workshop) -> None:
    play(yard, OPENED)
    act = Measure(inputs=(("pins", "19"), ("length", "288.0 mm")), conditions=(("posture", "wheel on the ground"),))
    for _ in range(2):
        measure(yard, "1", "wear", act, Say("P-2", id="again"))

    assert 2 == yard.record("1").length


def test_a_kind_makes_its_plugin_needed(yard: Workshop, book_file: Path) -> None:
    """Without it the job stops, and nothing can be measured; what was measured stays what it was."""
    play(yard, OPENED + TAKEN)
    with open_workshop(book_file, clock=yard.clock, chance=Random(4)) as without:
        broken = [says for says in findings(without, rule="core/plugin-broken") if "wear_rules" in says]
        with pytest.raises(Refused, match="no plugin that is loaded knows how “wear” is measured in %"):
            measure(without, "1", "wear", Measure(inputs=(("pins", "19"),)), Say("P-2"))

        assert 1 == len(broken)
        assert of_wear(without) == of_wear(yard)


def test_an_entry_of_an_earlier_program_still_folds(workshop: Workshop) -> None:
    """It said a value, and whether it was inside."""
    play(workshop, "2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2")
    said, judged = {"key": "slack", "value": "25", "unit": "mm", "place": "mid-span"}, {"inside": True, "role": "x"}
    draft = Draft(
        subject="job/1",
        kind="measured.1",
        happened_at=datetime(2031, 4, 2, 10, 5, tzinfo=UTC),
        who="P-2",
        said=said,
        judged=judged,
    )
    workshop.book.append(Act("old", "ab" * 32), [draft], {})
    taken = workshop.record("1").measured("slack")

    assert taken is not None
    assert (Decimal(25), "mm", "mid-span", True) == (taken.value, taken.unit, taken.place, taken.inside)
    assert ("dimension", (), (), None, "not judged") == taken[6:11]
    assert [] == workshop.book.verify()


CARD = (
    OPENED
    + TAKEN
    + """
2031-04-02 10:06 slack measured 37 mm by P-2
2031-04-02 10:59 released by P-1
2031-04-02 11:00 handed over at 12000 km by P-1
2031-04-09 09:00 wear measured pins 19, length 288.2 mm by P-2
2031-04-09 09:10 re-checked at 12500 km by P-2
2031-04-10 09:00 job 2 opened wear-only on V-2 at 500 km by P-2
2031-04-10 09:05 wear measured pins 19, length 286.6 mm by P-2
2031-04-11 09:00 job 3 opened wear-only on V-1 by P-2
2031-04-11 09:05 wear measured pins 19, length 287.6 mm by P-2
2031-04-11 09:06 line 11 struck: misread by P-2
2031-04-11 09:07 wear measured pins 19, length 288.6 mm by P-2
2031-04-11 09:08 job 4 opened wear-only on V-1 by P-2
2031-04-11 09:09 wear measured pins 19, length 289.6 mm by P-2
2031-04-11 09:10 line 14 struck: wrong vehicle by P-2
"""
)


def test_what_was_measured_on_a_vehicle_is_known_over_its_jobs(yard: Workshop) -> None:
    """With the odometer of the same job nearest in time; neither another vehicle's, nor struck, nor withdrawn."""
    read_against_source(yard, "wear-only", "", Say("P-3"))
    play(yard, CARD)
    around = around_of(yard, yard.job("3"))

    assert [
        ("1", "wear", "0.787", 12_000_000),
        ("1", "slack", "37.000", 12_000_000),
        ("1", "wear", "0.857", 12_500_000),
        ("3", "wear", "0.997", None),
    ] == [(each.job, each.key, f"{each.value:.3f}", each.odometer_m) for each in around.measured]
    wear, slack = ("wear", "%", "wheel on the ground"), ("dimension", "mm", "side stand")
    assert [wear, slack, wear, wear] == [(each.kind, each.unit, each.conditions[0][1]) for each in around.measured]
    assert [] == yard.book.verify()
