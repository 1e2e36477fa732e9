"""The plugin clamp_load: when it doubts a specification, what it makes of its table, and what it tells the owner."""

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import torqueaudit.testing
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.procedure.procedure import Fastener, Plain, Procedure
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.model.torque.specification import Specification
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit_plugins.clamp_load.calc.clamp import Joint
from torqueaudit_plugins.clamp_load.calc.strength import read_class
from torqueaudit_plugins.clamp_load.calc.thread import SEATS, read_thread
from torqueaudit_plugins.clamp_load.rules import review_torques

if TYPE_CHECKING:
    from collections.abc import Mapping

    from torqueaudit.model.judged.finding import Remark

EXAMPLES = Path(__file__).parents[3] / "examples" / "procedures"
PROCEDURE = Path(torqueaudit.testing.__file__).with_name("axle.toml")
RULE = "clamp_load/torque-implausible"
AXLE = """
[x.clamp_load.rear-axle-nut]
friction_thread = 0.14
friction_head = 0.14
bolt_resilience_mm_per_n = 5.5e-6
part_resilience_mm_per_n = 1.5e-6
roughness_um = 6.3
interfaces = 8
"""
TIGHT = "2031-04-02 10:05 job {job} rear-axle-nut 108 N·m with W-1 by P-2"


def enter(workshop: Workshop, folder: Path, nut: str = "", table: str = "", torque: str = "108 N·m") -> str:
    """Enter the procedure of one nut with more lines for the nut and a table at the end; returns its digest."""
    before, torque_line, after = PROCEDURE.read_text(encoding="utf-8").partition('torque = "108 N·m"')
    assert torque_line
    text = f'{before}torque = "{torque}"\n{nut}{after}\n{table}'
    (folder / "axle.toml").write_text(text, encoding="utf-8")
    return enter_procedure(workshop, folder / "axle.toml", Say("P-2"))


def opened(workshop: Workshop, folder: Path, *lines: str, **said: str) -> str:
    """A job by that procedure, with the lines of a card played on it."""
    job = open_job(workshop, Opening("V-1", enter(workshop, folder, **said), second=True), Say("P-2"))
    for line in lines:
        play(workshop, line.format(job=job))
    return job


def panels(workshop: Workshop, job: str) -> tuple[ExtraSection, ...]:
    return show_job(workshop, job).panels


def doubts(workshop: Workshop, folder: Path, thread: str, strength: str, torque: str, more: str = "") -> list[str]:
    """What the rule says of one specification."""
    nut = f'thread = "{thread}"\nproperty_class = "{strength}"\n{more}'
    return findings(workshop, opened(workshop, folder, nut=nut, torque=torque), rule=RULE)


PAST = "rear axle nut: {} on {}, class 8.8, is past yield (about {} N·m at friction 0.14). {}"
BELOW = "rear axle nut: {} on {}, is far below what such a bolt is made for (it yields at about {} N·m). {}"
NO_UNIT = "Was the unit, the thread or the class read wrongly? Compare with the source."
ASKS = " would fit it. Was the unit or the thread read wrongly? Compare with the source."


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            ("M6", "8.8", "108 N·m"),
            PAST.format("108 N·m", "M6", "12.5", f"108 lbf·in (12.2 N·m) or 108 kgf·cm (10.6 N·m){ASKS}"),
        ),
        (
            ("M8", "8.8", "30 lbf·ft"),
            PAST.format("30 lbf·ft (40.7 N·m)", "M8", "30.3", f"30 N·m{ASKS}"),
        ),
        (
            ("M18x1.5", "8.8", "11 N·m"),
            BELOW.format("11 N·m", "M18x1.5, class 8.8", "408", f"11 kgf·m (108 N·m){ASKS}"),
        ),
        (
            ("M12", "10.9", "9000 N·m"),
            PAST.replace("8.8", "10.9").format("9000 N·m", "M12", "152", NO_UNIT),
        ),
    ],
    ids=["another size", "pounds for newtons", "kilograms for newtons", "no unit explains it"],
)
def test_a_torque_that_cannot_be_meant_is_a_caution(
    workshop: Workshop, tmp_path: Path, said: tuple[str, str, str], expected: str
) -> None:
    """With the unit that would explain it."""
    assert [expected] == doubts(workshop, tmp_path, *said)


CASTLE = 'locking = "castle nut"\nthread = "M18x1.5"\ncondition = "oiled"'
CLAMPED = "[x.clamp_load.rear-axle-nut]\nclamped_length_mm = 240\n"
TURNED_ON = "2031-04-02 10:05 job {job} rear-axle-nut 64 N·m with W-1 slot turned on to the next slot%s by P-2"
SOFT = CLAMPED + "bolt_resilience_mm_per_n = 5e-5\npart_resilience_mm_per_n = 5e-5\nsettling_um = 5\n"
ESTIMATE = "clamp_load/slot-estimate"


@pytest.mark.parametrize(
    ("table", "weight", "added", "reached"),
    [
        (CLAMPED, "caution", "68 N·m (34 N·m)", "132"),
        (AXLE, "caution", "115 N·m (57 N·m)", "179"),
        (SOFT, "note", "7 N·m (3 N·m)", "71"),
    ],
)
def test_what_turning_on_may_have_added_is_estimated(
    workshop: Workshop, tmp_path: Path, table: str, weight: str, added: str, reached: str
) -> None:
    """A castle nut of six slots, by 60° or with crossed holes 30°: 34 N·m each 30° on M18 × 1.5 over 240 mm.

    What the procedure states that bolt and parts give goes before the clamped length.
    """
    job = opened(workshop, tmp_path, TURNED_ON % "", nut=CASTLE, table=table, torque="70 N·m")
    expected = (
        "rear axle nut: turned on to the next slot by up to 60° (30° where the bolt has two holes crossed), which "
        f"adds about {added} by an estimate from its thread and clamped length, never measured; friction alone makes "
        f"±30 %. With the 64 N·m before it that is about {reached} N·m; 77 N·m is the most that is specified."
    )

    assert [expected] == findings(workshop, job, rule=ESTIMATE, weight=weight)


@pytest.mark.parametrize(
    ("table", "told"),
    [("", ""), (CLAMPED, " at 76 N·m"), (CLAMPED.replace("clamped_length_mm = 240", "friction_head = 0.12"), "")],
)
def test_nothing_is_estimated_where_the_torque_was_told_or_no_joint_is_stated(
    workshop: Workshop, tmp_path: Path, table: str, told: str
) -> None:
    """Without thread and clamped length nobody can; where it was told nobody need."""
    job = opened(workshop, tmp_path, TURNED_ON % told, nut=CASTLE, table=table, torque="70 N·m")

    assert [] == findings(workshop, job, rule=ESTIMATE)


@pytest.mark.parametrize(("slot", "as_if"), [("turned on to the next slot at 76 N·m", "76 N·m"), ("aligned", "64 N·m")])
def test_the_clamp_load_of_a_castle_nut_is_that_at_its_slot(
    workshop: Workshop, tmp_path: Path, slot: str, as_if: str
) -> None:
    """What was read at the slot is what it stands at; where it was aligned at once, that is the torque before."""
    line = "2031-04-02 10:05 job {job} rear-axle-nut %s with W-2 slot %s by P-2"
    rows = []
    for told in (line % ("64 N·m", slot), line % (as_if, "aligned")):
        (panel,) = panels(workshop, opened(workshop, tmp_path, told, nut=CASTLE, table=CLAMPED, torque="70 N·m"))
        rows.append(panel.rows)

    assert rows[0] == rows[1]


@pytest.mark.parametrize("condition", ["", "oiled"])
def test_a_slip_that_is_hardly_past_yield_is_doubted(workshop: Workshop, tmp_path: Path, condition: str) -> None:
    """48 N·m typed as 48 lbf·ft is 65.1 N·m, and an M10 of class 8.8 yields at 59.9: `clamp` says so too."""
    more = f'condition = "{condition}"' if condition else ""
    (said,) = doubts(workshop, tmp_path, "M10", "8.8", "48 lbf·ft", more)

    assert said.startswith("rear axle nut: 48 lbf·ft (65.1 N·m) on M10, class 8.8, is past yield (about 59.9 N·m at")
    assert "48 N·m would fit it" in said


def test_both_frictions_are_told_where_they_differ(workshop: Workshop, tmp_path: Path) -> None:
    """Whoever compares with `clamp` needs them."""
    table = "[x.clamp_load.rear-axle-nut]\nfriction_thread = 0.1\nfriction_head = 0.12"
    job = opened(workshop, tmp_path, nut='thread = "M10"\nproperty_class = "8.8"', torque="65 N·m", table=table)
    (said,) = findings(workshop, job, rule=RULE)

    assert "at friction 0.1 in the thread, 0.12 under the head)" in said


# VDI 2230-1 table A1 reaches from M6 to M20 here; each at 90 % of yield, worked out as the table is.
SIZES = ["M6", "M8", "M10", "M12", "M14", "M16", "M18", "M20", "M10x1.25", "M12x1.25", "M18x1.5", "M20x1.5"]


@pytest.mark.parametrize("friction", [0.10, 0.12, 0.14])
@pytest.mark.parametrize("strength", ["8.8", "10.9", "12.9"])
def test_a_torque_of_the_table_is_not_doubted(friction: float, strength: str) -> None:
    """Whether the procedure states the friction or leaves it out."""
    doubted: list[Remark] = []
    for size in SIZES:
        thread = read_thread(size)
        joint = Joint(thread, SEATS[thread.d_mm], friction, friction)
        nm = joint.torque_nm(joint.preload_n(read_class(strength, thread).yield_mpa))
        for condition in ("", "dry", "oiled", "threadlocker"):
            doubted += review_torques(one_bolt(size, strength, condition, nm))
            doubted += review_torques(one_bolt(size, strength, condition, nm, friction))

    assert [] == doubted


def one_bolt(thread: str, strength: str, condition: str, nm: float, friction: float = 0) -> Procedure:
    """A procedure of one bolt, whose joint is stated where a friction is."""
    torque = Decimal(f"{nm:.6f}")
    specification = Specification(
        written="",
        unit="N·m",
        lower_nm=torque * 9 / 10,
        upper_nm=torque * 11 / 10,
        source="manual",
        page="1",
        nominal_nm=torque,
        tolerance="10 %",
    )
    bolt = Fastener("bolt", "bolt", specification, thread=thread, property_class=strength, condition=condition)
    stated = {"friction_thread": str(friction), "friction_head": str(friction)}
    tables: dict[str, Mapping[str, Plain]] = {"clamp_load": {"bolt": {**stated}}} if friction else {}
    return Procedure(name="bolts", title="Bolts", edition="1", sources=(), work=(bolt,), x=tables)


def test_the_doubt_is_a_caution_of_the_job_as_it_was_opened(workshop: Workshop, tmp_path: Path) -> None:
    """It stops nothing: the maker's value wins."""
    job = opened(workshop, tmp_path, nut='thread = "M6"\nproperty_class = "8.8"')
    (found,) = [each.finding for each in show_job(workshop, job).findings if each.finding.rule == RULE]

    assert ("caution", "rear axle nut") == (found.weight.value, found.subject)
    assert workshop.record(job).opened.entry == found.entry


# What motorcycles ask for in the ordinary: axle, sprocket nut, disc, caliper, pinch bolt, cover; typical, of no model.
ORDINARY = [
    ("M16x1.5", "8.8", ("90", "120")),
    ("M18x1.5", "10.9", ("60", "128")),
    ("M20x1.5", "10.9", ("45", "150")),
    ("M20x1.5", "12.9", ("50", "150")),
    ("M24x1.5", "10.9", ("50", "130")),
    ("M12x1.25", "10.9", ("60", "110")),
    ("M10x1.25", "8.8", ("25", "45")),
    ("M10x1.25", "10.9", ("30", "70")),
    ("M8", "8.8", ("15", "30")),
    ("M8", "10.9", ("18", "35")),
    ("M6", "8.8", ("3", "12")),
    ("M6", "12.9", ("5", "18")),
]


@pytest.mark.parametrize(("thread", "strength", "torques"), ORDINARY)
@pytest.mark.parametrize("condition", ["", "dry", "oiled"])
def test_ordinary_torques_are_not_doubted(
    workshop: Workshop, tmp_path: Path, thread: str, strength: str, torques: tuple[str, str], condition: str
) -> None:
    """A caution that speaks every day is not read."""
    more = f'condition = "{condition}"' if condition else ""

    assert [] == [said for nm in torques for said in doubts(workshop, tmp_path, thread, strength, f"{nm} N·m", more)]


@pytest.mark.parametrize(
    ("thread", "strength"), [("M6", ""), ("", "8.8"), ("G1/8", "8.8"), ("M6", "A2-70"), ("M30", "8.8"), ("M6x9", "8.8")]
)
def test_what_is_not_stated_or_not_known_is_not_doubted(
    workshop: Workshop, tmp_path: Path, thread: str, strength: str
) -> None:
    """Also threads and classes that the plugin knows nothing of."""
    nut = (f'thread = "{thread}"\n' if thread else "") + (f'property_class = "{strength}"\n' if strength else "")

    assert [] == findings(workshop, opened(workshop, tmp_path, nut=nut), rule=RULE)


def test_a_torque_that_an_angle_follows_may_be_low(workshop: Workshop, tmp_path: Path) -> None:
    """It only brings the parts together; past yield it is doubted all the same."""
    angle = 'method = "torque and angle"\nangle = "90°"'

    assert [] == doubts(workshop, tmp_path, "M10", "8.8", "4 N·m", angle)
    assert 1 == len(doubts(workshop, tmp_path, "M6", "8.8", "108 N·m", angle))


def test_friction_that_the_procedure_states_decides(workshop: Workshop, tmp_path: Path) -> None:
    """25 N·m on M8 is ordinary, and past yield on threads as slippery as these."""
    said = {"nut": 'thread = "M8"\nproperty_class = "8.8"', "torque": "25 N·m"}
    usual = opened(workshop, tmp_path, **said)
    slippery = "[x.clamp_load.rear-axle-nut]\nfriction_thread = 0.04\nfriction_head = 0.04"
    stated = opened(workshop, tmp_path, table=slippery, **said)

    assert [0, 1] == [len(findings(workshop, job, rule=RULE)) for job in (usual, stated)]


@pytest.mark.parametrize("name", ["final-drive", "front-wheel", "rear-wheel"])
def test_the_examples_are_not_doubted(workshop: Workshop, name: str) -> None:
    """And their tables hold no mistake."""
    entered = enter_procedure(workshop, EXAMPLES / f"{name}.toml", Say("P-2"))
    job = open_job(workshop, Opening("V-1", entered), Say("P-2"))

    assert [] == findings(workshop, job, rule=RULE)


NUT = 'thread = "M18x1.5"'
BEGIN = "[x.clamp_load.rear-axle-nut]\n"
PAIR = "bolt_resilience_mm_per_n = 2e-6\npart_resilience_mm_per_n = 5e-7\n"
NEEDS = "settling needs bolt_resilience_mm_per_n and part_resilience_mm_per_n, and one of roughness_um and settling_um"


@pytest.mark.parametrize(
    ("table", "key", "says"),
    [
        ("[x.clamp_load.axle-nut]\nfriction_head = 0.1", "axle-nut", '"axle-nut" is no fastener of this procedure'),
        (BEGIN, "", "says nothing; write what is known of the joint, or leave it out"),
        (BEGIN + "friction_head = 0", "friction_head", "has to be a number above 0"),
        (BEGIN + "friction_head = 5", "friction_head", "has to lie between 0.02 and 0.6"),
        (BEGIN + "friction = 0.1", "friction", "is not known here; did you mean"),
        (BEGIN + PAIR + "roughness_um = 6\nfriction_head = '0.1'", "friction_head", "has to be a number above 0"),
        (BEGIN + PAIR, "", NEEDS),
        (BEGIN + "roughness_um = 6.3", "", NEEDS),
        (BEGIN + PAIR + "roughness_um = 6\nsettling_um = 9", "", NEEDS),
        (BEGIN + PAIR + "roughness_um = 900", "roughness_um", "has to lie between 0.01 and 160"),
        (BEGIN + PAIR.replace("2e-6", "-2e-6") + "settling_um = 9", "bolt_resilience", "has to be a number above 0"),
        (BEGIN + PAIR.replace("2e-6", "2.0") + "settling_um = 9", "bolt_resilience", "has to lie between 1e-08 and"),
        (BEGIN + PAIR + "roughness_um = 6\nseats = 3", "seats", "has to be a whole number from 1 to 2"),
        (BEGIN + PAIR + "settling_um = 9\ninterfaces = 2", "settling_um", "is the whole of it"),
        (BEGIN + "bearing_diameter_mm = 9\nhole_diameter_mm = 9", "hole_diameter_mm", "has to be smaller than bearing"),
        (BEGIN + "bearing_diameter_mm = 25", "", "bearing_diameter_mm and hole_diameter_mm belong together"),
    ],
)
def test_a_mistake_in_the_table_refuses_the_procedure(
    workshop: Workshop, tmp_path: Path, table: str, key: str, says: str
) -> None:
    """With its line and key, like any other."""
    with pytest.raises(Refused, match="the procedure was not entered") as refused:
        enter(workshop, tmp_path, nut=NUT, table=table)

    assert f"x.clamp_load{'' if key == 'axle-nut' else '.rear-axle-nut'}{'.' if key else ''}{key}" in str(refused.value)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("nut", "says"),
    [
        ("", 'needs a metric thread on the fastener ("" is no metric thread'),
        ('thread = "G1/8"', 'needs a metric thread on the fastener ("G1/8" is no metric thread'),
        ('thread = "M30"', "the seat of M30 is not known here; write bearing_diameter_mm and hole_diameter_mm"),
        (NUT + '\nmethod = "torque and angle"\nangle = "90°"', "is tightened by angle, so its torque says nothing"),
    ],
)
def test_a_joint_needs_a_fastener_of_which_the_torque_tells_something(
    workshop: Workshop, tmp_path: Path, nut: str, says: str
) -> None:
    """The mistake stands at the joint's table."""
    with pytest.raises(Refused, match=r"line \d+, x\.clamp_load\.rear-axle-nut: ") as refused:
        enter(workshop, tmp_path, nut=nut, table=AXLE)

    assert says in str(refused.value)


def test_a_seat_of_ones_own_makes_a_large_thread_known(workshop: Workshop, tmp_path: Path) -> None:
    """Sizes beyond the list need what the nut bears on."""
    own = AXLE + "bearing_diameter_mm = 42\nhole_diameter_mm = 33\n"
    job = opened(workshop, tmp_path, TIGHT, nut='thread = "M30x1.5"', table=own)

    assert "rear axle nut" == panels(workshop, job)[0].rows[0][0]


def test_the_owner_is_told_why_to_come_back(workshop: Workshop, tmp_path: Path) -> None:
    """Worked out apart: F = 108/(½·17.026·tan(1.606° + 9.184°) + ½·22.67·0.14) = 33.7 kN; 20 µm over 7e-6 mm/N."""
    (panel,) = panels(workshop, opened(workshop, tmp_path, TIGHT, nut=NUT, table=AXLE))

    assert "Why to come back after the first ride" == panel.title
    assert (("rear axle nut", "about 34 kN (24 … 44)", "2.9 kN, 8 % of it"),) == panel.rows
    for words in ("short, stiff joints lose most", "why the re-check exists", "Estimates", "never measured", "±30 %"):
        assert words in " ".join(panel.sentences)


def test_a_joint_without_resiliences_has_no_loss(workshop: Workshop, tmp_path: Path) -> None:
    """What nobody stated is not made up."""
    job = opened(workshop, tmp_path, TIGHT, nut=NUT, table=BEGIN + "friction_head = 0.14")

    assert "not stated" == panels(workshop, job)[0].rows[0][2]


@pytest.mark.parametrize(
    ("lines", "table"),
    [
        ((TIGHT,), ""),
        ((), AXLE),
        ((TIGHT, "2031-04-02 10:06 job {job} rear-axle-nut loosened: wheel out by P-2"), AXLE),
        ((TIGHT, "2031-04-02 10:06 V-1 rear-axle-nut reported loosened: tyre changed by owner"), AXLE),
        ((TIGHT, "2031-04-02 10:06 job {job} rear-axle-nut mark disturbed by P-2"), AXLE),
        ((TIGHT.replace("W-1", "W-1 clicked without turning"),), AXLE),
        ((TIGHT.replace("108 N·m with W-1", "no torque wrench fits"),), AXLE),
    ],
    ids=["no joint stated", "not tightened", "loosened", "undone by a report", "disturbed", "not turned", "no wrench"],
)
def test_there_is_no_panel_of_what_does_not_stand(
    workshop: Workshop, tmp_path: Path, lines: tuple[str, ...], table: str
) -> None:
    """Nothing superseded is shown as current."""
    assert () == panels(workshop, opened(workshop, tmp_path, *lines, nut=NUT, table=table))


def test_there_is_no_panel_once_the_recheck_is_done(workshop: Workshop, tmp_path: Path) -> None:
    """There is nothing to come back for."""
    seen = ("rear-axle-nut mark intact by P-2", "rear-axle-nut checked mark seen by P-3")
    job = opened(workshop, tmp_path, TIGHT, *(f"2031-04-02 10:06 {each}" for each in seen), nut=NUT, table=AXLE)
    read_against_source(workshop, workshop.record(job).digest, "", Say("P-3"))
    play(workshop, f"2031-04-02 10:59 job {job} released by P-1")
    play(workshop, f"2031-04-02 11:00 job {job} handed over at 12010 km by P-1")
    before = len(panels(workshop, job))
    play(workshop, f"2031-04-09 10:00 job {job} rear-axle-nut mark intact by P-2")
    play(workshop, f"2031-04-09 10:05 job {job} re-checked at 12100 km by P-2")

    assert (1, ()) == (before, panels(workshop, job))


@pytest.mark.parametrize("said", ["friction_head = 'none'", PAIR.replace("2e-6", "0") + "settling_um = 1", "x = []"])
def test_a_table_entered_without_the_plugin_breaks_nothing(
    book_file: Path, tmp_path: Path, installed_plugins: Plugins, said: str
) -> None:
    """Nobody looked at it then; the panel says what it cannot tell, and no rule breaks."""
    clock = Clock()
    with open_workshop(book_file, clock=clock, plugins=Plugins([])) as workshop:
        entered = enter(workshop, tmp_path, nut='property_class = "8.8"', table=BEGIN + said)
        job = open_job(workshop, Opening("V-1", entered), Say("P-2"))
        play(workshop, TIGHT.format(job=job))
    with open_workshop(book_file, clock=clock, plugins=installed_plugins) as workshop:
        (panel,) = panels(workshop, job)

        assert ("rear axle nut", "not known") == (panel.rows[0][0], panel.rows[0][2])
        assert [] == findings(workshop, job, rule="core/plugin-broken")
